"""The arm from fulcrum to bolt, by a way round it: how far the limb's tip moves while the bolt turns."""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.bench.counting import Pitch
from quarterturn.record.values import Values


@dataclass(frozen=True, slots=True)
class Arm:
    """The arm from fulcrum to bolt axis, m, and how it is known: "entered", "by the tip" or "assumed"."""

    value: float
    by: str


def lever(pitch: float, turns: float, tip_length: float, travel: float) -> float:
    """Return the lever from fulcrum to where the head bears, m: pitch·turns·tip_length/travel.

    The bolt's rise over the lever and the tip's travel over its own length are the same small angle. Lengths in m,
    turns outside flush and in contact.
    """
    return pitch * turns * tip_length / travel


def arm(values: Values, pitch: Pitch, cover: float, rim_reach: float) -> Arm:
    """Return the arm: as entered, else by the tip's travel, else the default.

    Args:
        values: the record's.
        pitch: of the bolt.
        cover: how far the butt reaches past the bolt's axis, m.
        rim_reach: how far the head's rim reaches over the prongs, m; the head bears no farther out than that.
    """
    entered = values.optional("fulcrum_arm")
    if entered is not None:
        return Arm(entered, "entered")
    travel = values.optional("lever_travel")
    if travel is None:
        return Arm(values.number("fulcrum_arm"), "assumed")
    found = lever(pitch.value, values.number("lever_turns"), values.number("tip_length"), travel)
    return Arm(found - min(cover, rim_reach), "by the tip")
