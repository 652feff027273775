"""A club's two colours: whether what stands on them can be read, and the style sheet that puts them on the pages.

Contrast as WCAG 2.2 defines it, from the relative luminance of sRGB. The grounds and inks are those of the site's own
style sheet. A club names each colour once; where dark pages, or an edge, need it lighter, it is mixed with white.
"""

from __future__ import annotations

import math
import re
from functools import cache

from places import ROOT

SHEET = ROOT / "docs" / "assets" / "qt.css"
TEXT, EDGE = 4.5, 3.0
"""The least contrast of text (WCAG 2.2, 1.4.3) and of what tells one thing from another (1.4.11)."""
WHITE, BLACK = "#ffffff", "#000000"
LIGHT, DARK = "default", "slate"
"""The theme's names of its schemes."""


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour "#rrggbb", from 0 to 1 (WCAG 2.2)."""
    parts = (part / 255 for part in _parts(colour))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, from 1 to 21 (WCAG 2.2)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _parts(colour: str) -> tuple[int, int, int]:
    red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return red, green, blue


def mixed(colour: str, other: str, percent: int) -> str:
    """A colour with so many percent of another."""
    pairs = zip(_parts(colour), _parts(other), strict=True)
    return "#" + "".join(f"{round(one + (two - one) * percent / 100):02x}" for one, two in pairs)


def _least(colour: str, others: tuple[str, ...]) -> float:
    return min(contrast(colour, other) for other in others)


def _until(colour: str, toward: str, others: tuple[str, ...], wanted: float) -> str:
    """The colour with as little of another as makes it stand out from all of these."""
    mixes = (mixed(colour, toward, percent) for percent in range(101))
    return next((mix for mix in mixes if _least(mix, others) >= wanted), toward)


@cache
def _of_the_site(scheme: str) -> dict[str, str]:
    """The site's own colours of a scheme, by name, from its style sheet."""
    sheet = SHEET.read_text(encoding="utf-8")
    own = re.findall(rf'\[data-md-color-scheme="{scheme}"\] \{{(.*?)\}}', sheet, re.DOTALL)
    root = re.findall(r":root \{(.*?)\}", sheet, re.DOTALL)
    return dict(re.findall(r"--(?:qt|md)-([\w-]+): (#[0-9a-f]{6});", "".join([*root, *own])))


def _on_primary() -> tuple[str, ...]:
    """What is written on the first colour: in the head and the foot of the pages, and on buttons."""
    inks = [_of_the_site(scheme)[name] for scheme in (LIGHT, DARK) for name in ("primary-bg-color", "button-ink")]
    return tuple(dict.fromkeys(inks))


def _grounds(scheme: str) -> tuple[str, ...]:
    return (_of_the_site(scheme)["ground"], _of_the_site(scheme)["sheet"])


def primary_problem(colour: str) -> str | None:
    """Why the first colour cannot be used, as the rest of a sentence; None where it can."""
    return _problem(colour, _on_primary(), "the text on it")


def accent_problem(colour: str) -> str | None:
    """Why the second colour cannot be used, as the rest of a sentence; None where it can."""
    return _problem(colour, _grounds(LIGHT), "as text on a light page it")


def _problem(colour: str, others: tuple[str, ...], what: str) -> str | None:
    found = _least(colour, others)
    if found >= TEXT:
        return None
    shown, good = math.floor(found * 100) / 100, _until(colour, BLACK, others, TEXT)
    return f"is too light: {what} stands out by {shown} to 1, and {TEXT} to 1 is needed; {good} would do."


def style_sheet(primary: str, accent: str) -> str:
    """The style sheet of a club's colours, "" for those that are the site's own; paper stays black and white."""
    rules = [rule for scheme in (LIGHT, DARK) for rule in _rules(scheme, primary, accent)]
    return "/* The club's colours, made by the build. */\n@media screen {\n" + "\n".join(rules) + "\n}\n"


def _rules(scheme: str, primary: str, accent: str) -> list[str]:
    own, body = _of_the_site(scheme), f'  [data-md-color-scheme="{scheme}"]'
    head = primary or own["primary-fg-color"]
    mark = _until(accent or _of_the_site(DARK)["brass"], WHITE, (head,), TEXT)
    told: dict[str, str] = {}
    if primary:
        told |= {"md-primary-fg-color": head, "md-primary-fg-color--light": head}
        told |= {"md-primary-fg-color--dark": mixed(head, BLACK, 35)}
        told |= {"qt-button": _until(head, WHITE, (own["ground"],), EDGE)}
    if accent:
        told |= {"qt-brass": _until(accent, WHITE if scheme == DARK else BLACK, _grounds(scheme), TEXT)}
    return [
        f"{body} {{ {' '.join(f'--{name}: {colour};' for name, colour in told.items())} }}",
        f"{body} .md-header {{ border-bottom-color: {mark}; }}",
        f"{body} .md-tabs__item--active .md-tabs__link {{ text-decoration-color: {mark}; }}",
        f"{body} :is(.md-header, .md-tabs) :focus-visible {{ outline-color: {mark}; }}",
        # The theme lightens the search box under a pointer, and with it the ground of what is written there.
        f"{body} .md-search__form:hover {{ background-color: #00000042; }}",
    ]
