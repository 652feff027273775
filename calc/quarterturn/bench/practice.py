"""A made-up bolt in a pocket that nobody sees: what a hand feels there, and what it lost against the truth.

Everything is made up from a number, by a published generator (`draws`), and is the same for ever. Turns are counted
with the key; at the place where the bolt is found the count is 0. True turns are counted from flush, coming in: after
the key was last turned out, the head is behind it by the play of the thread (model.md 7).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from quarterturn.bench import counting
from quarterturn.bench.counting import Pitch, ReadingResolution
from quarterturn.bench.readings import STRIP_TOLERANCE, BoltReadings, Dimensions, Readings
from quarterturn.bench.strip_resolution import strip_resolution
from quarterturn.bench.window import Window, window_of
from quarterturn.draws import Draws
from quarterturn.mechanics import contact as contacts
from quarterturn.mechanics import feeler
from quarterturn.mechanics.pocket import Pocket, PocketError
from quarterturn.numbers import at_most

EIGHTH = 0.125
"""The smallest part of a turn that is counted here."""
MARGIN = 0.25
"""Kept free at both ends (common practice, no source)."""
STRIPS = {"paper": 0.10e-3, "thin": 0.03e-3, "card": 0.25e-3}
"""Nominal thicknesses, m: office paper, cigarette paper and thin card (from memory)."""
DEEPEST, FARTHEST = -2.0, 3.0
"""How far in from flush, and out from first touch, the made-up bolt can be turned, turns."""
AT_END = 1e-4
"""Nearer to an end of its way than this the bolt is there, turns: counts are entered with six decimals."""
PLAY = (0.04, 0.10)
"""Of a thread that has some, turns."""
PITCHES = (1.0e-3, 25.4e-3 / 24, 1.25e-3)
LEVELS = ("sight", "paper", "play", "found")
MOST_BOWS = 99_999


@dataclass(frozen=True, slots=True)
class MadeUpBolt:
    """A bolt in its pocket, as nobody sees it. Lengths in m, turns from flush.

    Attributes:
        level: one of LEVELS.
        pocket: with the angle at which its fitting stops the limb.
        dimensions: of the same pocket, as a caliper would have read them.
        found: where the bolt is found.
        stop: where a hard stop ends its way in; None where none does.
        play: turns of the key that move nothing.
        prong: how much wider the gap is at the farther prong; negative where it is the nearer one's.
        rest: the rock angle of the limb while nothing presses it outward, rad.
        sheet: the true thickness of each strip, by name.
    """

    level: str
    pocket: Pocket
    dimensions: Dimensions
    found: float
    stop: float | None
    play: float
    prong: float
    rest: float
    sheet: tuple[tuple[str, float], ...]

    @property
    def touch(self) -> float:
        """First touch."""
        return contacts.first_touch(self.pocket) or 0.0

    @property
    def inner(self) -> float:
        """The true inner end: flush, or the stop before it."""
        return max(0.0, self.stop or 0.0)

    @property
    def lowest(self) -> float:
        """How far in it can be turned."""
        return DEEPEST if self.stop is None else self.stop

    @property
    def highest(self) -> float:
        """How far out it can be turned."""
        return self.touch + FARTHEST

    @property
    def stands(self) -> str:
        """Where it is found: "inside" its range, past its "inner" or its "outer" end."""
        if self.found < self.inner:
            return "inner"
        return "outer" if self.found > self.touch else "inside"

    def thickness(self, strip: str) -> float:
        """The true thickness of a strip, m."""
        return dict(self.sheet)[strip]


def made_up_bolt(number: int, level: str) -> MadeUpBolt:
    """Make up the bolt of a number.

    Args:
        number: 1 to MOST_BOWS.
        level: one of LEVELS.

    Raises:
        ValueError: there is no such bolt.
    """
    if not 1 <= number <= MOST_BOWS or level not in LEVELS:
        raise ValueError(f"no bolt has the number {number} at the level {level!r}")
    draws = Draws(number + LEVELS.index(level) * (MOST_BOWS + 1))
    draws.integer()
    dimensions, pitch = _dimensions(draws)
    touch = draws.between(4.2, 6.4)
    touch = round(touch / EIGHTH) * EIGHTH if level == "sight" else touch
    pocket = contacts.pocket_from_touch(dimensions.free_pocket(pitch), touch)
    with_play = level in ("play", "found")
    first = feeler.flush_seen_from_outside(pocket, STRIPS["paper"])  # the stop comes before what paper feels
    stop = first + draws.between(0.15, 0.5) if level == "play" else None
    found = _found(draws, level, touch)
    prong = draws.between(0.015e-3, 0.05e-3) * (1 if draws.one_of(2) else -1)
    return MadeUpBolt(
        level=level,
        pocket=pocket,
        dimensions=dimensions,
        found=found,
        stop=stop,
        play=draws.between(*PLAY) if with_play else 0.0,
        prong=0.0 if level == "sight" else prong,
        rest=contacts.rock_angle(pocket, -draws.between(0.3, 0.9)),
        sheet=tuple(
            (name, thick * (1 + draws.between(-STRIP_TOLERANCE, STRIP_TOLERANCE))) for name, thick in STRIPS.items()
        ),
    )


def _dimensions(draws: Draws) -> tuple[Dimensions, float]:
    """The pocket as a caliper reads it, to its tenths, and the pitch."""

    def tenths(low: float, high: float) -> float:
        return round(1e4 * draws.between(low, high)) / 1e4

    dimensions = Dimensions(
        fulcrum_arm=tenths(54e-3, 68e-3),
        limb_depth=tenths(6.5e-3, 9.5e-3),
        head_radius=tenths(8.6e-3, 10.4e-3),
        slot_half_width=tenths(4.6e-3, 5.4e-3),
        rim_to_butt=tenths(1.5e-3, 3.5e-3),
    )
    return dimensions, PITCHES[draws.one_of(len(PITCHES))]


def _found(draws: Draws, level: str, touch: float) -> float:
    if level == "sight":
        return round(draws.between(1.0, touch - 1.0) / EIGHTH) * EIGHTH
    if level != "found":
        return draws.between(1.4, touch - 0.6)
    past_flush = draws.one_of(2) == 0
    return -draws.between(0.3, 0.9) if past_flush else touch + draws.between(0.4, 1.2)


# The hand at the bench


class LastTurn(StrEnum):
    """Which way the key was turned last."""

    NOT = "not"
    IN = "in"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class Hand:
    """Where the hand has the key and the strip.

    Attributes:
        turned: from where the bolt was found, positive outward; as the key was turned, a stop or not.
        came: which way last.
        offered: where the strip is, "rim" or "butt".
        strip: which, by its name in STRIPS.
        prong: over which it is pushed, "both", "near" or "far".
        eased: whether the tip is eased, so that the butt rises against the head.
    """

    turned: float = 0.0
    came: LastTurn = LastTurn.NOT
    offered: str = "rim"
    strip: str = "paper"
    prong: str = "both"
    eased: bool = True


@dataclass(frozen=True, slots=True)
class StripFeel:
    """What is felt.

    Attributes:
        turned: from where the bolt was found, as far as it went.
        head: where the head truly is, turns from flush.
        reach: how far the strip goes in, m; None where no limb is under the head.
        at_stop, at_end: whether it came to its stop, or to where it can be turned no farther.
    """

    turned: float
    head: float
    reach: float | None
    at_stop: bool
    at_end: bool


def key_of(bolt: MadeUpBolt, turned: float) -> float:
    """Where the key has the bolt, turns from flush: no farther than it goes."""
    return min(max(bolt.found + turned, bolt.lowest), bolt.highest)


def felt(bolt: MadeUpBolt, hand: Hand) -> StripFeel:
    """Say what a hand feels."""
    key = key_of(bolt, hand.turned)
    head = key - _lag(bolt, hand)
    thick = _felt_thickness(bolt, hand)
    return StripFeel(
        turned=key - bolt.found,
        head=head,
        reach=_reach(bolt, hand, head, thick),
        at_stop=bolt.stop is not None and key <= bolt.lowest + AT_END,
        at_end=key >= bolt.highest - AT_END or (bolt.stop is None and key <= bolt.lowest + AT_END),
    )


def _lag(bolt: MadeUpBolt, hand: Hand) -> float:
    return bolt.play if hand.came is LastTurn.OUT else 0.0


def _wider(bolt: MadeUpBolt, prong: str) -> float:
    """How much wider the gap is over the prongs that are felt than over the one with the least, m."""
    if prong == "both":
        return 0.0
    return max(0.0, bolt.prong if prong == "far" else -bolt.prong)


def _felt_thickness(bolt: MadeUpBolt, hand: Hand) -> float:
    """The strip's thickness, less what the gap is wider over the prong that is felt; none or less always goes in."""
    return bolt.thickness(hand.strip) - _wider(bolt, hand.prong)


THINNEST = 1e-7
"""A strip as thin as this goes in wherever head and limb do not touch, m."""


def _reach(bolt: MadeUpBolt, hand: Hand, head: float, thick: float) -> float | None:
    if thick <= THINNEST:  # over that prong the gap is always wider than the strip
        return 2 * bolt.pocket.rim_reach
    if hand.eased:
        return feeler.strip_reach(bolt.pocket, head, thick, hand.offered)
    return feeler.strip_reach_of_slack_limb(bolt.pocket, head, bolt.rest, thick, hand.offered)


# Against the truth


@dataclass(frozen=True, slots=True)
class Loss:
    """A part of how far a reading is from the truth, turns, positive outward.

    Attributes:
        cause: "paper", "prong", "tip", "play" or "turning".
    """

    cause: str
    turns: float


@dataclass(frozen=True, slots=True)
class ReadingLoss:
    """How far a reading was from the truth, and of what that is made.

    Attributes:
        at: where the key was, turns from flush.
        truth: where the end truly is.
        losses: its parts; their sum is `at - truth`.
        guessed: the strip never stops the way it was held: no part can be told.
    """

    at: float
    truth: float
    losses: tuple[Loss, ...]
    guessed: bool = False


def zero_loss(bolt: MadeUpBolt, hand: Hand) -> ReadingLoss:
    """Take apart the reading of zero that was made with this hand."""
    key = key_of(bolt, hand.turned)
    if bolt.level == "sight":
        return ReadingLoss(key, 0.0, (Loss("turning", key),))
    if bolt.stop is not None and at_most(key, bolt.stop + EIGHTH):
        return ReadingLoss(key, bolt.stop, (*_play(bolt, hand), Loss("turning", key - bolt.stop - _lag(bolt, hand))))
    return _loss(bolt, hand, key, 0.0, lambda thick: _flush_stop(bolt.pocket, thick, hand.offered))


def touch_loss(bolt: MadeUpBolt, hand: Hand) -> ReadingLoss:
    """Take apart the reading of first touch that was made with this hand."""
    key = key_of(bolt, hand.turned)
    if bolt.level == "sight":
        return ReadingLoss(key, bolt.touch, (Loss("turning", key - bolt.touch),))
    if hand.offered != "butt":  # the rim tells nothing of first touch
        return ReadingLoss(key, bolt.touch, (Loss("turning", key - bolt.touch),), guessed=True)
    return _loss(bolt, hand, key, bolt.touch, lambda thick: bolt.touch + thick / bolt.pocket.pitch)


def _loss(
    bolt: MadeUpBolt, hand: Hand, key: float, truth: float, stops: Callable[[float], float | None]
) -> ReadingLoss:
    """Part by part: each is what the place where the strip stops moves by when it is held that way too."""
    sheet, felt_as = bolt.thickness(hand.strip), _felt_thickness(bolt, hand)
    paper = stops(sheet)
    prong = None if felt_as <= THINNEST else stops(felt_as)
    if paper is None or prong is None:
        return ReadingLoss(key, truth, (Loss("turning", key - truth),), guessed=True)
    losses = [Loss("paper", paper - truth), Loss("prong", prong - paper)]
    last = prong
    if not hand.eased:
        last = feeler.slack_limb_stops(bolt.pocket, bolt.rest, felt_as, hand.offered)
        losses.append(Loss("tip", last - prong))
    losses += _play(bolt, hand)
    losses.append(Loss("turning", key - last - _lag(bolt, hand)))
    return ReadingLoss(key, truth, tuple(losses))


def _flush_stop(pocket: Pocket, strip: float, offered: str) -> float | None:
    """Where a strip stops that looks for flush, turns from flush; None where it is too thick to tell."""
    told = strip_resolution(pocket, strip)
    if offered == "rim":
        return told.outside
    return None if told.inside is None else -told.inside


def _play(bolt: MadeUpBolt, hand: Hand) -> tuple[Loss, ...]:
    return (Loss("play", bolt.play),) if hand.came is LastTurn.OUT and bolt.play else ()


# What the worksheet would say


def window_from(bolt: MadeUpBolt, touch: float, now: float) -> Window | None:
    """The window that Find the safe range gives for these counts from zero; None where they are no bolt's."""
    resolution = ReadingResolution(EIGHTH, PLAY[1] if bolt.play else 0.0, 0.1e-3)
    zero = "flush" if bolt.stop is None else "stop"
    one = BoltReadings(
        bolt="upper",
        zero=zero,
        way="outside" if zero == "flush" else "",
        bracket=0.0,
        touch=counting.by_key(touch, resolution),
        now=counting.by_key(now, resolution),
        free=None,
        stop_inside=None,
        dimensions=bolt.dimensions,
        comparisons=(),
    )
    strip = STRIPS["paper"] if bolt.level != "sight" else THINNEST
    readings = Readings(
        family="flat" if zero == "flush" else "stop",
        resolution=resolution,
        pitch=Pitch(bolt.pocket.pitch, 0.0, measured=True),
        strip=strip,
        margin=MARGIN,
        maker_in=None,
        maker_out=None,
        thread_diameter=None,
        diameters_engaged=1.0,
        bush_length=None,
        clicks=0,
        bolts=(one, replace(one, bolt="lower")),
    )
    try:
        return window_of(one, readings)
    except PocketError:
        return None


@dataclass(frozen=True, slots=True)
class ChosenEnd:
    """How one end of the range that was chosen lies to the truth.

    Attributes:
        inside: turns that it lies inside the true end; negative past it.
        enough: whether that is at least the margin.
    """

    inside: float
    enough: bool

    @property
    def past(self) -> bool:
        """Whether it is past the true end."""
        return self.inside < 0


def chosen_ends(bolt: MadeUpBolt, zero: Hand, inner: float, outer: float) -> tuple[ChosenEnd, ChosenEnd]:
    """Hold a range, counted from zero, against the true ends; each bolt set by turning in."""
    from_flush = key_of(bolt, zero.turned) - _lag(bolt, zero)
    inside = from_flush + inner - bolt.inner, bolt.touch - from_flush - outer
    first, second = (ChosenEnd(one, at_most(MARGIN, one)) for one in inside)
    return first, second
