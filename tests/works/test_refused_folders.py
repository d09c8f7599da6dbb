"""Publishing where something stands that the tool did not make: refused, and left as it is."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from buildlog.works.generations import publish
from buildlog.works.standing import DROPPINGS, LIST, Refused, stand, unchanged
from tests.works.published import DAY, FIRST, SECOND, clean, contents, leaves, put, tree


def _foreign_file(out: Path) -> str:
    (out / "parts/notes.txt").write_text("mine")
    return "parts/notes.txt"


def _foreign_folder(out: Path) -> str:
    (out / "empty").mkdir()
    return "empty/"


def _foreign_link(out: Path) -> str:
    (out / "index.html").unlink()
    (out / "index.html").symlink_to("404.html")
    return "index.html"


def _no_list(out: Path) -> str:
    (out / LIST).unlink()
    return "index.html"


def _another_list(out: Path) -> str:
    """A folder of somebody's downloads, all of it on a list: the headline is missing."""
    text = (out / LIST).read_text()
    (out / LIST).write_text(text.partition("\n")[2])
    return LIST


def _bad_line(out: Path) -> str:
    (out / LIST).write_text((out / LIST).read_text() + "mine\n")
    return LIST


def _not_text(out: Path) -> str:
    (out / LIST).write_bytes(b"\xff\xfe")
    return LIST


def _list_is_a_folder(out: Path) -> str:
    (out / LIST).unlink()
    (out / LIST).mkdir()
    return LIST


def _many(out: Path) -> str:
    for number in range(9):
        (out / f"mine-{number}").write_text("")
    return "mine-4 and 4 more"


def _stray_double(out: Path) -> str:
    (out / "._mine").write_text("")
    return "._mine"


@pytest.mark.parametrize(
    "alter",
    [
        _foreign_file,
        _foreign_folder,
        _foreign_link,
        _no_list,
        _another_list,
        _bad_line,
        _not_text,
        _list_is_a_folder,
        _many,
        _stray_double,
    ],
)
def test_a_folder_with_anything_foreign_is_refused_and_untouched(
    tmp_path: Path, alter: Callable[[Path], str]
) -> None:
    put(tmp_path, FIRST)
    offender = alter(tmp_path / "out")
    before = tree(tmp_path / "out")
    with pytest.raises(Refused, match="nothing was changed there") as refusal:
        put(tmp_path, SECOND)
    assert offender in str(refusal.value)
    assert tree(tmp_path / "out") == before


def test_a_folder_of_somebody_elses_is_refused_and_untouched(tmp_path: Path) -> None:
    (tmp_path / "out/photos").mkdir(parents=True)
    (tmp_path / "out/photos/1.jpg").write_bytes(b"mine")
    (tmp_path / "out/letter.txt").write_bytes(b"mine")
    before = tree(tmp_path / "out")
    with pytest.raises(Refused, match=r"letter\.txt, photos/, and no list SHA256SUMS"):
        put(tmp_path, FIRST)
    assert tree(tmp_path / "out") == before


def test_a_file_that_turns_up_between_look_and_exchange_is_refused(tmp_path: Path) -> None:
    standing = put(tmp_path, FIRST).standing
    (tmp_path / "out/parts/mine.txt").write_text("mine")
    with pytest.raises(Refused, match=r"parts/mine\.txt"):
        publish(standing, leaves(SECOND), stamp=DAY)
    assert (tmp_path / "out/parts/mine.txt").read_text() == "mine"
    (tmp_path / "out/parts/mine.txt").unlink()
    shutil.rmtree(tmp_path / "out/parts")
    assert not unchanged(standing)
    assert publish(standing, leaves(FIRST), stamp=DAY).written == tuple(
        path for path in FIRST if "parts" in path
    )
    nothing = stand(tmp_path / "new/out", tmp_path / "new/back")
    (tmp_path / "new/out").mkdir(parents=True)
    (tmp_path / "new/out/mine.txt").write_text("mine")
    with pytest.raises(Refused, match=r"mine\.txt"):
        publish(nothing, leaves(SECOND), stamp=DAY)


def test_what_file_browsers_drop_is_no_reason_to_refuse(tmp_path: Path) -> None:
    put(tmp_path / "a", FIRST)
    for name in (*DROPPINGS, "._index.html", "parts/._TN-57-1100", "parts/.DS_Store"):
        (tmp_path / "a/out" / name).write_bytes(b"view")
    standing = stand(tmp_path / "a/out", tmp_path / "a/kept/back")
    assert len(standing.droppings) == len(DROPPINGS) + 3
    put(tmp_path / "a", SECOND)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", SECOND)
    put(tmp_path / "a", FIRST)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "c", FIRST)


def test_a_new_folder_with_a_dropping_counts_as_empty(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out/.DS_Store").write_bytes(b"view")
    put(tmp_path, FIRST)
    assert contents(tmp_path / "out").keys() == {*FIRST, LIST}


def test_places_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(Refused, match="is not a folder"):
        stand(tmp_path / "file", tmp_path / "back")
    with pytest.raises(Refused, match="is not a folder"):
        stand(tmp_path / "out", tmp_path / "file")
    for out, back in (("a", "a"), ("a", "a/b"), ("a/b", "a")):
        with pytest.raises(Refused, match="in each other's way"):
            stand(tmp_path / out, tmp_path / back)
    assert (tmp_path / "file").read_text() == "mine"


def test_a_link_to_the_folder_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "out").symlink_to("elsewhere")
    put(tmp_path, FIRST)
    put(tmp_path, SECOND)
    assert (tmp_path / "out").is_symlink()
    assert contents(tmp_path / "elsewhere").keys() == {*SECOND, LIST}


@pytest.mark.parametrize(
    "path", ["", "/a", "a/", "../a", "a/../b", "a/./b", "..", ".", "a//b", "a\\b", "a\nb", LIST]
)
def test_a_path_that_leaves_the_folder_is_the_callers_mistake(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="not paths"):
        put(tmp_path, {path: b""})
    assert not (tmp_path / "out").exists()


def test_a_path_that_is_file_and_folder_is_the_callers_mistake(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not paths"):
        put(tmp_path, {"a": b"", "a/b/c": b""})


def test_an_empty_path_is_the_callers_mistake_too(tmp_path: Path) -> None:
    put(tmp_path, FIRST)
    with pytest.raises(ValueError, match="not paths"):
        put(tmp_path, {**FIRST, "": b""})
