"""What a club adds to the pages' words: `/// club | rules`, `/// club | contact` and `/// club | sample`.

The first two stand with the rules, and where the site is built for no club nothing stands there. The third is the file
to begin with, on every site. On a site with rules of a club each line that leads to the rules leads to those as well.
"""

from __future__ import annotations

import re

import forms
from club import current
from html_block import HtmlBlock
from places import BUILD_SCRIPTS
from quarterturn.markup import escape

SAMPLE = BUILD_SCRIPTS / "club.example.toml"
PLACES = ("rules", "contact", "sample")
_OURS = re.compile(r"(?m)^/// club \| (?:rules|contact)\n///\n")
_RULES_LINE = re.compile(r"(?m)(?=\n\{: \.qt-rules-line \}$)")
_LINK = " [Our range rules](safe-range.md#club-rules)."


class ClubBlockError(ValueError):
    """There is no such part of a club; the message says which there are."""


def on_page(markdown: str) -> str:
    """A page's words for the club that the site is built for: without its places where there is none."""
    club = current()
    if club.rules:
        markdown = _RULES_LINE.sub(_LINK, markdown)
    return markdown if club.name else _OURS.sub("", markdown)


class ClubBlock(HtmlBlock):
    """One part, named by the block's argument."""

    NAME = "club"
    ERROR = ClubBlockError

    def html(self, argument: str) -> str:
        """The club's rules with its contact, its contact alone, or the file to begin with."""
        if argument not in PLACES:
            raise ClubBlockError(f"club | {argument}: it must be one of {', '.join(PLACES)}")
        if argument == "sample":
            text = escape(SAMPLE.read_text(encoding="utf-8"))
            return f'<pre><code class="language-toml">{text}</code></pre>'
        return forms.rendered("club.html.j2", with_rules=argument == "rules")
