"""The press: a page, which is an address, a template and a frozen value, becomes bytes.

A press that will be needed soon can be made ready elsewhere: `chores` are the templates to compile and the
prose to render, and what `chore` makes of one in another process, `done` takes in.
"""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Iterable, Iterator, MutableMapping
from html import escape
from pathlib import Path

import jinja2
import msgspec
from jinja2.bccache import Bucket
from jinja2.compiler import CodeGenerator, Frame
from markupsafe import Markup

from buildlog.pages.frame import Link, Page, Prose
from buildlog.printroom import pieces, trees
from buildlog.printroom.finished import finished
from buildlog.printroom.prose import Typesetter, digest, plain, render

_GAP = "\x00"
"""Stands where the digest goes until it is known. A log holds no NUL, so no page does."""

_DIGEST = finished(_GAP)

_ASSETS = ("sheet.css", "sheet.js")


class Done(msgspec.Struct, frozen=True, array_like=True):
    """One chore done: templates compiled, or prose rendered, by the keys that they are looked up by."""

    templates: dict[str, bytes] = {}
    prose: dict[bytes, str] = {}


class _Compiled(jinja2.BytecodeCache):
    """Compiled templates by jinja's own key, which it checks against their source. Never kept on disk."""

    def __init__(self) -> None:
        self.made: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if bucket.key in self.made:
            bucket.bytecode_from_string(self.made[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self.made[bucket.key] = bucket.bytecode_to_string()


class _Plain(CodeGenerator):
    """Compiles templates to code in which what is put on a page is escaped to plain text."""

    def visit_Template(self, node: jinja2.nodes.Template, frame: Frame | None = None) -> None:  # noqa: N802 - jinja calls it so
        super().visit_Template(node, frame)
        # in place of the library's own, whose name the code of the whole template looks up when it runs
        self.writeline("from buildlog.printroom.finished import escaped as escape")

    def visit_Getattr(self, node: jinja2.nodes.Getattr, frame: Frame) -> None:  # noqa: N802 - jinja calls it so
        # What a page shows are values with declared fields: the library would also look for an item of that
        # name, and ask each time whether there is none.
        self.write("(")
        self.visit(node.node, frame)
        self.write(f").{node.attr}")


class _Environment(jinja2.Environment):
    code_generator_class = _Plain


class Press:
    """Prints pages with one theme. Templates are compiled once, each when it is first asked for."""

    def __init__(self, theme: Path, kept: MutableMapping[bytes, str] | None = None) -> None:
        """Set up the press.

        Args:
            theme: the folder with the templates, the stylesheet and the script.
            kept: rendered prose by digest, from earlier runs and for later ones, or for other editions.
        """
        self._theme = theme
        self._kept = kept
        self._compiled = _Compiled()
        self._templates: dict[str, jinja2.Template] = {}
        self._environment = _Environment(
            loader=jinja2.FileSystemLoader(theme),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
            bytecode_cache=self._compiled,
        )
        # no template asks for one but `range`; for each page the library looks which of them are new to it
        self._environment.globals = {"range": range}
        self._environment.filters.update(
            a=pieces.link,
            coded=pieces.coded,
            names=pieces.names,
            says=pieces.says,
            stamp=pieces.stamp,
            pairs=pieces.pairs,
            facts=pieces.facts,
            records=pieces.records,
            remarked=pieces.remarked,
            history=pieces.history,
            since=pieces.since,
            tallied=pieces.tallied,
            sheets=sheets,
            tree=trees.tree,
            plain=plain,
            prose=Typesetter(kept).set,
        )

    def press(self, page: Page) -> bytes:
        """The bytes of a page, its digest in the title block.

        Raises:
            jinja2.TemplateError: the template asks for what the page does not have.
        """
        if not page.template:
            pieces: tuple[bytes, ...] = page.sheet.pieces
            return b"".join(pieces)
        template = self._templates.get(page.template)
        if template is None:
            template = self._templates[page.template] = self._environment.get_template(page.template)
        try:
            text = template.render(
                sheet=page.sheet, address=page.address, up=_way_up(page.address), digest=_DIGEST
            )
        except AttributeError as error:
            raise jinja2.UndefinedError(f"{page.template}: {error}") from error
        printed = text.encode()
        return printed.replace(_GAP.encode(), hashlib.sha256(printed).hexdigest()[:12].encode())

    def chores(self, proses: Iterable[Prose], *, public: bool = False) -> Iterator[str | Prose]:
        """What this press would have to do later, most useful first: its templates, by name, then prose.

        Args:
            proses: what will be rendered.
            public: whether it is the public's pages that will be printed.
        """
        folder = "public/" if public else ""
        yield from sorted(f"{folder}{path.name}" for path in (self._theme / folder).glob("*.html"))
        yield from proses

    def chore(self, chore: str | Prose) -> bytes:
        """Do one chore, for `done` of this press in another process."""
        if isinstance(chore, Prose):
            return msgspec.msgpack.encode(Done(prose={digest(chore): render(chore)}))
        before = dict(self._compiled.made)
        self._environment.get_template(chore)
        new = self._compiled.made.keys() - before.keys()
        return msgspec.msgpack.encode(Done(templates={key: self._compiled.made[key] for key in new}))

    def done(self, made: Iterable[bytes]) -> None:
        """Take in what `chore` returned. Prose is forgotten at once where this press keeps none."""
        for each in made:
            chore = msgspec.msgpack.decode(each, type=Done)
            self._compiled.made.update(chore.templates)
            if self._kept is not None:
                self._kept.update(chore.prose)

    def words(self) -> str:
        """The text of all templates: words that stand on pages of every log."""
        return "\n".join(path.read_text("utf-8") for path in sorted(self._theme.rglob("*.html")))

    def assets(self) -> dict[str, bytes]:
        """What every edition carries beside its pages, by address."""
        return {name: (self._theme / name).read_bytes() for name in _ASSETS}


@functools.cache
def _way_up(address: str) -> Markup:
    return Markup("../") * address.count("/")


@functools.lru_cache(maxsize=4096)
def _sheets(links: tuple[Link, ...], up: str, at: str, folder: str) -> Markup:
    listed = []
    for each in links:
        here = ' aria-current="page"' if each.to == at else ""
        if not here and folder and each.to.startswith(folder):
            here = ' aria-current="true"'
        listed.append(f'<li><a href="{up}{each.to}"{here}>{escape(each.text)}</a></li>')
    return finished("\n".join(listed))


def sheets(links: tuple[Link, ...], address: str) -> Markup:
    """The links of a page's head, the one it belongs to marked."""
    top, slash, _ = address.partition("/")
    folder = "parts/" if top == "items" else top + slash if slash else ""
    at = address if any(each.to == address for each in links) else ""
    folder, at = ("", "findings.html") if top == "findings" else (folder, at)
    return _sheets(links, _way_up(address), at, folder)
