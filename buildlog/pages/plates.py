"""Photographs, clips and documents as pages show them. A plate is a picture that stands in a text."""

from __future__ import annotations

from collections.abc import Mapping

from buildlog.model.entry import Medium
from buildlog.model.fences import cut
from buildlog.model.key import Audience
from buildlog.model.log import MediaFile
from buildlog.model.prose import in_media
from buildlog.model.targets import targets
from buildlog.pages import address
from buildlog.pages.frame import Link, Photo, Prose
from buildlog.pages.guide import Guide


def plate(guide: Guide, medium: Medium, media: Mapping[str, MediaFile], spot: str = "") -> Photo:
    """A medium of an entry as a picture, with what is known of its file."""
    known = media.get(medium.file, MediaFile(file=medium.file, problem="not looked at"))
    name = medium.file.rpartition("/")[2]
    problem = f"{name} cannot be shown: {known.problem}" if known.problem else ""
    copy = known.copy or known.cleaned
    if not problem and not (known.renditions or copy):
        problem = f"{name} has not been prepared for showing."
    return Photo(
        id=spot,
        sort="photo" if known.renditions else known.sort if known.sort != "photo" else "document",
        text=cut(medium.caption, Audience.SHOP) or _shows(medium) or guide.untitled or name,
        # what fences kept from this edition is gone: of the rest their lines need not be seen
        caption=cut(medium.caption, Audience.SHOP),
        sizes=known.renditions,
        copy=copy,
        poster=() if known.copy else known.poster,
        width=0 if known.copy else known.width,
        height=0 if known.copy else known.height,
        problem=problem,
        shows=tuple(guide.name(each) for each in medium.shows),
    )


def _shows(medium: Medium) -> str:
    return ", ".join(medium.shows)


def files_of(body: str) -> set[str]:
    """The files below media/ that a body may lead to."""
    return {in_media(target) for target in targets(body)}


def prose_of(
    guide: Guide,
    body: str,
    names: Mapping[str, str],
    keys: Mapping[str, str],
    media: Mapping[str, MediaFile],
) -> Prose | None:
    """A body with all that its rendering depends on; None where it is empty.

    Args:
        guide: the edition's names.
        body: Markdown as the edition sees it.
        names: the addresses of the names that the body mentions.
        keys: titles of the entries that it may lead to, by key.
        media: the files that it may lead to.
    """
    if not body.strip():
        return None
    places: dict[str, str] = {}
    pictures: dict[str, Photo] = {}
    for target in targets(body):
        path = in_media(target)
        stem = path.rpartition("/")[2].removesuffix(".md")
        if path.endswith(".md"):
            if stem in keys:
                places[stem] = address.of_entry(stem)
            elif stem in guide.names.items:
                places[stem] = address.of_part(stem)
        elif path in media:
            pictures[path] = plate(guide, Medium(file=path), media)
    return Prose(body, tuple(names.items()), tuple(places.items()), tuple(pictures.items()))


def linked(photo: Photo, entry: Link, day: str) -> Photo:
    """A picture as it is shown away from its entry, with the way back there."""
    return Photo(
        id="",
        sort=photo.sort,
        text=photo.text,
        caption=photo.caption,
        sizes=photo.sizes,
        copy=photo.copy,
        poster=photo.poster,
        width=photo.width,
        height=photo.height,
        problem=photo.problem,
        entry=entry,
        day=day,
    )
