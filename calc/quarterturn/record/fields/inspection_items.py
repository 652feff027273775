"""The full inspection: one field for each thing that is looked at before a bolt is touched.

Every item refines one of the short questions of `inspection.INSPECTION`, its area, or stands alone. An item that has
not been looked at is absent; nothing is taken as in order.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from quarterturn.record.field_types import ChoiceField, Condition, Option
from quarterturn.record.fields.builders import BY_MANUAL, CLAMPED, JOINED, TURNED, choice
from quarterturn.record.fields.inspection import FINE_OR_NOT, INSPECTED_ON


@dataclass(frozen=True, slots=True)
class Area:
    """A part of the bow: the short question that stands for it ("" if none does) and the items it is made of."""

    name: str
    title: str
    question: str
    items: tuple[ChoiceField, ...]


def _item(
    number: int, name: str, label: str, look_for: str, *options: Option, when: tuple[Condition, ...] = ()
) -> ChoiceField:
    return choice(number, name, label, look_for, *(options or FINE_OR_NOT), when=when, dated_by=INSPECTED_ON)


_turned, _clamped = partial(_item, when=TURNED), partial(_item, when=CLAMPED)
_by_manual, _joined = partial(_item, when=BY_MANUAL), partial(_item, when=JOINED)


AREAS: tuple[Area, ...] = (
    Area(
        "limbs",
        "The limbs",
        "check_limbs",
        (
            _item(
                110,
                "limb_cracks",
                "Cracks in the limbs",
                "Tilt each limb against a lamp. A crack is a hairline that does not move with the light. "
                "Look at both faces and both edges.",
            ),
            _item(
                111,
                "limb_layers",
                "Lifting layers",
                "Run a tuft of cotton along both edges: it catches where a layer lifts. Look for a pale streak or a "
                "gap between the layers.",
            ),
            _item(
                112,
                "limb_twist",
                "Twist",
                "Look along the limb from the tip: tip and butt are square to one another. On the strung bow the "
                "string runs along the middle of both limbs.",
            ),
            _item(
                113,
                "limb_tips",
                "Tips and string nocks",
                "No crack beside or across the grooves, no sharp edge that could cut a loop, no loose tip.",
            ),
        ),
    ),
    Area(
        "butt",
        "Butt, slot, fitting and riser",
        "check_butt",
        (
            _turned(
                114,
                "butt_end",
                "The butt end",
                "Not crushed, not split. A curved dent on the back is the mark of a rim that has dug in.",
            ),
            _turned(
                115,
                "slot_root",
                "The root of the slot",
                "Limb off, in good light, look where the slot ends: no crack from its corners.",
            ),
            _turned(
                116,
                "fitting",
                "Pocket fitting and its seat",
                "Pin, plug or hook whole and tight in the limb. Its seat in the riser clean, not worn oval.",
            ),
            _turned(
                117,
                "riser_pocket",
                "The riser round both pockets",
                "No crack at the bolt's hole, the pocket's corners or the grip; a bush does not turn with the bolt.",
            ),
        ),
    ),
    Area(
        "bolts",
        "Both limb bolts",
        "check_bolt",
        (
            _turned(
                118,
                "bolt_head",
                "The heads",
                "Flat underside, no dent in the rim, no crack where the shank meets the head. A fingernail finds one.",
            ),
            _turned(
                119,
                "bolt_shank",
                "The shanks",
                "Take the bolt out, unless something holds it captive. Roll it on a flat plate: a bent one wobbles.",
            ),
            _turned(
                120,
                "bolt_thread",
                "The threads",
                "Clean crests, no torn or shining patch, no metal dust. The bush in the riser likewise.",
            ),
            _turned(
                121,
                "bolts_alike",
                "Both bolts alike",
                "Side by side: the same length, the same head, the same thread. A single odd bolt is not the maker's.",
            ),
            _turned(
                122,
                "bolt_turns",
                "Both bolts turn",
                "Lock backed off, limb unloaded: each turns by hand with its key, evenly, all the way you need.",
                Option("fine", "both turn freely"),
                Option("unsure", "one is stiff or rough"),
                Option("seized", "one will not turn"),
            ),
        ),
    ),
    Area(
        "pairs",
        "What belongs together",
        "check_match",
        (
            _turned(
                123,
                "marks_agree",
                "Marks and serial numbers",
                "Both limbs carry the same number, and the fitting is the riser's. Two odd limbs are not a pair.",
            ),
            _turned(
                124,
                "limb_places",
                "The upper limb on top",
                "Most pairs are marked. If they are not, read the writing: it is the right way up on the upper limb "
                "(common practice, no source).",
            ),
            _turned(
                125,
                "length_class",
                "Limb length and riser length",
                "The bow length printed on a limb is for one riser length. Another riser makes another bow: both must "
                "be meant for it.",
            ),
        ),
    ),
    Area(
        "clamp",
        "The bolt that clamps",
        "",
        (
            _clamped(
                127,
                "clamp_tight",
                "Hand-tight",
                "Both bolts are home and tight by hand, or as the manual says. Neither turns by itself.",
                Option("fine", "both are hand-tight"),
                Option("unsure", "not sure"),
                Option("fault", "one is loose, or was backed out"),
            ),
            _clamped(
                128,
                "clamp_washer",
                "The washer",
                "Under each head lies its washer: flat, whole, not sunk into the limb.",
            ),
            _clamped(
                129,
                "clamp_insert",
                "The threaded insert",
                "The metal thread in the riser is straight and firm, level with the wood. It does not turn.",
            ),
            _clamped(
                130,
                "clamp_wood",
                "Wood round bolt and pin",
                "No crack runs from a hole in limb or riser. No ring is crushed into the limb.",
            ),
            _clamped(
                131,
                "clamp_pin",
                "The pin",
                "Straight and firm in the riser, its hole in the limb round. The limb does not shift.",
                Option("fine", "in order, or there is none"),
                Option("unsure", "not sure"),
                Option("fault", "not in order"),
            ),
        ),
    ),
    Area(
        "joint",
        "Where limb and riser meet",
        "",
        (
            _by_manual(
                132,
                "joint_bolts",
                "Bolts and screws",
                "All are there and straight, and none wobbles. Look and feel; turn none to find out.",
                Option("fine", "in order"),
                Option("unsure", "not sure"),
                Option("fault", "one is loose, bent or missing"),
            ),
            _by_manual(
                133,
                "joint_seat",
                "The limb in its seat",
                "The limb sits straight and does not shift by hand. Nothing is crushed, dented or worn.",
            ),
            _joined(
                134,
                "joint_riser",
                "Riser, grip and glue lines",
                "No crack in riser or grip, none from a hole. No glue line opens where limb and grip meet.",
            ),
        ),
    ),
    Area(
        "string",
        "The bow string",
        "",
        (
            _item(
                126,
                "string_sound",
                "The string itself",
                "No cut strand, no loose or worn serving at loops and nocking point, the right length for this bow.",
            ),
        ),
    ),
)
"""What is looked at, in order (common practice, no source)."""

ITEMS: tuple[ChoiceField, ...] = tuple(item for area in AREAS for item in area.items)
