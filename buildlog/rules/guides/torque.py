"""Torque: run-on, the table that is shown for reference, and a wrench with an adapter."""

from fractions import Fraction

from buildlog.model.quantity import decimal
from buildlog.rules.torques import CONDITIONS, NUTS, SOURCE, TABLE, wrench_setting

NAME = "torque"
TITLE = "Torque: run-on, the table, and adapters"

WORKED = ((135, 10, Fraction(3, 2)), (135, 10, Fraction(-3, 2)), (135, 10, Fraction(0)))
"""Torque, wrench and adapter of the worked examples."""


def _table() -> str:
    rows = [
        "| thread | tension nut | shear nut | max | max shear |",
        "| --- | --- | --- | --- | --- |",
    ]
    for thread in dict.fromkeys(thread for thread, _ in TABLE):
        tension, shear = TABLE[thread, "tension"], TABLE[thread, "shear"]
        star = "\\*" if shear.estimated else ""
        rows.append(
            f"| {thread} | {tension.low}–{tension.high} | {shear.low}–{shear.high}{star} "
            f"| {tension.most} | {shear.most} |"
        )
    return "\n".join(rows)


def _worked() -> str:
    rows = ["| worked example | set the wrench to |", "| --- | --- |"]
    for torque, wrench, adapter in WORKED:
        setting = wrench_setting(Fraction(torque), Fraction(wrench), adapter)
        signed = f"{float(adapter):+.1f}".replace("-", "−")
        said = f"E {signed}" if adapter else "the adapter at 90°"
        rows.append(f"| T {torque}, L {wrench}, {said} | {decimal(setting, 1)} |")
    return "\n".join(rows)


TEXT = f"""
The `value` of a record `torqued` is what the wrench was set to or showed. A self-locking nut takes
some torque before it bears, its run-on or friction drag: it goes into `run_on`. Limits are for what
is left: 78 in-lb with 12 in-lb run-on is 66 net, inside `50 to 70 in-lb`; 55 with 12 is 43 net, and
outside. See `reading-out-of-limits`. What is `loosened` wants torquing again: see `torque-loosened`.

The manufacturer's torque comes first, and the designer's drawing. Write it as `limits`.

## Where a torque has no limits

Where a record gives no `limits` but a `thread` and a kind of `nut`, the page shows beside it what
{SOURCE} recommends. This is for reference. The tool does not compare the torque with it, and
nothing that it shows is a pass.

{chr(10).join(f"- {each}" for each in CONDITIONS)}

The kind of nut is `{NUTS["tension"][0]}` ({", ".join(NUTS["tension"][1:])}) or `{NUTS["shear"][0]}`
({", ".join(NUTS["shear"][1:])}). In inch-pounds, by thread,
fine threads first, the tension nut first; the maximum allowable behind:

{_table()}

\\* Estimated, says the table.

## A wrench with an adapter

An adapter that puts the fastener further out, or further in, than the drive changes what reaches it. Set
the wrench to T · L / (L + E): T is the torque that the fastener is to get, run-on included, L the length
from the middle of the drive to the middle of the grip, and E how far the adapter puts the fastener
from the drive along the wrench: more than nothing where that lengthens the wrench, less where it
shortens it. An adapter at 90° to the wrench changes nothing. (The formula of the same circular,
figure 7-2, from memory: check it there.)

{_worked()}

- Hold the wrench where L was measured to, and keep the adapter in line with it, or square to it.
- A jointed or flexible extension is none of this. What the wrench's maker says comes first.
- Have the wrench calibrated: see `tool-out-of-calibration`.
"""
