"""The full inspection: one field for each thing that is looked at before a bolt is touched.

Every item refines one of the short questions of `inspection.INSPECTION`, its area, or stands alone. An item that has
not been looked at is absent; nothing is taken as in order.
"""

from __future__ import annotations

from dataclasses import dataclass

from quarterturn.record.field_types import ChoiceField, Option
from quarterturn.record.fields.builders import choice
from quarterturn.record.fields.inspection import FINE_OR_NOT, INSPECTED_ON


@dataclass(frozen=True, slots=True)
class Area:
    """A part of the bow: the short question that stands for it ("" if none does) and the items it is made of."""

    name: str
    title: str
    question: str
    items: tuple[ChoiceField, ...]


def _item(number: int, name: str, label: str, look_for: str, *options: Option) -> ChoiceField:
    return choice(number, name, label, look_for, *(options or FINE_OR_NOT), dated_by=INSPECTED_ON)


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
            _item(
                114,
                "butt_end",
                "The butt end",
                "Not crushed, not split. A curved dent on the back is the mark of a rim that has dug in.",
            ),
            _item(
                115,
                "slot_root",
                "The root of the slot",
                "Limb off, in good light, look where the slot ends: no crack from its corners.",
            ),
            _item(
                116,
                "fitting",
                "Pocket fitting and its seat",
                "Pin, plug or hook whole and tight in the limb. Its seat in the riser clean, not worn oval.",
            ),
            _item(
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
            _item(
                118,
                "bolt_head",
                "The heads",
                "Flat underside, no dent in the rim, no crack where the shank meets the head. A fingernail finds one.",
            ),
            _item(
                119,
                "bolt_shank",
                "The shanks",
                "Take the bolt out and roll it on a flat plate or a sheet of glass: a bent one wobbles.",
            ),
            _item(
                120,
                "bolt_thread",
                "The threads",
                "Clean crests, no torn or shining patch, no metal dust. The bush in the riser likewise.",
            ),
            _item(
                121,
                "bolts_alike",
                "Both bolts alike",
                "Side by side: the same length, the same head, the same thread. A single odd bolt is not the maker's.",
            ),
            _item(
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
            _item(
                123,
                "marks_agree",
                "Marks and serial numbers",
                "Both limbs carry the same number, and the fitting is the riser's. Two odd limbs are not a pair.",
            ),
            _item(
                124,
                "limb_places",
                "The upper limb on top",
                "Most pairs are marked. If they are not, read the writing: it is the right way up on the upper limb "
                "(common practice).",
            ),
            _item(
                125,
                "length_class",
                "Limb length and riser length",
                "The bow length printed on a limb is for one riser length. Another riser makes another bow: both must "
                "be meant for it.",
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
"""What is looked at, in order. (Common practice, no source.)"""

ITEMS: tuple[ChoiceField, ...] = tuple(item for area in AREAS for item in area.items)
