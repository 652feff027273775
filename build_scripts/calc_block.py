"""A Markdown block that puts a calculator on a page.

    /// calc | safe-range
    ///

The page gets the form, made from the record's declaration, and the answer to an empty record, made by the same
renderer that runs in the browser. A name that no calculator has ends the build.
"""

from __future__ import annotations

from typing import Any

from markdown import Markdown
from pymdownx.blocks import BlocksExtension, BlocksProcessor

import forms
from made_block import MadeBlock


class CalcBlock(MadeBlock):
    """One calculator, named by the block's argument."""

    NAME = "calc"

    def made(self, argument: str) -> str:
        """The calculator's form and its answer to an empty record."""
        return forms.page_part(argument)


class CalcExtension(BlocksExtension):
    """The block as a Markdown extension."""

    def extendMarkdownBlocks(self, md: Markdown, block_mgr: BlocksProcessor) -> None:  # noqa: N802 - theirs
        """Make the block known."""
        block_mgr.register(CalcBlock, self.getConfigs())


def makeExtension(**kwargs: Any) -> CalcExtension:  # noqa: N802 - the name Markdown looks for
    """Let Markdown load the extension by the name of this module."""
    return CalcExtension(**kwargs)
