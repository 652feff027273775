"""A Markdown block that puts a calculator on a page.

    /// calc | safe-range
    ///

The page gets the form, made from the record's declaration, and the answer to an empty record, made by the same
renderer that runs in the browser. A name that no calculator has ends the build.
"""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

from markdown import Markdown
from markdown.util import AtomicString
from pymdownx.blocks import BlocksExtension, BlocksProcessor
from pymdownx.blocks.block import Block

import forms


class CalcBlock(Block):
    """One calculator, named by the block's argument."""

    NAME = "calc"
    ARGUMENT = True

    def on_init(self) -> None:
        """Start with nothing inside."""
        self._inside = ElementTree.Element("div")

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Put the calculator's HTML on the page, as it is."""
        place = ElementTree.SubElement(parent, "div", {"class": "qt-place"})
        place.text = AtomicString(self.md.htmlStash.store(forms.page_part(str(self.argument).strip())))
        return place

    def on_markdown(self) -> str:
        """What stands inside the block is not read as Markdown."""
        return "raw"

    def on_add(self, block: ElementTree.Element) -> ElementTree.Element:
        """Catch what stands inside the block, to complain of it."""
        return self._inside

    def on_end(self, block: ElementTree.Element) -> None:
        """Nothing may stand inside the block."""
        if len(self._inside) or (self._inside.text or "").strip():
            raise ValueError(f"calc | {self.argument}: nothing may stand between the two lines of the block")


class CalcExtension(BlocksExtension):
    """The block as a Markdown extension."""

    def extendMarkdownBlocks(self, md: Markdown, block_mgr: BlocksProcessor) -> None:  # noqa: N802 - theirs
        """Make the block known."""
        block_mgr.register(CalcBlock, self.getConfigs())


def makeExtension(**kwargs: Any) -> CalcExtension:  # noqa: N802 - the name Markdown looks for
    """Let Markdown load the extension by the name of this module."""
    return CalcExtension(**kwargs)
