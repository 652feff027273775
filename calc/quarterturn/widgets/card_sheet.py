"""The card as it is drawn: from a record to what stands on it, and the code that opens the same record."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.judgement import Judgement, Kind
from quarterturn.bench.positions import BoltPosition
from quarterturn.figures import qr
from quarterturn.figures.card_sheet import SIZES, BoltScale, CardSize, Sheet
from quarterturn.record import link
from quarterturn.record.values import Values
from quarterturn.widgets import card_text, paper_code


@dataclass(frozen=True, slots=True)
class CardCode:
    """The code, or why there is none.

    Attributes:
        code: None where there is none.
        beside: what is printed under it, or in its place.
        remark: what the page says of it, a sentence, or "".
    """

    code: qr.Code | None
    beside: tuple[str, ...]
    remark: str = ""


def size_of(values: Values) -> CardSize:
    """The size that was chosen."""
    return SIZES[values.choice("card_size")]


NO_NUMBER = (Kind.INSPECTION, Kind.FAMILY, Kind.EVENT)
"""While one of these stands the card tells no number."""


def tells_numbers(judgement: Judgement) -> bool:
    """Whether the card tells any number; of bolts that are not for turning there is none to keep."""
    return judgement.is_turned and not any(judgement.of(kind) for kind in NO_NUMBER)


def sheet_of(values: Values, judgement: Judgement) -> Sheet:
    """Put the card together; what is known against the bow is said in the place of the windows."""
    found = judgement.positions
    coded = code_of(values)
    notice = card_text.notice(judgement)
    numbers = tells_numbers(judgement)
    facts = card_text.facts(values, judgement) if numbers else ()
    if notice is not None and numbers:
        places = tuple((f"{bolt.name.capitalize()} bolt", card_text.place(bolt)) for bolt in found.bolts)
        facts = (*places, *facts)
    example = found.example and judgement.level is None
    by = card_text.name_of(values, "set_by", example)
    return Sheet(
        name=card_text.name_of(values, "bow_name", example) or "A bow without a name",
        parts=(
            ("Riser:", card_text.name_of(values, "riser_name", example)),
            ("Limbs:", card_text.name_of(values, "limbs_name", example)),
        ),
        day=card_text.day(found) or "set on ____________",
        by=f"by {by}" if by else "by ____________",
        bolts=() if notice is not None else tuple(map(_bolt, found.bolts)),
        notice=notice,
        facts=facts,
        cautions=card_text.cautions(values),
        code=coded.code,
        beside=coded.beside,
        across="MADE-UP BOW" if example else "",
    )


def _bolt(bolt: BoltPosition) -> BoltScale:
    if bolt.window is None or bolt.at is None:
        raise ValueError("a bolt without a window has no scale")
    return BoltScale(
        title=f"{bolt.name.capitalize()} bolt",
        words=card_text.place(bolt),
        at=bolt.at,
        zero=card_text.ON_SCALE[bolt.zero],
        inner=bolt.window.inner.usable,
        outer=bolt.window.outer.usable,
        window=card_text.window(bolt),
    )


def code_of(values: Values) -> CardCode:
    """The code that opens this record on the site that asks, or why there is none."""
    if not paper_code.is_own(values):
        return CardCode(None, ("A code that opens your record comes here, once there is one.",))
    if not values.address:
        return CardCode(None, ("No code: the site's address is not known.",))
    try:
        made = paper_code.code_of(values, size_of(values).most_modules)
    except qr.NoCode as error:
        return CardCode(None, (f"No code: {error}.",), f"The card has no code, because {error}.")
    shown = paper_code.site_of(values)
    beside = [f"Opens this record at {shown}"]
    remark = ""
    if link.left_out(values.record, link.BRIEF):
        beside.append("Of the log, only the newest.")
    if paper_code.OWN_DEVICE.match(shown):
        remark = "The code has this device's own address, so no other device can open it."
    return CardCode(made, tuple(beside), remark)
