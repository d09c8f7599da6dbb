"""Two ways to take what the log leaves open: wholly against the article, or wholly for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import msgspec

from buildlog.reckoning.order import Order

T = TypeVar("T")


class Leaning(msgspec.Struct, frozen=True):
    """How an open order is taken. Orders are those of an earlier thing to a later one, as it should be."""

    harms: tuple[Order, ...]
    """Orders in which what speaks against the article is taken to have come first."""
    helps: tuple[Order, ...]
    """Orders in which what speaks for the article is taken to have come first."""
    doubt_counts: bool

    def harmed(self, order: Order) -> bool:
        """Whether to its harm something is taken to be before something."""
        return order in self.harms

    def helped(self, order: Order) -> bool:
        """Whether to its good something is taken to be before something."""
        return order in self.helps

    def true(self, sure: bool) -> bool:
        """Whether something that speaks against it, sure or not, is taken to be so."""
        return sure or self.doubt_counts

    def holds(self, answer: bool | None) -> bool:
        """Whether something that speaks for it is taken to be so; None is open."""
        return answer is True or (answer is None and not self.doubt_counts)

    def choose(self, many: Sequence[T], badness: Callable[[T], int]) -> T:
        """The worst or the best of several, the last of equals."""
        pick = max if self.doubt_counts else min
        found = pick(badness(each) for each in many)
        return [each for each in many if badness(each) == found][-1]


_SURE, _PERHAPS = (Order.BEFORE,), (Order.BEFORE, Order.UNCLEAR)

AGAINST = Leaning(harms=_PERHAPS, helps=_SURE, doubt_counts=True)
"""Whatever may speak against it does; what only may speak for it does not."""

FOR = Leaning(harms=_SURE, helps=_PERHAPS, doubt_counts=False)
"""Whatever may speak for it does; what only may speak against it does not."""
