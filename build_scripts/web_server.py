"""A small web server for the built site: the right types, the site's own headers, from any folder of a host.

Needs the standard library only. `serve.py` uses it for the reader, the tests for the browser.
"""

from __future__ import annotations

import http.server
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from functools import lru_cache
from typing import TYPE_CHECKING, ClassVar
from urllib.parse import quote, unquote, urlsplit

if TYPE_CHECKING:
    import socket
    from http import HTTPStatus
    from os import PathLike
    from pathlib import Path

Rules = list[tuple[str, list[tuple[str, str]]]]

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".zip": "application/zip",
}


def read_rules(text: str) -> Rules:
    """Read a headers file: a line with a path pattern, then indented lines `Name: value`; # starts a comment."""
    rules: Rules = []
    for line in text.splitlines():
        bare = line.strip()
        if not bare or bare.startswith("#"):
            continue
        if not line[0].isspace():
            rules.append((bare, []))
        elif rules and ":" in bare:
            name, _, value = bare.partition(":")
            rules[-1][1].append((name.strip(), value.strip()))
    return rules


def headers_for(path: str, rules: Rules) -> list[tuple[str, str]]:
    """The headers of every rule whose pattern fits a path ("/" is the site's first page)."""
    return [pair for pattern, pairs in rules if fnmatchcase(path, pattern) for pair in pairs]


@lru_cache(maxsize=8)
def _rules_in(file: Path, _changed: int) -> Rules:
    """The rules of a file as it was at its last change: a page asks for a hundred files, and each answer needs them."""
    return read_rules(file.read_text(encoding="utf-8"))


@dataclass(slots=True)
class Site:
    """What is served: a folder, where it hangs, and what the tests do to it."""

    folder: Path
    prefix: str = "/"
    """The address's path of the site's first page; it starts and ends with a slash."""
    send_headers: bool = True
    """Whether the site's `_headers` file is obeyed, as by a host that reads one."""
    quiet: bool = True
    requests: list[str] = field(default_factory=list)
    """Every path asked for, the query included, in order."""
    missing: set[str] = field(default_factory=set)
    """Paths within the site ("assets/x.js") that are answered with "not found"."""
    replaced: dict[str, bytes] = field(default_factory=dict)
    """Paths within the site whose content is replaced."""

    def rules(self) -> Rules:
        """The rules of the site's headers file; none if there is no such file."""
        file = self.folder / "_headers"
        return _rules_in(file, file.stat().st_mtime_ns) if self.send_headers and file.is_file() else []


class Handler(http.server.SimpleHTTPRequestHandler):
    """Answers from a Site; every answer is to be asked for again, so that a new build is seen at once."""

    site: ClassVar[Site]
    protocol_version = "HTTP/1.1"
    code = 200
    extensions_map: dict[str, str] = {**http.server.SimpleHTTPRequestHandler.extensions_map, **TYPES}  # noqa: RUF012

    def setup(self) -> None:
        """Point the standard handler to the site's folder."""
        self.directory = str(self.site.folder)
        super().setup()

    def within(self) -> str | None:
        """The asked path within the site, "" for its first page; None if it lies outside the site."""
        path = unquote(urlsplit(self.path).path)
        return path.removeprefix(self.site.prefix) if path.startswith(self.site.prefix) else None

    def do_GET(self) -> None:
        """Answer a GET."""
        self.site.requests.append(self.path)
        content = self.site.replaced.get(self.within() or "")
        if content is None:
            super().do_GET()
            return
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(urlsplit(self.path).path))
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def translate_path(self, path: str) -> str:
        """Give the file for an address; for one outside the site or taken away, a file that is not there."""
        within = self.within()
        if within is None or within in self.site.missing or within == "_headers":
            return str(self.site.folder / "no-such-file")
        return super().translate_path("/" + quote(within))

    def list_directory(self, path: str | PathLike[str]) -> None:
        """Show no list of a folder that has no page."""
        self.send_error(404)

    def send_response(self, code: int, message: str | None = None) -> None:
        """Note which kind of answer this is."""
        self.code = code
        super().send_response(code, message)

    def keeping(self) -> str:
        """How long an answer may be kept where the headers file says nothing of it."""
        return "no-cache"

    def end_headers(self) -> None:
        """Add the site's own headers to every answer; one that tells of an error may not be kept."""
        pairs = headers_for("/" + (self.within() or ""), self.site.rules())
        if self.code >= 400:
            pairs = [(name, value) for name, value in pairs if name.lower() != "cache-control"]
        if "cache-control" not in {name.lower() for name, _ in pairs}:
            pairs.append(("Cache-Control", "no-cache" if self.code >= 400 else self.keeping()))
        for name, value in pairs:
            self.send_header(name, value)
        super().end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Answer "not found" with the site's own page for it."""
        page = self.site.folder / "404.html"
        if code != 404 or self.command != "GET" or not page.is_file():
            super().send_error(code, message, explain)
            return
        content = page.read_bytes()
        self.send_response(code)
        self.send_header("Content-Type", TYPES[".html"])
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def log_request(self, code: int | str | HTTPStatus = "-", size: int | str = "-") -> None:
        """Log nothing when quiet."""
        if not self.site.quiet:
            super().log_request(code, size)

    def log_error(self, format: str, *args: object) -> None:
        """Log nothing when quiet."""
        if not self.site.quiet:
            super().log_error(format, *args)


class Server(http.server.ThreadingHTTPServer):
    """Serves one Site on this machine only. Port 0 takes a free one."""

    daemon_threads = True
    handler: ClassVar[type[Handler]] = Handler
    """What answers a request."""

    def __init__(self, site: Site, port: int = 0) -> None:
        super().__init__(("127.0.0.1", port), type("SiteHandler", (self.handler,), {"site": site}))
        self.site = site

    @property
    def address(self) -> str:
        """The address of the site's first page."""
        return f"http://127.0.0.1:{self.server_port}{self.site.prefix}"

    def handle_error(self, request: socket.socket | tuple[bytes, socket.socket], client_address: object) -> None:
        """Say nothing of a browser that hangs up in the middle of an answer."""
