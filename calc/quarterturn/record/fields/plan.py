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
        "Which test turn?",
        "One bolt, string off, inside its safe range. Then string it and measure at the same spots.",
        Option("upper_in", "upper bolt in"),
        Option("upper_out", "upper bolt out"),
        Option("lower_in", "lower bolt in"),
        Option("lower_out", "lower bolt out"),
        role=Role.SETTING,
    ),
    turns(
        158,
        "tried_turns",
        "How far did you turn it?",
        "From where it was before. In steps of half a turn, unstrung each time.",
        default=1.0,
        default_from="one turn, to have a question",
        limits=(0.25, 4.0, "less than a quarter moves too little to read, and four turns are most of a safe range"),
        step=0.25,
        role=Role.SETTING,
    ),
    *pair(
        string_to_limb(
            159,
            "upper_tried_tiller",
            "Upper limb, after that turn",
            "String to limb: strung again, same spot, same way. Both limbs are needed.",
            default=175.5,
        ),
        lower=176.2,
    ),
)

WISHES: tuple[AnyField, ...] = (
    draw_weight(
        165,
        "wanted_weight",
        "Wanted draw weight",
        "At your own draw length. Empty: as it was when you made the plan.",
        step=0.25,
        slider_high=60.0,
        dated_by="planned_on",
    ),
    length(
        166,
        "wanted_tiller",
        "Wanted tiller",
        "Upper less lower; a minus if the lower limb is farther. Empty: as it was when you made the plan.",
        default=4.0,
        limits=(-25.0, 25.0, "no bow is shot with more"),
        step=0.5,
        dated_by="planned_on",
    ),
    length(
        167,
        "tiller_worth",
        "What matters more, weight or tiller?",
        "How much tiller matters as much as one pound. More here: draw weight matters more.",
        default=2.0,
        default_from="our own choice, no source",
        limits=(0.1, 20.0, "beyond that one of the two would not matter at all"),
        step=0.1,
        slider_high=10.0,
        role=Role.SETTING,
    ),
    choice(
        190,
        "foretell_by",
        "Base it on",
        "Your own readings count once your log has two settings. Both: each as far as it is sure.",
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
        "Your wish fills it in. From this day an empty box above means the values below.",
    ),
    draw_weight(
        207,
        "planned_weight",
        "Draw weight when planned",
        "What an empty box for draw weight means until you make a new plan.",
        step=0.25,
        slider_high=60.0,
    ),
    length(
        208,
        "planned_tiller",
        "Tiller when planned",
        "What an empty box for tiller means until you make a new plan.",
        default=4.0,
        limits=(-100.0, 100.0, "no strung bow has more"),
        step=0.5,
    ),
    *pair(
        bolt_position(
            209,
            "planned_upper",
            "Upper bolt when planned",
            "Turns out from zero. The steps of the plan are counted from here.",
        ),
        lower=2.0,
    ),
)

AFTER: tuple[AnyField, ...] = (
    draw_weight(
        176,
        "weight_after",
        "Draw weight after the change",
        "Same scale, same draw length. It is used instead of the prediction.",
    ),
    brace_height(
        178,
        "brace_after",
        "Brace height after the change",
        "Same string, before you add or take out a twist. It is used instead of the prediction.",
    ),
)
