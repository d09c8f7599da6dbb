"""How values, units and limits are written."""

from buildlog.model.units import all_units

NAME = "readings"
TITLE = "Readings: values, units and limits"


def _units() -> str:
    """The units by what they measure, as the reader knows them."""
    by_sort: dict[str, list[str]] = {}
    for unit in all_units():
        by_sort.setdefault(unit.sort, []).append(unit.name)
    return "\n".join(f"| {sort} | {', '.join(names)} |" for sort, names in sorted(by_sort.items()))


TEXT = f"""
A record `measured`, `torqued` or `weighed` has a `value`: a number with its unit. The page shows it
as it was written; the tool reads it to the last digit and compares it with the `limits`, whatever the
units: 1 in is inside `25.4 mm max`. A value exactly at a limit is inside.

| written | read as |
| --- | --- |
| `0.4 mm`, `0,4 mm`, `.4 mm` | a decimal, with a point, or a comma where it can be nothing else |
| `1/4 in`, `1-1/8 in`, `½ in`, `5 ft 3 in` | inches as on a rule |
| `-1.6 deg`, `21 °C` | below nothing too; a temperature is one on its scale, a difference is written in K |
| `12.3`, `1:22` | a bare number or ratio, compared with bare numbers alone |
| `11 to 13 %`, `0.40 ±0.02 mm` | a range: inside where all of it is |
| `over 200 MΩ`, `under 0.05 mm`, `< 0.05 mm` | off the scale; with `>` in quotes |

Limits say how far it may go:

| written | read as |
| --- | --- |
| `50 to 70 in-lb`, `50-70 in-lb` | from one to the other |
| `60 ±5 in-lb`, `60 +-5 in-lb`, `100 kΩ ±5 %` | so much to either side |
| `8 +0.015/-0 mm` | so much above and below |
| `0.5 mm max`, `max 0.5 mm`, `≤ 0.5 mm` | at most |
| `3 mm min`, `at least 3 mm`, `≥ 3 mm` | at least; with `>=` in quotes |
| `3 min` | at least 3, without a unit; three minutes at least are `3 min min` |

`1,250` could be two numbers and is an error, as is a gallon that does not say whose. So is a unit
that is not known, with the nearest that is, and a value that cannot be compared with its limits:
`lb` is a mass and `lbf` a force. What was seen and not measured, as “no cracks”, is no value: it goes
into `note`, or is a record `tested` or `inspected`.

A torque's limits are held against its value less the `run_on`; see `torque`. Readings of one
characteristic, by `what` or by `fastener`, form a series on the item's page. A later reading inside
its limits puts an earlier one outside right; see `reading-out-of-limits`.

| sort | units |
| --- | --- |
{_units()}

Blanks, dots and hyphens between are all one: `in-lb`, `in. lb.`, `lbf·in`. What one unit is in
another is the matter of a library; NIST SP 811 has the figures.
"""
