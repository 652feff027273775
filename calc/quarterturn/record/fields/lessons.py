"""The lessons: a prediction that is made before it is shown, and a number that is read from the calculators."""

from __future__ import annotations

from functools import partial

from quarterturn.record.field_types import AnyField, Option, Scope, TextField
from quarterturn.record.fields.builders import FORCE, LENGTH, TURN, choice, measure

_guess = partial(choice, scope=Scope.READER)
_from = "where the lesson begins"
_turns = partial(measure, TURN, scope=Scope.READER, default_from=_from)
_length = partial(measure, LENGTH, scope=Scope.READER, default_from=_from)
_force = partial(measure, FORCE, scope=Scope.READER, default_from=_from)
_FAR = (-100.0, 100.0, "nothing in this lesson is larger")

LESSONS: tuple[AnyField, ...] = (
    _guess(
        300,
        "lesson_moves",
        "One bolt goes in: and the bow?",
        "Say it before you look.",
        Option("heavier", "gets heavier"),
        Option("lighter", "gets lighter"),
        Option("same", "stays the same"),
    ),
    _length(
        301,
        "lesson_moves_number",
        "The head, in one turn",
        "How far it goes. Turn the bolt in the picture, and read.",
        default=1.0,
        limits=_FAR,
        step=0.01,
    ),
    _guess(
        302,
        "lesson_ends",
        "Past first touch, what holds the limb?",
        "Say it before you look.",
        Option("bolt", "the bolt"),
        Option("fitting", "the fitting of the pocket"),
        Option("string", "the string"),
    ),
    _turns(
        303,
        "lesson_ends_number",
        "First touch, from flush",
        "Turn the bolt in the picture until head and limb part.",
        default=4.0,
        limits=_FAR,
        step=0.05,
    ),
    _guess(
        304,
        "lesson_paper",
        "Coming in, where does paper stop?",
        "Offered at the rim, from outside.",
        Option("before", "before flush"),
        Option("at", "at flush"),
        Option("past", "past flush"),
    ),
    _turns(
        305,
        "lesson_paper_number",
        "How early paper stops",
        "Office paper at the rim. Turn in until it does not go in.",
        default=0.2,
        limits=_FAR,
        step=0.05,
    ),
    _guess(
        306,
        "lesson_bolt",
        "Past flush, where does it touch?",
        "Say it before you look.",
        Option("butt", "on the butt’s side of the bolt"),
        Option("flat", "over the whole flat"),
        Option("tip", "on the side of the limb tip"),
    ),
    _length(
        307,
        "lesson_bolt_number",
        "From axis to contact",
        "Two turns out: how far from the bolt’s axis.",
        default=5.0,
        limits=_FAR,
        step=0.5,
    ),
    _guess(
        308,
        "lesson_weight",
        "Both half a turn in: how much heavier?",
        "Say it before you look.",
        Option("little", "less than 1 lb"),
        Option("some", "1 to 3 lb"),
        Option("much", "more than 3 lb"),
    ),
    _force(
        309,
        "lesson_weight_number",
        "Change of draw weight",
        "Both bolts half a turn in. More is a plus.",
        default=1.0,
        limits=_FAR,
        step=0.05,
    ),
    _guess(
        310,
        "lesson_tiller",
        "The upper bolt goes in: and tiller?",
        "Upper distance less lower distance.",
        Option("less", "gets smaller"),
        Option("more", "gets larger"),
        Option("same", "stays the same"),
    ),
    _length(
        311,
        "lesson_tiller_number",
        "Tiller then",
        "After half a turn in on the upper bolt alone.",
        default=1.0,
        limits=_FAR,
        step=0.5,
    ),
    _guess(
        312,
        "lesson_pair",
        "More weight, tiller as it is: how?",
        "Say it before you look.",
        Option("upper", "turn the upper bolt in"),
        Option("both", "turn both bolts in"),
        Option("against", "turn one in, the other out"),
    ),
    _length(
        313,
        "lesson_pair_number",
        "Change of tiller",
        "Upper bolt half a turn in, lower half a turn out.",
        default=1.0,
        limits=_FAR,
        step=0.5,
    ),
    _guess(
        314,
        "lesson_stop",
        "The scale shows 3 lb too much?",
        "After a step, when 38 lb were expected. Say what you do.",
        Option("on", "do the next step"),
        Option("back", "turn back half a step"),
        Option("stop", "stop, count and weigh again"),
    ),
    TextField(
        number=316,
        name="lesson_first",
        label="What was said first",
        help="The page keeps it: in a task the first prediction counts.",
        max_length=200,
        scope=Scope.READER,
    ),
)
