"""A Markdown block that makes the snippet by which a page of this site stands in a page of a course.

    /// embed | all
    ///

Without a script a plain snippet stands there, with an address to be put in; docs/assets/browser/embed.js does the rest.
"""

from __future__ import annotations

from typing import ClassVar

import forms
from html_block import HtmlBlock
from quarterturn.record.field_types import ChoiceField, NumberField
from quarterturn.record.fields import BY_NAME

HEIGHT = 720
"""px: a frame in which a page scrolls, on a screen of any usual size."""


class EmbedError(ValueError):
    """The block's argument is not known; the message says which there is."""


class EmbedBlock(HtmlBlock):
    """The snippet and what it is made from."""

    NAME = "embed"
    ERROR = EmbedError
    PAGES: ClassVar[list[tuple[str, str]]] = []
    """Name and title of each page that may be framed; set by the build."""

    def html(self, argument: str) -> str:
        """Give the choices and the text boxes.

        Raises:
            EmbedError: if something other than "all" is asked for.
        """
        if argument != "all":
            raise EmbedError(f"embed | {argument}: all pages may be chosen from, so it must be “all”")
        level, task = BY_NAME["practice_level"], BY_NAME["practice_task"]
        if not isinstance(level, ChoiceField) or not isinstance(task, NumberField):
            raise TypeError("a task has a number and a level")
        return forms.rendered(
            "embed.html.j2", pages=self.PAGES, task=task, level=level, most=f"{task.high:.0f}", height=HEIGHT
        )
