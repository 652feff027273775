"""What is the reader's own, and what changes only what a page shows."""

from __future__ import annotations

from functools import partial

from quarterturn.record.field_types import AnyField, Option, Role, Scope
from quarterturn.record.fields.builders import LENGTH, TURN, choice, measure, pair

_choice = partial(choice, role=Role.SETTING, scope=Scope.VIEW)
_length = partial(measure, LENGTH, role=Role.SETTING, scope=Scope.VIEW)
_turns = partial(measure, TURN, role=Role.SETTING, scope=Scope.VIEW)

READER: tuple[AnyField, ...] = (
    choice(
        100,
        "people",
        "How many are at the bench?",
        "The steps are written for one pair of hands or for two.",
        Option("one", "I am alone"),
        Option("two", "two of us"),
        role=Role.SETTING,
        scope=Scope.READER,
    ),
    choice(
        101,
        "length_unit",
        "Unit of lengths",
        "For results and empty boxes. Until you choose, it is the unit that you type most lengths in.",
        Option("mm", "millimetres"),
        Option("in", "inches"),
        role=Role.SETTING,
        scope=Scope.READER,
    ),
)

VIEW: tuple[AnyField, ...] = (
    _choice(
        102,
        "look_at",
        "Where is the bolt drawn?",
        "It changes only the pictures, and is not kept.",
        Option("now", "where it is now"),
        Option("past", "half a turn past zero"),
        Option("zero", "at zero"),
        Option("middle", "in the middle of the safe range"),
        Option("touch", "at first touch"),
        Option("beyond", "half a turn beyond first touch"),
    ),
    _turns(
        140,
        "turns_shown",
        "Turn the bolt",
        "Turns out from flush; a minus is in past flush. The slider and the picture turn it too.",
        default=2.0,
        default_from="where the picture begins",
        limits=(-3.0, 15.0, "farther in no limb survives, and no limb bolt has more turns"),
        step=0.05,
        slider_high=7.0,
    ),
    _choice(
        141,
        "limb_shown",
        "Which limb?",
        "Each has its own butt end and its own first touch.",
        Option("upper", "the upper limb"),
        Option("lower", "the lower limb"),
    ),
    _choice(
        142,
        "strip_offered",
        "Where is the strip?",
        "At the rim: flush from outside. At the butt end: flush from inside, and first touch.",
        Option("rim", "at the rim, on the side toward the limb tip"),
        Option("butt", "at the butt end"),
    ),
    _length(
        143,
        "strip_pushed",
        "Slide the strip in",
        "How far you push it. It stops where the gap is no wider than the strip.",
        default=12.0,
        default_from="where the picture begins",
        limits=(0.0, 40.0, "no head is wider"),
        step=0.5,
        slider_high=20.0,
    ),
    _choice(
        144,
        "strip_shown",
        "Choose the strip",
        "Thickness varies. Measure ten sheets with a caliper and divide by ten.",
        Option("mine", "the one you entered", "Office paper of 0.10 mm until you enter yours."),
        Option("thin", "cigarette paper, 0.03 mm"),
        Option("shim", "a feeler blade of 0.05 mm"),
        Option("card", "thin card, 0.25 mm"),
    ),
    _turns(
        145,
        "strip_wanted",
        "How finely do you want to know flush?",
        "In turns. The answer is how thin a strip you need.",
        default=0.1,
        default_from="a tenth of a turn, to have a question",
        limits=(0.02, 1.0, "finer is not felt, and coarser needs no strip"),
        step=0.01,
    ),
    _choice(
        146,
        "bolt_material",
        "Material of the bolt",
        "To compare materials in the same contact. It changes nothing of your bow, and chooses no bolt.",
        Option("steel88", "steel, class 8.8"),
        Option("steel109", "steel, class 10.9"),
        Option("steel129", "steel, class 12.9"),
        Option("stainless", "stainless steel, A2-70"),
        Option("aluminium7075", "aluminium 7075-T6"),
        Option("aluminium6061", "aluminium 6061-T6"),
        Option("titanium", "titanium Ti-6Al-4V"),
    ),
    _choice(
        154,
        "bow_shown",
        "Show the bow",
        "It changes only the picture.",
        Option("braced", "strung, not drawn"),
        Option("drawn", "drawn to your draw length"),
    ),
    *pair(
        _turns(
            155,
            "upper_change",
            "Upper bolt: turn it by",
            "From where it is. A minus is in. Your entries stay as they are.",
            default=-0.5,
            default_from="where the page begins",
            limits=(-8.0, 8.0, "no safe range is wider"),
            step=0.25,
        ),
        lower=0.0,
    ),
)
