"""A Markdown block that puts a calculator on a page.

    /// calc | safe-range
    ///

The page gets the form, made from the record's declaration, and the answer to an empty record, made by the same
renderer that runs in the browser. A name that no calculator has ends the build.
"""

from __future__ import annotations

import forms
from html_block import HtmlBlock
from part_blocks import CURRENT, current


class CalcBlock(HtmlBlock):
    """One calculator, named by the block's argument."""

    NAME = "calc"

    def html(self, argument: str) -> str:
        """The calculator's form and its answer to an empty record."""
        html = forms.page_part(argument)
        if CURRENT:
            current().whole.append(argument)
        return html
