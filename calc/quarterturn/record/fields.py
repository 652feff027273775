"""The fields of the record, each declared once.

Numbers are permanent: a new field takes a new number, a retired one leaves its number unused. A field that both
bolts have is declared once and made twice; the lower bolt's number is the upper one's plus 20.

Defaults describe one made-up bow, so that a page has a worked example to show. They are nobody's bow.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from quarterturn.record.declare import (
    AnyField,
    ChoiceField,
    NumberField,
    Option,
    Role,
    Scope,
    TextField,
    When,
)

VERSION = 1
BOLTS = ("upper", "lower")
MADE_UP = "a made-up bow, for the worked example"
COMMON = "common practice, no source"

FELT = ("flat", "stop")
"""The bolt families whose ends can be felt."""
COUNTED = ("flat", "stop", "swivel", "pivot")
"""The bolt families for which a position can be counted at all."""

F = TypeVar("F", bound=AnyField)


def _each(make: Callable[[str, int], F]) -> tuple[F, ...]:
    return tuple(make(bolt, 20 * place) for place, bolt in enumerate(BOLTS))


def _family(*families: str) -> When:
    return When("bolt_family", families)


FINE_OR_NOT = (
    Option("fine", "looked at, and in order"),
    Option("unsure", "looked at, and not sure"),
    Option("fault", "something is wrong"),
)

IDENTITY: tuple[AnyField, ...] = (
    TextField(
        number=1,
        name="bow_name",
        label="Name of this bow",
        help="Your own words, so that you know the sheet again. It stays in this browser and in links you make.",
        max_length=60,
        inert="a name changes no number",
    ),
    ChoiceField(
        number=2,
        name="bolt_family",
        label="Which limb bolt has this bow?",
        help="Both bolts of a bow are of the same family. If you are not sure, say so: that is an answer too.",
        role=Role.READING,
        options=(
            Option("flat", "plain flat head", "The limb's butt bears on the flat underside of the head."),
            Option("stop", "flat head with a stop", "A collar, a screw or the end of the thread stops it."),
            Option("swivel", "head that swivels", "A washer or cup under the head tilts with the limb."),
            Option("pivot", "pocket that pivots", "The whole pocket tilts; the bolt moves the pocket."),
            Option("clamp", "bolt that only clamps", "It goes through the limb and holds it fast, often by a pin."),
            Option("unknown", "I do not know", "Find out before anything is turned."),
        ),
        default="flat",
    ),
)

INSPECTION: tuple[AnyField, ...] = (
    ChoiceField(
        number=10,
        name="check_manual",
        label="The maker's manual",
        help="It comes first. Look for the range of the limb bolts, and for anything it forbids.",
        role=Role.READING,
        options=(
            Option("read", "read; it allows the bolts to be turned"),
            Option("none", "there is none to be had"),
            Option("forbids", "it forbids turning them"),
        ),
        default="read",
    ),
    ChoiceField(
        number=11,
        name="check_string_off",
        label="The string",
        help="A bolt is only ever turned with the string off the bow. Use a stringer to take it off.",
        role=Role.READING,
        options=(Option("off", "off the bow"), Option("on", "still on the bow")),
        default="off",
    ),
    ChoiceField(
        number=12,
        name="check_limbs",
        label="Limbs: no crack, no lifting layer, no twist",
        help="Look along both edges and at the tips, in good light, and run a tuft of cotton along the edges.",
        role=Role.READING,
        options=FINE_OR_NOT,
        default="fine",
    ),
    ChoiceField(
        number=13,
        name="check_butt",
        label="Butt, slot and pocket fitting",
        help="No crack at the root of the slot, no crushed butt end; the fitting and its seat whole and tight.",
        role=Role.READING,
        options=FINE_OR_NOT,
        default="fine",
    ),
    ChoiceField(
        number=14,
        name="check_bolt",
        label="Both bolts: head, shank and thread",
        help="Straight, alike, no dent or crack under the head, thread clean; they turn by hand with the lock loose.",
        role=Role.READING,
        options=(*FINE_OR_NOT, Option("seized", "one will not turn")),
        default="fine",
    ),
    ChoiceField(
        number=15,
        name="check_match",
        label="Limbs and riser belong together, upper limb on top",
        help="Same fitting and length class, marks and serial numbers agree, the upper limb in the upper pocket.",
        role=Role.READING,
        options=FINE_OR_NOT,
        default="fine",
    ),
    ChoiceField(
        number=16,
        name="check_lock",
        label="The bolt's lock",
        help="A lock screw or nut that is still tight can damage the thread, and can feel like a stop.",
        role=Role.READING,
        options=(
            Option("loose", "found and backed off"),
            Option("none", "this bow has none, the manual says"),
            Option("unsure", "not found, or not sure"),
        ),
        default="loose",
    ),
)

METHOD: tuple[AnyField, ...] = (
    ChoiceField(
        number=20,
        name="flush_way",
        label="How flush was looked for",
        help="From outside the reading errs to the safe side; from inside it does not; both together bracket flush.",
        role=Role.READING,
        when=(_family(*FELT),),
        options=(
            Option("outside", "from outside", "Turned in until the strip stops going in at the tip side of the head."),
            Option("inside", "from inside", "Backed out until the strip stops going in at the butt end."),
            Option("both", "from both sides", "Zero is the reading from outside."),
        ),
        default="outside",
    ),
    NumberField(
        number=21,
        name="strip_thickness",
        label="Thickness of the strip",
        help="One sheet of 80 g office paper is about 0.10 mm. Ten sheets together, over ten, is a better number.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=0.1,
        default_from="80 g/m² office paper, about 0.10 mm",
        low=0.01,
        high=0.5,
        limits_because="a thinner strip cannot be handled and a thicker one feels nothing",
        step=0.01,
    ),
    NumberField(
        number=22,
        name="smallest_turn",
        label="Smallest part of a turn you count",
        help="An eighth of a turn if you count by the flats of a hexagon key and halves between, a quarter by eye.",
        role=Role.SETTING,
        when=(_family(*COUNTED),),
        units=("turn",),
        default=0.125,
        default_from=COMMON,
        low=0.01,
        high=0.5,
        limits_because="nobody counts finer by hand, and coarser than half a turn is no count",
        step=0.005,
    ),
    NumberField(
        number=23,
        name="play",
        label="Play of the bolt in its thread",
        help="How far the key turns back and forth before the head moves: as a part of a turn.",
        role=Role.SETTING,
        when=(_family(*COUNTED),),
        units=("turn",),
        default=0.05,
        default_from="assumed, no source",
        low=0.0,
        high=0.5,
        limits_because="a thread with half a turn of play is worn out",
        step=0.01,
    ),
    NumberField(
        number=24,
        name="margin",
        label="Margin kept inside both ends",
        help="At least a quarter of a turn (common practice). More costs range and nothing else.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        units=("turn",),
        default=0.25,
        default_from=COMMON,
        low=0.25,
        high=2.0,
        limits_because="a quarter of a turn is the least that common practice keeps, and two turns leave no window",
        step=0.05,
    ),
    NumberField(
        number=25,
        name="maker_in",
        label="Maker's inner limit, turns out from zero",
        help="Only if the manual prints one that counts from the same zero. Leave empty otherwise.",
        role=Role.OPTIONAL,
        when=(_family(*COUNTED),),
        units=("turn",),
        default=0.0,
        default_from=MADE_UP,
        low=0.0,
        high=15.0,
        limits_because="no limb bolt has more turns",
        step=0.25,
        slider_high=8.0,
    ),
    NumberField(
        number=26,
        name="maker_out",
        label="Maker's outer limit, turns out from zero",
        help="Only if the manual prints one that counts from the same zero. Leave empty otherwise.",
        role=Role.OPTIONAL,
        when=(_family(*COUNTED),),
        units=("turn",),
        default=6.0,
        default_from=MADE_UP,
        low=0.0,
        high=15.0,
        limits_because="no limb bolt has more turns",
        step=0.25,
        slider_high=8.0,
    ),
    ChoiceField(
        number=27,
        name="goal",
        label="What should the steps do?",
        help="A bolt outside its window is always brought back first.",
        role=Role.SETTING,
        when=(_family(*COUNTED),),
        options=(
            Option("stay", "leave a bolt that stands inside its window where it is"),
            Option("middle", "bring both bolts to the middle of their windows"),
        ),
        default="stay",
    ),
)


def _count(number: int, name: str, label: str, default: dict[str, float], **rest: object) -> tuple[NumberField, ...]:
    common: dict[str, object] = {
        "units": ("turn",),
        "default_from": MADE_UP,
        "low": 0.0,
        "high": 15.0,
        "limits_because": "counts start at zero and no limb bolt has more turns",
        "step": 0.125,
        "slider_high": 8.0,
        "when": (_family(*FELT),),
    }
    settings = common | rest
    return _each(
        lambda bolt, shift: NumberField(
            number=number + shift,
            name=f"{bolt}_{name}",
            label=f"{bolt.capitalize()} bolt: {label}",
            default=default[bolt],
            **settings,  # type: ignore[arg-type]
        )
    )


def _height(number: int, name: str, label: str) -> tuple[NumberField, ...]:
    return _each(
        lambda bolt, shift: NumberField(
            number=number + shift,
            name=f"{bolt}_{name}",
            label=f"{bolt.capitalize()} bolt: {label}",
            help="Head over the riser's face, by caliper, always at the same spot.",
            role=Role.OPTIONAL,
            when=(_family(*FELT),),
            units=("mm", "in"),
            default={"height_zero": 6.0, "height_touch": 11.5, "height_now": 8.0}[name],
            default_from=MADE_UP,
            low=0.0,
            high=60.0,
            limits_because="a head stands on or over the face, by less than the length of a bolt",
            step=0.1,
            slider_high=20.0,
        )
    )


PER_BOLT: tuple[AnyField, ...] = (
    *_each(
        lambda bolt, shift: ChoiceField(
            number=30 + shift,
            name=f"{bolt}_first_in",
            label=f"{bolt.capitalize()} bolt: what came first, turning in?",
            help="Whichever came first is this bolt's zero. Do not force it on to the other.",
            role=Role.READING,
            when=(_family("stop"),),
            options=(Option("flush", "flush, the strip told"), Option("stop", "the stop, the hand felt it")),
            default="flush",
        )
    ),
    *_count(
        31,
        "stop_turns",
        "from flush in to the stop",
        {"upper": 1.0, "lower": 1.0},
        help="Only if flush came first and you know it. It tells how much is left, it is not a range to use.",
        role=Role.OPTIONAL,
        when=(_family("stop"),),
    ),
    *_count(
        32,
        "bracket",
        "between the two flush readings",
        {"upper": 0.5, "lower": 0.5},
        help="Turns from the reading from inside out to the reading from outside.",
        role=Role.READING,
        when=(_family(*FELT), When("flush_way", ("both",))),
        high=3.0,
        limits_because="a wider gap between the two says that something else was felt",
        slider_high=2.0,
    ),
    *_each(
        lambda bolt, shift: ChoiceField(
            number=33 + shift,
            name=f"{bolt}_touch_found",
            label=f"{bolt.capitalize()} bolt: was first touch reached?",
            help="Never go past the maker's or the thread's limit to look for it.",
            role=Role.READING,
            when=(_family(*FELT),),
            options=(
                Option("yes", "yes, the strip told"),
                Option("no", "no, I stopped at the maker's or the thread's limit"),
            ),
            default="yes",
        )
    ),
    *_count(
        34,
        "touch_turns",
        "from zero out to first touch",
        {"upper": 5.25, "lower": 5.0},
        help="Count on from zero, back out past touch, come in until the strip stops at the butt end: that count.",
        role=Role.READING,
    ),
    *_each(
        lambda bolt, shift: ChoiceField(
            number=35 + shift,
            name=f"{bolt}_now_side",
            label=f"{bolt.capitalize()} bolt: on which side of zero did it stand when you began?",
            role=Role.READING,
            help="In past zero: you had to back it out to come to zero.",
            when=(_family(*COUNTED),),
            options=(Option("out", "out from zero"), Option("in", "in past zero")),
            default="out",
        )
    ),
    *_count(
        36,
        "now_turns",
        "turns from zero to where it stood",
        {"upper": 2.5, "lower": 2.0},
        help="The count between your witness mark and zero. Never negative: the side is asked above.",
        role=Role.READING,
        when=(_family(*COUNTED),),
    ),
    *_height(37, "height_zero", "head height at zero"),
    *_height(38, "height_touch", "head height at first touch"),
    *_height(39, "height_now", "head height where it stood"),
    *_count(
        40,
        "free_turns",
        "from zero out until the thread lets go",
        {"upper": 26.0, "lower": 26.0},
        help="Counted with the limb off. Needed to know how much thread is left; give the thread's diameter too.",
        role=Role.OPTIONAL,
        high=40.0,
        limits_because="no limb bolt has more thread",
        slider_high=30.0,
    ),
    *_each(
        lambda bolt, shift: NumberField(
            number=41 + shift,
            name=f"{bolt}_rim_to_butt",
            label=f"{bolt.capitalize()} limb: rim of the head to the butt end",
            help="Look down on the head: how far the butt end lies inside the rim, on the side away from the tip.",
            role=Role.READING,
            when=(_family(*FELT),),
            units=("mm", "in"),
            default=2.5,
            default_from=MADE_UP,
            low=0.0,
            high=20.0,
            limits_because="it is measured on the head",
            step=0.1,
            slider_high=10.0,
        )
    ),
)

POCKET: tuple[AnyField, ...] = (
    NumberField(
        number=70,
        name="rise",
        label="Rise of the head over these turns",
        help="By caliper, limb off or unloaded: head height after, less head height before.",
        role=Role.SETTING,
        when=(_family(*COUNTED),),
        units=("mm", "in"),
        default=4.23,
        default_from="a 3/8-24 thread, assumed",
        low=0.3,
        high=30.0,
        limits_because="limb bolts rise between 0.5 and 2.5 mm a turn",
        step=0.01,
        slider_high=10.0,
    ),
    NumberField(
        number=71,
        name="rise_turns",
        label="Turns it was measured over",
        help="Four whole turns give the pitch to a few hundredths of a millimetre.",
        role=Role.SETTING,
        when=(_family(*COUNTED),),
        units=("turn",),
        default=4.0,
        default_from=COMMON,
        low=1.0,
        high=10.0,
        limits_because="less than a turn measures nothing and more runs out of thread",
        step=0.5,
    ),
    NumberField(
        number=72,
        name="head_diameter",
        label="Diameter of the head's flat underside",
        help="By caliper over the flat; a bevelled rim does not count.",
        role=Role.READING,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=19.0,
        default_from=MADE_UP,
        low=8.0,
        high=40.0,
        limits_because="heads of limb bolts are of that size",
        step=0.1,
    ),
    NumberField(
        number=73,
        name="slot_width",
        label="Width of the limb's slot",
        help="Between the two prongs, at the bolt.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=10.2,
        default_from=MADE_UP,
        low=3.0,
        high=30.0,
        limits_because="the shank passes through it and the head does not",
        step=0.1,
    ),
    NumberField(
        number=74,
        name="fulcrum_arm",
        label="Fulcrum to bolt axis, along the limb",
        help="From the line on which the limb rocks, at the mouth of the pocket, to the middle of the bolt.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=60.0,
        default_from=MADE_UP,
        low=25.0,
        high=150.0,
        limits_because="pockets of take-down risers are of that size",
        step=0.5,
    ),
    NumberField(
        number=75,
        name="limb_depth",
        label="Fulcrum to the limb's back surface",
        help="The thickness of the limb over the fulcrum, with its shim if it has one.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=8.0,
        default_from=MADE_UP,
        low=2.0,
        high=25.0,
        limits_because="limbs are of that thickness",
        step=0.1,
    ),
    NumberField(
        number=76,
        name="tip_travel",
        label="Free travel of the limb tip",
        help="Bolt far out: how far the tip moves between the fitting's two ends. It foretells first touch.",
        role=Role.OPTIONAL,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=44.4,
        default_from=MADE_UP,
        low=2.0,
        high=200.0,
        limits_because="more would be a fitting that holds nothing",
        step=0.5,
    ),
    NumberField(
        number=77,
        name="tip_length",
        label="Fulcrum to limb tip",
        help="Along the straight line between them.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        units=("mm", "in"),
        default=555.0,
        default_from=MADE_UP,
        low=250.0,
        high=900.0,
        limits_because="limbs are of that length",
        step=1.0,
    ),
    NumberField(
        number=78,
        name="thread_diameter",
        label="Diameter of the thread",
        help="By caliper over the thread's crests.",
        role=Role.OPTIONAL,
        when=(_family(*COUNTED),),
        units=("mm", "in"),
        default=9.5,
        default_from=MADE_UP,
        low=4.0,
        high=16.0,
        limits_because="limb bolts are of that size",
        step=0.1,
    ),
    ChoiceField(
        number=79,
        name="bush_metal",
        label="Metal of the thread in the riser",
        help="Engagement wanted, common practice: one diameter in steel, two in aluminium or when not known.",
        role=Role.SETTING,
        when=(_family(*FELT),),
        options=(
            Option("unknown", "not known: taken as aluminium"),
            Option("aluminium", "aluminium"),
            Option("steel", "a steel bush"),
        ),
        default="unknown",
    ),
    NumberField(
        number=80,
        name="caliper_step",
        label="Smallest step of your caliper",
        help="What its scale or display resolves: 0.1, 0.05 or 0.01 mm.",
        role=Role.SETTING,
        when=(_family(*COUNTED),),
        units=("mm", "in"),
        default=0.1,
        default_from="a plain vernier caliper",
        low=0.01,
        high=1.0,
        limits_because="finer is not repeated by hand and coarser is a ruler",
        step=0.01,
    ),
)

KEPT = "kept for the setup card and for later pages; this page computes nothing from it"

BASELINE: tuple[AnyField, ...] = (
    *_each(
        lambda bolt, shift: NumberField(
            number=90 + shift // 20,
            name=f"{bolt}_tiller",
            label=f"{bolt.capitalize()} limb: string to limb at the pocket",
            help="Strung, before anything is turned: square to the string, at the same spot on both limbs.",
            role=Role.OPTIONAL,
            units=("mm", "in"),
            default={"upper": 179.0, "lower": 175.0}[bolt],
            default_from=MADE_UP,
            low=80.0,
            high=320.0,
            limits_because="strung take-down recurves lie between",
            step=0.5,
        )
    ),
    NumberField(
        number=92,
        name="brace_height",
        label="Brace height",
        help="Strung: from the grip's pivot point to the string, square to the string.",
        units=("mm", "in"),
        default=222.0,
        default_from=MADE_UP,
        low=120.0,
        high=320.0,
        limits_because="strung take-down recurves lie between",
        step=0.5,
        inert=KEPT,
    ),
    NumberField(
        number=93,
        name="nocking_point",
        label="Nocking point over square",
        help="How far the nocking point lies above the square from the rest.",
        units=("mm", "in"),
        default=8.0,
        default_from=MADE_UP,
        low=0.0,
        high=40.0,
        limits_because="it is set at or above square",
        step=0.5,
        inert=KEPT,
    ),
    NumberField(
        number=94,
        name="draw_weight",
        label="Draw weight, as measured before",
        help="On a scale at your own draw length.",
        units=("lbf", "N", "kgf"),
        default=38.0,
        default_from=MADE_UP,
        low=5.0,
        high=120.0,
        limits_because="bows that people draw lie between",
        step=0.5,
        inert=KEPT,
    ),
)

READER: tuple[AnyField, ...] = (
    ChoiceField(
        number=100,
        name="people",
        label="How many are at the bench?",
        help="The procedure is written out for one pair of hands or for two.",
        role=Role.SETTING,
        scope=Scope.READER,
        options=(Option("one", "I am alone"), Option("two", "two of us")),
        default="one",
    ),
    ChoiceField(
        number=101,
        name="length_unit",
        label="Lengths are shown in",
        help="Each box keeps the unit you typed in; this is for the results.",
        role=Role.SETTING,
        scope=Scope.READER,
        options=(Option("mm", "millimetres"), Option("in", "inches")),
        default="mm",
    ),
    ChoiceField(
        number=102,
        name="look_at",
        label="Draw the pockets with the bolt",
        help="It changes the pictures only, and is not kept.",
        role=Role.SETTING,
        scope=Scope.VIEW,
        options=(
            Option("now", "where it stands now"),
            Option("past", "half a turn past zero"),
            Option("zero", "at zero"),
            Option("middle", "in the middle of the window"),
            Option("touch", "at first touch"),
            Option("beyond", "half a turn beyond first touch"),
        ),
        default="now",
    ),
)

FIELDS: tuple[AnyField, ...] = (
    *IDENTITY,
    *INSPECTION,
    *METHOD,
    *PER_BOLT,
    *POCKET,
    *BASELINE,
    *READER,
)
BY_NAME: dict[str, AnyField] = {field.name: field for field in FIELDS}
BY_NUMBER: dict[int, AnyField] = {field.number: field for field in FIELDS}
