"""How the pocket works: turn the bolt, slide the strip, and see where the limb bears and what paper can tell."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.dimensions import dimensions
from quarterturn.bench.family import FAMILIES, can_be_felt
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.strip_resolution import DimensionEffect, effects
from quarterturn.figures.side_view import side_view
from quarterturn.mechanics import pocket as pockets
from quarterturn.record.values import Values
from quarterturn.widgets import sensitivity, words
from quarterturn.widgets.answer import (
    Answer,
    Block,
    Drawing,
    Hand,
    Later,
    Points,
    Stage,
    Value,
    ValueList,
)
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.pocket_explorer import charts, sentences
from quarterturn.widgets.pocket_explorer.form import GROUPS, NAME
from quarterturn.widgets.pocket_explorer.scene import Scene, scene

ASKED = tuple(name for group in GROUPS for name in group.fields)
ASSUMED = (
    "Head and butt are taken as rigid, and the limb as pressed outward by hand, as at the bench.",
    "The slot is open past the head's rim on the tip side, and the pocket has no floor that stops the limb.",
    "Strung and drawn, the limb bends in its pocket, and flush comes sooner as you turn in.",
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show a pocket.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    return explained(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    shown = scene(values, ASKED)
    return Explanation(
        title=sentences.title(shown),
        sentence=sentences.sentence(shown),
        spoken=sentences.spoken(shown),
        parts=tuple(_parts(shown)),
        example=shown.example,
        badge="Your pocket",
    )


def _parts(shown: Scene) -> list[Block | Later]:
    return [
        _picture(shown),
        *_other_bolt(shown),
        _now(shown),
        Later(lambda: charts.gaps(shown)),
        Later(lambda: charts.rock(shown)),
        Later(lambda: charts.table(shown)),
        _places(shown),
        Later(lambda: sensitivity.figure(_effects(shown), NAME)),
        Later(lambda: sensitivity.table(_effects(shown), shown.unit)),
        _dimensions(shown),
        Points("assumed", "Under these assumptions", ASSUMED),
        Points("sources", "Where it comes from", (source("statics"), source("common-practice")), folded=True),
    ]


def _effects(shown: Scene) -> tuple[DimensionEffect, ...]:
    measured = dimensions(shown.limb, shown.values, shown.shape, shown.pitch, shown.strip)
    return effects(shown.pocket, shown.strip, measured)


def _picture(shown: Scene) -> Drawing:
    low, high = charts.ends(shown.pocket)
    picture = side_view(
        shown.pocket,
        shown.turns,
        shown.strip,
        prefix=f"{NAME}-side",
        strip_side=shown.side,
        strip_pushed=shown.pushed,
        title=f"The {shown.limb} limb in its pocket, from the side",
        name="side",
        drag_field="turns_shown",
        drag_low=low,
        drag_high=high,
    )
    hand = Hand("turns_shown", "Turn the bolt", low, high, 0.05, shown.turns, sentences.from_flush(shown.turns))
    return Drawing(picture, "Use the slider, or take hold of the bolt and pull it.", hands=(hand,))


def _other_bolt(shown: Scene) -> list[Points]:
    name = shown.values.choice("bolt_family")
    if not shown.values.entered("bolt_family") or can_be_felt(name):
        return []
    sentence = f"What is shown here is a flat head, and your bow has another bolt. {FAMILIES[name].reason}"
    return [Points("other-bolt", "Not your bolt", (sentence,), "caution")]


def _length(name: str, label: str, value: float | None, shown: Scene, note: str = "") -> Value:
    if value is None:
        return Value(name, label, None, "", "none", shown.status, note=note)
    unit = shown.unit
    return Value(name, label, units.from_si(value, unit), unit, words.length(value, unit), shown.status, note=note)


def _turns(name: str, label: str, value: float | None, shown: Scene, note: str = "", none: str = "none") -> Value:
    text = none if value is None else words.turns(value)
    return Value(name, label, value, "" if value is None else "turn", text, shown.status, note=note)


def _now(shown: Scene) -> ValueList:
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


def _places(shown: Scene) -> ValueList:
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


def _foretold(shown: Scene) -> tuple[Value, ...]:
    travel = shown.values.optional("tip_travel")
    if travel is None:
        return ()
    angle = travel / shown.values.number("tip_length")
    touch = pockets.first_touch(pockets.with_fitting_angle(shown.pocket, angle))
    return (_turns("touch_foretold", "First touch foretold by the tip's free travel", touch, shown),)


def _dimensions(shown: Scene) -> ValueList:
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


FACTS = ("side", "other-bolt", "now", "gaps", "rock", "behind", "places", "matters", "matters-table", "dimensions")
WIDGET = Widget(
    name=NAME,
    title="How the pocket works",
    groups=GROUPS,
    work=work,
    facts=frozenset((*FACTS, "assumed", "sources")),
    explains=True,
    next=(Stage("See what the bolt carries", "load", "", "read"),),
)
