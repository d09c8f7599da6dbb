"""What becomes of a test whose outside program is missing: skipped at home, failed in CI."""

from __future__ import annotations

import pytest

from tests.outside import require, require_package


@pytest.fixture(params=["program", "package"])
def missing(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> object:
    monkeypatch.setenv("PATH", "")
    return {
        "program": lambda: require("exiftool", "another"),
        "package": lambda: require_package("a_package_of_no_name"),
    }[request.param]


def test_at_home_it_is_skipped(missing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception, match="not installed"):
        missing()


def test_in_ci_it_fails(missing, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CI", "true")
    with pytest.raises(pytest.fail.Exception, match="CI must not do without it"):
        missing()


def test_the_first_that_is_installed_is_taken() -> None:
    assert require("no-such-program", "python3").endswith("python3")
