"""The named values of a pocket: at this turn, where something happens, its dimensions."""

from __future__ import annotations

from quarterturn import units
from quarterturn.mechanics import contact as contacts
from quarterturn.widgets import words
from quarterturn.widgets.answer import Value, ValueList
from quarterturn.widgets.pocket_explorer.inputs import ExplorerInputs


def _length(name: str, label: str, value: float | None, inputs: ExplorerInputs, note: str = "") -> Value:
    if value is None:
        return Value(name, label, None, "", "none", inputs.status, note=note)
    unit = inputs.unit
    return Value(name, label, units.from_si(value, unit), unit, words.length(value, unit), inputs.status, note=note)


def _turns(
    name: str, label: str, value: float | None, inputs: ExplorerInputs, note: str = "", none: str = "none"
) -> Value:
    text = none if value is None else words.turns(value)
    return Value(name, label, value, "" if value is None else "turn", text, inputs.status, note=note)


def now(inputs: ExplorerInputs) -> ValueList:
    """Where the bolt is and what that opens."""
    turns, found = inputs.turns, inputs.contact
    angle = units.from_si(found.rock_angle, "deg")
    text = words.degrees(found.rock_angle)
    rocked = Value("rock_angle", "Rock angle of the limb", angle, "deg", text, inputs.status)
    return ValueList(
        "now",
        "At this turn",
        (
            _turns("turns", "Turns out from flush", turns, inputs),
            _length("head_height", "Height of the head over flush", found.head_height, inputs),
            rocked,
            _length(
                "contact_x",
                "Contact, from the axis toward the tip",
                found.contact_x,
                inputs,
                "minus is toward the butt",
            ),
            _length("coverage", "Butt past the bolt's axis by", found.coverage, inputs),
            _length("gap_rim", "Gap at the rim", inputs.gap_rim, inputs),
            _length("gap_butt", "Gap at the butt end", inputs.gap_butt, inputs),
            _length(
                "strip_goes_in",
                "The strip goes in",
                None if inputs.reach is None else inputs.goes_in,
                inputs,
                "at the rim" if inputs.side == "rim" else "at the butt end",
            ),
        ),
    )


def places(inputs: ExplorerInputs) -> ValueList:
    """The turn counts at which something happens."""
    told = inputs.strip_resolution
    thick = "too thick"
    listed = [
        _turns("flush_outside", "Coming in, stops outside flush by", told.outside, inputs, none=thick),
        _turns("flush_inside", "Backing out, stops inside flush by", told.inside, inputs, none=thick),
        _turns("touch_outside", "Coming in, stops before touch by", told.touch, inputs),
        _turns("first_touch", "First touch, from flush", inputs.touch, inputs, none="the butt leaves the head first"),
        _turns("cover_lost", "Butt no longer covers the axis at", inputs.cover_lost, inputs, none="never covers it"),
    ]
    foretold = _foretold(inputs)
    return ValueList("places", "Where something happens", (*listed, *foretold))


def _foretold(inputs: ExplorerInputs) -> tuple[Value, ...]:
    travel = inputs.values.optional("tip_travel")
    if travel is None:
        return ()
    angle = travel / inputs.values.number("tip_length")
    touch = contacts.first_touch(contacts.with_fitting_angle(inputs.pocket, angle))
    return (_turns("touch_foretold", "First touch, predicted from tip travel", touch, inputs),)


def dimension_values(inputs: ExplorerInputs) -> ValueList:
    """The dimensions of the pocket that is shown."""
    pocket = inputs.pocket
    arms = {
        "entered": "as entered",
        "by the tip": "from the tip's travel, instead of a caliper",
        "assumed": "assumed: measure the tip's travel over three turns",
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
            _length("arm", "Fulcrum to bolt axis", pocket.fulcrum_arm, inputs, arms[inputs.shape.arm.by]),
            _length("butt_length", "Fulcrum to butt end", pocket.butt_length, inputs),
            _length("cover_at_flush", "Cover at flush", pocket.coverage_at_flush, inputs),
            _length("rim_reach", "The rim's reach over the prongs", pocket.rim_reach, inputs),
            _length("depth", "Fulcrum to the limb's back", pocket.limb_depth, inputs),
            _length("pitch", "Rise of the head, a turn", pocket.pitch, inputs),
            Value(
                "fitting_angle",
                "Largest rock angle the fitting allows",
                units.from_si(pocket.fitting_angle, "deg"),
                "deg",
                words.degrees(pocket.fitting_angle),
                inputs.status,
                note=angles[inputs.shape.touch_by],
            ),
        ),
    )
