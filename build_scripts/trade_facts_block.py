"""A Markdown block that shows readers what the trade does without a source: all that `trade_facts` finds.

    /// facts | all
    ///

Each statement stands once, under the first page it is on, with a link to every place where it says so.
"""

from __future__ import annotations

from html_block import HtmlBlock
from quarterturn.markup import escape
from quarterturn.widgets.render import BASE_MARK
from trade_facts import EVERYWHERE, NOTES, Place, Statement, pages, statements


class FactsError(ValueError):
    """The block's argument is not known, or there is nothing to show; the message says which."""


def page_part(what: str) -> str:
    """All statements as HTML, one list a group.

    Raises:
        FactsError: if something other than "all" is to be shown, or nothing was found.
    """
    found = statements()
    if what != "all" or not found:
        raise FactsError(f"facts | {what}: the only list is “all”, and it has {len(found)} statements")
    groups: dict[str, list[Statement]] = {name: [] for name in (*(page.title for page in pages()), EVERYWHERE, NOTES)}
    for one in found:
        groups[one.places[0].group].append(one)
    notes = len(groups[NOTES])
    told = f"{len(found)} statements: {len(found) - notes} that a reader may meet, {notes} in notes of the program."
    return f'<p class="qt-note">{told}</p>{"".join(_group(name, all_of) for name, all_of in groups.items() if all_of)}'


def _group(name: str, of_it: list[Statement]) -> str:
    rows = "".join(f"<dt>{escape(_begun(one.text))}</dt><dd>{_places(one.places, name)}</dd>" for one in of_it)
    return f'<h3>{escape(name)}</h3><dl class="qt-bibliography qt-facts">{rows}</dl>'


def _begun(text: str) -> str:
    """With a capital and, where the sentence has none, a full stop."""
    text = text.replace("`", "")
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '…')) else '.'}"


def _places(places: list[Place], under: str) -> str:
    return "; ".join(_place(one, under) for one in places)


def _place(one: Place, under: str) -> str:
    words = escape(one.label if one.group in (one.label, under) else f"{one.group}: {one.label}")
    return f'<a href="{BASE_MARK}{escape(one.link)}">{words}</a>' if one.link or one.label == "Start" else words


class FactsBlock(HtmlBlock):
    """The list, whole."""

    NAME = "facts"
    ERROR = FactsError

    def html(self, argument: str) -> str:
        """All statements."""
        return page_part(argument)
