"""The live server in real Chromium: it follows the log by itself, and no page from elsewhere gets at it."""

from __future__ import annotations

import functools
import http.server
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from tests.outside import BROWSERS, require
from tests.site.editions import REPOSITORY
from tests.site.mean_log import MARKUP, RUN

pytestmark = pytest.mark.outside

PRIVATE = "Left spar splice bonded behind closed doors"
ENTRY = "2026-03-01-spar"
PATIENCE = 20_000
"""Milliseconds that a save may take to show; it takes about one second."""


class Followed:
    """A log that `follow` follows in a process of its own, and where that serves it."""

    def __init__(self, log: Path, address: str) -> None:
        self.log = log
        self.address = address

    def url(self, name: str) -> str:
        """The address of a page."""
        return self.address.removesuffix("index.html") + name

    def write(self, name: str, text: str) -> None:
        """Save an entry."""
        (self.log / "entries" / f"{name}.md").write_text(text, "utf-8")


@pytest.fixture(scope="module")
def followed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Followed]:
    log = tmp_path_factory.mktemp("followed") / "log"
    (log / "entries").mkdir(parents=True)
    (log / "buildlog.toml").write_text('format = 1\n\n[project]\ntitle = "Followed"\n', "utf-8")
    (log / "parts.csv").write_text("number,name\nTN-1,Spar\n", "utf-8")
    (log / "entries" / f"{ENTRY}.md").write_text(f"---\ntitle: {PRIVATE}\n---\nOn TN-1.\n", "utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "buildlog", "follow", log],
        cwd=REPOSITORY,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout
    found = None
    for line in process.stdout:
        if found := re.search(r"open (http://127\.0\.0\.1:\d+/[\w-]+/index\.html)", line):
            break
    assert found, "follow says where to look"
    # What it prints from here on is read, so that it never waits for a full pipe.
    threading.Thread(target=process.stdout.read, daemon=True).start()
    yield Followed(log, found[1])
    process.send_signal(signal.SIGINT)
    assert process.wait(20) == 0


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context()
    yield context.new_page()
    context.close()


def test_the_open_page_shows_a_save_by_itself(followed: Followed, page: Page) -> None:
    page.goto(followed.url(f"entries/{ENTRY}.html"))
    expect(page.locator("h1")).to_contain_text(PRIVATE)
    followed.write(ENTRY, f"---\ntitle: {PRIVATE}\n---\nOn TN-1. The word is quoin.\n")
    expect(page.locator(".prose")).to_contain_text("quoin", timeout=PATIENCE)
    followed.write(ENTRY, f"---\ntitle: {PRIVATE}\n---\nOn TN-1. The word is gudgeon.\n")
    expect(page.locator(".prose")).to_contain_text("gudgeon", timeout=PATIENCE)


def test_an_error_shows_on_the_page_and_goes_when_mended(followed: Followed, page: Page) -> None:
    page.goto(followed.url(f"entries/{ENTRY}.html"))
    box = page.get_by_role("alert")
    expect(box).to_have_count(0)
    followed.write("2026-03-02-slip", "---\ndate: 2026-02-30\npeople: [nobody]\n---\n")
    expect(box).to_contain_text("entries/2026-03-02-slip.md:2", timeout=PATIENCE)
    expect(box).to_contain_text("2026-02-30")
    expect(page.locator("h1")).to_contain_text(PRIVATE)
    page.reload()
    expect(box).to_contain_text("2026-02-30")
    followed.write("2026-03-02-slip", "Mended.\n")
    expect(box).to_have_count(0, timeout=PATIENCE)
    page.goto(followed.url("entries/2026-03-02-slip.html"))
    expect(page.locator(".prose")).to_contain_text("Mended.")


def test_hostile_text_runs_nothing_where_it_is_served(followed: Followed, page: Page) -> None:
    """In prose and title, and in the errors that quote it."""
    complaints: list[str] = []
    page.on("console", lambda told: complaints.append(told.text) if told.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    script = f"</script></title><script>{RUN}</script>"
    followed.write("2026-03-03-mean", f"---\ntitle: '{script}'\n---\n`{script}{MARKUP}` javascript:{RUN}\n")
    page.goto(followed.url("index.html"))
    expect(page.locator("main")).to_contain_text(script, timeout=PATIENCE)
    page.goto(followed.url("entries/2026-03-03-mean.html"))
    expect(page.locator("main code")).to_contain_text(MARKUP)
    assert page.evaluate("window.ran") is None
    followed.write("2026-03-04-mean", f"---\npeople: ['{script}', '{MARKUP}']\n---\n")
    box = page.get_by_role("alert")
    expect(box).to_contain_text("window.ran", timeout=PATIENCE)
    assert page.evaluate("window.ran") is None
    page.reload()
    expect(box).to_contain_text("window.ran")
    assert page.evaluate("window.ran") is None
    (followed.log / "entries" / "2026-03-04-mean.md").unlink()
    expect(box).to_have_count(0, timeout=PATIENCE)
    assert page.evaluate("window.ran") is None
    assert complaints == []


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Serves a folder to anybody who asks: what a live server must not do."""

    protocol_version = "HTTP/1.1"

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - named by the base class
        pass

    def end_headers(self) -> None:
        self.send_header("Access-Control-Allow-Origin", "*")
        super().end_headers()

    def do_GET(self) -> None:
        if self.path.endswith("/-/news?after=0"):
            body = f"data: {PRIVATE}\n\n".encode()
            self.send_response(200)
            self.send_header("Content-Type", "text/event-stream")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)
        else:
            super().do_GET()


def _serve(folder: Path) -> http.server.ThreadingHTTPServer:
    handler = functools.partial(_Quiet, directory=str(folder))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


@pytest.fixture
def foreign(tmp_path: Path) -> Iterator[str]:
    """A page of another origin on this machine: 127.0.0.1, at another port."""
    (tmp_path / "index.html").write_text(
        "<!doctype html><title>Foreign</title><h1>Foreign</h1><p id=styled class=frame>styled?</p>"
    )
    server = _serve(tmp_path)
    yield f"http://127.0.0.1:{server.server_port}/index.html"
    server.shutdown()
    server.server_close()


@pytest.fixture
def open_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A server that lets anybody in, and has what a live server has: it shows whether a probe can see."""
    root = tmp_path_factory.mktemp("open")
    home = root / "path"
    (home / "-").mkdir(parents=True)
    (home / "index.html").write_text(f"<!doctype html><title>{PRIVATE}</title><h1>{PRIVATE}</h1>")
    (home / "sheet.css").write_text(".frame { border: 2px solid red }")
    (home / "sheet.js").write_text("window.foreignScript = 1;")
    (home / "photo.jpg").write_bytes(PHOTO)
    server = _serve(root)
    yield f"http://127.0.0.1:{server.server_port}/path/index.html"
    server.shutdown()
    server.server_close()


PHOTO = bytes.fromhex(
    "47494638396101000100800000ffffff00000021f90401000000002c00000000010001000002024401003b"
)
"""A GIF of one pixel; a browser looks at the bytes."""

PROBES = {
    "fetch": "fetch(at).then((r) => r.text())",
    "fetch without cors": (
        "fetch(at, {mode: 'no-cors', credentials: 'include'}).then((r) => 'an opaque answer ' + r.type)"
    ),
    "fetch of the news": "fetch(base + '-/news?after=0').then((r) => r.text())",
    "request": (
        "new Promise((yes, no) => { const x = new XMLHttpRequest(); x.onload = () => yes(x.responseText);"
        " x.onerror = no; x.open('GET', at); x.send(); })"
    ),
    "script": "element('script', {src: base + 'sheet.js'})",
    "module": "import(base + 'sheet.js').then(() => 'loaded')",
    "image": "element('img', {src: base + photo})",
    "stylesheet": "element('link', {rel: 'stylesheet', href: base + 'sheet.css'})",
    "events": (
        "new Promise((yes, no) => { const s = new EventSource(base + '-/news?after=0');"
        " s.onmessage = (e) => { s.close(); yes(e.data); }; s.onerror = () => { s.close(); no(); }; })"
    ),
    "object": "element('object', {data: base + photo, type: 'image/gif'})",
}
"""Ways in which a page may try to read from another origin; each gives something if it succeeds."""

ATTEMPT = """
async ([probe, at, photo]) => {
  const base = at.replace("index.html", "");
  const element = (name, attributes) => new Promise((yes, no) => {
    const made = Object.assign(document.createElement(name), attributes);
    made.onload = () => yes(name + " loaded");
    made.onerror = () => no(new Error(name));
    document.body.append(made);
    setTimeout(() => no(new Error("nothing came")), 5000);
  });
  try { return await eval(probe) || ""; } catch (error) { return ""; }
}
"""


@pytest.mark.parametrize("probe", list(PROBES))
def test_a_page_of_another_origin_reads_nothing(
    followed: Followed, foreign: str, open_server: str, page: Page, probe: str
) -> None:
    """Though it knows the whole address. The same probe does read from a server that lets it."""
    page.goto(foreign)
    assert page.evaluate(ATTEMPT, [PROBES[probe], followed.address, "sheet.css"]) == ""
    assert page.evaluate("window.foreignScript") is None
    assert page.evaluate("getComputedStyle(document.querySelector('.frame')).borderTopWidth") == "0px"
    assert page.evaluate(ATTEMPT, [PROBES[probe], open_server, "photo.jpg"]) != ""


def test_a_page_of_another_origin_opens_no_socket(followed: Followed, foreign: str, page: Page) -> None:
    page.goto(foreign)
    opened = page.evaluate(
        "(at) => new Promise((done) => { const s = new WebSocket(at.replace('http', 'ws'));"
        " s.onopen = () => done('open'); s.onerror = () => done('refused'); })",
        followed.address,
    )
    assert opened == "refused"


def test_a_page_of_another_origin_frames_nothing(
    followed: Followed, foreign: str, open_server: str, page: Page
) -> None:
    shown = []
    for address in (followed.address, open_server):
        page.goto(foreign)
        page.evaluate(
            "(at) => { const f = document.createElement('iframe'); f.src = at; document.body.append(f);"
            " return new Promise((done) => { f.onload = done; setTimeout(done, 3000); }); }",
            address,
        )
        frames = [frame for frame in page.frames if frame is not page.main_frame]
        shown.append("".join(frame.locator("body").inner_text() for frame in frames))
    assert PRIVATE not in shown[0]
    assert "Followed" not in shown[0]
    assert PRIVATE in shown[1], "a server that lets it is framed"


def test_a_page_of_another_origin_opens_no_window(followed: Followed, foreign: str, page: Page) -> None:
    """Neither by a script nor by a link; what the window shows cannot be read either."""
    page.goto(foreign)
    with page.context.expect_page() as opened:
        page.evaluate("(at) => { window.theirs = window.open(at); }", followed.address)
    opened.value.wait_for_load_state()
    assert "not here" in opened.value.locator("body").inner_text()
    read = "() => { try { return window.theirs.document.body.textContent; } catch (error) { return ''; } }"
    assert PRIVATE not in page.evaluate(read)
    page.evaluate("(at) => { location.href = at; }", followed.address)
    page.wait_for_url(followed.address)
    assert page.locator("body").inner_text().strip() == "not here"


def test_a_page_from_a_folder_reads_nothing(
    followed: Followed, open_server: str, page: Page, tmp_path: Path
) -> None:
    """A file saved from the web and opened from disk has the origin `null`."""
    (tmp_path / "saved.html").write_text("<!doctype html><title>Saved</title><p class=frame>x</p>")
    page.goto((tmp_path / "saved.html").as_uri())
    for probe in PROBES.values():
        assert page.evaluate(ATTEMPT, [probe, followed.address, "sheet.css"]) == ""
    assert PRIVATE in page.evaluate(ATTEMPT, [PROBES["fetch"], open_server, "photo.jpg"])


def test_a_rebound_name_gets_nothing(followed: Followed, foreign: str, playwright: Playwright) -> None:
    """A name of a foreign site that is made to point to this machine (DNS rebinding)."""
    rebound = playwright.chromium.launch(
        executable_path=require(*BROWSERS), args=["--host-resolver-rules=MAP rebound.test 127.0.0.1"]
    )
    try:
        page = rebound.new_page()
        page.goto(foreign.replace("127.0.0.1", "rebound.test"))
        assert page.locator("h1").inner_text() == "Foreign", "the name does lead to this machine"
        asked = urlsplit(followed.address)
        there = followed.address.replace("127.0.0.1", "rebound.test")
        for address in (
            there,
            there.replace("index.html", "data/log.json"),
            there.replace("index.html", "-/news"),
        ):
            answer = page.goto(address)
            assert answer
            assert (answer.status, answer.text().strip()) == (404, "not here")
        page.goto(f"http://rebound.test:{asked.port}/")
        assert page.evaluate("fetch(location.href).then((r) => r.text())").strip() == "not here"
        path = f"/{asked.path.split('/')[1]}/index.html"
        assert PRIVATE not in page.evaluate("(at) => fetch(at).then((r) => r.text())", path)
        answer = page.goto(followed.address)
        assert answer
        assert answer.status == 200, "under its own name, typed in, it answers the same browser"
    finally:
        rebound.close()
