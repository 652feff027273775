"""The text on the setup card: where a bolt stands, what was measured, the notice where there is no window."""

from __future__ import annotations

from quarterturn import days, units
from quarterturn.bench.events import WITHDRAWN
from quarterturn.bench.family import Method, can_be_felt
from quarterturn.bench.judgement import Judgement, Kind, Level
from quarterturn.bench.positions import BoltPosition, Positions
from quarterturn.figures.card_sheet import Notice
from quarterturn.numbers import fixed, fixed_down, fixed_up, quarters, same, trimmed
from quarterturn.record.fields import BOLTS, BY_NAME, FIELDS
from quarterturn.record.values import Values
from quarterturn.widgets import judgement_wording, words
from quarterturn.widgets.answer import State
from quarterturn.widgets.bow_wording import force, force_unit, length, own_draw

IN_IS = {
    "right": "In is clockwise, facing the head",
    "left": "In is anticlockwise, facing the head: a left-hand thread",
    "": "Look which way the head moves",
}


def cautions(values: Values) -> tuple[str, ...]:
    """What every card says, and which way is in where that is known of the bow."""
    return (
        "The maker's manual comes first",
        "String off before a bolt or its lock is turned",
        IN_IS[words.hand_of(values)],
        "Never dry-fire",
        "Other limbs, shims, bolts: count again",
        "In doubt: a qualified coach or a bow technician",
        "This card is no permission and does not test strength",
    )


MADE_UP = {
    "bow_name": "A made-up bow",
    "riser_name": "made-up riser",
    "limbs_name": "made-up limbs",
    "set_by": "nobody",
}
ZEROS = {"flush": "the paper's stop", "stop": "its stop", "maker": "the maker's zero"}
ON_SCALE = {"flush": "paper", "stop": "stop", "maker": "zero"}
SHIMS = {
    "none": "none",
    "head": "a washer under the head",
    "floor": "on the pocket's floor",
    "butt_end": "behind the butt end",
    "beside": "beside the limb",
    "several": "in several places",
}
WAYS = {"outside": "from outside", "inside": "from inside", "both": "from both sides"}


def place(bolt: BoltPosition) -> str:
    """Where a bolt is, the way a hand counts it; "" where that was not entered."""
    if bolt.at is None:
        return ""
    zero = ZEROS[bolt.zero]
    if same(bolt.at, 0.0):
        return f"at {zero}"
    side = "out from" if bolt.at > 0 else "in past"
    return f"{quarters(abs(bolt.at))} {words.turn_word(bolt.at)} {side} {zero}"


def window(bolt: BoltPosition) -> str:
    """The ends of a bolt's window, rounded inward."""
    if bolt.window is None:
        return ""
    return f"{fixed_up(bolt.window.inner.usable, 2)} to {fixed_down(bolt.window.outer.usable, 2)}"


def name_of(values: Values, field: str, example: bool) -> str:
    """A name as the reader gave it, "" where there is none."""
    return MADE_UP[field] if example else values.choice(field)


def day(found: Positions) -> str:
    """On which day it was set so."""
    return "" if found.day is None else f"set on {days.isoformat(found.day)}"


def facts(values: Values, judgement: Judgement) -> tuple[tuple[str, str], ...]:
    """What was measured with the bolts so, by its label; "" where it was not."""
    found = judgement.positions
    unit, measured, example = values.choice("length_unit"), found.measured, found.example
    weight = ""
    if measured.weight is not None:
        weight = force(measured.weight, force_unit(values))
        weight += f" at {own_draw(values)}" if values.entered("draw_length") or example else ", draw length not given"
    brace = "" if measured.brace_height is None else length(measured.brace_height, unit)
    nock = values.optional("nocking_point")
    if nock is not None and not found.moved:
        brace = f"{brace or 'not given'}; nocking point {length(nock, unit)}"
    return (
        ("Draw weight", weight),
        ("Tiller", _tiller(found, unit)),
        ("Brace height", brace),
        ("String", _string(values, unit, example)),
        *((f"{bolt.name.capitalize()} head", _head(bolt, values, unit)) for bolt in found.bolts),
        *_zero(values, found),
        *_shims(judgement),
        *_looked_over(judgement),
    )


def _shims(judgement: Judgement) -> tuple[tuple[str, str], ...]:
    """Which shims were in when the bolts were counted; nothing where nobody said, or where a notice needs the room."""
    values = judgement.values
    if not values.entered("shims_in") or values.choice("shims_in") == "unknown" or not is_complete(judgement):
        return ()
    thick, unit = values.optional("shim_thickness"), values.choice("length_unit")
    return (("Shims", f"{SHIMS[values.choice('shims_in')]}{'' if thick is None else f', {length(thick, unit)}'}"),)


def _looked_over(judgement: Judgement) -> tuple[tuple[str, str], ...]:
    """When and by whom; nothing where that was not written, or where a notice needs the room."""
    said = judgement_wording.looked_over(judgement)
    return (("Looked over", said),) if said and is_complete(judgement) else ()


def _tiller(found: Positions, unit: str) -> str:
    upper, lower = found.measured.upper_tiller, found.measured.lower_tiller
    if upper is None and lower is None:
        return ""
    if upper is None or lower is None:
        bolt, one = ("lower", lower) if upper is None else ("upper", upper)
        return f"only the {bolt} limb: {length(one or 0.0, unit)}"
    less = length(upper - lower, unit)
    number = [length(each, unit).split()[0] for each in (upper, lower)]
    return f"{less} ({number[0]} upper, {number[1]} lower)"


def _string(values: Values, unit: str, example: bool) -> str:
    parts = []
    if values.entered("string_length") or example:
        long = units.from_si(values.number("string_length"), unit)
        parts.append(f"{trimmed(long, 0 if unit == 'mm' else 2)} {units.unit(unit).symbol} loop to loop")
    if values.entered("string_twists") or example:
        parts.append(f"{trimmed(values.number('string_twists'), 0)} twists")
    return ", ".join(parts)


def _head(bolt: BoltPosition, values: Values, unit: str) -> str:
    """How high the head is; nothing where it was measured before the bolt was turned."""
    now = None if bolt.moved else values.optional(f"{bolt.name}_height_now")
    zero = values.optional(f"{bolt.name}_height_zero")
    at_zero = "" if zero is None else f"at zero {length(zero, unit)}"
    if now is None:
        return at_zero
    return f"{length(now, unit)} high" + (f", {at_zero}" if at_zero else "")


def _zero(values: Values, found: Positions) -> tuple[tuple[str, str], ...]:
    """How zero was found, for whoever looks for it again."""
    if not can_be_felt(values.choice("bolt_family")) or all(bolt.zero != "flush" for bolt in found.bolts):
        return ()
    unit = values.choice("length_unit")
    strip = length(values.number("strip_thickness"), unit, 2 if unit == "mm" else 3)
    taken = "" if values.entered("strip_thickness") else ", assumed"
    return (("Zero, felt", f"{WAYS[values.choice('flush_way')]}, strip {strip}{taken}"),)


def listed_places(judgement: Judgement) -> str:
    """Both bolts' places in a few words."""
    upper, lower = (words.place(bolt.at or 0.0) for bolt in judgement.bolts)
    return f"upper bolt at {upper}, lower at {lower}"


def is_complete(judgement: Judgement) -> bool:
    """Whether both windows are shown on the card: nothing is known against the bow, and nothing is missing."""
    return judgement.turns and judgement.complete and not judgement.positions.example


def state(judgement: Judgement) -> tuple[State, str, str, str]:
    """The answer's state, title and sentence where nothing is known against the bow, and a badge or ""."""
    found = judgement.positions
    if found.example:
        return (
            State.EXAMPLE,
            "A card of a made-up bow",
            "Nothing is entered yet. So this is a made-up bow, as the words across the card show. No safe range is on "
            "it.",
            "Example",
        )
    if not judgement.complete:
        return (
            State.OPEN,
            "The card is not complete",
            f"{_missing(found)} The card shows what was entered, with lines to write on, and no safe range.",
            "Not complete",
        )
    set_on = "" if found.day is None else f", set on {days.in_words(found.day)}"
    return (
        State.GO,
        f"The card is ready: {listed_places(judgement)}{set_on}",
        "Both are inside their safe range, under the assumptions of Find the safe range. A card is not permission.",
        "",
    )


def _missing(found: Positions) -> str:
    count = len(found.missing)
    are = "reading is" if count == 1 else "readings are"
    return f"{count} {are} still missing under Find the safe range."


_LOUD = {
    Kind.EVENT: "Stop: something is not settled",
    Kind.NO_WINDOW: "Stop: no turn is safe",
    Kind.SWAPPED: "Look at the limbs' marks",
    Kind.ALARM: "Stop: a reading is not as expected",
    Kind.SHIMS: "Count both bolts again",
    Kind.NARROW: "Less than a quarter turn",
    Kind.LOG: "The log cannot be used",
    Kind.WORKSHEET: "No range",
    Kind.LIMBS: "Count both bolts again",
    Kind.LINE: "Measure both tillers again",
    Kind.DUE: "Look the bow over again",
}
"""What can be read from afar, where the title of the verdict is too long for that."""


def _known(judgement: Judgement, level: Level) -> Notice:
    """What is known against the bow: in a few words that can be read from afar, then whole."""
    told, worst = judgement_wording.verdict_text(judgement), judgement.causes[0]
    title = _LOUD.get(worst.kind, told.title)
    if worst.kind is Kind.OUTSIDE:
        title = f"Stop: {'both bolts' if len(worst.bolts) == len(BOLTS) else f'{worst.bolts[0].name} bolt'} outside"
    if any(event.happened == WITHDRAWN for event in worst.events):
        title = "Stop: out of use"
    first = (f"{words.capital(told.title.removeprefix('Stop: '))}.",) if title != told.title else ()
    return Notice(title, (*first, told.verdict), black=level is Level.STOP)


def notice(judgement: Judgement) -> Notice | None:
    """What is said in the place of the windows; None where both are shown."""
    found = judgement.positions
    if judgement.level is not None:
        return _known(judgement, judgement.level)
    if not judgement.is_turned:
        return Notice(judgement.family.alone, (_ALONE[judgement.family.method],), black=False)
    if found.example:
        return Notice(
            "Made-up bow: no range",
            ("Nothing is entered yet. The numbers below are an example, not your bow.",),
            black=False,
        )
    if not judgement.complete:
        return Notice(
            "Not complete: no range",
            (_missing(found), f"First: {in_order(found.missing, MOST_NAMED)}."),
            black=False,
        )
    return None


_ALONE = {
    Method.FASTEN: "They only clamp the limbs: hand-tight, as the maker says.",
    Method.BY_MANUAL: "They are set only as the maker's manual says.",
    Method.NOTHING: "The limbs are part of the bow.",
}
"""Of a bow of which nothing is turned here, why."""
MOST_NAMED = 2


def in_order(names: tuple[str, ...], most: int) -> str:
    """The labels of the first of some fields, by the record's own order, for the middle of a sentence."""
    order = [field.name for field in FIELDS]
    labels = [BY_NAME[name].label for name in sorted(names, key=order.index)[:most]]
    return "; ".join(map(words.lower, labels))


def squares(count: int, side: float) -> str:
    """How large the code's squares are on paper."""
    return f"{count} by {count} squares of {fixed(side, 2)} mm"


def headline(judgement: Judgement) -> str:
    """Where both bolts are on a card that is ready, and since when."""
    found = judgement.positions
    upper, lower = (words.place(bolt.at or 0.0) for bolt in found.bolts)
    when = "" if found.day is None else f", set on {words.day(found.day)}"
    return f"The card is ready: upper bolt at {upper}, lower at {lower}{when}."
