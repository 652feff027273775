"""What a box just filled in means: a sentence under it, empty before it is."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench import balance
from quarterturn.bench.engagement import free_from_mark, needed
from quarterturn.mechanics.threads import nearest_threads
from quarterturn.numbers import fixed, trimmed
from quarterturn.record.fields import BOLTS
from quarterturn.widgets import bow_wording, words
from quarterturn.widgets.answer import Line
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges

OF_BOTH = ("tell-maker", "tell-tiller", "tell-head", "tell-rise", "tell-zero")
OF_A_BOLT = ("tell-mark", "tell-thread", "tell-now", "tell-touch", "tell-cover")
NAMES = (*OF_BOTH, *(f"{bolt}-{name}" for bolt in BOLTS for name in OF_A_BOLT))


def tells(found: SafeRanges) -> list[Line]:
    """Every line; that of an empty box is empty."""
    told = [_maker(found), _tiller(found), _head(found), _rise(found), _zero(found)]
    lines = [Line(name, text) for name, text in zip(OF_BOTH, told, strict=True)]
    for bolt in found.bolts:
        texts = (_mark(bolt, found), _thread(bolt, found), _now(bolt, found), _touch(bolt, found), _cover(bolt, found))
        lines += [Line(f"{bolt.name}-{name}", text) for name, text in zip(OF_A_BOLT, texts, strict=True)]
    return lines


def _maker(found: SafeRanges) -> str:
    low, high = found.values.optional("maker_in"), found.values.optional("maker_out")
    if low is None and high is None:
        return ""
    if low is None or high is None:
        told = f"no farther out than {trimmed(high, 2)}" if high is not None else f"no farther in than {_turns(low)}"
        return f"The maker allows {told} turns from zero. Stay inside that, whatever you feel."
    return f"The maker allows {_turns(low)} to {_turns(high)} turns out. Stay inside that, whatever you feel."


def _turns(value: float | None) -> str:
    return trimmed(value or 0.0, 2)


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
    apart = balance.tiller(tillers[0], tillers[1])
    said = bow_wording.length(abs(apart), found.unit)
    if apart < 0:
        return f"The lower limb is {said} farther from the string: check that the limbs are not swapped."
    return f"Tiller {said}: the upper limb is farther from the string." if apart > 0 else "Tiller 0: both are as far."


def _head(found: SafeRanges) -> str:
    if not found.values.entered("head_diameter"):
        return ""
    half = _length(found.values.number("head_diameter") / 2, found)
    return f"Half of that is {half}. The butt end must be closer to the rim than that."


def _thread(bolt: BoltRange, found: SafeRanges) -> str:
    from_mark = free_from_mark(bolt.name, found.values)
    readings = found.readings
    if from_mark is None or readings.thread_diameter is None:
        return ""
    wanted = needed(readings.thread_diameter, readings.diameters_engaged, readings.bush_length)
    held = wanted.length / readings.pitch.value
    left = from_mark - held
    if left <= 0:
        return f"{fixed(held, 0)} turns of thread must stay in, and there are {_turns(from_mark)}. Ask the maker."
    out = words.amount(int(left * 4) / 4)
    return f"{fixed(held, 0)} turns of thread must stay in. Go no farther out than {out} from your mark."


def _rise(found: SafeRanges) -> str:
    pitch = found.readings.pitch
    if not pitch.measured:
        return ""
    nearest = nearest_threads(pitch.value, found.readings.thread_diameter, 1)
    named = f" Nearest thread: {nearest[0].thread.designation}." if nearest else ""
    return f"{words.length(pitch.value, found.unit)} a turn.{named}"


def _zero(found: SafeRanges) -> str:
    if not found.values.entered("flush_way"):
        return ""
    if found.values.choice("flush_way") == "inside":
        return "This is zero, felt late. That is taken off for you."
    return "This is zero. Paper stops a little early, which is the safe side."


def _now(bolt: BoltRange, found: SafeRanges) -> str:
    if not found.values.entered(f"{bolt.name}_now_turns") or not found.values.entered(f"{bolt.name}_now_side"):
        return ""
    side = -1 if found.values.choice(f"{bolt.name}_now_side") == "in" else 1
    counted = side * found.values.number(f"{bolt.name}_now_turns")
    if counted == 0:
        return "It was at zero."
    return f"It was {words.amount(counted)} {'out from' if counted > 0 else 'in past'} zero."


def _touch(bolt: BoltRange, found: SafeRanges) -> str:
    touch, feel = found.read_touch(bolt), bolt.window.feel
    if touch is None:
        return ""
    off = "" if feel is None else f" {_tenths(feel.touch)} comes off, because paper stops early."
    return f"{words.amount(touch)} from zero to first touch.{off}"


def _tenths(turns: float) -> str:
    return "Less than 0.1" if turns < 0.05 else f"About {fixed(turns, 1)}"


def _cover(bolt: BoltRange, found: SafeRanges) -> str:
    dimensions, feel = bolt.readings.dimensions, bolt.window.feel
    needs = (f"{bolt.name}_rim_to_butt", "head_diameter")
    if dimensions is None or not all(map(found.values.entered, needs)):
        return ""
    reach = units.from_si(dimensions.cover, found.unit)
    shown = f"{trimmed(reach, 0 if found.unit == 'mm' else 2)} {units.unit(found.unit).symbol}"
    early = "" if feel is None else f" Here you feel flush up to {fixed_up_tenths(feel.flush_outside)} turn early."
    return f"The butt reaches {shown} past the middle of the bolt: enough.{early}"


def fixed_up_tenths(turns: float) -> str:
    """Turns in tenths, rounded up."""
    return fixed(-(-turns * 10 // 1) / 10, 1)
