"""Which bow and which limb bolts it has; what was counted and measured at each of the two bolts."""

from __future__ import annotations

from functools import partial

from quarterturn.record.field_types import AnyField, Condition, Option, Role
from quarterturn.record.fields.builders import (
    COUNTED,
    FELT,
    LENGTH,
    STOPPED,
    TURN,
    choice,
    choice_pair,
    length,
    measure,
    pair,
    text,
    turns,
)

_count = partial(
    measure,
    TURN,
    limits=(0.0, 15.0, "counts start at zero and no limb bolt has more turns"),
    step=0.125,
    slider_high=8.0,
)
_height = partial(
    measure,
    LENGTH,
    help="Height of the head above the riser's face, by caliper, always at the same spot.",
    limits=(0.0, 60.0, "a head is on or above the face, by less than the length of a bolt"),
    step=0.1,
    slider_high=20.0,
    when=FELT,
)

IDENTITY: tuple[AnyField, ...] = (
    text(
        1,
        "bow_name",
        "Name of this bow",
        "Your own words. They stay in this browser and in links you make.",
        max_length=60,
        inert="a name changes no number",
    ),
    choice(
        2,
        "bolt_family",
        "Which kind of limb bolt?",
        "Both bolts are of the same kind. Not sure? Say so: that is an answer.",
        Option("flat", "plain flat head", "The limb's butt touches the flat underside of the head."),
        Option("stop", "flat head with a stop", "A collar, a screw or the end of the thread stops it."),
        Option("swivel", "head that swivels", "A washer or cup under the head tilts with the limb."),
        Option("pivot", "pocket that pivots", "The whole pocket tilts; the bolt moves the pocket."),
        Option("clamp", "bolt that only clamps", "It goes through the limb and clamps it, often with a pin."),
        Option("unknown", "I do not know", "Find out before you turn anything."),
        Option("under", "screw under the limb", "A bolt holds the limb; a screw under it sets it."),
        Option("two", "two bolts a limb", "Two bolts, one behind the other, hold each limb."),
        Option("fixed", "bow of one piece", "The limbs are part of it: there is no bolt."),
        role=Role.READING,
    ),
)

PER_BOLT: tuple[AnyField, ...] = (
    *choice_pair(
        choice(
            30,
            "upper_first_in",
            "Upper bolt: what came first?",
            "Turning in, whichever comes first is this bolt's zero. Never force it on to the other.",
            Option("flush", "flush, felt with the strip"),
            Option("stop", "the stop, felt by hand"),
            role=Role.READING,
            when=STOPPED,
        )
    ),
    *pair(
        _count(
            31,
            "upper_stop_turns",
            "Upper bolt: flush to stop",
            "Turns in, only if flush came first and you know them: what is left, not a range to use.",
            default=1.0,
            when=STOPPED,
        )
    ),
    *pair(
        turns(
            32,
            "upper_bracket",
            "Upper bolt: gap between readings",
            "Turns out from the flush reading from inside to the one from outside.",
            default=0.5,
            limits=(0.0, 3.0, "a wider gap between the two means that you felt something else"),
            step=0.125,
            slider_high=2.0,
            role=Role.READING,
            when=(*FELT, Condition("flush_way", ("both",))),
        )
    ),
    *choice_pair(
        choice(
            33,
            "upper_touch_found",
            "Upper bolt: was first touch reached?",
            "Never go past the maker's or the thread's limit to look for it.",
            Option("yes", "yes, felt with the strip"),
            Option("no", "no, I stopped at the maker's or the thread's limit"),
            role=Role.READING,
            when=FELT,
        )
    ),
    *pair(
        _count(
            34,
            "upper_touch_turns",
            "Upper bolt: first touch",
            "Turns out from zero. Back out past touch, come in until the strip stops at the butt end.",
            default=5.25,
            role=Role.READING,
            when=FELT,
        ),
        lower=5.0,
    ),
    *choice_pair(
        choice(
            35,
            "upper_now_side",
            "Upper bolt: which side of zero?",
            "Where it was when you began. In past zero: you backed it out to reach zero.",
            Option("out", "out from zero"),
            Option("in", "in past zero"),
            role=Role.READING,
            when=COUNTED,
        )
    ),
    *pair(
        _count(
            36,
            "upper_now_turns",
            "Upper bolt: turns from zero",
            "Count between your witness mark and zero. Never a minus: the side is asked above.",
            default=2.5,
            role=Role.READING,
            when=COUNTED,
        ),
        lower=2.0,
    ),
    *pair(_height(37, "upper_height_zero", "Upper bolt: height at zero", default=6.0)),
    *pair(_height(38, "upper_height_touch", "Upper bolt: height at touch", default=11.5)),
    *pair(_height(39, "upper_height_now", "Upper bolt: height at mark", default=8.0)),
    *pair(
        turns(
            40,
            "upper_free_turns",
            "Upper bolt: turns of thread",
            "Limb off: count out from zero until the thread lets go. Enter the thread's diameter too.",
            default=26.0,
            limits=(0.0, 40.0, "no limb bolt has more thread"),
            step=0.125,
            slider_high=30.0,
            when=FELT,
        )
    ),
    *pair(
        turns(
            43,
            "upper_free_from_mark",
            "Upper bolt: thread from mark",
            "Limb off: from the mark, count out until the bolt comes free. Come back by the same count.",
            default=23.5,
            limits=(0.0, 40.0, "no limb bolt has more thread"),
            step=0.125,
            slider_high=30.0,
            when=FELT,
        ),
        lower=24.0,
    ),
    *pair(
        length(
            41,
            "upper_rim_to_butt",
            "Upper limb: rim to butt",
            "Look down on the head, on the side away from the tip: how far the butt end is inside the rim.",
            default=2.5,
            limits=(0.0, 20.0, "it is measured on the head"),
            step=0.1,
            slider_high=10.0,
            role=Role.READING,
            when=FELT,
        )
    ),
)

STAND: tuple[AnyField, ...] = (
    *pair(
        length(
            42,
            "upper_stand_zero",
            "Upper bolt: thread to head",
            "At zero, by the caliper's depth rod: from the start of the riser's thread to the head's underside.",
            default=12.0,
            limits=(1.0, 60.0, "the limb's butt is between, and a bolt is no longer"),
            step=0.1,
            slider_high=30.0,
            when=FELT,
        )
    ),
)
