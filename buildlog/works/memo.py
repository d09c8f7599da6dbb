"""The memo: the pipeline is called again whole on every change, and only what changed is reckoned again.

A step's result is kept under (step, key) with the arguments it was reckoned from. Where the arguments are
the same, the kept result is the answer. Where they differ the step runs, and if it comes to the same
result, the *old object* is the answer: what follows then sees an argument that is identical, not merely
equal, and stops there. That gives early cut-off without tracking what depends on what.

Same means more than equal: `1`, `1.0` and `True` are equal, and so are two dictionaries in different order,
but they need not give the same page.
"""

from __future__ import annotations

import datetime as dt
import decimal
import inspect
import operator
from collections.abc import Callable, Hashable, Iterable
from fractions import Fraction
from typing import Any, ParamSpec, TypeVar

import msgspec

P = ParamSpec("P")
R = TypeVar("R")


class Miss(msgspec.Struct, frozen=True):
    """One step that had to run. `differs` holds the places or names of the arguments that had changed.

    `new` says that the step had not been asked for under this key; `cut_off` that it came to the same
    result as before.
    """

    step: Callable[..., Any]
    key: Hashable
    differs: tuple[int | str, ...] = ()
    new: bool = False
    cut_off: bool = False

    def __str__(self) -> str:
        """Say in one line why the step ran."""
        name = getattr(self.step, "__qualname__", repr(self.step))
        if self.new:
            return f"{name} {self.key}: not asked for before"
        same = ", same result" if self.cut_off else ""
        return f"{name} {self.key}: {', '.join(self._names())} changed{same}"

    def _names(self) -> list[str]:
        parameters = list(inspect.signature(self.step).parameters.values())
        positional = [each.name for each in parameters if each.kind is not each.VAR_POSITIONAL]
        return [
            positional[each] if isinstance(each, int) and each < len(positional) else str(each)
            for each in self.differs
        ]


class Counts(msgspec.Struct, frozen=True):
    """What a run asked for. `misses` includes `cut_offs` and `clashes`.

    A clash is a step asked for twice in one run under one key with different arguments: its key is too
    coarse, and the two drive each other out.
    """

    hits: int = 0
    misses: int = 0
    cut_offs: int = 0
    clashes: int = 0


class _Kept:
    """One remembered call. `inner` are the calls asked for while it ran, which live as long as it does."""

    __slots__ = ("args", "inner", "kwargs", "result", "run")

    def __init__(self, args: tuple[Any, ...], kwargs: dict[str, Any], run: int) -> None:
        self.args = args
        self.kwargs = kwargs
        self.result: Any = None
        self.run = run
        self.inner: list[_Kept] = []


class Memo:
    """A `buildlog.model.remember.Remember` that remembers the last run. For one thread.

    Steps must be pure and their arguments and results immutable; a step is known by itself, so it is a
    function of a module, not one made anew in each run.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[Callable[..., Any], Hashable], _Kept] = {}
        self._run = 0
        self._stack: list[list[_Kept]] = []
        self._hits = 0
        self._clashes = 0
        self._misses: list[Miss] = []

    def __len__(self) -> int:
        return len(self._kept)

    @property
    def counts(self) -> Counts:
        """What was asked for since `begin`."""
        cut_offs = sum(miss.cut_off for miss in self._misses)
        return Counts(self._hits, len(self._misses), cut_offs, self._clashes)

    @property
    def misses(self) -> tuple[Miss, ...]:
        """The steps that ran since `begin`, each with the reason; inner ones before the one that asked."""
        return tuple(self._misses)

    def begin(self) -> None:
        """Mark the start of a run."""
        self._run += 1
        self._hits = self._clashes = 0
        self._misses = []
        self._stack = []

    def end(self) -> None:
        """Mark the end of a whole run: forget what it did not ask for, directly or inside a remembered call.

        A run that failed half-way is not ended, so what it did not come to is still there for the next.
        """
        alive = [kept for kept in self._kept.values() if kept.run == self._run]
        if len(alive) == len(self._kept):
            return
        for kept in alive:
            for inner in kept.inner:
                if inner.run != self._run:
                    inner.run = self._run
                    alive.append(inner)
        self._kept = {name: kept for name, kept in self._kept.items() if kept.run == self._run}

    def __call__(self, step: Callable[P, R], key: Hashable, /, *args: P.args, **kwargs: P.kwargs) -> R:
        """Return what `step(*args, **kwargs)` returns, from the last run where nothing differs."""
        name = (step, key)
        old = self._kept.get(name)
        if old is not None:
            differs = _differing(old, args, kwargs)
            if not differs:
                self._hits += 1
                old.args, old.kwargs, old.run = args, kwargs, self._run
                self._tell(old)
                kept: R = old.result
                return kept
            if old.run == self._run:
                self._clashes += 1
        new = _Kept(args, kwargs, self._run)
        self._stack.append(new.inner)
        try:
            result = step(*args, **kwargs)
        finally:
            self._stack.pop()
        if old is None:
            self._misses.append(Miss(step, key, new=True))
        else:
            cut_off = same(old.result, result)
            if cut_off:
                result = old.result
            self._misses.append(Miss(step, key, differs, cut_off=cut_off))
        new.result = result
        self._kept[name] = new
        self._tell(new)
        return result

    def _tell(self, kept: _Kept) -> None:
        if self._stack:
            self._stack[-1].append(kept)


def _differing(old: _Kept, args: tuple[Any, ...], kwargs: dict[str, Any]) -> tuple[int | str, ...]:
    """The places and names of the arguments that are not the same as those kept."""
    if (
        len(args) == len(old.args)
        and all(map(operator.is_, old.args, args))
        and not kwargs
        and not old.kwargs
    ):
        return ()
    missing = object()
    places: list[int | str] = [
        place
        for place in range(max(len(args), len(old.args)))
        if place >= min(len(args), len(old.args)) or not same(old.args[place], args[place])
    ]
    names = [
        name
        for name in {**old.kwargs, **kwargs}
        if not same(old.kwargs.get(name, missing), kwargs.get(name, missing))
    ]
    return (*places, *names)


_SPELT_OUT = (float, complex, decimal.Decimal, dt.datetime, dt.time)
"""Types with equal values that read differently: 0.0 and -0.0, 1.0 and 1.00, one instant in two zones."""


_ALIKE_WHERE_EQUAL = frozenset((str, int, bool, bytes, type(None), dt.date, Fraction))
"""Types whose equal values read the same: most of what is walked."""


def same(old: object, new: object) -> bool:
    """Whether two immutable values are the same to any pure step: equal, of equal types, in equal order."""
    if old is new:
        return True
    try:
        if old != new:
            return False
    except Exception:  # what cannot be compared (an array, say) is not known to be the same
        return False
    return _alike(old, new)


def _alike(old: Any, new: Any) -> bool:
    """Whether two equal values are also alike. Walks only what is not identical."""
    if old is new:
        return True
    kind = type(old)
    if kind is not type(new):
        return False
    if kind in _ALIKE_WHERE_EQUAL:
        return True
    if isinstance(old, msgspec.Struct):
        old, new = msgspec.structs.astuple(old), msgspec.structs.astuple(new)
    if isinstance(old, (tuple, list)):
        return all(map(operator.is_, old, new)) or all(map(_alike, old, new))
    if isinstance(old, dict):
        return same([*old], [*new]) and _alike([*old.values()], [*new.values()])
    if isinstance(old, _SPELT_OUT):
        return repr(old) == repr(new)
    fields: Iterable[str] = getattr(kind, "__dataclass_fields__", ())
    return all(_alike(getattr(old, field), getattr(new, field)) for field in fields)
