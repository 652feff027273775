"""The style sheet's colours can be told apart: WCAG 2.2, 1.4.3 (text, 4.5 to 1) and 1.4.11 (edges, 3 to 1), M.

Contrast as WCAG 2.2 defines it (relative luminance of sRGB), computed here from the style sheet's text.
"""

from __future__ import annotations

import re

import pytest

from places import ROOT

SHEET = (ROOT / "docs" / "assets" / "qt.css").read_text(encoding="utf-8")
SCHEMES = ("default", "slate")
GROUNDS = ("ground", "sheet")
TEXTS = [(ink, ground) for ink in ("ink", "ink-soft", "link", "brass") for ground in GROUNDS]
TEXTS += [(state, f"{state}-ground") for state in ("stop", "ask", "good", "example")]
TEXTS += [(ink, f"{state}-ground") for state in ("stop", "ask", "good", "example") for ink in ("ink", "ink-soft")]
TEXTS += [("button-ink", "button")]
EDGES = [(edge, ground) for edge in ("edge", "brass", "focus") for ground in GROUNDS]
EDGES += [("button", "ground")]


def colours(scheme: str) -> dict[str, str]:
    """The colours of a scheme, by name, from the first block of that scheme."""
    block = re.search(rf'\[data-md-color-scheme="{scheme}"\] \{{(.*?)\}}', SHEET, re.DOTALL)
    assert block is not None
    return dict(re.findall(r"--qt-([\w-]+): (#[0-9a-f]{3,6});", block[1]))


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_that_of_the_standard() -> None:
    """Black on white is 21 to 1; #767676 on white is the well-known least grey, 4.54 (M)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize(("ink", "ground"), TEXTS)
def test_text_stands_out(scheme: str, ink: str, ground: str) -> None:
    known = colours(scheme)
    assert contrast(known[ink], known[ground]) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize(("edge", "ground"), EDGES)
def test_edge_stands_out(scheme: str, edge: str, ground: str) -> None:
    known = colours(scheme)
    assert contrast(known[edge], known[ground]) >= 3
