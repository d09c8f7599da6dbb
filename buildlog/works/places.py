"""Where editions go, and where things are kept between runs."""

from __future__ import annotations

import os
from pathlib import Path

from buildlog.works.outcome import Plan

KEPT = Path("private", "kept")
"""Below the log: what is kept between runs, outside every edition."""

BEHIND = ".behind"
"""Below the folder of a plan: where editions are put together, and what is kept if the log is read-only."""


def keeping(root: Path, plan: Plan) -> Path | None:
    """The folder for what is kept between runs: the log's, else the plan's, else none can be written."""
    for folder in (root / KEPT, Path(plan.out) / BEHIND / "kept" if plan.out is not None else None):
        if folder is None:
            continue
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError:
            continue
        if os.access(folder, os.W_OK):
            return folder
    return None


def places(root: Path, plan: Plan) -> dict[str, tuple[Path, Path]]:
    """For each edition of a plan the folder it stands in, and the one in which the next is put together.

    The public edition goes to LOG/site, the one folder to upload, the others to LOG/private; or each into a
    folder of its own below the plan's. The folder behind is never inside an edition.
    """
    return {edition: _places(root, plan, edition) for edition in plan.editions}


def _places(root: Path, plan: Plan, edition: str) -> tuple[Path, Path]:
    if plan.out is not None:
        out = Path(plan.out)
        return out / edition, out / BEHIND / edition
    behind = root / KEPT / "behind" / edition
    return (root / "site" if edition == "public" else root / "private" / edition), behind


def inputs_leave_out(root: Path, plan: Plan) -> set[str]:
    """The folders below the log that hold what the tool makes, and no input."""
    left = {"private", "site", ".git"}
    if plan.out is not None:
        out, top = Path(plan.out).resolve(), root.resolve()
        if out.is_relative_to(top) and out != top:
            left.add(out.relative_to(top).as_posix())
    return left
