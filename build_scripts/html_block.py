"""What the site's own Markdown blocks share: one argument, HTML that is made elsewhere, and nothing inside."""

from __future__ import annotations

from abc import abstractmethod
from typing import Any
from xml.etree import ElementTree

from markdown import Markdown
from markdown.util import AtomicString
from pymdownx.blocks import BlocksExtension, BlocksProcessor
from pymdownx.blocks.block import Block


class HtmlBlock(Block):
    """A block of two lines, `/// NAME | argument` and `///`, in whose place HTML is put as it is."""

    ARGUMENT = True
    ERROR: type[ValueError] = ValueError
    """What ends the build where something stands between the two lines."""

    @abstractmethod
    def html(self, argument: str) -> str:
        """The HTML for this argument."""

    def on_init(self) -> None:
        """Start with nothing inside."""
        self._inside = ElementTree.Element("div")

    def on_create(self, parent: ElementTree.Element) -> ElementTree.Element:
        """Put the HTML on the page, as it is."""
        place = ElementTree.SubElement(parent, "div", {"class": "qt-place"})
        place.text = stash(self.md, self.html(str(self.argument).strip()))
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
            sentence = f"{self.NAME} | {self.argument}: nothing may stand between the two lines of the block"
            raise self.ERROR(sentence)


class HoldingBlock(Block):
    """A block with Markdown inside, `//// NAME | argument` and `////`: more slashes than what is in it."""

    ARGUMENT = True

    def put(self, parent: ElementTree.Element, html: str, name: str = "div", **attributes: str) -> ElementTree.Element:
        """Put made HTML into an element of its own."""
        place = ElementTree.SubElement(parent, name, attributes)
        place.text = stash(self.md, html)
        return place


def stash(md: Markdown, html: str) -> AtomicString:
    """What stands for made HTML until the page is written."""
    return AtomicString(md.htmlStash.store(html))


class HtmlBlockExtension(BlocksExtension):
    """One of the site's own blocks as a Markdown extension."""

    def __init__(self, block: type[HtmlBlock | HoldingBlock], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._block = block

    def extendMarkdownBlocks(self, md: Markdown, block_mgr: BlocksProcessor) -> None:  # noqa: N802 - theirs
        """Make the block known."""
        block_mgr.register(self._block, self.getConfigs())
