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
"""What an eye cannot see in a name, or what turns its letters round (Unicode TR36 on bidirectional text)."""

_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
_BLANKS = re.compile("[\u00a0\u202f\u2007]")
_DRIVE = re.compile(r"[A-Za-z]:")
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]+://")
_DEVICE = re.compile(
    # Microsoft's "Naming Files, Paths, and Namespaces": with or without an extension
    r"(?:CON|PRN|AUX|NUL|CONIN\$|CONOUT\$|(?:COM|LPT)[0-9¹²³])(?:\.|$)",
    re.IGNORECASE,
)
_UNPORTABLE = re.compile(r'[<>:"|?*]')


def name_in(reading: Reading, node: Text) -> str | None:
    """A name as every file of the log spells it: trimmed, no-break spaces as spaces, composed (Unicode NFC)."""
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
    found = _UNSEEN.search(text) or _UNWRITABLE.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def unwritable_in(text: str) -> str:
    """The code of the first character that no text holds, as an escape may name one; empty if there is none."""
    found = _UNWRITABLE.search(text)
    return f"U+{ord(found[0]):04X}" if found else ""


def media_path_problem(file: str) -> tuple[str, str] | None:
    """What is wrong with a path below media/ by its text alone: found, and what to do; None if nothing is."""
    below = "write the path below media/, with `/` between folders"
    shown = quoted(file)
    if len(file) > PATH_CHARACTERS:
        return f"this path has {len(file)} characters; the limit is {PATH_CHARACTERS}", "shorten it"
    if unseen := unseen_in(file):
        return f"{shown} holds the unseen character {unseen}", "rename the file"
    if _ADDRESS.match(file):
        return f"{shown} is an address on the net, not a file below media/", "copy the file into media/"
    if "\\" in file:
        return f"{shown} holds a backslash", below
    if _DRIVE.match(file):
        return f"{shown} begins with a drive and leaves the log", below
    if file.startswith("/"):
        return f"{shown} is an absolute path and leaves the log", below
    parts = file.split("/")
    if ".." in parts:
        return f"{shown} leaves the folder media/ by `..`", below
    if "" in parts or "." in parts:
        return f"{shown} holds an empty step or a `.`", below
    for part in parts:
        if _DEVICE.match(part):
            return (
                f"{shown} holds the device name {quoted(part)}, which Windows cannot store",
                "rename the file",
            )
        if _UNPORTABLE.search(part) or part != part.rstrip(" ."):
            return (
                f"{shown} cannot be stored on Windows",
                'rename the file without < > : " | ? * or a dot at its end',
            )
    return None


def quoted(text: str) -> str:
    """A text in straight quotes for a message: on one line, not too long, with what cannot be seen as codes."""
    shown = text if len(text) <= 80 else f"{text[:80]}…"
    if shown.isprintable():
        return f'"{shown}"'
    return '"' + "".join(each if each.isprintable() else f"\\u{ord(each):04x}" for each in shown) + '"'
