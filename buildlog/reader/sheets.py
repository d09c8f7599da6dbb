"""A sheet: all that one file gives. It depends on the file's path and bytes alone, so it can be kept."""

from __future__ import annotations

import functools
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.entry import Draft, Entry
from buildlog.model.lists import Lot, Part, PartNote, Task, Tool
from buildlog.model.log import Problem
from buildlog.model.ratio import ratio
from buildlog.model.settings import Settings
from buildlog.reader.reading import Mention

__all__ = ["Mention", "Sheet", "decode", "encode"]


class Sheet(msgspec.Struct, frozen=True, kw_only=True):
    """What was read of one file.

    `mentions` are the names in it that other files may know, with their places; `names` the keys (`key_of`)
    of those that others must know, each once, so that a large log is checked without going to every place.
    """

    file: str
    entry: Entry | None = None
    draft: Draft | None = None
    note: PartNote | None = None
    parts: tuple[Part, ...] = ()
    tasks: tuple[Task, ...] = ()
    lots: tuple[Lot, ...] = ()
    tools: tuple[Tool, ...] = ()
    settings: Settings | None = None
    secrets: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    mentions: tuple[Mention, ...] = ()
    names: tuple[str, ...] = ()


def encode(sheet: Sheet) -> bytes:
    """The sheet as MessagePack; the same sheet gives the same bytes."""
    return _encoder().encode(sheet)


def decode(data: bytes) -> Sheet:
    """The sheet that `encode` was given.

    Raises:
        msgspec.DecodeError: the bytes are damaged, or of another shape of sheet. Read the file again.
    """
    try:
        return _decoder().decode(data)
    except UnicodeDecodeError as broken:
        raise msgspec.DecodeError("a text in the sheet is not UTF-8") from broken


@functools.cache
def _encoder() -> msgspec.msgpack.Encoder:
    return msgspec.msgpack.Encoder(enc_hook=_written)


@functools.cache
def _decoder() -> msgspec.msgpack.Decoder[Sheet]:
    return msgspec.msgpack.Decoder(Sheet, dec_hook=_read)


def _written(value: Any) -> str:
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    raise TypeError(f"a sheet holds no {type(value).__name__}")


def _read(wanted: type, value: Any) -> Any:
    over, _, under = value.partition("/") if isinstance(value, str) else ("", "", "")
    if wanted is not Fraction or not (over.isdigit() and under.isdigit() and int(under)):
        raise ValueError(f"a sheet holds no {wanted.__name__} like {value!r}")
    return ratio(int(over), int(under))
