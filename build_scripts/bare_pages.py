"""Bare pages: what a page with calculators says and does, without the site's frame, for an iframe in somebody's page.

`PAGE/bare.html` lies beside `PAGE/index.html`, so that every relative address holds. It is made from the same content
by a template of its own, and is no page to MkDocs: it enters neither the search nor a site map.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from places import ROOT

if TYPE_CHECKING:
    from collections.abc import Iterator

    from jinja2 import Environment
    from mkdocs.structure.pages import Page

FILE = "bare.html"
TEMPLATE = "bare.html"
WITHHELD = {
    "index.md": "it leads through the whole site",
    "keep.md": "lists and files of bows do not belong in somebody else's page",
    "rack.md": "nor does the table of all of them",
}
"""Pages with calculators that have no bare page, and why."""

_SHEET = re.compile(r'<link rel="stylesheet"[^>]*>')
_HEAD_OF_FILE = re.compile(r"\A---\n(.*?)\n---\n", re.DOTALL)


class BarePageError(RuntimeError):
    """The theme has no style sheets where they were; the message names the page."""


def has_bare(source: str, meta: dict[str, Any]) -> bool:
    """Whether the page of this source, with these entries at its head, has a bare page."""
    return bool(meta.get("widget")) and source not in WITHHELD


def choices(nav: list[Any]) -> list[tuple[str, str]]:
    """The names and titles of all pages that have a bare page, in the order of the menu."""
    found = []
    for title, source in _leaves(nav):
        head = _HEAD_OF_FILE.match((ROOT / "docs" / source).read_text(encoding="utf-8"))
        if head and has_bare(source, {"widget": re.search(r"(?m)^widget: ", head[1])}):
            found.append((source.removesuffix(".md"), title))
    return found


def _leaves(nav: list[Any]) -> Iterator[tuple[str, str]]:
    for one in nav:
        for title, inside in one.items():
            if isinstance(inside, str):
                yield title, inside
            else:
                yield from _leaves(inside)


def rendered(page: Page, env: Environment, context: Any, whole: str) -> str:
    """The bare page of a page, given its finished HTML as a whole page.

    Raises:
        BarePageError: if no style sheet is found in the whole page.
    """
    sheets = _SHEET.findall(whole)
    if not sheets:
        raise BarePageError(f'{page.url}: the theme must link its style sheets by <link rel="stylesheet" …>')
    return env.get_template(TEMPLATE).render({**context, "sheets": Markup("\n    ".join(sheets))})


def staying(html: str, name: str) -> str:
    """A bare page's HTML in which links to a place on it stay in the frame; all others open a page of their own.

    A link of an answer leads to the page's own address: here that is a place on the bare page.
    """
    html = html.replace(f'href="../{name}/#', 'href="#')
    return re.sub(r'<a (?=[^>]*href="#)', '<a target="_self" ', html)
