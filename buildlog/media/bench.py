"""What comes of files by a recipe: as it is kept where it still holds, else made now, apart, and kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, MutableMapping
from typing import Generic, TypeVar

import msgspec

Made = TypeVar("Made")
Order = TypeVar("Order")

Progress = Callable[[int, int], None]
"""Told how many are done, and of how many that must be made."""

_SAVE_AFTER = 64
"""Things made between two savings: what a compile that is killed may lose."""


class Outcome(msgspec.Struct, Generic[Made], frozen=True):
    """What came of an order; not `lasting` if it may come out otherwise though the file stays as it is."""

    made: Made
    lasting: bool = True


Work = tuple[Callable[[Order], Outcome[Made]], Outcome[Made]]
"""What is done to an order, in another process, and what came of it if that process ended under it."""


def kept_or_made(
    orders: Mapping[str, Order],
    known: MutableMapping[str, Made],
    checked: Callable[[Made], Made | None],
    work: Callable[[], Work[Order, Made]],
    save: Callable[[], None],
    progress: Progress | None,
) -> dict[str, Made]:
    """What comes of each order, by its key.

    Args:
        orders: what is wanted, by the key under which it is kept.
        known: what was made before; what is made now and lasts is added.
        checked: what was made as it is now, or None if it no longer holds.
        work: called once if anything must be made.
        save: called now and then while things are made.
        progress: told in this thread, from (0, n) to (n, n), if n must be made.
    """
    made: dict[str, Made] = {}
    for key in orders:
        good = checked(known[key]) if key in known else None
        if good is not None:
            made[key] = known[key] = good
    missing = {key: order for key, order in orders.items() if key not in made}
    if not missing:
        return made
    from buildlog.media.crew import apart  # noqa: PLC0415 - a run in which all is kept needs no processes

    do, brought_down = work()
    told = progress or (lambda _done, _of: None)
    keys = {id(order): key for key, order in missing.items()}
    told(0, len(missing))
    for done, (order, outcome) in enumerate(apart(do, list(missing.values())), start=1):
        came, key = outcome or brought_down, keys[id(order)]
        made[key] = came.made
        if came.lasting:
            known[key] = came.made
        if done % _SAVE_AFTER == 0:
            save()
        told(done, len(missing))
    return made
