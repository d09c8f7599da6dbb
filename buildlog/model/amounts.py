"""Values and limits as people write them, to exact quantities. What could mean two things is refused."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from typing import NoReturn

import msgspec

from buildlog.model.nearest import nearest
from buildlog.model.quantity import Quantity, alike
from buildlog.model.units import BARE, PARTS_OF, Unit, ambiguous, convert, spellings, unit_of

LENGTH = 120
"""The longest text, in characters, that is read."""

VALUE_FORMS = (
    "write a number and its unit: `0.4 mm`, `66 in-lb`, `21 °C`; what was seen and not measured goes into "
    "`note`, or is `tested` or `inspected`"
)
LIMIT_FORMS = (
    "write `50 to 70 in-lb`, `0.5 mm max`, `3 mm min` or `60 ±5 in-lb`, "
    "or leave the key out where there are none"
)


class Unreadable(msgspec.Struct, frozen=True):
    """Why a text is no value, or no limits: what was found, to follow the quoted text, and what to do."""

    found: str
    todo: str


@functools.lru_cache(maxsize=1 << 12)
def value_of(text: str) -> Quantity | Unreadable:
    """The value in a text, or why there is none. Pure; it raises nothing, whatever the text."""
    return _usual_value(text) or _tried(text, _value, VALUE_FORMS)


@functools.lru_cache(maxsize=1 << 12)
def limits_of(text: str) -> Quantity | Unreadable:
    """The limits in a text, or why there are none. Pure; it raises nothing, whatever the text.

    `3 min` is at least 3, and never three minutes: those are `3 min min`.
    """
    return _usual_limits(text) or _tried(text, _limits, LIMIT_FORMS)


_USUAL = r"-?[0-9]{1,9}(?:\.[0-9]{1,9})?"
_USUAL_VALUE = re.compile(rf"({_USUAL}) ?([^0-9.,…]*)")
_USUAL_LIMITS = re.compile(rf"({_USUAL})(?: to ({_USUAL}))? ?([^0-9.,…]*?)(?: ?\b(max|min))?")


def _usual_value(text: str) -> Quantity | None:
    """What nearly all values are, read quickly: a number and its unit. None for any other."""
    found = _USUAL_VALUE.fullmatch(text)
    unit = unit_of(found[2]) if found else None
    if found is None or unit is None:
        return None
    amount = Fraction(found[1])
    return Quantity(amount, amount, unit)


def _usual_limits(text: str) -> Quantity | None:
    """What nearly all limits are, read quickly: from one number to another, or at most or at least one."""
    found = _USUAL_LIMITS.fullmatch(text)
    unit = unit_of(found[3]) if found else None
    if found is None or unit is None:
        return None
    first, second, word = Fraction(found[1]), found[2], found[4]
    if second is None:
        return {"max": Quantity(None, first, unit), "min": Quantity(first, None, unit)}.get(word or "")
    return Quantity(first, Fraction(second), unit) if word is None and first <= Fraction(second) else None


class _RefusedError(Exception):
    """Why a text is refused, on its way out of the reading; it never leaves this file."""

    def __init__(self, found: str, todo: str) -> None:
        super().__init__(found)
        self.found, self.todo = found, todo


def _refuse(found: str, todo: str = "") -> NoReturn:
    """Give up. Without a word on what to do, the forms that could be written are told."""
    raise _RefusedError(found, todo)


def _tried(text: str, read: Callable[[str], Quantity], forms: str) -> Quantity | Unreadable:
    try:
        if len(text) > LENGTH:
            _refuse(f"has {len(text)} characters; {LENGTH} are the most", "say the rest in `note`")
        return read(_plain(text))
    except _RefusedError as refused:
        return Unreadable(refused.found, refused.todo or forms)


_DASHES = dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-")
_PLAIN = str.maketrans(
    {
        **_DASHES,
        **dict.fromkeys("\u2018\u2019\u2032\u00b4`", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u2033", '"'),
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\u2044": "/",
        "\u2264": "<=",
        "\u2265": ">=",
        "\u2026": "..",
    }
)
_SPACES = re.compile(r"\s+")
_PLUS_MINUS = re.compile(r"\+\s*/?\s*-(?!\s*[0-9.,/]+\s*[/]\s*[+-])")


def _plain(text: str) -> str:
    """The text in the letters that the forms are made of: blanks, dashes, primes, fractions, small digits."""
    if not text.isascii():
        text = "".join(
            f" {each}" if "<fraction>" in unicodedata.decomposition(each) else each for each in text
        )
        text = unicodedata.normalize("NFKC", text.translate(_PLAIN)).translate(_PLAIN)
    text = text.replace("''", '"').replace("...", "..")
    return _SPACES.sub(" ", text).strip()


# Digits are those of ASCII: others would pass `\d`, and no log holds them on purpose.
_DECIMAL = r"(?:[0-9][0-9.,]{0,20}(?<![.,])|[.,][0-9]{1,12})"
_PLAIN_NUMBER = (
    rf"(?:[0-9]{{1,6}}/[0-9]{{1,6}}|{_DECIMAL}:{_DECIMAL}|{_DECIMAL}(?:[eE][+-]?[0-9]{{1,2}}(?![0-9]))?)"
)
_MIXED = r"[1-9][0-9]{0,5}(?: |-)[0-9]{1,6}/[0-9]{1,6}"
_NUMBER = rf"(?:[+-] ?)?(?:{_MIXED}|{_PLAIN_NUMBER})(?![0-9])"
_AMOUNT = rf"(?P<number>{_NUMBER}) ?(?P<unit>.*)"
_SECOND = rf"(?P<first>[^0-9]*?) ?(?P<number>{_PLAIN_NUMBER}|{_MIXED}) ?(?P<unit>[^0-9]+)"
_SPAN = rf"(?P<low>{_NUMBER}) ?- ?(?P<high>{_NUMBER})(?![0-9]) ?(?P<unit>[^0-9+].*|)"
_WORDED = r"(?:between )?(?P<low>.*?[^ ]) ?(?: to | and | - |\.\.) ?(?P<high>.+)"
_SKEW = (
    rf"(?P<middle>.*?) ?\+ ?(?P<plus>{_PLAIN_NUMBER})(?P<one>[^0-9]*?) ?(?:/? ?- ?|/ ?(?=0))"
    rf"(?P<minus>{_PLAIN_NUMBER})(?P<unit>.*)"
)
_AT_MOST = r"<=?|=<|max(?:imum)?\b\.?|at most|(?:not|no) (?:more|over|above) than|up to|under|less than|below"
_AT_LEAST = r">=?|=>|min(?:imum)?\b\.?|at least|(?:not|no) (?:less|under|below) than|over|more than|above"
_BEFORE = rf"(?:(?P<most>{_AT_MOST})|(?P<least>{_AT_LEAST})) ?:? ?(?P<amount>.*)"
_BEHIND = (
    r"(?P<amount>.*?),? ?\b(?:(?P<most>max(?:imum)?|at most|or less)"
    r"|(?P<least>min(?:imum)?|at least|or more))\b\.?"
)
_BOTH = (
    r"(?P<low>.+?) ?\bmin(?:imum)?\b\.? ?[,;/]? ?(?:and |to )?"
    r"(?P<high>[^a-zA-Z]*[0-9].*?) ?\bmax(?:imum)?\b\.?"
)
_ROUGHLY = r"(?:~|≈|about|approx\.?|approximately|ca\.?|circa|some)\s*[0-9.]"
_OFF_SCALE = r"(?P<sign><=?|>=?|less than|more than|over|under) ?(?P<amount>.*)"


@functools.cache
def _form(pattern: str) -> re.Pattern[str]:
    # compiled when it is first met: all of them take longer than reading most logs needs
    return re.compile(pattern, re.IGNORECASE)


def _value(text: str) -> Quantity:
    if off := _form(_OFF_SCALE).fullmatch(text):
        amount, unit = _amount(off["amount"])
        below = off["sign"].casefold() in ("<", "<=", "less than", "under")
        return Quantity(None, amount, unit) if below else Quantity(amount, None, unit)
    if spread := _spread(text):
        return spread
    amount, unit = _amount(text)
    return Quantity(amount, amount, unit)


def _limits(text: str) -> Quantity:
    if both := _form(_BOTH).fullmatch(text):
        return _between(both["low"], both["high"])
    if one := _form(_BEFORE).fullmatch(text):
        amount, unit = _amount(one["amount"])
        return Quantity(None, amount, unit) if one["most"] else Quantity(amount, None, unit)
    if spread := _spread(text):
        return spread
    if one := _form(_BEHIND).fullmatch(text):
        amount, unit = _amount(one["amount"])
        return Quantity(None, amount, unit) if one["most"] else Quantity(amount, None, unit)
    amount, unit = _amount(text)
    one_value = str(Quantity(amount, amount, unit))
    _refuse("is one value, and limits say how far", f"write `{one_value} max`, `{one_value} min`, or a range")


def _spread(text: str) -> Quantity | None:
    """A range or a value with a tolerance; None where a text is neither."""
    evened = _PLUS_MINUS.sub("±", text)
    middle, sign, tolerance = evened.partition("±")
    if sign:
        return _around(middle.strip(), tolerance.strip())
    if (skew := _form(_SKEW).fullmatch(text)) and skew["middle"]:
        return _skewed(skew)
    if (span := _form(_SPAN).fullmatch(text)) and not re.fullmatch(
        _MIXED, f"{span['low']}-{span['high']}".strip("+-")
    ):
        return _between(span["low"], f"{span['high']} {span['unit']}")
    if worded := _form(_WORDED).fullmatch(text):
        return _between(worded["low"], worded["high"])
    return None


def _between(low_text: str, high_text: str) -> Quantity:
    high, unit = _amount(high_text)
    low, low_unit = _amount(low_text)
    if low_unit not in (BARE, unit):
        low = _other_unit(low, low_unit, unit)
    if low > high:
        _refuse("is turned round", f"write the lower end first: `{Quantity(high, low, unit)}`")
    return Quantity(low, high, unit)


def _around(middle_text: str, tolerance_text: str) -> Quantity:
    tolerance, unit = _amount(tolerance_text)
    middle, own = _amount(middle_text)
    unit, off = _tolerance(middle, own, tolerance, unit)
    return Quantity(middle - off, middle + off, unit)


def _skewed(found: re.Match[str]) -> Quantity:
    middle, own = _amount(found["middle"])
    minus, unit = _amount(f"{found['minus']} {found['unit']}")
    plus, first = _amount(f"{found['plus']} {found['one']}")
    if first not in (BARE, unit):
        _refuse("has tolerances in two units", "write both in one")
    unit_up, up = _tolerance(middle, own, plus, unit)
    _, down = _tolerance(middle, own, minus, unit)
    return Quantity(middle - down, middle + up, unit_up)


def _tolerance(middle: Fraction, own: Unit, off: Fraction, unit: Unit) -> tuple[Unit, Fraction]:
    """The unit of a value with its tolerance, and the tolerance in it: `60 ±5 in-lb`, `100 kΩ ±5 %`."""
    if off < 0:
        _refuse("has a tolerance below nothing", "write it behind `±`, without a sign")
    if own == BARE or unit in (own, BARE):
        return (unit if own == BARE else own), off
    if unit.name == "%":
        return own, abs(middle) * off / 100
    if not alike(own, unit) or own.sort == "temperature":
        _refuse(f"has a tolerance in {unit.name} to a value in {own.name}", "write both in one unit")
    return own, convert(off, unit, own)


def _other_unit(amount: Fraction, here: Unit, there: Unit) -> Fraction:
    if not alike(here, there):
        _refuse(f"goes from a {here.sort} to {_a(there)}", "write both ends in one unit")
    return convert(amount, here, there)


def _a(unit: Unit) -> str:
    return unit.sort if unit == BARE else f"a {unit.sort}"


def _amount(text: str) -> tuple[Fraction, Unit]:
    """A number with its unit. Feet may be followed by inches, pounds by ounces, degrees by minutes."""
    text = text.strip()
    found = _form(_AMOUNT).fullmatch(text)
    if found is None:
        _no_number(text)
    number, rest = found["number"], found["unit"].strip()
    amount = _number_in(number)
    unit = unit_of(rest)
    if ":" in number and unit != BARE:
        _refuse("is a ratio with a unit", "write a ratio alone, `1:22`, and a length of time as `1.5 h`")
    if unit is not None:
        return amount, unit
    if second := _form(_SECOND).fullmatch(rest):
        compound = _compound(amount, number, second)
        if compound is not None:
            return compound
    return amount, _no_unit(rest)


def _compound(amount: Fraction, number: str, second: re.Match[str]) -> tuple[Fraction, Unit] | None:
    first = unit_of(second["first"].strip())
    if first is None or first.name not in PARTS_OF:
        return None
    small, many = PARTS_OF[first.name]
    spelling = second["unit"].strip()
    if first.sort == "angle":
        spelling = {"'": "arcmin", '"': "arcsec"}.get(spelling, spelling)
    unit = unit_of(spelling)
    if unit is None or unit.name != small:
        return None
    part = _number_in(second["number"])
    if part >= many:
        _refuse(
            f"has {second['number']} {small}, of which {many} are one {first.name}", "write it in one unit"
        )
    return amount * many + (-part if number.startswith("-") else part), unit


def _number_in(text: str) -> Fraction:
    sign = -1 if text.startswith("-") else 1
    bare = text.lstrip("+- ")
    if re.fullmatch(_MIXED, bare):
        whole, part = re.split(r"[ -]", bare, maxsplit=1)
        fraction = _quotient(part, "/")
        if fraction >= 1:
            _refuse(f"holds {bare}, which is no number", "write it as a decimal: `1.5`")
        return sign * (int(whole) + fraction)
    if "/" in bare:
        return sign * _quotient(bare, "/")
    if ":" in bare:
        return sign * _quotient(bare, ":")
    digits, _, power = bare.lower().partition("e")
    return sign * _decimal_in(digits) * (Fraction(10) ** int(power or 0))


def _quotient(text: str, sign: str) -> Fraction:
    top, bottom = (_decimal_in(each) for each in text.split(sign))
    if not bottom:
        _refuse(f"holds {text}, which divides by nothing", "write the number as a decimal")
    return top / bottom


def _decimal_in(text: str) -> Fraction:
    """A number with a decimal point, or a comma where it can be nothing else; thousands may be marked."""
    whole, point, part = text.replace(",", ".").rpartition(".")
    marks = {each for each in text if each in ".,"}
    last = max(text.rfind("."), text.rfind(","))
    if not point:
        return Fraction(text)
    groups = re.split(r"[.,]", text[:last])
    grouped = len(groups) > 1 and len(groups[0]) <= 3 and all(len(each) == 3 for each in groups[1:])
    if len(groups) == 1:
        if text[last] == "," and len(part) == 3 and whole and whole[0] != "0" and len(whole) <= 3:
            _refuse("could be read in two ways", f"write `{whole}{part}` or `{whole}.{part}`")
        return Fraction(f"{whole or 0}.{part}")
    if grouped and len(marks) == 2 and text[last] not in text[:last] and len(set(text[:last]) & marks) == 1:
        return Fraction(f"{''.join(groups)}.{part}")
    if grouped and len(marks) == 1 and len(part) == 3:
        return Fraction("".join(groups) + part)
    _refuse(f"holds {text}, which is no number", "write the decimals behind a point, and no other mark")


def _no_number(text: str) -> NoReturn:
    if not text:
        _refuse("lacks a number")
    if _form(_ROUGHLY).match(text):
        _refuse("is a rough value", "write the number that was read, or a range: `11 to 13 mm`")
    if any(each.isdigit() for each in text):
        _refuse(f'does not begin with a number, but with "{_shown(text[:12])}"')
    _refuse("holds no number")


def _no_unit(text: str) -> NoReturn:
    ways = ambiguous(text)
    if ways:
        _refuse(
            f'has the unit "{text}", which is not the same everywhere', f"write `{ways[0]}` or `{ways[1]}`"
        )
    ending = re.search(r"\b(?:min|max)(?:imum)?\.?$", text, re.IGNORECASE)
    if ending:
        _refuse(f'holds "{ending[0]}", which does not belong here')
    like = nearest(text, spellings())
    unit = unit_of(like) if like else None
    known = f'the nearest is "{unit.name}"' if unit else "`buildlog meaning readings` lists the units"
    _refuse(
        f'has the unknown unit "{_shown(text)}"',
        f"{known}; a number that has no unit stands alone, and what it counts goes into `what`",
    )


def _shown(text: str) -> str:
    short = text if len(text) <= 40 else f"{text[:40]}…"
    return "".join(each if each.isprintable() else "?" for each in short)
