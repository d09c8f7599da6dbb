"""A trace as it leaves the program: JSON, CSV, or lines for a terminal on the day of a recall."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from buildlog.model.lists import Lot, Tool
from buildlog.model.names import Item
from buildlog.model.nearest import nearest
from buildlog.pages.cells import table
from buildlog.pages.words import clock
from buildlog.reckoning.knowledge import Closing, Knowledge, LotTrouble, StageStatus
from buildlog.reckoning.readings import Amounts, amounts_of
from buildlog.reckoning.tracing import Spot, Touch, Trace, grip, is_reading, name_of, trace_lot, trace_tool
from buildlog.rules.wording import counted, people

COLUMNS = (
    "sort", "key", "how", "item", "name", "article", "kind", "what", "date", "time", "entry", "record",
    "file", "line", "quantity", "by", "calibration", "sits_in", "closed_up", "status", "ended", "holds",
)  # fmt: skip


class Traced(NamedTuple):
    """A lot or tool, its row in its list (None if it has none), and its trace."""

    sort: str
    listed: Lot | Tool | None
    trace: Trace
    knowledge: Knowledge


def traced(knowledge: Knowledge, key: str) -> Traced | None:
    """The trace of a lot, else of a tool; None where the log knows neither by that key."""
    if key in knowledge.lots:
        return Traced("lot", knowledge.lots[key].lot, trace_lot(knowledge, key), knowledge)
    if key in knowledge.tools:
        return Traced("tool", knowledge.tools[key].tool, trace_tool(knowledge, key), knowledge)
    return None


def unknown(knowledge: Knowledge, key: str) -> str:
    """What to say of a key that is neither a lot nor a tool."""
    known = (*knowledge.lots, *knowledge.tools)
    if not known:
        return f'"{key}" is neither a lot nor a tool: this log has none of either'
    like = nearest(key, known)
    advice = (
        f'the nearest is "{like}"'
        if like
        else f"none of the {len(known)} in lots.csv, tools.csv and records is like it"
    )
    return f'"{key}" is neither a lot nor a tool of this log; {advice}'


def as_json(of: Traced) -> dict[str, Any]:
    """The trace as plain values; null where something is not known.

    `went_into` are the records about articles that exist, `gone` those of articles that have ended since,
    `struck` those struck through, which count for nothing; `also_in` the items that hold one of them.
    """
    trace = of.trace
    return {
        of.sort: trace.key,
        "name": _called(of.listed) or None,
        "day": of.knowledge.day.isoformat(),
        **{name: value or None for name, value in _dates(of.listed)},
        "against": [
            {
                "what": each.word,
                "id": each.id or None,
                "date": each.events[0].moment.day.isoformat(),
                "entry": each.events[0].entry,
            }
            for each in _troubles(of)
        ],
        "went_into": [_touch(of, touch) for touch in trace.now],
        "gone": [_touch(of, touch) for touch in trace.gone],
        "struck": [_touch(of, touch) for touch in trace.struck],
        "also_in": [
            {
                "item": str(each.item),
                "name": each.name or None,
                "holds": [{"item": str(item), "sure": sure} for item, sure in each.holds],
            }
            for each in trace.holders
        ],
    }


def _touch(of: Traced, touch: Touch) -> dict[str, Any]:
    event, spot = touch.event, of.trace.spots.get(touch.item)
    told: dict[str, Any] = {
        "item": str(touch.item),
        "name": name_of(touch.item, of.knowledge.items) or None,
        "article": touch.article or None,
        "recorded_as": str(touch.was) if touch.was else None,
        "kind": event.kind,
        "what": _what(touch) or None,
        "date": event.moment.day.isoformat(),
        "time": clock(event.moment.minute) or None,
        "entry": event.entry,
        "record": event.place,
        "file": event.record.where.file or None,
        "line": event.record.where.line or None,
        "quantity": event.record.quantity or None,
        "by": list(event.people),
    }
    if of.sort == "tool":
        told["reading"] = is_reading(event)
        told["calibration"] = _calibration(of, touch) or None
    if touch.ended is not None:
        ended = touch.ended
        told["ended"] = {"kind": ended.kind, "date": ended.moment.day.isoformat(), "entry": ended.entry}
    if event.struck is not None:
        told["struck"] = {"entry": event.struck.by_entry, "record": event.struck.by_record,
                          "reason": event.struck.reason}  # fmt: skip
    elif spot is not None and touch.ended is None:
        told["sits_in"] = [
            {"item": str(each.item), "assumed": each.assumed, "sure": each.sure} for each in spot.above
        ]
        told["closed_up"] = [
            {
                "item": str(item),
                "area": closing.area or None,
                "date": closing.event.moment.day.isoformat(),
                "entry": closing.event.entry,
                "file": closing.event.record.where.file or None,
                "line": closing.event.record.where.line or None,
            }
            for item, closing in spot.shut
        ]
        told["status"] = [{"stage": each.stage.key, "status": each.status.value} for each in _asked(spot)]
    return told


def as_csv(of: Traced) -> str:
    """RFC 4180: a row for each record, then one for each item that holds one of those touched."""
    rows = [list(COLUMNS)]
    for how, touches in (("went into", of.trace.now), ("gone", of.trace.gone), ("struck", of.trace.struck)):
        rows += [_row(of, how if of.sort == "lot" or how != "went into" else "used on", t) for t in touches]
    for each in of.trace.holders:
        cells = dict.fromkeys(COLUMNS, "")
        cells |= {"sort": of.sort, "key": of.trace.key, "how": "holds it", "item": str(each.item)}
        cells |= {"name": each.name, "holds": " ".join(_perhaps(*held) for held in each.holds)}
        rows.append([cells[name] for name in COLUMNS])
    return table(rows).decode()


def _row(of: Traced, how: str, touch: Touch) -> list[str]:
    event = touch.event
    spot = of.trace.spots.get(touch.item) if how in ("went into", "used on") else None
    where = event.record.where
    ended = touch.ended
    cells = {
        "sort": of.sort,
        "key": of.trace.key,
        "how": how,
        "item": str(touch.item),
        "name": name_of(touch.item, of.knowledge.items),
        "article": str(touch.article or ""),
        "kind": event.kind,
        "what": _what(touch),
        "date": event.moment.day.isoformat(),
        "time": clock(event.moment.minute),
        "entry": event.entry,
        "record": str(event.place),
        "file": where.file,
        "line": str(where.line or ""),
        "quantity": event.record.quantity,
        "by": " ".join(event.people),
        "calibration": _calibration(of, touch),
        "sits_in": _chain(spot) if spot else "",
        "closed_up": "; ".join(_shut(*each) for each in spot.shut) if spot else "",
        "status": _status(spot) if spot else "",
        "ended": f"{ended.kind} {ended.moment.day.isoformat()}" if ended else "",
        "holds": "",
    }
    return [cells[name] for name in COLUMNS]


class Line(NamedTuple):
    """A line of text with its style: `subject`, `detail`, `total` or plain."""

    style: str
    text: str


def as_lines(of: Traced) -> list[Line]:
    """What one needs on the day of a recall: each item, where it is, behind what, and the records."""
    trace, day = of.trace, of.knowledge.day.isoformat()
    name = _called(of.listed)
    lines = [Line("subject", f"{of.sort.capitalize()} {trace.key}{f' – {name}' if name else ', on no list'}")]
    lines += [
        Line("detail", f"{label.replace('_', ' ')} {value}") for label, value in _dates(of.listed) if value
    ]
    for trouble in _troubles(of):
        event = trouble.events[0]
        against = " ".join(filter(None, (trouble.word, trouble.id)))
        lines.append(
            Line("", f"against the lot itself: {against} on {event.moment.day}{_at(event.record.where)}")
        )
    lines += [Line("", _summed(of)), Line("", "")]
    for item in trace.spots:
        lines += _spot(of, trace.spots[item], [touch for touch in trace.now if touch.item == item])
    if trace.gone:
        lines.append(Line("subject", "Articles that are gone"))
        for touch in trace.gone:
            ended = touch.ended
            gone = f"; it was {ended.kind} on {ended.moment.day}{_at(ended.record.where)}" if ended else ""
            lines.append(Line("", f"  {touch.item}: {_record(of, touch)}{gone}"))
        lines.append(Line("", ""))
    if trace.struck:
        lines.append(Line("subject", "Records struck through; they count for nothing"))
        for touch in trace.struck:
            reason = touch.event.struck.reason if touch.event.struck else ""
            lines.append(Line("", f"  {touch.item}: {_record(of, touch)}; struck: {reason}"))
        lines.append(Line("", ""))
    if trace.holders:
        lines.append(Line("subject", "Items that hold any of these now"))
        lines += [
            Line(
                "", f"  {f'{each.item} {each.name}'.rstrip()}: {', '.join(_perhaps(*h) for h in each.holds)}"
            )
            for each in trace.holders
        ]
        lines.append(Line("", ""))
    lines.append(
        Line("detail", f"As the log stands on {day}, as entered; what nobody wrote down is not here.")
    )
    return lines


def _spot(of: Traced, spot: Spot, touches: Iterable[Touch]) -> list[Line]:
    lines = [Line("subject", f"{spot.item} {spot.name}".rstrip())]
    lines += [Line("", f"  {_record(of, touch)}") for touch in touches]
    lines.append(
        Line(
            "detail", f"    where it is: {_chain(spot) or 'nothing in the log says that it sits in anything'}"
        )
    )
    shut = [f"{_shut(*each)}{_at(each[1].event.record.where)}" for each in spot.shut]
    lines += [Line("detail", f"    closed up: {each}") for each in shut]
    if not shut:
        lines.append(Line("detail", "    closed up: no, by this log"))
    lines.append(Line("detail", f"    status: {_status(spot)}"))
    lines.append(Line("", ""))
    return lines


def _summed(of: Traced) -> str:
    trace = of.trace
    if not (trace.now or trace.gone or trace.struck):
        return "No record names it."
    items = counted(len(trace.spots), "item", "items")
    did = f"It is in {items} now" if of.sort == "lot" else f"It was used on {items}"
    told = [f"{did}, by {counted(len(trace.now), 'record', 'records')}"]
    if trace.gone:
        told.append(f"{counted(len(trace.gone), 'record', 'records')} of articles gone since")
    if trace.holders:
        told.append(f"{counted(len(trace.holders), 'more item holds', 'more items hold')} some of them")
    return "; ".join(told) + "."


def _record(of: Traced, touch: Touch) -> str:
    event = touch.event
    by = people(event.people, of.knowledge.frame)
    told = event.kind.replace("_", " ")
    told += f" {what}" if (what := _what(touch)) else ""
    told += f" on {event.moment.day}"
    told += f" {clock(event.moment.minute)}" if event.moment.minute is not None else ""
    told += f" by {by}" if by else ""
    told += f", quantity {event.record.quantity}" if event.record.quantity else ""
    told += f", recorded as {touch.was}" if touch.was else ""
    told += f", article {touch.article}" if touch.article > 1 or touch.ended else ""
    told += f" ({how})" if (how := _calibration(of, touch)) else ""
    return f"{told}{_at(event.record.where) or f', entry {event.entry}'}"


def _what(touch: Touch) -> str:
    """What a reading was of, and what it said."""
    record = touch.event.record
    if not is_reading(touch.event):
        return ""
    said = [getattr(record, name, "") for name in ("what", "fastener", "value", "result")]
    limits, amounts = getattr(record, "limits", ""), amounts_of(record)
    if amounts is not None and amounts.run_on is not None:
        said.append(f"less {getattr(record, 'run_on', '')} run-on, {amounts.net} net")
    held = f"limits {limits}" if limits else ""
    if amounts is not None and amounts.within is not None:
        held += ", within" if amounts.within else ", not shown within" if _spread(amounts) else ", outside"
    return " ".join(filter(None, (*said, f"({held})" if held else "")))


def _spread(amounts: Amounts) -> bool:
    """Whether a value is a range, some of which may lie within its limits."""
    return amounts.net.single is None


def _calibration(of: Traced, touch: Touch) -> str:
    if of.sort != "tool" or not is_reading(touch.event):
        return ""
    return grip(of.listed if isinstance(of.listed, Tool) else None, touch.event).value


def _at(where: Any) -> str:
    return f", at {where.file}:{where.line}" if where.file else ""


def _chain(spot: Spot) -> str:
    return ", in ".join(
        _perhaps(each.item, each.sure) + (" (assumed)" if each.assumed else "") for each in spot.above
    )


def _perhaps(item: Item, sure: bool) -> str:
    return str(item) if sure else f"{item} (perhaps)"


def _shut(item: Item, closing: Closing) -> str:
    area = f" ({closing.area})" if closing.area else ""
    return f"{item} was closed{area} on {closing.event.moment.day}"


def _status(spot: Spot) -> str:
    asked = _asked(spot)
    return "; ".join(f"{each.stage.key} {each.status.value}" for each in asked) or "no inspection asked for"


def _asked(spot: Spot) -> Sequence[StageStatus]:
    return [each for each in spot.stages if each.asked]


def _troubles(of: Traced) -> tuple[LotTrouble, ...]:
    return of.knowledge.lots[of.trace.key].troubles if of.sort == "lot" else ()


def _called(listed: Lot | Tool | None) -> str:
    if listed is None:
        return ""
    return listed.material if isinstance(listed, Lot) else listed.name


def _dates(listed: Lot | Tool | None) -> list[tuple[str, str]]:
    if listed is None:
        return []
    if isinstance(listed, Lot):
        days = {"received": listed.received, "last_good_day": listed.expires}
    else:
        days = {"calibrated": listed.calibrated, "good_until": listed.due}
    return [(name, day.isoformat() if day else "") for name, day in days.items()]
