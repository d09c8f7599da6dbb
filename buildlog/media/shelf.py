"""The shelf: what was made of the media of a log, kept between compiles by content, outside every edition.

    SHELF/index.json         what each original and each rendition was; see `index`
    SHELF/stills/NAME.jpg    renditions, each named by the digest of its own bytes

A shelf that is damaged, or not ours, is not trusted: what cannot be checked is made again.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

from buildlog.media import index as kept
from buildlog.media.index import Index, Made, Seen
from buildlog.media.originals import Found, LostError, MediaFolder, look, settled
from buildlog.media.recipe import recipe
from buildlog.media.sorts import Sorted, safe_ending, sort_by_name, sort_of
from buildlog.model.log import MediaFile, Rendition

Progress = Callable[[int, int], None]
"""Told how many photos are done, and of how many that must be made."""

MOST_BYTES = 500_000_000
"""The largest file that is read as a photo."""

_SAVE_AFTER = 64
"""Photos made between two savings of the index: what a compile that is killed may lose."""


def develop(
    root: Path,
    files: Sequence[str],
    shelf: Path | None,
    progress: Progress | None = None,
    photos: bool = True,
) -> tuple[MediaFile, ...]:
    """Get to know the files that a log refers to, and make what can be shown of its photos.

    Args:
        root: the folder of the log.
        files: their names below `root/media`, as written; a name may be repeated.
        shelf: where what was made is kept. With None nothing is, and renditions are known by name only.
        progress: called in this thread, from (0, n) to (n, n), if there are n photos to make.
        photos: False leaves photos without renditions and decodes none.

    Returns:
        One for each name, in the order of names; with a `problem` where a file cannot be shown.

    Raises:
        OSError: the shelf cannot be written.
    """
    index = kept.load(shelf) if shelf else Index()
    was = Index(dict(index.seen), dict(index.made))
    names = sorted(set(files))
    lost: dict[str, str] = {}
    found = _found(MediaFolder(root), names, lost)
    seen = _seen(found, index, lost)
    sorts = {file: _sorted(file, each) for file, each in seen.items()}
    made: dict[str, Made] = {}
    try:
        if photos:
            shown = [file for file in names if file in sorts and _is_photo(sorts[file])]
            wanted = {seen[file].digest: (found[file], seen[file]) for file in shown}
            made = _made(wanted, index, shelf, progress)
    finally:
        if shelf and index != was:
            kept.save(shelf, index)
    return tuple(
        _medium(file, seen[file], sorts[file], made.get(seen[file].digest, Made()))
        if file in seen
        else MediaFile(file=file, sort=sort_by_name(file), problem=lost[file])
        for file in names
    )


def source_of(root: Path, shelf: Path, medium: MediaFile) -> dict[str, Path]:
    """Where the bytes of a medium are, by the name each has in an edition, below its media/.

    A photo gives its renditions; anything else its copy or, where the audience may not have that, the one
    made anew with its poster; a medium that cannot be shown gives nothing. Files on the shelf may be linked
    into an edition, but setting the time of such a link makes the next run read them again. An original is
    the builder's own file: copy it, or link it and leave its time alone.

    Raises:
        LostError: an original is gone, or lies outside the media folder by now.
    """
    stills = kept.stills_folder(shelf)
    sources = {each.name: stills / on_shelf(each.name) for each in medium.renditions}
    if medium.copy:
        sources[medium.copy] = Path(MediaFolder(root).find(medium.file).path)
    elif medium.cleaned:
        sources[medium.cleaned] = kept.cleaned_folder(shelf) / on_shelf(medium.cleaned)
        sources |= {each.name: stills / on_shelf(each.name) for each in medium.poster}
    return sources


def on_shelf(name: str) -> str:
    """The name on the shelf of a file that an edition calls by its caption and this name behind it."""
    return name.rpartition("-")[2]


def sweep(shelf: Path, used: Iterable[MediaFile]) -> int:
    """Take from the shelf what none of these media uses; returns the number of files removed.

    Only files with names of the shelf's own making are touched.

    Raises:
        OSError: a file cannot be removed, or the index not be written.
    """
    media = tuple(used)
    names = {each.name for medium in media for each in medium.renditions}
    digests = {kept.made_key(medium.digest, recipe()) for medium in media}
    files = {medium.file for medium in media}
    index = kept.load(shelf)
    left = Index(
        {file: each for file, each in index.seen.items() if file in files},
        {key: each for key, each in index.made.items() if key in digests},
    )
    if left != index:
        kept.save(shelf, left)
    swept = [path for path in kept.own_files(shelf) if path.name not in names]
    for path in swept:
        path.unlink(missing_ok=True)
    return len(swept)


def _found(folder: MediaFolder, names: Iterable[str], lost: dict[str, str]) -> dict[str, Found]:
    found: dict[str, Found] = {}
    for file in names:
        try:
            found[file] = folder.find(file)
        except LostError as error:
            lost[file] = str(error)
    return found


def _seen(found: Mapping[str, Found], index: Index, lost: dict[str, str]) -> dict[str, Seen]:
    """What each file is: as kept where size and time are the same, else read through."""
    seen: dict[str, Seen] = {}
    unknown: list[Found] = []
    for file, each in found.items():
        known = index.seen.get(file)
        if known is not None and (known.size, known.mtime_ns) == (each.size, each.mtime_ns):
            seen[file] = known
        else:
            unknown.append(each)
    if not unknown:
        return seen
    from buildlog.media.crew import side_by_side  # noqa: PLC0415 - to find all as it was needs no threads

    for each, result in side_by_side(_looked, unknown):
        if isinstance(result, LostError):
            lost[each.file] = str(result)
        else:
            seen[each.file] = result
            if settled(result):
                index.seen[each.file] = result
    return seen


def _looked(found: Found) -> Seen | LostError:
    try:
        return look(found)
    except LostError as error:
        return error


def _sorted(file: str, seen: Seen) -> Sorted:
    told = sort_of(file, seen.content)
    if _is_photo(told) and seen.size > MOST_BYTES:
        return Sorted(
            told.sort,
            f"the file has {seen.size // 1_000_000} MB, over the {MOST_BYTES // 1_000_000} that are read "
            "of a photo; save a smaller copy",
        )
    return told


def _is_photo(told: Sorted) -> bool:
    return told.sort == "photo" and not told.problem


def _made(
    photos: Mapping[str, tuple[Found, Seen]], index: Index, shelf: Path | None, progress: Progress | None
) -> dict[str, Made]:
    """What comes of each photo, by digest: as kept where the shelf still holds it, else made now."""
    made: dict[str, Made] = {}
    for digest in photos:
        known = index.made.get(kept.made_key(digest, recipe()))
        good = kept.checked(shelf, known) if shelf and known is not None else None
        if good is not None:
            made[digest] = index.made[kept.made_key(digest, recipe())] = good
    missing = [each for digest, each in photos.items() if digest not in made]
    if missing:
        made |= _made_now(missing, index, shelf, progress or (lambda _done, _of: None))
    return made


def _made_now(
    photos: Sequence[tuple[Found, Seen]], index: Index, shelf: Path | None, progress: Progress
) -> dict[str, Made]:
    from buildlog.media.crew import apart  # noqa: PLC0415 - a run in which all is kept needs no processes
    from buildlog.media.darkroom import BROUGHT_DOWN, Order, make  # noqa: PLC0415 - nor does it need Pillow

    made: dict[str, Made] = {}
    progress(0, len(photos))
    outcomes = apart(functools.partial(make, shelf=shelf), [Order(*each) for each in photos])
    for done, (order, outcome) in enumerate(outcomes, start=1):
        came = outcome or BROUGHT_DOWN
        made[order.seen.digest] = came.made
        if came.lasting:
            index.made[kept.made_key(order.seen.digest, recipe())] = came.made
        if shelf and done % _SAVE_AFTER == 0:
            kept.save(shelf, index)
        progress(done, len(photos))
    return made


def _medium(file: str, seen: Seen, told: Sorted, made: Made) -> MediaFile:
    problem = told.problem or made.problem
    return MediaFile(
        file=file,
        sort=told.sort,
        digest=seen.digest,
        size=seen.size,
        renditions=tuple(Rendition(each.name, each.width, each.height) for each in made.renditions),
        copy="" if problem or told.sort == "photo" else seen.digest[:16] + safe_ending(file),
        problem=problem,
    )
