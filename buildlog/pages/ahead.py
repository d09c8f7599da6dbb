"""The prose of entries before anything is reckoned, so that it can be rendered meanwhile.

What is rendered is kept by the digest of its whole input. Where the guess made here is wrong, because prose
names a part that is on no list, it is rendered again when its page is printed: a head start cannot mislead.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.model.names import names_of
from buildlog.pages.entries import called
from buildlog.pages.frame import Prose
from buildlog.pages.guide import Guide, guide_of
from buildlog.pages.plates import prose_of
from buildlog.pages.public import told
from buildlog.pages.public.told import public_guide
from buildlog.pages.register import named_in, register_of


def early_prose(log: Log, audience: Audience) -> Iterator[Prose]:
    """The prose of each entry of a viewed log, as its page will most likely show it."""
    tasks = tuple(task.task for task in log.tasks)
    if audience is Audience.PUBLIC:
        guide: Guide = public_guide(log)
        register = told.register_of(guide.names, tasks)
    else:
        names = names_of(log.parts, log.lots)
        guide = guide_of(log.settings, names, frozenset(), audience, frozenset())
        register = register_of(
            guide,
            tuple(names.items),
            tuple(item for items in names.items.values() for item in items),
            tasks,
            tuple(lot.lot for lot in log.lots),
            tuple(tool.tool for tool in log.tools),
        )
    titles = {entry.key: called(entry) for entry in log.entries}
    media = {each.file: each for each in log.media}
    for entry in log.entries:
        (named,) = named_in(register, (entry.body,))
        prose = prose_of(guide, entry.body, dict(named), titles, media)
        if prose is not None:
            yield prose
