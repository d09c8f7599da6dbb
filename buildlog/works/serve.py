"""The live server: shows the shop's edition to this machine's own browser, and to nobody else.

It listens on 127.0.0.1 and answers only under its own host name, so that a name of a foreign site that was
made to point here gets nothing; only below a path that is drawn anew in each run; and never to a page of
another origin. Everything it refuses looks the same.
"""

from __future__ import annotations

import contextlib
import html
import json
import re
import secrets
import threading
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import parse_qs, unquote, urlsplit

from buildlog.works.board import Board

PATIENCE = 25.0
"""Seconds a waiting page is kept waiting before it is told that nothing is new."""

_OWN = "-"
_HERE = Path(__file__).resolve().parent
_POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; media-src 'self'; "
    "connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
)
_META_POLICY = re.compile(rb'<meta http-equiv="?Content-Security-Policy"?[^>]*>', re.IGNORECASE)
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".xml": "application/atom+xml; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".webp": "image/webp",
    ".mp4": "video/mp4",
    ".webm": "video/webm",
    ".mov": "video/quicktime",
    ".m4a": "audio/mp4",
    ".mp3": "audio/mpeg",
    ".wav": "audio/wav",
    ".pdf": "application/pdf",
}


class LiveServer(ThreadingHTTPServer):
    """Serves one folder below a random path. `address` is what to open."""

    daemon_threads = True

    def __init__(self, folder: Path, board: Board, port: int = 0) -> None:
        """Open it.

        Args:
            folder: the edition.
            board: what a waiting page is told.
            port: the port, 0 for any that is free.

        Raises:
            OSError: the port is taken.
        """
        super().__init__(("127.0.0.1", port), _Handler)
        self.folder = folder
        self.board = board
        self.secret = secrets.token_urlsafe(18)

    @property
    def hosts(self) -> tuple[str, ...]:
        """The host names it answers to."""
        return (f"127.0.0.1:{self.server_port}", f"localhost:{self.server_port}")

    @property
    def address(self) -> str:
        """The address of the first page."""
        return f"http://127.0.0.1:{self.server_port}/{self.secret}/index.html"

    def start(self) -> threading.Thread:
        """Serve in a thread of its own."""
        thread = threading.Thread(target=self.serve_forever, name="live server", daemon=True)
        thread.start()
        return thread

    def stop(self) -> None:
        """Let every page go and close."""
        self.board.shut()
        self.shutdown()
        self.server_close()


class _Handler(BaseHTTPRequestHandler):
    server: LiveServer
    protocol_version = "HTTP/1.1"
    timeout = 60
    server_version = "buildlog"
    sys_version = ""

    def do_GET(self) -> None:
        """Answer a page, a file, or news."""
        self._answer(body=True)

    def do_HEAD(self) -> None:
        """Answer as to GET, without the body."""
        self._answer(body=False)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - named by the base class
        """Say nothing: the terminal is the builder's."""

    def _answer(self, *, body: bool) -> None:
        asked = urlsplit(self.path)
        parts = unquote(asked.path).split("/")
        if not self._may_have(parts):
            self._send(HTTPStatus.NOT_FOUND, "text/plain; charset=utf-8", b"not here\n", body=body)
            return
        inner = parts[2:]
        if inner[:1] == [_OWN]:
            self._own(inner[1:], asked.query, body=body)
            return
        path = self._file(inner)
        if path is None:
            self._lost(body=body)
            return
        data = path.read_bytes()
        kind = _TYPES.get(path.suffix, "application/octet-stream")
        if path.suffix == ".html":
            data = self._lively(data)
        self._send(HTTPStatus.OK, kind, data, body=body)

    def _may_have(self, parts: list[str]) -> bool:
        """Whether the request came from our own pages or the address bar, under our own name and path."""
        hosts = self.headers.get_all("Host") or []
        if len(hosts) != 1 or hosts[0].lower() not in self.server.hosts:
            return False
        origin = self.headers.get("Origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.server.hosts}:
            return False
        if self.headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin"):
            return False
        return len(parts) > 2 and secrets.compare_digest(parts[1].encode(), self.server.secret.encode())

    def _file(self, inner: list[str]) -> Path | None:
        if any(part in ("", ".", "..") or "\\" in part or "\0" in part or ":" in part for part in inner):
            return None
        root = self.server.folder.resolve()
        path = root.joinpath(*inner).resolve()
        return path if path.is_relative_to(root) and path.is_file() else None

    def _own(self, inner: list[str], query: str, *, body: bool) -> None:
        if inner in (["live.js"], ["live.css"]):
            path = _HERE / inner[0]
            self._send(HTTPStatus.OK, _TYPES[path.suffix], path.read_bytes(), body=body)
        elif inner == ["news"]:
            after = parse_qs(query).get("after", ["0"])[0]
            version, problems = self.server.board.wait(int(after) if after.isdecimal() else 0, PATIENCE)
            told = json.dumps({"version": version, "problems": list(problems)})
            self._send(HTTPStatus.OK, _TYPES[".json"], told.encode(), body=body)
        else:
            self._lost(body=body)

    def _lost(self, *, body: bool) -> None:
        page = (
            b"<!doctype html><html lang=en><head><title>Not here</title></head><body><p>There is no such page"
        )
        page += b" in the edition that stands now.</p></body></html>"
        self._send(HTTPStatus.NOT_FOUND, _TYPES[".html"], self._lively(page), body=body)

    def _lively(self, page: bytes) -> bytes:
        """A page with the script that waits for news. Its own policy gives way to the server's header."""
        version, problems = self.server.board.now
        own = f"/{self.server.secret}/{_OWN}/"
        told = html.escape(json.dumps(list(problems)))
        tag = (
            f'<link rel="stylesheet" href="{own}live.css">'
            f'<script src="{own}live.js" data-version="{version}" data-news="{own}news"'
            f' data-problems="{told}"></script></body>'
        )
        plain = _META_POLICY.sub(b"", page)
        before, end, after = plain.rpartition(b"</body>")
        return before + tag.encode() + after if end else plain

    def _send(self, status: HTTPStatus, kind: str, data: bytes, *, body: bool) -> None:
        self.send_response(status)
        for name, value in (
            ("Content-Type", kind),
            ("Content-Length", str(len(data))),
            ("Cache-Control", "no-store"),
            ("Content-Security-Policy", _POLICY),
            ("Referrer-Policy", "no-referrer"),
            ("X-Content-Type-Options", "nosniff"),
            ("Cross-Origin-Resource-Policy", "same-origin"),
            ("Cross-Origin-Opener-Policy", "same-origin"),
            ("X-Frame-Options", "DENY"),
        ):
            self.send_header(name, value)
        self.end_headers()
        if body:
            # a page that was left while its answer was under way wants nothing any more
            with contextlib.suppress(ConnectionError):
                self.wfile.write(data)
