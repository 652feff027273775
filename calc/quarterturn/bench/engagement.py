"""How much thread holds a bolt: by the turns until it lets go, or by lengths; how much is wanted.

The thread between the bolt's end and the mouth of the riser's thread at zero is counted with the limb off, or it is
the length of the bolt under its head less what stands out at zero. No more than the riser's own thread can be engaged.
"""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench import counting
from quarterturn.bench.counting import Comparison, Count, Pitch, ReadingResolution
from quarterturn.bench.uncertainty import Contribution, budget, rectangular
from quarterturn.numbers import at_most, fixed, trimmed
from quarterturn.record.entries import Problem
from quarterturn.record.fields import BOLTS
from quarterturn.record.values import Values

CHAMFER = 0.5
"""The first turn of a thread is not full: lengths tell where it lets go to this, turns (common practice, no source)."""
WANTED = {"steel": 1.0, "aluminium": 2.0, "unknown": 2.0}
"""Diameters of thread wanted, by the metal in the riser (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class ThreadEngagement:
    """The thread of one bolt as the record gives it. Lengths in m.

    Attributes:
        free: turns out from zero until the thread lets go.
        bush: length of the thread in the riser; None where it was not given.
        pitch: of the thread.
    """

    free: Count
    bush: float | None
    pitch: Pitch

    @property
    def at_zero(self) -> float:
        """Between the bolt's end and the mouth of the riser's thread, at zero."""
        return max(0.0, self.free.turns * self.pitch.value)

    def at(self, turns: float) -> float:
        """Engaged so many turns out from zero; never less than nothing."""
        from quarterturn.mechanics.thread_strength import engagement

        return engagement(turns, self.at_zero, self.pitch.value, self.bush)

    @property
    def whole_until(self) -> float | None:
        """Turns out from zero up to which all of the riser's thread holds; None where its length was not given."""
        return None if self.bush is None else self.free.turns - self.bush / self.pitch.value


def by_lengths(bolt_length: float, stand: float, pitch: Pitch, resolution: ReadingResolution) -> Count:
    """Work out where the thread lets go from the bolt's length under its head and its stand at zero (m)."""
    turns = (bolt_length - stand) / pitch.value
    contributions = (
        Contribution("two lengths by caliper", resolution.height(), 1 / pitch.value, shape="rectangular, twice"),
        Contribution("pitch of the thread", pitch.uncertainty, turns / pitch.value, shape="from its own reading"),
        rectangular("first turn of the thread, not full", CHAMFER),
    )
    return Count(turns, budget(contributions), "lengths")


def free_from_mark(bolt: str, values: Values) -> float | None:
    """Turns counted from the witness mark out until the thread let go, limb off; None where that was not entered."""
    return values.optional(f"{bolt}_free_from_mark")


def by_mark(from_mark: float, to_mark: Count, resolution: ReadingResolution) -> Count:
    """Where the thread lets go, from zero: the count from the mark, and that from zero to the mark."""
    contributions = (
        Contribution(
            "count from the mark to the thread's end",
            counting.by_key(from_mark, resolution).budget.combined,
            1.0,
            shape="as one count",
        ),
        Contribution("count from zero to the mark", to_mark.budget.combined, 1.0, shape="as one count"),
    )
    return Count(from_mark + to_mark.turns, budget(contributions), "turns")


def _to_mark(bolt: str, values: Values, pitch: Pitch, resolution: ReadingResolution) -> Count | None:
    """From zero to the mark: by the key, else by the height of the head; None where neither was entered."""
    turns = values.optional(f"{bolt}_now_turns")
    if turns is not None:
        side = -1.0 if values.choice(f"{bolt}_now_side") == "in" else 1.0
        return counting.by_key(side * turns, resolution)
    zero, now = values.optional(f"{bolt}_height_zero"), values.optional(f"{bolt}_height_now")
    return None if zero is None or now is None else counting.by_height(zero, now, pitch, resolution)


def free_of(
    bolt: str,
    values: Values,
    pitch: Pitch,
    resolution: ReadingResolution,
    comparisons: list[tuple[str, Comparison]] | None = None,
) -> Count | None:
    """Where the thread lets go: as counted from zero or from the mark, else by lengths; None where none was given."""
    counted, length = values.optional(f"{bolt}_free_turns"), values.optional("bolt_length")
    from_mark, to_mark = free_from_mark(bolt, values), _to_mark(bolt, values, pitch, resolution)
    marked = None if from_mark is None or to_mark is None else by_mark(from_mark, to_mark, resolution)
    stand = values.optional(f"{bolt}_stand_zero")
    lengths = None
    if length is not None and stand is not None and stand < length:  # else `length_problems` refuses them
        lengths = by_lengths(length, stand, pitch, resolution)
    key = counting.by_key(counted, resolution) if counted is not None else marked
    if key is None:
        return lengths
    if counted is not None and marked is not None and comparisons is not None:
        comparisons.append((f"{bolt}_free_from_mark", counting.compare(key, marked)))
    if lengths is not None and comparisons is not None:
        comparisons.append((f"{bolt}_free_turns", counting.compare(key, lengths)))
    return key


def still_needed(values: Values) -> list[str]:
    """What a count or lengths of the thread that were begun still need, before they limit anything."""
    names = []
    stands = [f"{bolt}_stand_zero" for bolt in BOLTS if not _is_counted(bolt, values)]
    if values.entered("bolt_length"):
        names += [stand for stand in stands if not values.entered(stand)]
    elif any(map(values.entered, stands)):
        names.append("bolt_length")
    if values.entered("bolt_length") or any(_is_counted(bolt, values) for bolt in BOLTS):
        # Without its diameter the thread's count would limit nothing; without its pitch a length is no number of turns.
        names += [name for name in ("thread_diameter", "rise") if not values.entered(name)]
    return names


def needs_mark(bolt: str, values: Values) -> bool:
    """Whether its thread's end is known from the mark alone, so that it waits for the count from zero to the mark."""
    return free_from_mark(bolt, values) is not None and not values.entered(f"{bolt}_free_turns")


def _is_counted(bolt: str, values: Values) -> bool:
    """Whether it was counted where the thread lets go, from zero or from the mark."""
    return values.entered(f"{bolt}_free_turns") or free_from_mark(bolt, values) is not None


def mark_disagreement(name: str, counted: float, difference: float) -> Problem:
    """Say that the counts from the mark and from zero until the thread lets go contradict one another."""
    return Problem(
        f"{name}_free_from_mark",
        f"{name.capitalize()} bolt: counted from zero, the thread ends at {fixed(counted, 2)} turns; counted from the "
        f"mark, at {fixed(counted - difference, 2)}. Count from the mark again, or clear one of the two.",
    )


@dataclass(frozen=True, slots=True)
class EngagementRequirement:
    """How much thread must stay engaged: so many diameters, or all of the riser's thread where that is shorter.

    Attributes:
        length: m.
        diameters: that were wanted.
        whole_bush: whether the riser has no more than that.
    """

    length: float
    diameters: float
    whole_bush: bool


def needed(diameter: float, diameters: float, bush: float | None) -> EngagementRequirement:
    """Say how much thread must stay engaged (lengths in m)."""
    wanted = diameters * diameter
    if bush is None or at_most(wanted, bush):
        return EngagementRequirement(wanted, diameters, False)
    return EngagementRequirement(bush, diameters, True)


def length_problems(values: Values) -> list[Problem]:
    """Say which of the thread's lengths contradict one another."""
    bolt, bush = values.optional("bolt_length"), values.optional("bush_length")
    problems = []
    if bolt is not None and bush is not None and bush > bolt:
        problems.append(
            Problem(
                "bush_length",
                f"Length of the riser's thread: {_mm(bush)} is more than the whole bolt under its head, "
                f"{_mm(bolt)}. It must not be more. Measure both again, with the bolt out.",
            )
        )
    diameter = values.optional("thread_diameter")
    if bush is not None and diameter is not None and bush < diameter:
        problems.append(
            Problem(
                "bush_length",
                f"Length of the riser's thread: {_mm(bush)} is less than one diameter of the bolt, "
                f"{_mm(diameter)}, and no rule of thumb allows so little. Measure it again. If it is right, ask the "
                "maker or a bow technician.",
            )
        )
    for name in ("upper", "lower"):
        stand = values.optional(f"{name}_stand_zero")
        if bolt is not None and stand is not None and stand >= bolt:
            problems.append(
                Problem(
                    f"{name}_stand_zero",
                    f"{name.capitalize()} bolt, thread to head: {_mm(stand)} must be less than the bolt's length under "
                    f"its head, {_mm(bolt)}, or no thread would hold. Measure both again.",
                )
            )
    return problems


def disagreement(name: str, turns: float, lengths: float, explained: float) -> Problem:
    """Say that the count until the thread lets go and the lengths contradict one another."""
    return Problem(
        f"{name}_free_turns",
        f"{name.capitalize()} bolt: by your count the thread lets go at {fixed(turns, 2)} turns, by your lengths at "
        f"{fixed(lengths, 2)}. Counting and measuring errors explain only {fixed(explained, 2)} turns. Count and "
        "measure again, the pitch too.",
    )


def _mm(length: float) -> str:
    return f"{trimmed(1000 * length, 2)} mm"
