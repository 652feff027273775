"""What each lesson asks, what is right, and which step of a wrong number went wrong.

Every number is worked out from the record: the made-up example, or the reader's own bow where one is entered.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from quarterturn.bench.shape import ShapeError, pitch_and_resolution, shape_of
from quarterturn.bench.strip_resolution import strip_resolution
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.numbers import at_most, fixed
from quarterturn.record.entries import Entry, Record
from quarterturn.record.field_types import Scope
from quarterturn.record.fields import BY_NAME
from quarterturn.record.values import Values
from quarterturn.units import to_si
from quarterturn.widgets import turn_prediction
from quarterturn.widgets.answer import Refusal

HALF = 0.5
PAPER = 0.1e-3
"""The strip of the lesson on paper, m."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A wrong number that a certain mistake gives: what it gives, SI or turns, and the sentence for it."""

    value: float
    sentence: str


@dataclass(frozen=True, slots=True)
class RightNumber:
    """The number that is right, SI or turns, how near is near enough, and the slips that are known."""

    value: float
    within: float
    slips: tuple[Slip, ...] = ()


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson.

    Attributes:
        key: the ends of its fields' names.
        title: a few words.
        right: the answer to the question, of the record's bow.
        why: why, with the numbers of the record.
        number: the number that is asked for; None where there is none.
    """

    key: str
    title: str
    right: Callable[[Values], str]
    why: Callable[[Values], str]
    number: Callable[[Values], RightNumber] | None

    @property
    def question(self) -> str:
        """The field of the prediction."""
        return f"lesson_{self.key}"

    @property
    def answer(self) -> str:
        """The field of the number."""
        return f"lesson_{self.key}_number"


class NoNumber(ValueError):  # noqa: N818 - it reads as what it says
    """The record has no such number: its bow cannot be computed."""


def _pocket(values: Values) -> Pocket:
    try:
        pitch, _ = pitch_and_resolution(values)
        return shape_of("upper", values, pitch).pocket
    except (ShapeError, PocketError):
        raise NoNumber from None


def _after(values: Values, upper: float, lower: float) -> tuple[float, float, float, float]:
    """Draw weight (N) and tiller (m) before these turns and after them."""
    ours = tuple((name, entry) for name, entry in values.record.entries.items() if BY_NAME[name].scope is Scope.BOW)
    found = _predicted(ours, values.today, upper, lower)
    if found is None:
        raise NoNumber
    return found


@lru_cache(maxsize=16)
def _predicted(
    bow: tuple[tuple[str, Entry], ...], today: int | None, upper: float, lower: float
) -> tuple[float, float, float, float] | None:
    """The same by the entries of the bow; None where nothing is predicted."""
    turns = {"upper_change": Entry(str(upper), "turn"), "lower_change": Entry(str(lower), "turn")}
    try:
        found = turn_prediction.predict(Values(Record({**dict(bow), **turns}), today=today), tuple(turns))
    except Refusal:
        return None
    if found.then is None:
        return None
    now, then = found.now, found.then
    return now.drawn.force, now.braced.tiller, then.drawn.force, then.braced.tiller


# The numbers


def _rise(values: Values) -> RightNumber:
    pitch = _pocket(values).pitch
    return RightNumber(
        pitch,
        0.04e-3,
        (
            Slip(4 * pitch, "That is the rise of four turns. Divide by four."),
            Slip(2 * pitch, "That is the rise of two turns: the bolt in the picture begins two turns out."),
            Slip(-pitch, "In the right size. Out is a plus: the head rises."),
        ),
    )


def _touch(values: Values) -> RightNumber:
    pocket = _pocket(values)
    touch = contacts.first_touch(pocket)
    if touch is None:
        raise NoNumber
    return RightNumber(
        touch,
        0.1,
        (
            Slip(touch - 2.0, "Counted from where the picture begins, two turns out. Count from flush."),
            Slip(-touch, "In the right size. Out from flush is a plus."),
        ),
    )


def _paper(values: Values) -> RightNumber:
    told = strip_resolution(_pocket(values), PAPER)
    if told.outside is None or told.inside is None:
        raise NoNumber
    return RightNumber(
        told.outside,
        0.06,
        (
            Slip(told.inside, "That is how late it stops from inside. Come in from outside."),
            Slip(told.touch, "That is at first touch, at the butt end. Offer it at the rim."),
            Slip(told.outside + told.inside, "That is from one reading of flush to the other."),
            Slip(0.0, "It stops before flush: the gap is thinner than the paper, and is not closed."),
        ),
    )


def _contact(values: Values) -> RightNumber:
    pocket = _pocket(values)
    try:
        found = contacts.contact(pocket, 2.0)
    except PocketError:
        raise NoNumber from None
    if found.contact_x is None:
        raise NoNumber
    return RightNumber(
        abs(found.contact_x),
        0.6e-3,
        (
            Slip(pocket.rim_reach, "That is the rim, on the side of the tip: there it touches past flush."),
            Slip(pocket.fulcrum_arm, "That is from the axis to the fulcrum. Measure to the contact."),
        ),
    )


def _weight(values: Values) -> RightNumber:
    now, _, then, _ = _after(values, -HALF, -HALF)
    _, _, one, _ = _after(values, -HALF, 0.0)
    return RightNumber(
        then - now,
        to_si(0.06, "lbf"),
        (
            Slip(one - now, "That is one bolt alone. Turn both."),
            Slip(now - then, "In the right size. In is heavier: a plus."),
            Slip(then, "That is the weight then. The change is asked for."),
        ),
    )


def _tiller(values: Values) -> RightNumber:
    _, now, _, then = _after(values, -HALF, 0.0)
    _, _, _, lower = _after(values, 0.0, -HALF)
    return RightNumber(
        then,
        0.35e-3,
        (
            Slip(then - now, "That is the change. Add it to the tiller before."),
            Slip(now - then, "That is the change, without its side. The tiller then is asked for."),
            Slip(lower, "That is the lower bolt’s turn. The upper one goes in."),
            Slip(now, "That is the tiller before the turn."),
        ),
    )


def _against(values: Values) -> RightNumber:
    _, now, _, then = _after(values, -HALF, HALF)
    _, _, _, one = _after(values, -HALF, 0.0)
    return RightNumber(
        then - now,
        0.5e-3,
        (
            Slip(one - now, "That is the upper bolt alone. The lower one goes out as well."),
            Slip(now - then, "In the right size. Tiller gets smaller: a minus."),
            Slip(then, "That is the tiller then. The change is asked for."),
        ),
    )


# Why: never the number that is asked for afterwards, and nothing of a bow that has none


def _lb(newtons: float) -> str:
    return fixed(newtons / to_si(1.0, "lbf"), 2)


def _mm(metres: float) -> str:
    return fixed(1000 * metres, 1)


def _why_moves(values: Values) -> str:
    now, _, then, _ = _after(values, -HALF, 0.0)
    return f"Turning in pushes the butt down and the tip away from the string. Half a turn: {_lb(then - now)} lb more."


def _why_ends(values: Values) -> str:
    _touch(values)
    return "Past first touch head and limb do not touch. The fitting alone carries the limb, shot after shot."


def _why_paper(values: Values) -> str:
    _paper(values)
    return (
        "Close to flush the gap at the rim is thinner than the paper, so it feels closed before it is. "
        "You stop too far out: the careful side."
    )


def _why_bolt(_values: Values) -> str:
    return (
        "Outside flush the butt end touches. Past flush only the rim does, on the side of the tip: the bolt is bent "
        "the other way, and harder."
    )


def _why_weight(values: Values) -> str:
    now, _, _, _ = _after(values, -HALF, -HALF)
    return f"The two add up, on a bow of {_lb(now)} lb. A few turns of both are a pound or two."


def _why_tiller(values: Values) -> str:
    _after(values, -HALF, 0.0)
    return "Turning in brings the upper limb nearer to the string there: its distance shrinks, and tiller with it."


def _why_pair(values: Values) -> str:
    _, before, _, after = _after(values, -HALF, -HALF)
    return (
        f"Both in: the weights add, and tiller moves by {_mm(after - before)} mm. One against the other moves "
        "tiller, and almost no weight."
    )


def _why_stop(_values: Values) -> str:
    return (
        "A reading that was not expected may be a miscount, a slipped lock or a crack. Stop, string off, count, look, "
        "weigh again. If it stays, a coach or a bow technician looks at the bow."
    )


def _how_much(values: Values) -> str:
    """Which answer is right on how much both bolts do."""
    now, _, then, _ = _after(values, -HALF, -HALF)
    pounds = (then - now) / to_si(1.0, "lbf")
    return "little" if pounds < 1 else "some" if at_most(pounds, 3) else "much"


def _always(right: str) -> Callable[[Values], str]:
    return lambda _values: right


LESSONS = (
    Lesson("moves", "What a bolt moves", _always("heavier"), _why_moves, _rise),
    Lesson("ends", "Both ends", _always("fitting"), _why_ends, _touch),
    Lesson("paper", "What a strip can see", _always("before"), _why_paper, _paper),
    Lesson("bolt", "What the bolt carries", _always("tip"), _why_bolt, _contact),
    Lesson("weight", "Draw weight", _how_much, _why_weight, _weight),
    Lesson("tiller", "Tiller", _always("less"), _why_tiller, _tiller),
    Lesson("pair", "Planning", _always("both"), _why_pair, _against),
    Lesson("stop", "When to stop and ask", _always("stop"), _why_stop, None),
)
