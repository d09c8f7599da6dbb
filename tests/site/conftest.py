"""The editions that are judged, each compiled once for all tests and all workers, and a real browser."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests.outside import BROWSERS, require
from tests.site.editions import REPOSITORY, Edition, compile_with_records, copy_log
from tests.site.mean_log import write_empty_log, write_mean_log


def _once(
    tmp_path_factory: pytest.TempPathFactory,
    name: str,
    write: Callable[[Path], object],
    audience: str = "shop",
) -> Edition:
    """Compile a log once: the first worker that asks does it, the others wait for it."""
    common = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        common = common.parent
    home = common / f"edition-{name}"
    with FileLock(common / f"edition-{name}.lock"):
        if not (home / "done").is_file():
            shutil.rmtree(home, ignore_errors=True)
            write(home / "log")
            compile_with_records(home / "log", home / "out")
            (home / "done").touch()
    return Edition(home / "log", home / "out" / audience)


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The shop's edition of the sample log."""
    return _once(tmp_path_factory, "sample", lambda to: copy_log(REPOSITORY / "sample_site", to))


@pytest.fixture(scope="session")
def mean(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The shop's edition of the log with the hostile names."""
    return _once(tmp_path_factory, "mean", write_mean_log)


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The shop's edition of a log without a single entry or part."""
    return _once(tmp_path_factory, "empty", write_empty_log)


@pytest.fixture(scope="session")
def sample_inspected(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The inspector's edition of the sample log."""
    return _once(tmp_path_factory, "sample", lambda to: copy_log(REPOSITORY / "sample_site", to), "inspector")


@pytest.fixture(scope="session")
def mean_inspected(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The inspector's edition of the log with the hostile names."""
    return _once(tmp_path_factory, "mean", write_mean_log, "inspector")


@pytest.fixture(params=["sample", "mean", "empty", "sample_inspected", "mean_inspected"])
def edition(request: pytest.FixtureRequest) -> Edition:
    """Each of the editions in turn."""
    found: Edition = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    """What drives the browser; gone with the last of these tests, for others fork."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="package")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """Chromium, as it is installed on this machine."""
    started = playwright.chromium.launch(executable_path=require(*BROWSERS))
    yield started
    started.close()
