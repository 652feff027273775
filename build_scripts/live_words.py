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
        told = _values(widget, "").get(name)
        if told is None:
            known = ", ".join(_values(widget, ""))
            raise LiveWordError(f"{page}: data-live={live!r} names no value; {widget} has {known}")
        if text != told:
            raise LiveWordError(f"{page}: {live} is {told!r} and the page says {text!r}")


def in_units(output: str, system: str) -> str:
    """The page with its numbers as the package tells them in a system of units, "" for those they are written in."""
    return _PLACE.sub(lambda place: _in_units(place, system), output) if system else output


def _in_units(place: re.Match[str], system: str) -> str:
    widget, _, name = place["live"].partition("/")
    told = html.escape(_values(widget, system)[name], quote=False)
    start, end = (place.start("text") - place.start(), place.end("text") - place.start())
    return f"{place[0][:start]}{told}{place[0][end:]}"


@cache
def _values(widget: str, system: str) -> dict[str, str]:
    if widget not in widgets.WIDGETS:
        return {}
    answer = widgets.WIDGETS[widget].answer(Values(Record({}), system=system))
    return {value.name: value.text for value in answer.all_values()}
