"""What may be a name: of a part, a task, a lot, a tool, a person, a file below media/."""

from __future__ import annotations

import re
import unicodedata

from buildlog.reader.limits import NAME_CHARACTERS, PATH_CHARACTERS
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading

_UNSEEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufffe\uffff]"
)
"""What an eye cannot see in a name, or what turns its letters round (Unicode TR36)."""

_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
_BLANKS = re.compile("[\u00a0\u202f\u2007]")
_BELOW = "write the path below media/, with `/` between folders"
_RENAME = 'rename the file, without < > : " | ? * and with no blank or dot at its end'
_PATH_RULES: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (re.compile(r"[A-Za-z][A-Za-z0-9+.\-]+://"), "is an address on the net", "copy the file into media/"),
    (re.compile(r".*\\"), "holds a backslash", _BELOW),
    (re.compile(r"[A-Za-z]:"), "begins with a drive and leaves the log", _BELOW),
    (re.compile(r"/"), "is an absolute path and leaves the log", _BELOW),
    (re.compile(r"(?:.*/)?\.\.(?:/|$)"), "leaves the folder media/ by `..`", _BELOW),
    (re.compile(r"(?:.*/)?\.?(?:/|$)"), "holds an empty step or a `.`", _BELOW),
    (
        # Microsoft's "Naming Files, Paths, and Namespaces": device names, with or without an extension
        re.compile(
            r"(?:.*/)?(?:CON|PRN|AUX|NUL|CONIN\$|CONOUT\$|(?:COM|LPT)[0-9¹²³])(?:[./]|$)", re.IGNORECASE
        ),
        "holds the name of a device, which Windows cannot store",
        "rename the file",
    ),
    (re.compile(r'.*(?:[<>:"|?*]|[ .](?:/|$))'), "cannot be stored on Windows", _RENAME),
)
"""What a path below media/ may not be: in this order, for the first that fits says it best."""


def name_in(reading: Reading, node: Text) -> str | None:
    """A name as every file of the log spells it: trimmed, blanks plain, letters composed (Unicode NFC)."""
    text = node.text.strip()
    if not text.isascii():
        text = unicodedata.normalize("NFC", _BLANKS.sub(" ", text)).strip()
    if not text:
        reading.problem(node, "a name is missing here", "write one, or leave the key out")
        return None
    if len(text) > NAME_CHARACTERS:
        found = f'"{text[:40]}…" has {len(text)} characters; a name has at most {NAME_CHARACTERS}'
        reading.problem(node, found, "shorten it")
        return None
    if not text.isprintable():
        unseen = unseen_in(text)
        if unseen:
            reading.problem(node, f"{quoted(text)} holds the unseen character {unseen}", "type the name anew")
            return None
    return text


def unseen_in(text: str) -> str:
    """The code of the first character of a name that cannot be seen; empty if there is none."""
    if text.isprintable():
        return ""
    found = _UNSEEN.search(text) or _UNWRITABLE.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def unwritable_in(text: str) -> str:
    """The code of the first character that no text holds, though an escape may name it; or nothing."""
    found = _UNWRITABLE.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def media_path_problem(file: str) -> tuple[str, str] | None:
    """What is wrong with the text of a path below media/: found, and what to do; None if nothing is."""
    if len(file) > PATH_CHARACTERS:
        return f"this path has {len(file)} characters; the limit is {PATH_CHARACTERS}", "shorten it"
    if unseen := unseen_in(file):
        return f"{quoted(file)} holds the unseen character {unseen}", "rename the file"
    for pattern, found, todo in _PATH_RULES:
        if pattern.match(file):
            return f"{quoted(file)} {found}", todo
    return None


def quoted(text: str) -> str:
    """A text in quotes for a message: on one line, not too long, with what cannot be seen as codes."""
    shown = text if len(text) <= 80 else f"{text[:80]}…"
    if shown.isprintable():
        return f'"{shown}"'
    return '"' + "".join(each if each.isprintable() else f"\\u{ord(each):04x}" for each in shown) + '"'
