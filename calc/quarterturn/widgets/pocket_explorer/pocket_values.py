"""The named values of a pocket: at this turn, where something happens, its dimensions."""

from __future__ import annotations

from quarterturn import units
from quarterturn.mechanics import contact as contacts
from quarterturn.widgets import words
from quarterturn.widgets.answer import Value, ValueList
from quarterturn.widgets.pocket_explorer.inputs import ExplorerInputs


def _length(name: str, label: str, value: float | None, shown: ExplorerInputs, note: str = "") -> Value:
    if value is None:
        return Value(name, label, None, "", "none", shown.status, note=note)
    unit = shown.unit
    return Value(name, label, units.from_si(value, unit), unit, words.length(value, unit), shown.status, note=note)


def _turns(
    name: str, label: str, value: float | None, shown: ExplorerInputs, note: str = "", none: str = "none"
) -> Value:
    text = none if value is None else words.turns(value)
    return Value(name, label, value, "" if value is None else "turn", text, shown.status, note=note)


def now(shown: ExplorerInputs) -> ValueList:
    """Where the bolt stands and what that opens."""
    turns, found = shown.turns, shown.contact
    angle = units.from_si(found.rock_angle, "deg")
    text = words.degrees(found.rock_angle)
    rocked = Value("rock_angle", "Rock angle of the limb", angle, "deg", text, shown.status)
    return ValueList(
        "now",
        "At this turn",
        (
            _turns("turns", "Turns out from flush", turns, shown),
            _length("head_height", "Height of the head over flush", found.head_height, shown),
            rocked,
            _length(
                "contact_x",
                "Where it bears, from the bolt's axis toward the tip",
                found.contact_x,
                shown,
                "minus is toward the butt",
            ),
            _length("coverage", "The butt reaches past the bolt's axis by", found.coverage, shown),
            _length("gap_rim", "Gap at the rim", shown.gap_rim, shown),
            _length("gap_butt", "Gap at the butt end", shown.gap_butt, shown),
            _length(
                "strip_goes_in",
                "The strip goes in",
                None if shown.reach is None else shown.goes_in,
                shown,
                "offered at the rim" if shown.side == "rim" else "offered at the butt end",
            ),
        ),
    )


def places(shown: ExplorerInputs) -> ValueList:
    """The turn counts at which something happens."""
    told = shown.told
    thick = "too thick to tell"
    listed = [
        _turns("flush_outside", "Coming in, the strip stops this far outside flush", told.outside, shown, none=thick),
        _turns("flush_inside", "Backing out, it stops this far inside flush", told.inside, shown, none=thick),
        _turns("touch_outside", "Coming in, it stops this far before first touch", told.touch, shown),
        _turns("first_touch", "First touch, from flush", shown.touch, shown, none="the butt leaves the head first"),
        _turns("cover_lost", "Where the butt covers the axis no more", shown.cover_lost, shown, none="never covers it"),
    ]
    foretold = _foretold(shown)
    return ValueList("places", "Where something happens", (*listed, *foretold))


def _foretold(shown: ExplorerInputs) -> tuple[Value, ...]:
    travel = shown.values.optional("tip_travel")
    if travel is None:
        return ()
    angle = travel / shown.values.number("tip_length")
    touch = contacts.first_touch(contacts.with_fitting_angle(shown.pocket, angle))
    return (_turns("touch_foretold", "First touch foretold by the tip's free travel", touch, shown),)


def dimension_values(shown: ExplorerInputs) -> ValueList:
    """The dimensions of the pocket that is shown."""
    pocket = shown.pocket
    arms = {
        "entered": "as entered",
        "by the tip": "found by the tip's travel; the way round a caliper",
        "assumed": "assumed: the tip's travel over three turns would tell",
    }
    angles = {
        "first touch": "from first touch",
        "free travel": "from the tip's free travel",
        "assumed": "from the example's first touch",
    }
    return ValueList(
        "dimensions",
        "The pocket that is shown",
        (
            _length("arm", "Fulcrum to bolt axis", pocket.fulcrum_arm, shown, arms[shown.shape.arm.by]),
            _length("butt_length", "Fulcrum to butt end", pocket.butt_length, shown),
            _length("cover_at_flush", "Cover at flush", pocket.coverage_at_flush, shown),
            _length("rim_reach", "The rim's reach over the prongs", pocket.rim_reach, shown),
            _length("depth", "Fulcrum to the limb's back", pocket.limb_depth, shown),
            _length("pitch", "Rise of the head, a turn", pocket.pitch, shown),
            Value(
                "fitting_angle",
                "Largest rock angle the fitting allows",
                units.from_si(pocket.fitting_angle, "deg"),
                "deg",
                words.degrees(pocket.fitting_angle),
                shown.status,
                note=angles[shown.shape.touch_by],
            ),
        ),
    )
