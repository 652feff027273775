"""What a box just filled in means: a sentence under it, empty before it is."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench import balance
from quarterturn.bench.engagement import free_from_mark, needed
from quarterturn.mechanics.threads import nearest_threads
from quarterturn.numbers import at_most, fixed, fixed_down, fixed_up, rounded, trimmed
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording, procedure, words
from quarterturn.widgets.answer import Line
from quarterturn.widgets.safe_range.bolt_values import ALL_THREADS, alike
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges

LEAST_COVER = 1e-3
"""Less than this past the middle of the bolt (m) is not called enough: a ruler tells no more. Our own; no source."""
OF_BOTH = (
    "tell-maker",
    "tell-tiller",
    "tell-hand",
    "tell-lock",
    "tell-clicks",
    "tell-shims",
    "tell-head",
    "tell-rise",
    "tell-zero",
)
OF_A_BOLT = ("tell-mark", "tell-thread", "tell-now", "tell-touch", "tell-cover")
NAMES = (*OF_BOTH, *(f"{bolt}-{name}" for bolt in BOLTS for name in OF_A_BOLT))


def tells(found: SafeRanges) -> list[Line]:
    """Every line; that of an empty box is empty."""
    of_lock = (procedure.lock_off(found.values, ""), procedure.clicks_told(found.values))
    told = [
        _maker(found),
        _tiller(found),
        _hand(found),
        *of_lock,
        _shims(found),
        _head(found),
        _rise(found),
        _zero(found),
    ]
    lines = [Line(name, text) for name, text in zip(OF_BOTH, told, strict=True)]
    for bolt in found.bolts:
        texts = (_mark(bolt, found), _thread(bolt, found), _now(bolt, found), _touch(bolt, found), _cover(bolt, found))
        lines += [Line(f"{bolt.name}-{name}", text) for name, text in zip(OF_A_BOLT, texts, strict=True)]
    return lines


def _maker(found: SafeRanges) -> str:
    low, high = found.values.optional("maker_in"), found.values.optional("maker_out")
    if low is not None and high is not None:
        told = f"{trimmed(low, 2)} to {_turns(high)}"
    elif high is not None:
        told = f"no more than {_turns(high)}"
    elif low is not None:
        told = f"no less than {_turns(low)}"
    else:
        return ""
    return f"The maker allows {told} out. Stay inside that, whatever you feel."


def _turns(value: float) -> str:
    return f"{trimmed(value, 2)} {words.turn_word(value)}"


def _mark(bolt: BoltRange, found: SafeRanges) -> str:
    height = found.values.optional(f"{bolt.name}_height_now")
    if height is None:
        return ""
    return f"Your way back: the {bolt.name} head was {_length(height, found)} high."


def _length(value: float, found: SafeRanges) -> str:
    return words.length(value, found.unit, 1 if found.unit == "mm" else 3)


def _tiller(found: SafeRanges) -> str:
    tillers = [found.values.optional(f"{bolt}_tiller") for bolt in BOLTS]
    if tillers[0] is None or tillers[1] is None:
        return ""
    return bow_wording.tiller_told(balance.tiller(tillers[0], tillers[1]), found.unit)


def _hand(found: SafeRanges) -> str:
    hand = words.hand_of(found.values)
    if not hand:
        return ""
    left = "A left-hand thread. " if hand == "left" else ""
    return f"{left}Every step here says so from now on: {words.direction(-1, hand)}."


SHIMS = {
    "none": "None were in. One that is put in later asks for a new count.",
    "butt_end": "Without it the butt reaches that much farther over the bolt: when it comes out, count again.",
    "beside": "It moves the line of the limbs, and no turn. When it changes, measure both tillers again.",
    "several": "When one of them comes out, or another one goes in, count again.",
}


def _shims(found: SafeRanges) -> str:
    where, thick = found.values.choice("shims_in"), found.values.optional("shim_thickness")
    if where not in ("head", "floor"):
        size = "" if thick is None else f"A shim of {_length(thick, found)}. "
        return f"{size}{SHIMS[where]}" if where in SHIMS else ""
    also = "First touch moves too. " if where == "head" else "How first touch moves depends on the fitting. "
    if thick is None or not found.readings.pitch.measured:
        return f"Without it flush lies farther in. {also}When it comes out, count again."
    from quarterturn.mechanics.shims import turns_nearer

    nearer = turns_nearer(thick, found.readings.pitch.value)
    return f"Without it flush lies {words.turns(nearer)} farther in. {also}When it comes out, count again."


def _head(found: SafeRanges) -> str:
    if not found.values.entered("head_diameter"):
        return ""
    half = units.from_si(found.values.number("head_diameter") / 2, found.unit)
    shown = f"{fixed_down(half, 1 if found.unit == 'mm' else 3)} {units.unit(found.unit).symbol}"
    return f"Half of that is {shown}. The butt end must be closer to the rim than that."


def _thread(bolt: BoltRange, found: SafeRanges) -> str:
    """How far out the thread lets it go; nothing before the pitch was measured, for a length of thread needs it."""
    from_mark = free_from_mark(bolt.name, found.values)
    readings = found.readings
    if from_mark is None or readings.thread_diameter is None or not readings.pitch.measured:
        return ""
    wanted = needed(readings.thread_diameter, readings.diameters_engaged, readings.bush_length)
    held = wanted.length / readings.pitch.value
    quarters = rounded(4 * (from_mark - held)) // 1 / 4
    must = f"{fixed_up(held, 0)} turns of thread must stay in"
    if quarters <= 0:
        return (
            f"{must}, and from your mark there are {trimmed(from_mark, 2)}. Turn it no farther out, and ask the maker."
        )
    return f"{must}. Go no farther out than {words.amount(quarters)} from your mark."


def _rise(found: SafeRanges) -> str:
    pitch = found.readings.pitch
    if not pitch.measured:
        return ""
    named = alike(nearest_threads(pitch.value, found.readings.thread_diameter, ALL_THREADS))
    nearest = f" Nearest thread: {' or '.join(named)}." if named else ""
    return f"{words.length(pitch.value, found.unit)} a turn.{nearest}"


def _zero(found: SafeRanges) -> str:
    if not found.values.entered("flush_way"):
        return ""
    zeros = {bolt.readings.zero for bolt in found.bolts}
    if "flush" not in zeros:
        return "The stop is zero."
    told = (
        "This is zero, felt late. That is taken off for you."
        if found.values.choice("flush_way") == "inside"
        else "This is zero. Paper stops a little early, which is the safe side."
    )
    return told if len(zeros) == 1 else f"Where flush came first: {words.lower(told)}"


def _now(bolt: BoltRange, found: SafeRanges) -> str:
    if not found.values.entered(f"{bolt.name}_now_turns") or not found.values.entered(f"{bolt.name}_now_side"):
        return ""
    side = -1 if found.values.choice(f"{bolt.name}_now_side") == "in" else 1
    counted = side * found.values.number(f"{bolt.name}_now_turns")
    if counted == 0:
        return "It was at zero."
    clicks = procedure.in_clicks(counted, found.values)
    return f"It was {words.amount(counted)}{clicks} {'out from' if counted > 0 else 'in past'} zero."


def _touch(bolt: BoltRange, found: SafeRanges) -> str:
    touch, feel = found.read_touch(bolt), bolt.window.feel
    if touch is None:
        return ""
    off = "" if feel is None else f" {_tenths(feel.touch)} comes off, because paper stops early."
    return f"{words.amount(touch)}{procedure.in_clicks(touch, found.values)} from zero to first touch.{off}"


def _tenths(turns: float) -> str:
    return "Less than 0.1" if turns < 0.05 else f"About {fixed(turns, 1)}"


def _cover(bolt: BoltRange, found: SafeRanges) -> str:
    dimensions, feel = bolt.readings.dimensions, bolt.window.feel
    needs = (f"{bolt.name}_rim_to_butt", "head_diameter")
    if dimensions is None or not all(map(found.values.entered, needs)):
        return ""
    early = ""
    if feel is not None:
        shown = fixed_up(rounded(feel.flush_outside), 1)
        early = f" Here you feel flush up to {shown} {words.turn_word(float(shown))} early."
    reach = dimensions.cover
    if not at_most(LEAST_COVER, reach):
        least = words.length(LEAST_COVER, found.unit, 0 if found.unit == "mm" else 2)
        return f"The butt reaches less than {least} past the middle of the bolt: measure it again.{early}"
    shown = fixed_down(units.from_si(reach, found.unit), 0 if found.unit == "mm" else 2)
    return f"The butt reaches {shown} {units.unit(found.unit).symbol} past the middle of the bolt: enough.{early}"
