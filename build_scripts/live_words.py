"""Numbers in the pages' words, held against what the package computes.

`*0.42 turn*{ data-live="pocket/flush_outside" }` is a number in a sentence: the build ends where it is not, to the
letter, what the widget answers to an empty record, and in the browser it follows the reader's own answer.
"""

from __future__ import annotations

import html
import re
from functools import cache

from quarterturn import widgets
from quarterturn.record.entries import Record
from quarterturn.record.values import Values

_PLACE = re.compile(r'<(?P<tag>\w+)(?=[^>]*\bdata-live="(?P<live>[^"]*)")[^>]*>(?P<text>.*?)</(?P=tag)>', re.DOTALL)


class LiveWordError(ValueError):
    """A page says a number that the package does not; the message says which, and what it should be."""


def check(page: str, output: str) -> None:
    """Hold every number of a page's words against the package.

    Raises:
        LiveWordError: where one differs, or names no value.
    """
    for place in _PLACE.finditer(output):
        live, text = place["live"], html.unescape(place["text"])
        widget, _, name = live.partition("/")
        told = _values(widget).get(name)
        if told is None:
            raise LiveWordError(f"{page}: data-live={live!r} names no value; {widget} has {', '.join(_values(widget))}")
        if text != told:
            raise LiveWordError(f"{page}: {live} is {told!r} and the page says {text!r}")


@cache
def _values(widget: str) -> dict[str, str]:
    if widget not in widgets.WIDGETS:
        return {}
    answer = widgets.WIDGETS[widget].answer(Values(Record({})))
    return {value.name: value.text for value in answer.all_values()}
