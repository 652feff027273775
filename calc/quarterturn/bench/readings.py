"""What was read at the bench, taken out of the record: SI, counted from each bolt's zero, positive outward."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quarterturn.bench import counting
from quarterturn.bench.counting import Comparison, Count, Pitch, ReadingResolution
from quarterturn.bench.engagement import (
    WANTED,
    disagreement,
    free_of,
    length_problems,
    mark_disagreement,
    still_needed,
)
from quarterturn.bench.family import can_be_felt
from quarterturn.bench.inspection import covered
from quarterturn.bench.lever import arm
from quarterturn.mechanics.pocket import Pocket
from quarterturn.numbers import fixed, trimmed
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values
from quarterturn.units import from_si

WIDE_OPEN = 1.2
"""A rock angle (rad) that no fitting allows: stands in where the fitting's own is not known."""
STRIP_TOLERANCE = 0.05
"""A sheet's thickness is usually within ±5 % of what it is sold as (sources.md E; see ISO 534 for the method)."""


@dataclass(frozen=True, slots=True)
class Dimensions:
    """The pocket, as far as it decides what a strip can feel. Lengths in m.

    The fitting's angle is not among them: it is found from first touch.
    """

    fulcrum_arm: float
    limb_depth: float
    head_radius: float
    slot_half_width: float
    rim_to_butt: float

    @property
    def cover(self) -> float:
        """How far the butt reaches past the bolt's axis at zero."""
        return self.head_radius - self.rim_to_butt

    @property
    def butt_length(self) -> float:
        """From the butt end to the foot of the perpendicular from the fulcrum."""
        return self.fulcrum_arm + self.cover

    def free_pocket(self, pitch: float) -> Pocket:
        """Build the pocket without a fitting that holds the limb; pitch in m.

        Raises:
            PocketError: where the dimensions cannot be those of a pocket.
        """
        return Pocket(
            fulcrum_arm=self.fulcrum_arm,
            limb_depth=self.limb_depth,
            butt_length=self.butt_length,
            head_radius=self.head_radius,
            slot_half_width=self.slot_half_width,
            pitch=pitch,
            fitting_angle=WIDE_OPEN,
        )


@dataclass(frozen=True, slots=True)
class BoltReadings:
    """The readings of one bolt, in turns from its zero.

    Attributes:
        zero: "flush", "stop", or "maker" where only the maker's range applies.
        way: "outside", "inside" or "both" where zero is flush, "" otherwise.
        bracket: between the two readings of flush, where it was looked for from both sides.
        touch: first touch, or None where it was not reached.
        now: where the bolt stands, negative when in past zero.
        free: where the thread lets go, counted or by lengths, or None.
        stop_inside: how far inside flush the stop lies, or None.
        dimensions: of the pocket, where the ends are felt.
        comparisons: counts by the key against counts by height, by field name.
    """

    bolt: str
    zero: str
    way: str
    bracket: float
    touch: Count | None
    now: Count
    free: Count | None
    stop_inside: float | None
    dimensions: Dimensions | None
    comparisons: tuple[tuple[str, Comparison], ...]


@dataclass(frozen=True, slots=True)
class Readings:
    """All that was read at the bench.

    Attributes:
        clicks: in one turn, where a detent holds the bolts; 0 where none does.
    """

    family: str
    resolution: ReadingResolution
    pitch: Pitch
    strip: float
    margin: float
    maker_in: float | None
    maker_out: float | None
    thread_diameter: float | None
    diameters_engaged: float
    bush_length: float | None
    clicks: int
    bolts: tuple[BoltReadings, ...]


@dataclass(frozen=True, slots=True)
class Worksheet:
    """The readings; what of them cannot be used or contradicts itself; and what a verdict still needs.

    `readings` is None only where the pitch is no limb bolt's: none of it can be counted then.
    """

    readings: Readings | None
    problems: tuple[Problem, ...]
    missing: tuple[str, ...]


def take(values: Values) -> Worksheet:
    """Take the readings out of a record whose fields have been checked one by one.

    Defaults stand in for what has not been entered; `missing` names the readings among them.
    """
    resolution = ReadingResolution(values.number("smallest_turn"), values.number("play"), values.number("caliper_step"))
    problems: list[Problem] = []
    try:
        pitch = counting.pitch_of(
            values.number("rise"), values.number("rise_turns"), resolution, measured=values.entered("rise")
        )
    except ValueError as error:
        return Worksheet(None, (Problem("rise", f"The pitch {error}."),), _missing(values))
    bolts = tuple(_bolt(bolt, values, pitch, resolution, problems) for bolt in BOLTS)
    clicks, of_lock = _of_lock(values)
    problems.extend((*of_lock, *_shared_problems(values)))
    readings = Readings(
        family=values.choice("bolt_family"),
        resolution=resolution,
        pitch=pitch,
        strip=values.number("strip_thickness"),
        margin=values.number("margin"),
        maker_in=_limit(values, "maker_in"),
        maker_out=_limit(values, "maker_out"),
        thread_diameter=values.optional("thread_diameter"),
        diameters_engaged=WANTED[values.choice("bush_metal")],
        bush_length=values.optional("bush_length"),
        clicks=clicks,
        bolts=bolts,
    )
    return Worksheet(readings, tuple(problems), _missing(values))


def _limit(values: Values, name: str) -> float | None:
    """The maker's limit: as entered; by default where the family has no other limits."""
    if can_be_felt(values.choice("bolt_family")):
        return values.optional(name)
    return values.number(name)


def _of_lock(values: Values) -> tuple[int, list[Problem]]:
    """The clicks of a detent, and what was said of the lock and cannot be; imported only where a lock was named."""
    if not values.entered("bolt_lock"):
        return 0, []
    from quarterturn.bench.locks import clicks, problems

    return clicks(values), problems(values)


def _missing(values: Values) -> tuple[str, ...]:
    names = []
    for name in values.missing():
        if covered(values, name):
            continue
        bolt, _, rest = name.partition("_")
        if bolt in BOLTS and rest == "touch_turns" and values.choice(f"{bolt}_touch_found") == "no":
            continue
        if bolt in BOLTS and rest in ("touch_turns", "now_turns") and _by_height_is_entered(values, bolt, rest):
            if not values.entered("rise") and "rise" not in names:
                names.append("rise")  # heights become turns by a pitch that was measured, never by the example's
            continue
        names.append(name)
    names += [name for name in still_needed(values) if name not in names]
    if not can_be_felt(values.choice("bolt_family")) and values.matters("maker_in"):
        names += [name for name in ("maker_in", "maker_out") if not values.entered(name)]
    return tuple(names)


def _by_height_is_entered(values: Values, bolt: str, rest: str) -> bool:
    event = "height_touch" if rest == "touch_turns" else "height_now"
    return values.entered(f"{bolt}_height_zero") and values.entered(f"{bolt}_{event}")


def _bolt(
    bolt: str, values: Values, pitch: Pitch, resolution: ReadingResolution, problems: list[Problem]
) -> BoltReadings:
    felt = can_be_felt(values.choice("bolt_family"))
    zero = _zero(bolt, values)
    comparisons: list[tuple[str, Comparison]] = []
    touch = None
    if felt and values.choice(f"{bolt}_touch_found") == "yes":
        touch = _counted(bolt, "touch", values.number(f"{bolt}_touch_turns"), values, pitch, resolution, comparisons)
    side = -1.0 if values.choice(f"{bolt}_now_side") == "in" else 1.0
    now = _counted(bolt, "now", side * values.number(f"{bolt}_now_turns"), values, pitch, resolution, comparisons)
    free = free_of(bolt, values, pitch, resolution, comparisons) if felt else None
    readings = BoltReadings(
        bolt=bolt,
        zero=zero,
        way=values.choice("flush_way") if zero == "flush" else "",
        bracket=values.number(f"{bolt}_bracket") if values.choice("flush_way") == "both" and zero == "flush" else 0.0,
        touch=touch,
        now=now,
        free=free,
        stop_inside=values.optional(f"{bolt}_stop_turns"),
        dimensions=dimensions_of(bolt, values, pitch) if felt else None,
        comparisons=tuple(comparisons),
    )
    problems.extend(_bolt_problems(readings, values, pitch))
    return readings


def _zero(bolt: str, values: Values) -> str:
    if not can_be_felt(values.choice("bolt_family")):
        return "maker"
    return values.choice(f"{bolt}_first_in") if values.choice("bolt_family") == "stop" else "flush"


def _counted(
    bolt: str,
    event: str,
    by_key: float,
    values: Values,
    pitch: Pitch,
    resolution: ReadingResolution,
    comparisons: list[tuple[str, Comparison]],
) -> Count:
    key = counting.by_key(by_key, resolution)
    start, end = values.optional(f"{bolt}_height_zero"), values.optional(f"{bolt}_height_{event}")
    if start is None or end is None:
        return key
    height = counting.by_height(start, end, pitch, resolution)
    name = f"{bolt}_{event}_turns"
    if not values.entered(name):
        return height
    comparisons.append((name, counting.compare(key, height)))
    return key


def dimensions_of(bolt: str, values: Values, pitch: Pitch) -> Dimensions:
    """Take one pocket's dimensions out of a record; the arm by whichever way it is known."""
    radius, slot = values.number("head_diameter") / 2, values.number("slot_width") / 2
    rim_to_butt = values.number(f"{bolt}_rim_to_butt")
    reach = math.sqrt(max(0.0, radius**2 - slot**2))
    return Dimensions(
        fulcrum_arm=arm(values, pitch, radius - rim_to_butt, reach).value,
        limb_depth=values.number("limb_depth"),
        head_radius=radius,
        slot_half_width=slot,
        rim_to_butt=rim_to_butt,
    )


def _shared_problems(values: Values) -> list[Problem]:
    problems = []
    maker_in, maker_out = _limit(values, "maker_in"), _limit(values, "maker_out")
    if maker_in is not None and maker_out is not None and maker_out <= maker_in:
        problems.append(
            Problem(
                "maker_out",
                f"Maker's outer limit: {trimmed(maker_out, 3)} turns is not farther out than the inner limit, "
                f"{trimmed(maker_in, 3)} turns. The outer one must be larger.",
            )
        )
    if not can_be_felt(values.choice("bolt_family")):
        return problems
    problems.extend(length_problems(values))
    if values.number("slot_width") >= values.number("head_diameter"):
        problems.append(
            Problem(
                "slot_width",
                f"Width of the limb's slot: it must be less than the diameter of the head{_example(values)}, or the "
                "head would pull through. Measure both again.",
            )
        )
    return problems


def _bolt_problems(readings: BoltReadings, values: Values, pitch: Pitch) -> list[Problem]:
    bolt, name = readings.bolt, readings.bolt.capitalize()
    problems = _disagreements(readings, pitch)
    if readings.zero == "stop" and readings.now.turns < 0:
        problems.append(
            Problem(
                f"{bolt}_now_side",
                f"{name} bolt: it cannot have been in past the stop. If the stop came first, it was out from the stop. "
                "If flush came first, say so.",
            )
        )
    if readings.zero == "stop" and readings.stop_inside is not None and readings.stop_inside > 0:
        problems.append(
            Problem(
                f"{bolt}_stop_turns",
                f"{name} bolt: a stop {trimmed(readings.stop_inside, 3)} turns inside flush and a stop that came "
                "before flush cannot both be true. Clear this count, or say that flush came first.",
            )
        )
    if readings.dimensions is not None and readings.dimensions.cover <= 0:
        problems.append(
            Problem(
                f"{bolt}_rim_to_butt",
                f"{name} limb: the butt end does not reach past the middle of the bolt. This distance must be less "
                f"than half the head's diameter{_example(values)}. If you measured right, do not use this limb with "
                "this riser, and ask its maker or a bow technician.",
            )
        )
    problems.extend(_height_problems(readings, values))
    problems.extend(_touch_problems(readings, values.number("strip_thickness") / pitch.value))
    problems.extend(_stop_problems(readings))
    problems.extend(_thread_problems(readings, values))
    return problems


def _disagreements(readings: BoltReadings, pitch: Pitch) -> list[Problem]:
    """Two ways of counting the same turns that contradict one another."""
    bolt, problems = readings.bolt, []
    for field, comparison in readings.comparisons:
        if comparison.agree:
            continue
        free = 0.0 if readings.free is None else readings.free.turns
        if field.endswith("free_from_mark"):
            problems.append(mark_disagreement(bolt, free, comparison.difference))
        elif field.endswith("free_turns"):
            problems.append(disagreement(bolt, free, free - comparison.difference, comparison.explained))
        else:
            problems.append(_disagreement(field, bolt.capitalize(), comparison, pitch))
    return problems


def _height_problems(readings: BoltReadings, values: Values) -> list[Problem]:
    """Turning out raises the head: at first touch it is higher over the riser than at zero."""
    bolt, fields = readings.bolt, tuple(f"{readings.bolt}_height_{event}" for event in ("zero", "touch"))
    zero, touch = (values.optional(field) if values.matters(field) else None for field in fields)
    if zero is None or touch is None or touch > zero:
        return []
    unit = values.record.entries[fields[1]].unit
    at_touch, at_zero = (f"{trimmed(from_si(each, unit), 3)} {unit}" for each in (touch, zero))
    return [
        Problem(
            fields[1],
            f"{bolt.capitalize()} bolt: head height at touch, {at_touch}, is not more than at zero, {at_zero}. "
            "Turning out raises the head. Measure both again, or empty the one that you did not measure.",
        )
    ]


def _stop_problems(readings: BoltReadings) -> list[Problem]:
    stop, now = readings.stop_inside, readings.now
    if stop is None or readings.zero != "flush":
        return []
    uncertainty = counting.DISAGREEMENT * math.sqrt(2) * now.budget.combined
    if -now.turns <= stop + uncertainty:
        return []
    return [
        Problem(
            f"{readings.bolt}_stop_turns",
            f"{readings.bolt.capitalize()} bolt: it cannot have been {fixed(-now.turns, 2)} turns in past zero, "
            f"for its stop is {fixed(stop, 2)} turns in. Count both again.",
        )
    ]


def _counted_as(readings: BoltReadings, values: Values) -> str:
    return "free_turns" if values.entered(f"{readings.bolt}_free_turns") else "free_from_mark"


def _thread_problems(readings: BoltReadings, values: Values) -> list[Problem]:
    if readings.free is None:
        return []
    events = [("first touch", readings.touch), ("your mark", readings.now)]
    by_key = readings.free.by == "turns"
    return [
        Problem(
            f"{readings.bolt}_{_counted_as(readings, values) if by_key else 'stand_zero'}",
            f"{readings.bolt.capitalize()} bolt: the thread cannot let go at {fixed(readings.free.turns, 2)} turns, "
            f"before {event} at {fixed(count.turns, 2)}. "
            + (
                "Count both again, the thread's turns first and with the limb off."
                if by_key
                else "Measure the length of the bolt, and from thread to head at zero, again."
            ),
        )
        for event, count in events
        if count is not None and count.turns >= readings.free.turns
    ][:1]


def _example(values: Values) -> str:
    """Name the example's head where the reader has not entered one."""
    if values.entered("head_diameter"):
        return ""
    return f" (not entered yet: {trimmed(values.number('head_diameter') * 1e3, 3)} mm is the example's)"


def _disagreement(field: str, name: str, comparison: Comparison, pitch: Pitch) -> Problem:
    event = "first touch" if field.endswith("touch_turns") else "your mark"
    source = "" if pitch.measured else " The pitch is assumed here, so measure the rise of the head first."
    return Problem(
        field,
        f"{name} bolt, {event}: your count and your head heights differ by "
        f"{fixed(abs(comparison.difference), 2)} turns. Counting and measuring errors explain only "
        f"{fixed(comparison.explained, 2)}. Count and measure again: one of them lost a part of a turn.{source}",
    )


def _touch_problems(readings: BoltReadings, least: float) -> list[Problem]:
    if readings.touch is None:
        return []
    bolt, name = readings.bolt, readings.bolt.capitalize()
    if readings.touch.turns > least:
        return []
    field = f"{bolt}_height_touch" if readings.touch.by == "heights" else f"{bolt}_touch_turns"
    return [
        Problem(
            field,
            f"{name} bolt: first touch at {fixed(readings.touch.turns, 2)} turns would be inside flush, or too near "
            f"to feel with the strip. It must be more than {fixed(least, 2)} turns out from zero. Find both ends "
            "again.",
        )
    ]
