"""What the site's build does beyond turning Markdown into pages.

The runtime is put into the site, each page is told where it lies, the service worker learns its version, and every
page gets a content policy computed from its own finished HTML. Hooks write into the site only, never into docs/.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "calc")]

from markupsafe import Markup, escape  # noqa: E402

import bare_pages  # noqa: E402
import browser_bundle  # noqa: E402
import club_block  # noqa: E402
import club_colours  # noqa: E402
import compiled_wheel  # noqa: E402
import live_words  # noqa: E402
import moved_pages  # noqa: E402
import part_blocks  # noqa: E402
import policy  # noqa: E402
import runtime  # noqa: E402
import wheel  # noqa: E402
from bows_block import BowsBlock  # noqa: E402
from club import current as current_club  # noqa: E402
from club_block import ClubBlock  # noqa: E402
from drawing_block import DrawingBlock  # noqa: E402
from embed_block import EmbedBlock  # noqa: E402
from forms import RUNTIME_MARK  # noqa: E402
from glossary import GlossaryExtension  # noqa: E402
from html_block import HtmlBlockExtension  # noqa: E402
from page_parts import PageParts, PartError  # noqa: E402
from published_block import PublishedBlock  # noqa: E402
from quarterturn.record.schema import bows_schema  # noqa: E402
from quarterturn.widgets import WIDGETS  # noqa: E402
from quarterturn.widgets.render import BASE_MARK  # noqa: E402
from trade_facts_block import FactsBlock  # noqa: E402

# The theme's own loader takes back what is put on the path while a hook is read.
_PATHS = [str(HERE), str(HERE.parent / "calc")]

if TYPE_CHECKING:
    from jinja2 import Environment
    from mkdocs.config.defaults import MkDocsConfig
    from mkdocs.structure.pages import Page

VERSION_MARK = "__QT_VERSION__"
WHEEL_MARK = "__QT_WHEEL__"
"""Stands where the name of the wheel for a notebook in the browser is put in."""
RUNTIME_FOLDER_MARK = "__QT_RUNTIME__"
_FOR_BARE: dict[str, Any] = {}
"""What a bare page is rendered from: the theme's templates, and what the whole page was given last."""
CLUB_SHEET = "assets/club.css"


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Make known to Markdown the blocks that put calculators and the like on a page, and the links to words."""
    sys.path[:0] = [path for path in _PATHS if path not in sys.path]
    EmbedBlock.PAGES = bare_pages.choices(config.nav or [])
    _name_club(config)
    blocks = (BowsBlock, EmbedBlock, PublishedBlock, FactsBlock, DrawingBlock, ClubBlock, *part_blocks.BLOCKS)
    extensions: list[Any] = config.markdown_extensions
    extensions.extend(HtmlBlockExtension(block) for block in blocks)
    extensions.append(GlossaryExtension())
    return config


def _name_club(config: MkDocsConfig) -> None:
    """Give the theme what it shows of the club that the site is built for."""
    club = current_club()
    if not club.name:
        return
    # The theme writes the name as it is: what is no markup stays none.
    config.site_name = Markup(escape(club.name))
    config.site_url = club.address or config.site_url
    config.extra["club"] = {"name": club.name, "contact": club.contact, "primary": club.primary}
    if club.primary or club.accent:
        config.extra_css.append(CLUB_SHEET)


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: object) -> str:
    """Begin with a page: nothing is placed on it yet but what a club adds."""
    main, prints = str(page.meta.get("widget", "")), page.meta.get("prints")
    part_blocks.CURRENT[:] = [PageParts(page.file.src_uri, main, prints == "steps", prints == "reading")]
    if WHEEL_MARK in markdown:
        markdown = markdown.replace(WHEEL_MARK, compiled_wheel.name_beside(wheel.NAME))
    return club_block.on_page(markdown)


def on_page_content(html: str, page: Page, config: MkDocsConfig, files: object) -> str:
    """Put around a page's words what the frame adds; a block that was not understood ends the build."""
    if found := _UNREAD.search(html):
        raise PartError(f"{page.file.src_uri}: this is no block, or an option of it is misspelt: {found[0]}")
    return part_blocks.current().finished(html)


def on_env(env: Environment, config: MkDocsConfig, files: object) -> None:
    """Keep the theme's templates, for the bare pages."""
    _FOR_BARE["env"] = env


def on_page_context(context: Any, page: Page, config: MkDocsConfig, nav: object) -> None:
    """Keep what the page is rendered from, for its bare page."""
    _FOR_BARE["context"] = context


# Three slashes or more that begin a line, outside of code.
_UNREAD = re.compile(r"(?m)^(?:<p>)?/{3,}[^/\n].*$")


# What the theme leaves without a name; its two switches are then reached by the keyboard (qt.css shows them).
_NAMED = {
    'id="__drawer"': 'id="__drawer" aria-label="Menu"',
    'id="__search"': 'id="__search" aria-label="Search box"',
    'data-md-component="search" role="dialog"': 'data-md-component="search" role="dialog" aria-label="Search"',
}


# Only some pages have this one, and those without a list of contents have it without a label.
_SOMETIMES = ('id="__toc"', 'id="__toc" aria-label="Table of contents"')


# The search's worker: the site's own, which starts the theme's at the first search (docs/search_worker.js).
_THEMES_SEARCH = re.compile(r'"search": "([^"]*)(assets/javascripts/workers/search\.\w+\.min\.js)"')


class ThemeChangedError(Exception):
    """The theme no longer writes what is to be replaced; the message quotes it."""


def on_post_page(output: str, page: Page, config: MkDocsConfig) -> str:
    """Name what the theme leaves without a name, put addresses in, and write the bare page beside it."""
    for plain, named in _NAMED.items():
        if output.count(plain) != 1:
            raise ThemeChangedError(f"{page.url}: the theme must write this once: {plain}")
        output = output.replace(plain, named)
    output = output.replace(*_SOMETIMES)
    output, found = _THEMES_SEARCH.subn(r'"search": "\1search_worker.js#\2"', output)
    if found != 1:
        raise ThemeChangedError(f"{page.url}: the theme must name the worker of its search once")
    live_words.check(page.url or "the first page", output)
    output = live_words.in_units(output, current_club().units)
    if bare_pages.has_bare(page.file.src_uri, dict(page.meta)):
        _write_bare(output, page)
    return _with_addresses(output, page)


@cache
def _runtime() -> Path:
    """The built runtime, looked at once: no file of it changes while the pages are built."""
    return runtime.build()


def _with_addresses(html: str, page: Page) -> str:
    up = "../" * page.url.count("/") or "./"
    return html.replace(BASE_MARK, up).replace(RUNTIME_MARK, f"{up}runtime/{_runtime().name}/")


def _write_bare(whole: str, page: Page) -> None:
    bare = live_words.in_units(bare_pages.rendered(page, whole=whole, **_FOR_BARE), current_club().units)
    html = _with_addresses(bare, page)
    file = Path(page.file.abs_dest_path).with_name(bare_pages.FILE)
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(bare_pages.staying(html, page.url.strip("/")), encoding="utf-8")


def on_post_build(config: MkDocsConfig) -> None:
    """Finish the site once all pages are written."""
    site = Path(config.site_dir)
    _copy_runtime(site)
    browser_bundle.put_in_place(site)
    _remove_sitemap(site, config)
    _publish_schema(site)
    _write_club_sheet(site, config)
    compiled_wheel.build(wheel.build(site / wheel.FOLDER))
    _put_index_aside(site)
    moved_pages.write(site)
    (site / "front-page.json").write_text('{"front": true}\n')
    hashes = policy.write(site)
    (site / "_headers").write_text(policy.headers_file(hashes, policy.unframed(site)))
    _fill_service_worker(site)


def _copy_runtime(site: Path) -> None:
    built = _runtime()
    shutil.copytree(built, site / "runtime" / built.name, dirs_exist_ok=True)


def _publish_schema(site: Path) -> None:
    """For those who write programs: the schema of a file of bows, the record's own within it."""
    text = json.dumps(bows_schema(), ensure_ascii=False, indent=1)
    (site / "assets" / "bows.schema.json").write_text(text + "\n", encoding="utf-8")


def _put_index_aside(site: Path) -> None:
    """Leave an empty index where every page fetches one; the whole of it is fetched by the first search."""
    file = site / "search" / "search_index.json"
    index = json.loads(file.read_text(encoding="utf-8"))
    # Of a calculator's headings, which are left out of the search, the theme's indexer keeps empty entries.
    told = [one for one in index["docs"] if one["text"] or not _is_in_calculator(one["location"])]
    file.with_name("whole_index.json").write_text(json.dumps({**index, "docs": told}), encoding="utf-8")
    file.write_text(json.dumps({**index, "docs": []}), encoding="utf-8")


def _is_in_calculator(location: str) -> bool:
    """Whether a place of the index is a heading of a calculator's answer: its name begins with the calculator's."""
    return location.partition("#")[2].startswith(tuple(f"{name}-" for name in WIDGETS))


def _write_club_sheet(site: Path, config: MkDocsConfig) -> None:
    if CLUB_SHEET in config.extra_css:
        club = current_club()
        (site / CLUB_SHEET).write_text(club_colours.style_sheet(club.primary, club.accent), encoding="utf-8")


def _remove_sitemap(site: Path, config: MkDocsConfig) -> None:
    """Without the address it will have, a site map holds nothing; packed it holds the time of the build as well."""
    (site / "sitemap.xml.gz").unlink(missing_ok=True)
    if not config.site_url:
        (site / "sitemap.xml").unlink(missing_ok=True)


def _fill_service_worker(site: Path) -> None:
    """Give the service worker the version of everything else in the site."""
    for worker in site.rglob("sw.js"):
        text = worker.read_text(encoding="utf-8").replace(VERSION_MARK, version(site))
        worker.write_text(text.replace(RUNTIME_FOLDER_MARK, f"runtime/{_runtime().name}/"), encoding="utf-8")


def version(site: Path) -> str:
    """A name for the site's contents: changes when any file does, and only then."""
    whole = hashlib.sha256()
    for path in sorted(p for p in site.rglob("*") if p.is_file() and p.name != "sw.js"):
        whole.update(json.dumps([path.relative_to(site).as_posix(), len(path.read_bytes())]).encode())
        whole.update(path.read_bytes())
    return whole.hexdigest()[:16]
