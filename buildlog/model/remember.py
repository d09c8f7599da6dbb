"""How a step is called when its result may be remembered from the last run.

Reckoning, rules and pages call their larger steps through a `Remember` that is handed to them. They stay
pure: a `Remember` may only answer what the step itself would answer. `buildlog.works.memo` has the one that
remembers; `once` is for a single run and for tests.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


class Remember(Protocol):
    """Answers `step(*args, **kwargs)`, from memory where step, key and arguments are those of last time.

    `key` tells the calls of one step apart: the month, the item, the page's address. One run asks for one
    step and key once. It names the call only; whatever the result depends on is an argument.
    """

    def __call__(self, step: Callable[P, R], key: Hashable, /, *args: P.args, **kwargs: P.kwargs) -> R:
        """Return what `step(*args, **kwargs)` returns."""
        ...


def once(step: Callable[P, R], _key: Hashable, /, *args: P.args, **kwargs: P.kwargs) -> R:
    """Call the step: the `Remember` that keeps nothing."""
    return step(*args, **kwargs)
