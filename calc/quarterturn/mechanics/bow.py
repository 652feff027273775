"""The bow, strung and drawn: two elastic limbs in their pockets and the string that joins their tips.

Frame: origin at the grip's pivot point, X toward the archer, Y up; the lower limb is described mirrored in Y, so that
its numbers read as the upper one's. Each limb leans on its **fulcrum** at th = flush angle + rock angle φ from Y,
toward the archer; turning the bolt in makes φ less and leans the limb away. The **nocking point** P is fixed on the
string, so each part of the string keeps its length, but for the stretch that its tension gives it.

Elastic limbs without mass, a string without mass or friction, no hand but one point, no arrow rest. m, N, J, rad.

How such a bow is found: one limb as a function of the nocking point in mechanics/limb_response.py, a first guess in
first_guess.py, the strung bow in equilibrium.py, the draw in continuation.py, bows that differ little in
linearisation.py, and where the limbs are in limb_line.py.

Source: as in mechanics/limb.py.
"""

import math
from dataclasses import dataclass

from quarterturn.mechanics.limb import BentLimb, Limb

FARTHEST = 5.0  # m, the greatest place or string
MOST_LEANING = 1.3  # rad, how far a limb may lean either way


class BowError(ValueError):
    """A bow, or a draw, that cannot be: `parameter` names it, the sentence says what would be right."""

    def __init__(self, parameter: str, sentence: str) -> None:
        super().__init__(sentence)
        self.parameter = parameter


@dataclass(frozen=True, slots=True)
class Side:
    """One limb and where the riser holds it; the lower side mirrored in Y.

    Raises BowError where a number is not finite or outside its range.
    """

    limb: Limb
    fulcrum_x: float
    """X_F: how far the fulcrum lies from the pivot point toward the archer, m; negative in front of it."""
    fulcrum_y: float
    """Y_F: how far from the pivot point toward the tip, m."""
    flush_angle: float
    """How far the limb's back leans toward the archer from Y when its bolt is flush, rad."""
    line_offset: float = 0.0
    """t_n: fulcrum to the elastic line, square to the limb and away from the archer, m."""
    root_distance: float = 0.0
    """r: from there to the elastic line's root, along the limb toward the tip, m."""
    depth: float = 0.0
    """t: fulcrum to the limb's back, square to it, m."""

    def __post_init__(self) -> None:
        for name in ("fulcrum_x", "fulcrum_y", "line_offset", "root_distance", "depth"):
            if not abs(getattr(self, name)) <= FARTHEST:  # false for NaN too
                words = name.replace("_", " ").capitalize()
                raise BowError(name, f"{words} must be a distance of at most {FARTHEST:g} m.")
        if not abs(self.flush_angle) <= MOST_LEANING:
            raise BowError("flush_angle", "The limb's lean at flush must be from -74 to 74 degrees.")


@dataclass(frozen=True, slots=True)
class BowString:
    """The string, from the nocking point to either loop, without tension.

    Raises BowError where a length is not from 1 cm to 5 m, or the stretch stiffness is no number above 0.
    """

    upper: float
    """S_u, m."""
    lower: float
    """S_l, m."""
    stretch_stiffness: float | None = None
    """EA: the tension that would double its length, N; None for a string that does not stretch."""

    def __post_init__(self) -> None:
        for name in ("upper", "lower"):
            if not 0.01 <= getattr(self, name) <= FARTHEST:
                raise BowError("string", f"The {name} part of the string must be from 1 cm to {FARTHEST:g} m long.")
        if self.stretch_stiffness is not None and not 1e-3 <= self.stretch_stiffness <= 1e12:
            raise BowError("stretch_stiffness", "The string's stretch stiffness must be a force of more than 0 N.")


@dataclass(frozen=True, slots=True)
class Bow:
    """Two sides and a string."""

    upper: Side
    lower: Side
    string: BowString


@dataclass(frozen=True, slots=True)
class Half:
    """One limb and its part of the string as found; the lower one mirrored in Y."""

    lean: float
    """th = flush angle + φ, rad."""
    tension: float
    """T, N."""
    string_angle: float
    """θe: the free string from Y, from the nocking point toward the tip, positive leaning toward the archer, rad."""
    free_length: float
    """Nocking point to where the string leaves the limb, m."""
    end_x: float
    """Where it leaves the limb, m."""
    end_y: float
    moment: float
    """M_F: moment of the string about the fulcrum, N·m; it swings the limb toward the archer."""
    distance_to_back: float
    """String to the limb's back at the foot of the perpendicular from the fulcrum, square to the string, m."""
    distance_to_belly: float
    """String to the fulcrum, where the belly face rests, square to the string, m."""
    stretched: float
    """Energy of its part of the string, J."""
    bent: BentLimb
    """The limb in the string's frame; `bent.wrapped` is how much of it the string lies on."""

    @property
    def energy(self) -> float:
        """Of the bent limb, and of its stretched part of the string, J."""
        return self.bent.energy + self.stretched


@dataclass(frozen=True, slots=True)
class BracedBow:
    """The bow strung and at rest."""

    upper: Half
    lower: Half
    tension: float
    """N."""
    brace_height: float
    """Pivot point to string, square to the string, m."""
    nocking_x: float
    """m."""
    nocking_y: float
    """m."""
    least_stiffness: float
    """The least stiffness against moving the nocking point, N/m: near 0, one limb is about to unload into the other."""

    @property
    def energy(self) -> float:
        """Both limbs and the string, J."""
        return self.upper.energy + self.lower.energy

    @property
    def tiller(self) -> float:
        """Upper less lower distance to the limb's back, m."""
        return self.upper.distance_to_back - self.lower.distance_to_back

    @property
    def belly_tiller(self) -> float:
        """Upper less lower distance to the belly, m: the same within 0.01 mm where the limbs are as deep."""
        return self.upper.distance_to_belly - self.lower.distance_to_belly

    @property
    def draw(self) -> float:
        """|OP|: where the draw length begins, m."""
        return math.hypot(self.nocking_x, self.nocking_y)


@dataclass(frozen=True, slots=True)
class DrawnBow:
    """The bow at one draw length."""

    upper: Half
    lower: Half
    draw: float
    """D = |OP|, m; a draw length on a tape by the AMO standard is 1.75 in more."""
    force: float
    """F, N."""
    angle: float
    """Of OP from X, positive upward, rad."""
    nocking_x: float
    """m."""
    nocking_y: float
    """m."""
    least_stiffness: float
    """Stiffness against moving the nocking point square to OP at this draw length, N/m."""

    @property
    def energy(self) -> float:
        """Both limbs and the string, J; less that of the braced bow it is what was stored."""
        return self.upper.energy + self.lower.energy
