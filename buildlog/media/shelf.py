"""The shelf: what was made of the media of a log, kept between compiles by content, outside every edition.

    SHELF/index.json         what each original and each thing made was; see `index`
    SHELF/stills/NAME.jpg    renditions, each named by the digest of its own bytes
    SHELF/cleaned/NAME.mp4   clips, sounds and documents made anew for the public, named likewise

A shelf that is damaged, or not ours, is not trusted: what cannot be checked is made again.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from buildlog.media import index as kept
from buildlog.media.bench import Progress, Work, kept_or_made
from buildlog.media.index import Cleaned, Index, Made, Seen
from buildlog.media.originals import Found, LostError, MediaFolder, Order, look, settled
from buildlog.media.recipe import copy_recipe, recipe
from buildlog.media.sorts import Content, Sorted, safe_ending, sort_by_name, sort_of
from buildlog.model.log import MediaFile, Rendition

MOST_BYTES = 500_000_000
"""The largest file that is read as a photo."""

_NO_KIND = (
    "a file of this kind is not published; save a document as PDF, a clip as MP4, a sound as M4A, or take "
    "`audience: public` off its line"
)


def develop(
    root: Path,
    files: Sequence[str],
    shelf: Path | None,
    progress: Progress | None = None,
    photos: bool = True,
    public: Mapping[str, bool] | None = None,
    copying: Progress | None = None,
) -> tuple[MediaFile, ...]:
    """Get to know the files that a log refers to, and make what can be shown of them.

    Args:
        root: the folder of the log.
        files: their names below `root/media`, as written; a name may be repeated.
        shelf: where what was made is kept. With None nothing is, and renditions are known by name only.
        progress: called in this thread, from (0, n) to (n, n), if there are n photos to make.
        photos: False leaves photos without renditions, anything else without a copy made anew, and decodes
            none.
        public: the files that the public may have, and whether each is named for it. Clips and sounds among
            them are made anew, and documents that are named.
        copying: as `progress`, for what is made anew.

    Returns:
        One for each name, in the order of names; with a `problem` where a file cannot be shown, and with
        `uncleaned` where the public cannot have it.

    Raises:
        OSError: the shelf cannot be written.
    """
    index = kept.load(shelf) if shelf else Index()
    was = Index(dict(index.seen), dict(index.made), dict(index.cleaned))
    names = sorted(set(files))
    lost: dict[str, str] = {}
    found = _found(MediaFolder(root), names, lost)
    seen = _seen(found, index, lost)
    sorts = {file: _sorted(file, each) for file, each in seen.items()}
    made: dict[str, Made] = {}
    copies: dict[str, Cleaned] = {}
    try:
        if photos:
            shown = [file for file in names if file in sorts and _is_photo(sorts[file])]
            made = _made(
                {file: Order(found[file], seen[file], "photo") for file in shown}, index, shelf, progress
            )
            asked = {file: each for file, each in (public or {}).items() if file in sorts}
            copies = _copies(asked, sorts, found, seen, index, shelf, copying)
    finally:
        if shelf and index != was:
            kept.save(shelf, index)
    return tuple(
        _medium(file, seen[file], sorts[file], made.get(file, Made()), copies.get(file, Cleaned()))
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
    renditions = {kept.made_key(medium.digest, recipe()) for medium in media}
    copies = {kept.made_key(medium.digest, copy_recipe(medium.sort)) for medium in media}
    files = {medium.file for medium in media}
    index = kept.load(shelf)
    left = Index(
        {file: each for file, each in index.seen.items() if file in files},
        {key: each for key, each in index.made.items() if key in renditions},
        # Those too that no medium speaks of now: a run for the shop alone asks for none.
        {key: each for key, each in index.cleaned.items() if key in copies},
    )
    if left != index:
        kept.save(shelf, left)
    names = {each.name for medium in media for each in medium.renditions}
    names |= {each.name for each in left.cleaned.values()}
    names |= {each.name for cleaned in left.cleaned.values() for each in cleaned.poster}
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
    photos: Mapping[str, Order], index: Index, shelf: Path | None, progress: Progress | None
) -> dict[str, Made]:
    """What comes of each photo: as kept where the shelf still holds it, else made now."""
    keys = {file: kept.made_key(each.seen.digest, recipe()) for file, each in photos.items()}
    made = kept_or_made(
        {keys[file]: each for file, each in photos.items()},
        index.made,
        lambda made: kept.checked(shelf, made) if shelf else None,
        lambda: _darkroom(shelf),
        lambda: _save(shelf, index),
        progress,
    )
    return {file: made[key] for file, key in keys.items()}


def _darkroom(shelf: Path | None) -> Work[Order, Made]:
    from buildlog.media.darkroom import BROUGHT_DOWN, make  # noqa: PLC0415 - with all kept, it needs no Pillow

    return functools.partial(make, shelf=shelf), BROUGHT_DOWN


def _copies(
    public: Mapping[str, bool],
    sorts: Mapping[str, Sorted],
    found: Mapping[str, Found],
    seen: Mapping[str, Seen],
    index: Index,
    shelf: Path | None,
    progress: Progress | None,
) -> dict[str, Cleaned]:
    """What comes of each file that the public may have and that is no photo."""
    copies: dict[str, Cleaned] = {}
    keys: dict[str, str] = {}
    for file, named in public.items():
        told = sorts[file]
        if told.problem or told.sort == "photo" or (told.sort == "document" and not named):
            continue
        if told.sort == "document" and seen[file].content is not Content.PDF:
            copies[file] = Cleaned(problem=_NO_KIND)
        else:
            keys[file] = kept.made_key(seen[file].digest, copy_recipe(told.sort))
    made = kept_or_made(
        {key: Order(found[file], seen[file], sorts[file].sort) for file, key in keys.items()},
        index.cleaned,
        lambda cleaned: kept.checked_copy(shelf, cleaned) if shelf else None,
        lambda: _cleaning(shelf),
        lambda: _save(shelf, index),
        progress,
    )
    return copies | {file: made[key] for file, key in keys.items()}


def _cleaning(shelf: Path | None) -> Work[Order, Cleaned]:
    from buildlog.media.cleaning import BROUGHT_DOWN, clean  # noqa: PLC0415 - they load PyAV and pikepdf

    return functools.partial(clean, shelf=shelf), BROUGHT_DOWN


def _save(shelf: Path | None, index: Index) -> None:
    if shelf:
        kept.save(shelf, index)


def _medium(file: str, seen: Seen, told: Sorted, made: Made, cleaned: Cleaned) -> MediaFile:
    problem = told.problem or made.problem
    return MediaFile(
        file=file,
        sort=told.sort,
        digest=seen.digest,
        size=seen.size,
        renditions=tuple(Rendition(each.name, each.width, each.height) for each in made.renditions),
        copy="" if problem or told.sort == "photo" else seen.digest[:16] + safe_ending(file),
        cleaned=cleaned.name,
        poster=tuple(Rendition(each.name, each.width, each.height) for each in cleaned.poster),
        width=cleaned.width,
        height=cleaned.height,
        milliseconds=cleaned.milliseconds,
        uncleaned=cleaned.problem,
        stripped=made.carried,
        problem=problem,
    )
