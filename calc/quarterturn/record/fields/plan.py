"""What is wanted, what was tried, what the plan started from, and what was measured after it."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField, Option, Role
from quarterturn.record.fields.builders import (
    bolt_position,
    brace_height,
    choice,
    day,
    draw_weight,
    length,
    pair,
    string_to_limb,
    turns,
)

TRIED: tuple[AnyField, ...] = (
    choice(
        157,
        "tried_move",
        "Which turn did you try?",
        "One bolt only, string off, inside its window; then strung again and measured at the same spots.",
        Option("upper_in", "upper bolt in"),
        Option("upper_out", "upper bolt out"),
        Option("lower_in", "lower bolt in"),
        Option("lower_out", "lower bolt out"),
        role=Role.SETTING,
    ),
    turns(
        158,
        "tried_turns",
        "How far was it turned?",
        "From where it stood before. In steps of half a turn, unstrung each time.",
        default=1.0,
        default_from="one turn, to have a question",
        limits=(0.25, 4.0, "less than a quarter moves too little to be read, and four turns are most of a window"),
        step=0.25,
        role=Role.SETTING,
    ),
    *pair(
        string_to_limb(
            159,
            "upper_tried_tiller",
            "Upper limb, after that turn: string to limb",
            "Strung again, the same spot, the same way. Both limbs are needed.",
            default=175.5,
        ),
        lower=176.2,
    ),
)

WISHES: tuple[AnyField, ...] = (
    draw_weight(
        165,
        "wanted_weight",
        "Draw weight that you want",
        "At your own draw length, as on the scale. Empty means: as it was when the plan was made.",
        step=0.25,
        slider_high=60.0,
        dated_by="planned_on",
    ),
    length(
        166,
        "wanted_tiller",
        "Tiller that you want",
        "Upper less lower; a minus if the lower limb is the farther one. Empty means: as it was when the plan was "
        "made.",
        default=4.0,
        limits=(-25.0, 25.0, "no bow is shot with more"),
        step=0.5,
        dated_by="planned_on",
    ),
    length(
        167,
        "tiller_worth",
        "One pound counts as much as this much tiller",
        "What is the worse for you: a pound off, or so many millimetres? More here: draw weight matters more.",
        default=2.0,
        default_from="our own choice, no source",
        limits=(0.1, 20.0, "beyond that one of the two would not count at all"),
        step=0.1,
        slider_high=10.0,
        role=Role.SETTING,
    ),
    choice(
        190,
        "foretell_by",
        "Foretell by",
        "Your own readings count once two settings are in your log. Both together: each as far as it is sure.",
        Option("both", "both, each as far as it is sure"),
        Option("bow", "the computed bow alone"),
        Option("readings", "your own readings, where there are two"),
        role=Role.SETTING,
    ),
)

PLANNED: tuple[AnyField, ...] = (
    day(
        206,
        "planned_on",
        "Plan made on",
        "From this day on an empty wish means what is kept below. It is filled in when you say what you want.",
    ),
    draw_weight(
        207,
        "planned_weight",
        "Draw weight when the plan was made",
        "What an empty wish for draw weight means until you make a new plan.",
        step=0.25,
        slider_high=60.0,
    ),
    length(
        208,
        "planned_tiller",
        "Tiller when the plan was made",
        "What an empty wish for tiller means until you make a new plan.",
        default=4.0,
        limits=(-100.0, 100.0, "no strung bow has more"),
        step=0.5,
    ),
    *pair(
        bolt_position(
            209,
            "planned_upper",
            "Upper bolt when the plan was made",
            "Turns out from zero. By it the page counts which step of the plan comes next.",
        ),
        lower=2.0,
    ),
)

AFTER: tuple[AnyField, ...] = (
    draw_weight(
        176,
        "weight_after",
        "Draw weight, weighed after the change",
        "The same scale, the same draw length. It counts in place of what is foretold.",
    ),
    brace_height(
        178,
        "brace_after",
        "Brace height, measured after the change",
        "With the same string, before a twist is added or taken out. It counts in place of what is foretold.",
    ),
)
