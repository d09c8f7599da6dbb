"""Where the theme is: in the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]


def theme_folder(name: str = "sheet") -> Path:
    """The folder of a theme.

    Raises:
        FileNotFoundError: the tool was installed without its theme.
    """
    for place in (_PACKAGE / "themes" / name, _PACKAGE.parent / "themes" / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"the theme {name} is missing from this installation; install buildlog again")
