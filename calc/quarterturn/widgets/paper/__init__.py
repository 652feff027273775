"""What paper can and cannot tell: the resolution of a strip, its doubts, and how to do better."""

from __future__ import annotations

import math

from quarterturn.bench.dimensions import dimensions
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.strip_resolution import DimensionEffect, effects
from quarterturn.numbers import fixed, quarters, settle
from quarterturn.record.values import Values
from quarterturn.widgets import sensitivity, words
from quarterturn.widgets.answer import (
    Answer,
    Block,
    Group,
    Later,
    Points,
    Stage,
    Value,
    ValueList,
)
from quarterturn.widgets.explained import Explanation, explained, source
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.paper import better, charts
from quarterturn.widgets.paper.asked import LARGEST, NAME, Asked, asked

GROUPS = (
    Group("strip", "The strip", "", ("strip_thickness", "strip_wanted", "limb_shown")),
    Group(
        "hand",
        "How finely you count and measure",
        "What you leave empty is assumed.",
        ("smallest_turn", "play", "caliper_step", "rise", "rise_turns"),
    ),
    Group(
        "head",
        "Head and lever",
        "What you leave empty is the example's.",
        (
            *("head_diameter", "upper_rim_to_butt", "lower_rim_to_butt", "slot_width", "fulcrum_arm", "limb_depth"),
            "length_unit",
        ),
        folded=True,
    ),
)
ASKED = tuple(name for group in GROUPS for name in group.fields)


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what a strip can tell.

    Raises:
        Refusal: where an entry of this form cannot be used, or the dimensions are no pocket's.
    """
    return explained(NAME, _explain(values))


def _explain(values: Values) -> Explanation:
    about = asked(values, ASKED)
    title = _title(about)
    return Explanation(
        title=title,
        sentence=_sentence(about),
        spoken=f"{title}.",
        parts=tuple(_parts(about)),
        example=about.example,
        badge="Your strip",
    )


def _title(about: Asked) -> str:
    strip = words.length(about.strip, about.unit)
    if about.told.outside is None:
        return f"A strip of {strip} is too thick to tell flush here"
    return f"With a strip of {strip} you feel flush up to {_up(about.told.outside)} early"


def _up(turns: float) -> str:
    """In quarters of a turn, rounded up: so much at most."""
    size = math.ceil(settle(4 * turns) - 1e-9) / 4
    return f"{quarters(size)} {words.turn_word(size)}"


def _sentence(about: Asked) -> str:
    told = about.told
    if told.outside is None:
        first = (
            "Coming in from outside, it stops at the rim before the head has even touched the limb, so it tells "
            "nothing about flush. Take a thinner strip."
        )
    else:
        first = "Coming in from outside, it stops before true flush. That is the careful side."
    second = (
        "From inside it never goes in at all."
        if told.inside is None
        else f"Backing out, it stops up to {_up(told.inside)} late. That is not careful, so the worksheet takes all of "
        "it off."
    )
    third = f"First touch it tells within {_up(told.touch)}."
    return f"{first} {second} {third}"


def _parts(about: Asked) -> list[Block | Later]:
    return [
        _told(about),
        charts.thickness(about),
        Later(lambda: charts.thickness_table(about)),
        Later(lambda: better.table(about)),
        Later(lambda: charts.head(about)),
        Later(lambda: charts.lever(about)),
        Later(lambda: charts.head_and_lever_table(about)),
        Later(lambda: better.budgets(about)),
        Later(lambda: better.shares(about)),
        Later(lambda: sensitivity.figure(_effects(about), NAME)),
        Later(lambda: sensitivity.table(_effects(about), about.unit)),
        Points("assumed", "Under these assumptions", ASSUMED),
        Points("sources", "Where it comes from", tuple(map(source, SOURCES_USED)), folded=True),
    ]


def _effects(about: Asked) -> tuple[DimensionEffect, ...]:
    measured = dimensions(about.limb, about.values, about.shape, about.pitch, about.strip)
    return effects(about.pocket, about.strip, measured)


ASSUMED = (
    "Head and butt are taken as rigid and clean. Paint, a burr or a crease in the strip adds to its thickness.",
    "The strip is felt where it stops going in. How hard a hand pushes is not in the numbers: push as lightly for both "
    "readings.",
    f"A strip may be off its thickness by {fixed(100 * LARGEST, 0)} % either way, evenly likely.",
)
SOURCES_USED = ("gum", "iso-534", "statics", "common-practice")


def _told(about: Asked) -> ValueList:
    told, thick = about.told, "too thick to tell"

    def turns(name: str, label: str, value: float | None, note: str) -> Value:
        text = thick if value is None else words.turns(value)
        return Value(name, label, value, "" if value is None else "turn", text, about.status, note=note)

    return ValueList(
        "told",
        "What this strip can tell",
        (
            turns("flush_outside", "Flush, looked for from outside", told.outside, "read too early; the careful side"),
            turns("flush_inside", "Flush, looked for from inside", told.inside, "read too late; all is taken off"),
            turns("flush_both", "Flush, from both sides", told.both, "true flush lies between the two readings"),
            turns("touch_outside", "First touch, from outside", told.touch, "read too early; taken off as well"),
            Value(
                "strip_for_wanted",
                f"A strip that tells flush to {words.turns(about.wanted)}",
                about.length(about.thin_enough),
                about.unit,
                words.length(about.thin_enough, about.unit, 3 if about.unit == "mm" else 4),
                about.status,
                note="at most so thick",
            ),
        ),
    )


FACTS = (
    *("told", "thickness", "thickness-table", "better", "head", "lever", "sizes-table", "budgets", "shares"),
    *("matters", "matters-table", "assumed", "sources"),
)
WIDGET = Widget(
    name=NAME,
    title="What paper can and cannot tell",
    groups=GROUPS,
    work=work,
    facts=frozenset(FACTS),
    explains=True,
    next=(Stage("Find the safe range at the bench", "safe-range", "worksheet", "read"),),
)
