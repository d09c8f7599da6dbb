"""Sheets are kept between runs: what comes back is what was put away, or an error."""

from __future__ import annotations

import contextlib
import subprocess
import sys
from fractions import Fraction

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.reader.read import read_sheet
from buildlog.reader.reading import key_of, parts_of
from buildlog.reader.sheets import Sheet, decode, encode
from tests.reader.conftest import PARTS, SETTINGS, TASKS
from tests.reader.test_entries import WHOLE

FILES = {
    "buildlog.toml": SETTINGS,
    "parts.csv": PARTS,
    "tasks.csv": TASKS + "X,y,,\n",
    "lots.csv": "lot,material,expires\nE,x,2026-01-01\n",
    "parts/TN-1.md": "x",
    "entries/2026-03-14-x.md": WHOLE.replace("2.5 each", "10 min total"),
    "entries/2026-03-14-y.md": "---\nwrong: x\n",
    "entries/2026-03-14-z.md": "---\ndraft: true\nwrong: x\n---\n",
}


@pytest.mark.parametrize("file", FILES)
def test_a_sheet_comes_back_as_it_was(file: str) -> None:
    sheet = read_sheet(file, FILES[file].encode())
    data = encode(sheet)
    assert decode(data) == sheet
    assert encode(decode(data)) == data
    assert data == encode(read_sheet(file, FILES[file].encode()))


def test_fractions_stay_exact() -> None:
    sheet = decode(encode(read_sheet("entries/2026-03-14-x.md", FILES["entries/2026-03-14-x.md"].encode())))
    assert sheet.entry
    assert sheet.entry.work[0].hours[0].hours == Fraction(1, 12)


@given(st.binary(max_size=80))
def test_foreign_bytes_are_refused(data: bytes) -> None:
    with contextlib.suppress(msgspec.DecodeError):
        assert isinstance(decode(data), Sheet)


@given(st.data())
def test_damaged_sheets_are_refused_or_are_sheets(data: st.DataObject) -> None:
    whole = encode(read_sheet("entries/2026-03-14-x.md", WHOLE.encode()))
    at = data.draw(st.integers(0, len(whole) - 1))
    broken = whole[:at] + bytes([data.draw(st.integers(0, 255))]) + whole[at + 1 :]
    with contextlib.suppress(msgspec.DecodeError):
        assert isinstance(decode(broken), Sheet)


@pytest.mark.parametrize("text", ["1", "1/0", "-1/2", "a/b", "1/2/3", ""])
def test_fractions_that_are_none(text: str) -> None:
    raw = msgspec.msgpack.encode(
        {
            "file": "x",
            "entry": {"key": "k", "date": "2026-01-01", "work": [{"hours": [{"person": "", "hours": text}]}]},
        }
    )
    with pytest.raises(msgspec.ValidationError):
        decode(raw)


def test_only_facts_are_kept() -> None:
    with pytest.raises(TypeError, match="holds no complex"):
        encode(Sheet(file="x", names=(1j,)))


def test_keys_of_mentions_come_apart_again() -> None:
    for mention in read_sheet("entries/2026-03-14-x.md", WHOLE.encode()).mentions:
        assert parts_of(key_of(mention)) == (mention.reads, mention.text, mention.number)


def test_surveying_and_decoding_import_nothing_heavy() -> None:
    code = (
        "import sys; import buildlog.reader.survey, buildlog.reader.read, buildlog.reader.assemble; "
        "buildlog.reader.read.read_sheet('entries/2026-01-01-x.md', b'Prose alone.');"
        "print(sorted({'yaml', 'markdown_it', 'rapidfuzz', 'jinja2', 'PIL', 'zoneinfo'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
