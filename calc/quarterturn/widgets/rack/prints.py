"""What a club prints: the cards of many bows, a tag for one that is taken out of use, a notice with the site's code."""

from __future__ import annotations

from quarterturn import days
from quarterturn.bench.judgement import Judgement, judge
from quarterturn.figures import qr, svg
from quarterturn.figures.card import card
from quarterturn.figures.card_sheet import SIZES
from quarterturn.markup import escape
from quarterturn.record.values import Values
from quarterturn.widgets import judgement_wording, paper_code, words
from quarterturn.widgets.card_sheet import sheet_of
from quarterturn.widgets.rack.rows import about_of

SIZE = SIZES["a6"]
"""Four of them are one sheet of A4."""
NOTICE_SIDE = 60.0
"""The side of the code on the notice, mm."""
_MOST_MODULES = 77
TAG_RULES = (
    "Do not string this bow. Do not turn a bolt.",
    "Never dry-fire. Leave the string off.",
    "Only a qualified coach or a bow technician takes this tag off.",
)
NOTICE_RULES = (
    "The maker's manual comes first.",
    "String off before you turn a bolt or its lock.",
    "Look the bow over. Never dry-fire.",
    "Count both ends of both bolts. Stay a quarter turn inside.",
    "In doubt: a qualified coach or a bow technician. Club and range rules hold.",
)


def card_of(values: Values, number: int) -> str:
    """The card of one bow as HTML, in its own size; `number` keeps the names inside it apart from other cards'."""
    prefix = f"rack-{number}"
    return card(sheet_of(values, judge(values)), SIZE, prefix=prefix, name=f"sheet-{SIZE.name}").svg


def tag_of(values: Values) -> str:
    """A tag that hangs on a bow nobody may use, as HTML: which bow, why, since when, and lines to sign on."""
    judgement = judge(values)
    name = values.choice("bow_name") or "A bow without a name"
    why = "".join(f"<li>{escape(line)}</li>" for line in reasons(judgement)) or "<li>____________________</li>"
    rules = "".join(f"<p>{escape(line)}</p>" for line in TAG_RULES)
    since = "" if values.today is None else days.isoformat(values.today)
    return (
        f'<section class="qt-tag"><p class="qt-tag-title">Out of use</p><p class="qt-tag-name">{escape(name)}</p>'
        f"<p>{escape(about_of(values))}</p>{rules}<ul>{why}</ul>"
        f"<p>Tag printed on {since or '__________'} · by ____________________</p>"
        "<p>Looked at and released on __________ by ____________________</p></section>"
    )


def reasons(judgement: Judgement) -> list[str]:
    """Every matter that is known of a bow, the gravest first."""
    return [judgement_wording.title_of(cause, judgement) for cause in judgement.causes]


def notice(address: str) -> str:
    """A notice for the wall as HTML: the rules, and a code that opens the site; no code where none can be made."""
    rules = "".join(f"<li>{escape(line)}</li>" for line in NOTICE_RULES)
    return (
        '<section class="qt-notice"><p class="qt-notice-title">Before you turn a limb bolt</p>'
        f"<ol>{rules}</ol>{_site_code(address)}</section>"
    )


def _site_code(address: str) -> str:
    shown = address.partition("://")[2]
    if not address:
        return ""
    try:
        made = qr.code(address, _MOST_MODULES)
    except qr.NoCode:
        return f"<p>{escape(shown)}</p>"
    title = f"A code that opens {shown}"
    drawn = qr.drawn(made, 0, 0, NOTICE_SIDE, class_="qt-card-code", id="notice-code-squares")
    ground = svg.rect(0, 0, NOTICE_SIDE, NOTICE_SIDE, class_="qt-card-white")
    picture = svg.picture("code", title, f"{title}.", NOTICE_SIDE, NOTICE_SIDE, [ground, drawn], prefix="notice-code")
    own = "<p>This device's own address: no other device can open it.</p>" if paper_code.OWN_DEVICE.match(shown) else ""
    how = words.capital("a phone's camera opens the page. It works without signal after the first visit.")
    return f"{picture.svg}<p>{escape(shown)}</p><p>{escape(how)}</p>{own}"
