"""The editions that are judged, each compiled once for all tests and all workers, and a real browser."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from filelock import FileLock
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests.outside import BROWSERS, require
from tests.site.editions import PRINTED, REPOSITORY, Edition, compile_one, copy_log
from tests.site.mean_log import write_empty_log, write_mean_log, write_mean_public_log

RECORDS = ("shop", "inspector")
ALL = (*RECORDS, "public")


def _once(
    tmp_path_factory: pytest.TempPathFactory,
    name: str,
    write: Callable[[Path], object],
    editions: Sequence[str],
    audience: str = "shop",
) -> Edition:
    """Compile editions of a log once: the first worker that asks does it, the others wait for it."""
    common = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        common = common.parent
    home = common / f"edition-{name}"
    with FileLock(common / f"edition-{name}.lock"):
        if not (home / "done").is_file():
            shutil.rmtree(home, ignore_errors=True)
            write(home / "log")
            for each in editions:
                compile_one(home / "log", home / "out", each)
            (home / "done").touch()
    return Edition(home / "log", home / "out" / audience)


def _sample(tmp_path_factory: pytest.TempPathFactory, audience: str) -> Edition:
    return _once(
        tmp_path_factory, "sample", lambda to: copy_log(REPOSITORY / "sample_site", to), ALL, audience
    )


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The shop's edition of the sample log."""
    return _sample(tmp_path_factory, "shop")


@pytest.fixture(scope="session")
def sample_inspected(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The inspector's edition of the sample log."""
    return _sample(tmp_path_factory, "inspector")


@pytest.fixture(scope="session")
def sample_public(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The public edition of the sample log."""
    return _sample(tmp_path_factory, "public")


@pytest.fixture(scope="session")
def mean(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The shop's edition of the log with the hostile names."""
    return _once(tmp_path_factory, "mean", write_mean_log, RECORDS)


@pytest.fixture(scope="session")
def mean_inspected(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The inspector's edition of the log with the hostile names."""
    return _once(tmp_path_factory, "mean", write_mean_log, RECORDS, "inspector")


@pytest.fixture(scope="session")
def mean_public(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The public edition of the log whose public texts are hostile."""
    return _once(tmp_path_factory, "mean-public", write_mean_public_log, ("public",), "public")


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The shop's edition of a log without a single entry or part."""
    return _once(tmp_path_factory, "empty", write_empty_log, ALL)


@pytest.fixture(scope="session")
def empty_public(tmp_path_factory: pytest.TempPathFactory) -> Edition:
    """The public edition of a log without a single entry or part."""
    return _once(tmp_path_factory, "empty", write_empty_log, ALL, "public")


WITH_RECORDS = ["sample", "mean", "empty", "sample_inspected", "mean_inspected"]
FOR_ALL = ["sample_public", "mean_public", "empty_public"]


@pytest.fixture(params=[*WITH_RECORDS, *FOR_ALL])
def edition(request: pytest.FixtureRequest) -> Edition:
    """Each of the editions in turn."""
    found: Edition = request.getfixturevalue(request.param)
    return found


@pytest.fixture(params=WITH_RECORDS)
def with_records(request: pytest.FixtureRequest) -> Edition:
    """Each of the editions that hold the records."""
    found: Edition = request.getfixturevalue(request.param)
    return found


@pytest.fixture(params=FOR_ALL)
def for_all(request: pytest.FixtureRequest) -> Edition:
    """Each of the public editions."""
    found: Edition = request.getfixturevalue(request.param)
    return found


@pytest.fixture(params=["mean", "mean_public"])
def hostile(request: pytest.FixtureRequest) -> Edition:
    """Each of the editions whose texts are hostile."""
    found: Edition = request.getfixturevalue(request.param)
    return found


@pytest.fixture(params=PRINTED, ids=[template for _, template in PRINTED])
def printed(request: pytest.FixtureRequest) -> tuple[Edition, str]:
    """An edition and the address of its page that shows the most of a template; each template in turn."""
    name, template = request.param
    found: Edition = request.getfixturevalue(name)
    return found, found.of_template(template)


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
