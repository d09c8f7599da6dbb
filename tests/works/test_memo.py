"""The memo: early cut-off, what it forgets, why a step ran, and that it never changes an answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.remember import Remember, once
from buildlog.works.memo import Counts, Memo, same


class Month(msgspec.Struct, frozen=True):
    entries: tuple[int, ...]
    names: dict[str, int] = {}


@dataclass(frozen=True)
class Pair:
    left: object
    right: object


def total(month: Month, *, scale: int = 1) -> tuple[int, ...]:
    """A bundle: made anew on each call, so that identity shows where it came from."""
    return (sum(month.entries) * scale, len(month.entries))


def page(hours: tuple[int, ...], title: str) -> list[object]:
    return [title, hours]


def boom(number: int) -> int:
    raise ZeroDivisionError(number)


def variadic(*numbers: int) -> int:
    return sum(numbers)


def whole_run(memo: Memo, months: dict[str, Month], title: str = "Hours") -> list[object]:
    memo.begin()
    totals = [memo(total, name, month) for name, month in months.items()]
    result = memo(page, "hours", totals[0], title)
    memo.end()
    return result


def test_identical_and_equal_arguments_are_answered_from_memory() -> None:
    memo = Memo()
    memo.begin()
    month = Month((1, 2))
    first = memo(total, "may", month)
    assert memo(total, "may", month) is first
    assert memo(total, "may", Month((1, 2))) is first
    assert memo.counts == Counts(hits=2, misses=1)


def test_an_equal_result_is_the_old_object_and_cuts_off_what_follows() -> None:
    memo = Memo()
    first = whole_run(memo, {"may": Month((1, 4))})
    second = whole_run(memo, {"may": Month((2, 3))})
    assert second is first
    assert memo.counts == Counts(hits=1, misses=1, cut_offs=1)
    assert str(memo.misses[0]) == "total may: month changed, same result"


def test_every_miss_says_why() -> None:
    memo = Memo()
    whole_run(memo, {"may": Month((1, 4))})
    assert [str(miss) for miss in memo.misses] == [
        "total may: not asked for before",
        "page hours: not asked for before",
    ]
    whole_run(memo, {"may": Month((1, 5))}, "Hours worked")
    assert [str(miss) for miss in memo.misses] == [
        "total may: month changed",
        "page hours: hours, title changed",
    ]
    memo(total, "may", Month((1, 5)), scale=2)
    assert str(memo.misses[-1]) == "total may: scale changed"
    memo(variadic, 1, 1, 2)
    memo(variadic, 1, 1, 3, 4)
    assert memo.misses[-1].differs == (1, 2)
    assert str(memo.misses[-1]) == "variadic 1: 1, 2 changed"


def test_named_arguments_are_compared_too() -> None:
    memo = Memo()
    assert memo(total, "may", Month((1,)), scale=2) == (2, 1)
    assert memo(total, "may", Month((1,)), scale=2) == (2, 1)
    assert memo(total, "may", Month((1,))) == (1, 1)
    assert memo.counts.hits == 1


def test_what_the_last_whole_run_did_not_ask_for_is_forgotten() -> None:
    memo = Memo()
    whole_run(memo, {"may": Month((1,)), "june": Month((2,))})
    assert len(memo) == 3
    whole_run(memo, {"may": Month((1,))})
    assert len(memo) == 2
    whole_run(memo, {"may": Month((1,)), "june": Month((2,))})
    assert [str(miss) for miss in memo.misses] == ["total june: not asked for before"]


def test_a_run_that_failed_forgets_nothing() -> None:
    memo = Memo()
    whole_run(memo, {"may": Month((1,))})
    memo.begin()
    with pytest.raises(ZeroDivisionError):
        memo(boom, "x", 1)
    memo.begin()
    memo(total, "may", Month((1,)))
    assert memo.counts == Counts(hits=1)


def outer(remember: Remember, month: Month, label: str) -> tuple[str, int]:
    return label, remember(total, "inner", month)[0]


def outermost(remember: Remember, month: Month, label: str) -> tuple[str, int]:
    return remember(outer, "outer", remember, month, label)


def test_what_a_remembered_call_asked_for_lives_as_long_as_it_does() -> None:
    memo = Memo()
    month = Month((1,))
    for _run in range(3):
        memo.begin()
        memo(outermost, "all", memo, month, "a")
        memo.end()
    assert memo.counts == Counts(hits=1)
    assert len(memo) == 3
    memo.begin()
    memo(outermost, "all", memo, month, "b")
    memo.end()
    assert memo.counts == Counts(hits=1, misses=2)


def test_a_key_too_coarse_is_counted_as_a_clash_and_still_answered_right() -> None:
    memo = Memo()
    memo.begin()
    assert memo(total, "m", Month((1,))) == (1, 1)
    assert memo(total, "m", Month((2,))) == (2, 1)
    assert memo(total, "m", Month((1,))) == (1, 1)
    assert memo.counts == Counts(misses=3, clashes=2)


def test_once_keeps_nothing_and_hands_everything_on() -> None:
    remember: Remember = once
    assert remember(total, "may", Month((1, 2)), scale=3) == (9, 2)
    assert once(total, "may", Month((1, 2))) is not once(total, "may", Month((1, 2)))


ALIKE: list[tuple[object, object]] = [
    (1, 1.0),
    (1, True),
    (0.0, -0.0),
    (Decimal("1.0"), Decimal("1.00")),
    ({"a": 1, "b": 2}, {"b": 2, "a": 1}),
    (Month((1,), {"a": 1, "b": 2}), Month((1,), {"b": 2, "a": 1})),
    (Pair(1, (True,)), Pair(1, (1,))),
    ((1, [Fraction(1)]), (1, [1])),
    (
        dt.datetime(2026, 3, 14, 12, tzinfo=dt.UTC),
        dt.datetime(2026, 3, 14, 13, tzinfo=dt.timezone(dt.timedelta(hours=1))),
    ),
]


@pytest.mark.parametrize(("old", "new"), ALIKE)
def test_equal_is_not_enough_where_a_page_could_tell(old: object, new: object) -> None:
    assert old == new
    assert not same(old, new)
    memo = Memo()
    assert memo(repr, "x", old) == repr(old)
    assert memo(repr, "x", new) == repr(new)


def test_what_cannot_be_compared_is_not_the_same() -> None:
    assert not same(np.array([1, 2]), np.array([1, 2]))


SCALARS = st.one_of(
    st.none(), st.booleans(), st.integers(-2, 2), st.sampled_from([0.0, -0.0, 1.0]), st.just("a")
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(tuple),
        st.dictionaries(st.sampled_from("abc"), inner, max_size=3),
        st.builds(Pair, inner, inner),
    ),
    max_leaves=5,
)


@given(VALUES, VALUES)
def test_same_values_read_the_same(old: Any, new: Any) -> None:
    assert same(old, new) == (repr(old) == repr(new))


def _coarse(*values: object) -> object:
    return len(repr(values)) % 3


def _told(*values: object) -> object:
    return repr(values)


def _first(*values: object) -> object:
    return values[0] if values else None


def _together(*values: object) -> object:
    return values


STEPS: list[Callable[..., object]] = [_coarse, _told, _first, _together]


@st.composite
def graphs(draw: st.DrawFn) -> list[tuple[int, list[int]]]:
    """Nodes of (step, earlier nodes); a node numbered below 3 is one of three inputs."""
    size = draw(st.integers(1, 8))
    return [
        (
            draw(st.integers(0, len(STEPS) - 1)),
            draw(st.lists(st.integers(0, node + 2), max_size=3)),
        )
        for node in range(size)
    ]


def reckon(remember: Remember, graph: list[tuple[int, list[int]]], inputs: list[object]) -> list[object]:
    values = list(inputs)
    for node, (step, sources) in enumerate(graph):
        values.append(remember(STEPS[step], node, *(values[source] for source in sources)))
    return values


@given(graphs(), st.lists(st.lists(VALUES, min_size=3, max_size=3), min_size=1, max_size=5))
def test_a_memo_never_changes_an_answer(graph: list[tuple[int, list[int]]], runs: list[list[object]]) -> None:
    memo = Memo()
    for inputs in runs:
        memo.begin()
        assert repr(reckon(memo, graph, inputs)) == repr(reckon(once, graph, inputs))
        memo.end()
        assert len(memo) == len(graph)
        assert memo.counts.hits + memo.counts.misses == len(graph)
