"""The made-up bolt on the practice bench: of the reader, of no bow."""

from __future__ import annotations

from functools import partial

from quarterturn.record.field_types import AnyField, ChoiceField, Condition, NumberField, Option, Role, Scope, TextField
from quarterturn.record.fields.builders import TURN, choice, measure

_choice = partial(choice, scope=Scope.READER)
_count = partial(measure, TURN, scope=Scope.READER, default_from="where the practice begins")
_turns = partial(_count, default=0.0)
_count_of = partial(measure, ("count",), scope=Scope.READER, step=1.0, default_from="where the practice begins")
_WAY = (Option("not", "not turned yet"), Option("in", "in"), Option("out", "out"))
_PLACES = (Option("rim", "at the rim, on the side toward the limb tip"), Option("butt", "at the butt end"))
_STRIPS = (
    Option("paper", "office paper, 0.10 mm"),
    Option("thin", "cigarette paper, 0.03 mm"),
    Option("card", "thin card, 0.25 mm"),
)
_PRONGS = (Option("both", "both prongs"), Option("near", "the near prong"), Option("far", "the far prong"))
_TIPS = (Option("free", "let go"), Option("eased", "eased toward the archer’s side"))
_CLOSED = (Condition("practice_level", ("paper", "play", "found")),)
_FAR = (-20.0, 20.0, "no limb bolt has more turns")


def _whole(number: int, name: str, label: str, help: str, *, default: float, most: float) -> NumberField:
    """A whole number from 1 on."""
    limits = (1.0, most, "there are no others")
    return _count_of(number, name, label, help, default=default, limits=limits)


def _kept(first: int, name: str, what: str) -> tuple[NumberField | ChoiceField, ...]:
    """How the hand was when a reading was made; the page keeps it."""
    return (
        _turns(first, f"practice_{name}", f"{what} at", "From where the bolt was found.", limits=_FAR, step=0.125),
        _choice(first + 1, f"practice_{name}_came", f"{what}: turned last", "Which way the key went before it.", *_WAY),
        _choice(first + 2, f"practice_{name}_offered", f"{what}: strip", "Where it was offered.", *_PLACES),
        _choice(first + 3, f"practice_{name}_strip", f"{what}: kind of strip", "Which was taken.", *_STRIPS),
        _choice(first + 4, f"practice_{name}_prong", f"{what}: felt over", "Over one prong or both.", *_PRONGS),
        _choice(first + 5, f"practice_{name}_tip", f"{what}: tip", "Eased or not.", *_TIPS),
    )


PRACTICE: tuple[AnyField, ...] = (
    _choice(
        260,
        "practice_level",
        "How hard?",
        "Begin with the first. Each has its own made-up bolts.",
        Option("sight", "pocket open", "You see where they touch."),
        Option("paper", "with paper", "Closed: you have a strip."),
        Option("play", "play and a stop", "Closed, and you count."),
        Option("found", "as found", "Is it still in its range?"),
        role=Role.SETTING,
    ),
    measure(
        ("count",),
        261,
        "practice_bolt",
        "Number of the made-up bolt",
        "The same number is the same bolt for everybody.",
        scope=Scope.READER,
        role=Role.SETTING,
        default=1.0,
        default_from="the first one",
        limits=(1.0, 99_999.0, "these are made up"),
        step=1.0,
    ),
    _turns(
        262,
        "practice_turned",
        "Turn the bolt",
        "From where you found it. A minus is in.",
        role=Role.SETTING,
        limits=_FAR,
        step=0.125,
        slider_high=8.0,
    ),
    _turns(
        263, "practice_before", "Bolt, as answered last", "It shows which way the bolt went.", limits=_FAR, step=0.125
    ),
    _choice(264, "practice_came", "Turned last", "The page writes it down.", *_WAY),
    _turns(265, "practice_deepest", "Farthest in so far", "The page writes it down.", limits=_FAR, step=0.125),
    _choice(
        266,
        "practice_offered",
        "Offer the strip",
        "At the rim for flush, at the butt end for first touch.",
        *_PLACES,
        role=Role.SETTING,
        when=_CLOSED,
    ),
    _choice(
        267,
        "practice_strip",
        "Take a strip",
        "A thinner one is better, and harder to feel.",
        *_STRIPS,
        role=Role.SETTING,
        when=_CLOSED,
    ),
    _choice(
        268,
        "practice_prong",
        "Feel over",
        "The slotted butt has two prongs.",
        *_PRONGS,
        default="near",
        role=Role.SETTING,
        when=_CLOSED,
    ),
    _choice(
        269,
        "practice_tip",
        "The limb’s tip is",
        "Eased, the butt rises against the head.",
        *_TIPS,
        role=Role.SETTING,
        when=_CLOSED,
    ),
    *_kept(270, "zero", "Zero"),
    *_kept(276, "touch", "First touch"),
    _count(
        282,
        "practice_now_turns",
        "Your mark, from zero",
        "Where the bolt was when you began.",
        default=2.5,
        limits=(0.0, 20.0, "no limb bolt has more turns"),
        step=0.125,
    ),
    _choice(
        283,
        "practice_now_side",
        "Your mark was",
        "Seen from zero.",
        Option("out", "out from zero"),
        Option("in", "in past zero"),
    ),
    _count(
        284,
        "practice_touch_turns",
        "First touch, from zero",
        "Counted out from zero.",
        default=5.0,
        limits=(0.0, 20.0, "no limb bolt has more turns"),
        step=0.125,
    ),
    _count(
        285,
        "practice_inner",
        "I would use it from",
        "Turns out from zero.",
        default=0.25,
        limits=(-5.0, 20.0, "no limb bolt has more turns"),
        step=0.25,
    ),
    _count(
        286,
        "practice_outer",
        "I would use it to",
        "Turns out from zero.",
        default=4.5,
        limits=(-5.0, 20.0, "no limb bolt has more turns"),
        step=0.25,
    ),
    _choice(
        287,
        "practice_stands",
        "Where was it when you found it?",
        "By your two counts.",
        Option("inside", "inside its range"),
        Option("inner", "past flush: stop"),
        Option("outer", "past first touch: stop"),
    ),
    _choice(
        288, "practice_shown", "Show the truth", "The pocket is opened.", Option("no", "not yet"), Option("yes", "yes")
    ),
    _whole(289, "practice_task", "Number of the task", "Your instructor has it.", default=4711.0, most=99_999.0),
    _whole(290, "practice_student", "Your number in the class", "Each has another bolt.", default=1.0, most=999.0),
    _whole(291, "practice_class", "Students in the class", "The key lists all of them.", default=12.0, most=40.0),
    _choice(
        292,
        "practice_key",
        "Show the answer key",
        "Whoever opens this page can.",
        Option("no", "no"),
        Option("yes", "yes"),
    ),
    TextField(
        number=293,
        name="practice_code",
        label="Code of a finished task",
        help="14 or 19 digits, as the student’s page shows them.",
        max_length=40,
        scope=Scope.READER,
    ),
    TextField(
        number=315,
        name="practice_lessons",
        label="Lessons of the task",
        help="If any: their numbers, 1 to 8, such as 1, 3, 6.",
        max_length=40,
        scope=Scope.READER,
    ),
)
