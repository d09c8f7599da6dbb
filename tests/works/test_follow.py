"""The builder's loop: compile on save, serve to this machine's browser only, tell the open page."""

from __future__ import annotations

import http.client
import json
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from buildlog.works.board import Board
from buildlog.works.follow import Follower
from buildlog.works.outcome import EDITIONS, Outcome, Plan
from buildlog.works.serve import LiveServer
from tests.works.test_line import quiet, small


class Told:
    """What the follower told, and a way to wait for it."""

    def __init__(self) -> None:
        self.outcomes: list[Outcome] = []

    def __call__(self, outcome: Outcome, _seconds: float) -> None:
        self.outcomes.append(outcome)


def wait_for(true: Callable[[], bool], seconds: float = 20.0) -> bool:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if true():
            return True
        time.sleep(0.02)
    return false_at_last(true)


def false_at_last(true: Callable[[], bool]) -> bool:
    return true()


@pytest.fixture
def followed(tmp_path: Path) -> Iterator[tuple[Path, Follower, Told]]:
    yield from follow(small(tmp_path / "log"), Plan())


@pytest.fixture
def followed_whole(tmp_path: Path) -> Iterator[tuple[Path, Follower, Told]]:
    yield from follow(small(tmp_path / "log"), Plan(editions=EDITIONS))


def follow(root: Path, plan: Plan) -> Iterator[tuple[Path, Follower, Told]]:
    told = Told()
    follower = Follower(root, plan, quiet, told)
    thread = threading.Thread(target=follower.run, args=(0.2,), daemon=True)
    thread.start()
    yield root, follower, told
    follower.stop()
    thread.join(10)
    assert not thread.is_alive()


def get(follower: Follower, path: str, **headers: str) -> tuple[int, dict[str, str], bytes]:
    return ask(follower.server, path, **headers)


def ask(
    server: LiveServer, path: str, method: str = "GET", **headers: str
) -> tuple[int, dict[str, str], bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=40)
    connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    given = {"Host": f"127.0.0.1:{server.server_port}"} | {k.replace("_", "-"): v for k, v in headers.items()}
    for name, value in given.items():
        connection.putheader(name, value)
    connection.endheaders()
    answer = connection.getresponse()
    found = answer.status, dict(answer.getheaders()), answer.read()
    connection.close()
    return found


def page(follower: Follower, path: str) -> str:
    return f"/{follower.server.secret}/{path}"


def shown(follower: Follower, path: str) -> str:
    return get(follower, page(follower, path))[2].decode()


def test_a_save_is_compiled_and_told(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, _ = followed
    path = root / "entries" / "2026-06-01-later.md"
    path.write_text("A word nobody wrote before: quoin.\n", "utf-8")
    assert wait_for(lambda: "quoin" in shown(follower, "entries/2026-06-01-later.html"))


def test_every_edition_is_followed_and_a_refusal_of_another_is_posted(
    followed_whole: tuple[Path, Follower, Told],
) -> None:
    root, follower, told = followed_whole
    path = root / "entries" / "2026-06-01-later.md"
    path.write_text("---\naudience: public\n---\nThe word is quoin.\n", "utf-8")
    public = root / "site" / "entries" / "2026-06-01-later.html"
    assert wait_for(lambda: public.is_file() and "quoin" in public.read_text("utf-8"))
    (root / "secrets.txt").write_text("ferrule\n", "utf-8")
    path.write_text("---\naudience: public\n---\nThe word is ferrule.\n", "utf-8")
    assert wait_for(lambda: "ferrule" in shown(follower, "entries/2026-06-01-later.html"))
    assert wait_for(lambda: "public edition holds" in " ".join(follower._board.now[1]))
    assert "ferrule" not in public.read_text("utf-8")
    assert "ferrule" not in " ".join(follower._board.now[1]), "a secret is not quoted"
    refused = {each.edition for each in told.outcomes[-1].editions if each.refused}
    assert refused == {"inspector", "public"}


def test_an_editor_that_saves_by_rename(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, _ = followed
    path = root / "entries" / "2026-03-01-first.md"
    text = path.read_text("utf-8")
    new = path.with_name(".2026-03-01-first.md.swp")
    new.write_text(text + "\nThe word is lath.\n", "utf-8")
    new.replace(path)
    assert wait_for(lambda: "lath" in shown(follower, "entries/2026-03-01-first.html"))


def test_a_burst_of_saves_ends_in_the_last_state(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, told = followed
    path = root / "entries" / "2026-06-01-burst.md"
    for number in range(60):
        path.write_text(f"State {number}.\n", "utf-8")
        time.sleep(0.005)
    assert wait_for(lambda: "State 59." in shown(follower, "entries/2026-06-01-burst.html"))
    assert len(told.outcomes) < 40, "a burst is not compiled save by save"


def test_a_folder_that_vanishes_for_a_moment(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, _ = followed
    away = root.with_name("entries-away")
    (root / "entries").rename(away)
    time.sleep(0.4)
    away.rename(root / "entries")
    (root / "entries" / "2026-06-02-back.md").write_text("Back again: thole.\n", "utf-8")
    assert wait_for(lambda: "thole" in shown(follower, "entries/2026-06-02-back.html"))
    (root / "entries" / "2026-06-02-back.md").write_text("And still followed: gudgeon.\n", "utf-8")
    assert wait_for(lambda: "gudgeon" in shown(follower, "entries/2026-06-02-back.html"))


def test_the_whole_log_that_vanishes_for_a_moment(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, told = followed
    away = root.with_name("log-away")
    root.rename(away)
    assert wait_for(lambda: bool(told.outcomes and told.outcomes[-1].problems))
    away.rename(root)
    (root / "entries" / "2026-06-02-back.md").write_text("Back again: thole.\n", "utf-8")
    assert wait_for(lambda: "thole" in shown(follower, "entries/2026-06-02-back.html"))


def test_a_log_made_again_in_its_place(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, _ = followed
    shutil.rmtree(root)
    time.sleep(0.3)
    small(root)
    (root / "entries" / "2026-06-03-anew.md").write_text("Made anew: strake.\n", "utf-8")
    assert wait_for(lambda: "strake" in shown(follower, "entries/2026-06-03-anew.html"))


def test_errors_are_told_to_the_page_and_what_stood_stands(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, _ = followed
    before = shown(follower, "index.html")
    bad = root / "entries" / "2026-06-01-bad.md"
    bad.write_text("---\ndate: 2026-02-30\n---\n", "utf-8")
    assert wait_for(lambda: "2026-02-30" in shown(follower, "index.html"))
    told = json.loads(get(follower, page(follower, "-/news") + "?after=999")[2])
    assert any("entries/2026-06-01-bad.md:2" in problem for problem in told["problems"])
    assert "<h1" in before
    bad.unlink()
    assert wait_for(
        lambda: not json.loads(get(follower, page(follower, "-/news") + "?after=999")[2])["problems"]
    )


def test_a_waiting_page_is_told_at_once(followed: tuple[Path, Follower, Told]) -> None:
    root, follower, _ = followed
    version = json.loads(get(follower, page(follower, "-/news") + "?after=999")[2])["version"]
    answers: list[dict[str, object]] = []
    waiting = threading.Thread(
        target=lambda: answers.append(json.loads(get(follower, page(follower, f"-/news?after={version}"))[2]))
    )
    waiting.start()
    time.sleep(0.1)
    assert not answers, "it waits"
    (root / "entries" / "2026-06-01-later.md").write_text("News.\n", "utf-8")
    waiting.join(20)
    assert answers
    assert answers[0]["version"] != version


@pytest.fixture
def server(tmp_path: Path) -> Iterator[LiveServer]:
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "index.html").write_text(
        '<!doctype html><html lang=en><head><meta http-equiv="Content-Security-Policy" content="x">'
        "<title>t</title></head><body><p>inside</p></body></html>"
    )
    (folder / "sheet.css").write_text("p{}")
    (tmp_path / "secret.txt").write_text("outside")
    (folder / "link.txt").symlink_to(tmp_path / "secret.txt")
    live = LiveServer(folder, Board())
    live.start()
    yield live
    live.stop()


def test_it_listens_on_this_machine_alone(server: LiveServer) -> None:
    assert server.server_address[0] == "127.0.0.1"


def test_it_answers_its_own_name_and_path_with_a_policy(server: LiveServer) -> None:
    status, headers, body = ask(server, f"/{server.secret}/index.html")
    assert (status, b"inside" in body) == (200, True)
    assert "connect-src 'self'" in headers["Content-Security-Policy"]
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert b"Content-Security-Policy" not in body, "the header's policy takes the place of the page's own"
    assert b"live.js" in body
    status, _, _ = ask(server, f"/{server.secret}/index.html", Host=f"localhost:{server.server_port}")
    assert status == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "127.0.0.1"},
        {"Host": "rebound.example:80"},
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Sec_Fetch_Site": "cross-site"},
        {"Sec_Fetch_Site": "same-site"},
    ],
    ids=str,
)
def test_it_refuses_foreign_names_and_origins(server: LiveServer, headers: dict[str, str]) -> None:
    for path in (
        f"/{server.secret}/index.html",
        f"/{server.secret}/-/news?after=9",
        f"/{server.secret}/sheet.css",
    ):
        status, _, body = ask(server, path, **headers)
        assert (status, body) == (404, b"not here\n")


@pytest.mark.parametrize(
    "path", ["/", "/index.html", "/wrong/index.html", "/../secret.txt", "//", "/%2e%2e/secret.txt"]
)
def test_it_refuses_any_other_path_in_the_same_words(server: LiveServer, path: str) -> None:
    status, _, body = ask(server, path)
    assert (status, body) == (404, b"not here\n")


@pytest.mark.parametrize(
    "path",
    [
        "../secret.txt",
        "%2e%2e/secret.txt",
        "..%2fsecret.txt",
        "link.txt",
        "..\\secret.txt",
        "a\0b",
        "C:/x",
        "",
        "-/other",
    ],
)
def test_nothing_outside_the_edition_is_served(server: LiveServer, path: str) -> None:
    status, _, body = ask(server, f"/{server.secret}/{path}".replace("\0", "%00"))
    assert status == 404
    assert b"outside" not in body


def test_head_has_no_body_and_post_is_not_known(server: LiveServer) -> None:
    assert ask(server, f"/{server.secret}/index.html", "HEAD")[2] == b""
    assert ask(server, f"/{server.secret}/index.html", "POST")[0] == 501


def test_each_run_has_a_path_of_its_own(tmp_path: Path) -> None:
    one, other = LiveServer(tmp_path, Board()), LiveServer(tmp_path, Board())
    assert one.secret != other.secret
    assert len(one.secret) >= 24
    one.server_close()
    other.server_close()
