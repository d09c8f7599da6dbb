"""What the closings above an item hid of it, and when it came in sight again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec

from buildlog.model.names import Item
from buildlog.reckoning.containment import Line, inside_any
from buildlog.reckoning.events import BEGINS_NOTHING
from buildlog.reckoning.knowledge import Chronicle, Closing, Shut
from buildlog.reckoning.order import Moment, Order, compare


def shut_away(
    shut: Sequence[Mapping[Item, Iterable[Closing]]],
    order: Iterable[tuple[Item, int]],
    lines: Mapping[Item, Line],
) -> dict[Item, tuple[Shut, ...]]:
    """For each item every closing above it that ever hid it."""
    found: dict[Item, list[Shut]] = {}
    for item, d in order:
        for closing in shut[d].get(item, ()):
            opened = closing.opened.moment if closing.opened else None
            for each in closing.hidden:
                out = opened
                if each in lines:
                    left = _left(lines[each], closing, item)
                    out = min(filter(None, (opened, left)), key=lambda moment: moment.show, default=None)
                found.setdefault(each, []).append(Shut(item, closing, out))
    return {item: tuple(each) for item, each in found.items()}


def _left(line: Line, closing: Closing, whole: Item) -> Moment | None:
    """When something was surely taken out of what was closed around it; what never was in it stays hidden.

    What was closed may have another name since: what was taken out before that was in it under the old one.
    So may what was hidden: under its new name it is looked for from then on, unless the closing names what
    it hides, for then it may never have been in it.
    """
    shut, wholes = closing.event.moment, {whole, closing.event.item}
    begun = [span.since for span in line[0].spans]
    first = min((each for each in begun if each is not None), key=lambda each: each.show, default=None)
    named = bool(getattr(closing.event.record, "hides", ()))
    if first is not None and None not in begun and not named and compare(shut, first) is Order.BEFORE:
        shut = after(first)
    moves = [
        after(span.since)
        for track in line
        for span in track.spans
        if span.since is not None and compare(shut, span.since) is Order.BEFORE
    ]
    if not moves or inside_any(line, shut, wholes) is False:
        return None
    for move in sorted(moves, key=lambda moment: moment.show):
        if inside_any(line, move, wholes) is False:
            return move
    return None


def after(moment: Moment) -> Moment:
    """Just after something, and before whatever follows it in its entry."""
    return msgspec.structs.replace(moment, step=moment.step + 1)


def of_the_present(chronicle: Chronicle, shut: Iterable[Shut]) -> tuple[Shut, ...]:
    """The closings that hid an item's present article: one that came later was not behind them."""
    article = chronicle.present
    if article is None:
        return ()

    def signs() -> Iterator[Moment]:
        for event in article.events:
            if not event.struck and event.kind not in BEGINS_NOTHING:
                yield event.moment
        for work in article.labour:
            yield work.moment

    return tuple(
        each
        for each in shut
        if any(compare(sign, each.closing.event.moment) is not Order.AFTER for sign in signs())
    )
