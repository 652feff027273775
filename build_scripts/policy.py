"""The content policy of the finished pages.

A page may load from its own origin only, and run only the inline scripts that were in it when it was built. The hashes
are computed page by page, because the theme writes the page's depth into one of its scripts.
"""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

import bare_pages

META_PLACE = '<meta charset="utf-8">'
DATA_TYPES = frozenset({"application/json", "application/ld+json", "text/plain"})
"""Types of script element that hold data and are never run."""


class PolicyProblem(ValueError):  # noqa: N818 - it reads as what it says
    """A page holds something that the policy would forbid; the message says where and what."""


@dataclass(frozen=True, slots=True)
class Hashes:
    """The inline scripts and style sheets that may be used, as the policy writes them."""

    scripts: frozenset[str] = frozenset()
    styles: frozenset[str] = frozenset()

    def __or__(self, other: Hashes) -> Hashes:
        """What either permits."""
        return Hashes(self.scripts | other.scripts, self.styles | other.styles)


class _InlineReader(HTMLParser):
    """Collects what is inline in a page, and what must not be there at all."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.scripts: set[str] = set()
        self.styles: set[str] = set()
        self.forbidden: list[str] = []
        self._inside = ""
        self._text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note inline scripts and styles, and attributes that the policy refuses."""
        given = dict(attrs)
        for name, value in attrs:
            if name == "style" or name.startswith("on") or (value or "").strip().lower().startswith("javascript:"):
                self.forbidden.append(f"<{tag} {name}={value!r}>")
        runs = tag == "script" and "src" not in given and given.get("type") not in DATA_TYPES
        self._inside = tag if runs or tag == "style" else ""
        self._text = []

    def handle_data(self, data: str) -> None:
        """Keep the text of a script or a style sheet."""
        if self._inside:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        """Hash what was inside."""
        if tag == self._inside:
            found = self.scripts if tag == "script" else self.styles
            found.add(hash_of("".join(self._text)))
            self._inside = ""


def hash_of(text: str) -> str:
    """The text of an inline script or style sheet as a source expression of the policy (CSP level 3, 2.3.1)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def inline_hashes(html: str) -> Hashes:
    """The hashes of everything inline in this page.

    Raises:
        PolicyProblem: if the page has a style attribute, an inline handler or a javascript: address.
    """
    reader = _InlineReader()
    reader.feed(html)
    reader.close()
    if reader.forbidden:
        raise PolicyProblem("no style attribute, handler or javascript: address may be used: " + reader.forbidden[0])
    return Hashes(frozenset(reader.scripts), frozenset(reader.styles))


def text(hashes: Hashes) -> str:
    """The policy in one line; who may frame a page counts in a header only, and is said there."""
    script = " ".join(["'self'", "'wasm-unsafe-eval'", *sorted(hashes.scripts)])
    style = " ".join(["'self'", *sorted(hashes.styles)])
    parts = [
        "default-src 'none'",
        f"script-src {script}",
        f"style-src {style}",
        "img-src 'self' data:",  # the theme's style sheet holds its icons as data: addresses
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "object-src 'none'",
    ]
    return "; ".join(parts)


def write(site: Path) -> Hashes:
    """Put its policy into every page of a built site; return what all pages together permit."""
    together = Hashes()
    for page in sorted(site.rglob("*.html")):
        html = page.read_text(encoding="utf-8")
        try:
            hashes = inline_hashes(html)
        except PolicyProblem as problem:
            raise PolicyProblem(f"{page.relative_to(site)}: {problem}") from None
        if html.count(META_PLACE) != 1:
            raise PolicyProblem(f"{page.relative_to(site)}: {META_PLACE} must be there once")
        meta = f'{META_PLACE}\n    <meta http-equiv="Content-Security-Policy" content="{text(hashes)}">'
        page.write_text(html.replace(META_PLACE, meta), encoding="utf-8")
        together |= hashes
    return together


def unframed(site: Path) -> list[str]:
    """Patterns for the addresses of all that is in a built site but its bare pages."""
    patterns = ["/"]
    for entry in sorted(site.iterdir()):
        if entry.is_file():
            patterns += _addresses(f"/{entry.name}")
        elif not (entry / bare_pages.FILE).is_file():
            patterns.append(f"/{entry.name}/*")
        else:
            others = [one for one in sorted(entry.iterdir()) if one.name != bare_pages.FILE]
            patterns.append(f"/{entry.name}/")
            for one in others:
                patterns += (
                    _addresses(f"/{entry.name}/{one.name}") if one.is_file() else [f"/{entry.name}/{one.name}/*"]
                )
    return patterns


def _addresses(path: str) -> list[str]:
    """A file's address, and for a page the one without its ending, which some hosts answer too."""
    return [path, path.removesuffix(".html")] if path.endswith(".html") else [path]


def headers_file(hashes: Hashes, unframed: list[str]) -> str:
    """A `_headers` file, for hosts that read one.

    It carries what a page cannot say of itself: the policy of the worker, and who may frame a page. A page obeys
    every policy that it is given (CSP level 3, 8.1): the one here, which permits the inline scripts of all pages; its
    own, which permits only its own; and, unless it is a bare page, a second one here that lets nobody frame it.
    """
    everywhere = {
        "Content-Security-Policy": text(hashes),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
    }
    lines = ["/*", *(f"  {name}: {value}" for name, value in everywhere.items())]
    for pattern in unframed:
        lines += [pattern, "  Content-Security-Policy: frame-ancestors 'none'"]
    for folder in ("runtime", "assets/javascripts", "assets/stylesheets"):  # their names carry a hash
        lines += [f"/{folder}/*", "  Cache-Control: public, max-age=31536000, immutable"]
    # The name of this one carries none, and an old one would keep an old site.
    lines += ["/sw.js", "  Cache-Control: no-cache"]
    return "\n".join(lines) + "\n"
