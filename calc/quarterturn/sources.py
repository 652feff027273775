"""Where the numbers and rules come from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """A published source, or the plain statement that there is none.

    Attributes:
        key: how code and answers refer to it.
        citation: how a reader finds it.
        gives: what is taken from it here.
    """

    key: str
    citation: str
    gives: str


SOURCES = {
    source.key: source
    for source in (
        Source(
            "elastica",
            "Love, A Treatise on the Mathematical Theory of Elasticity, chapter XIX (from memory).",
            "the bent limb as an elastic line",
        ),
        Source(
            "bow-mechanics",
            "Kooi, On the mechanics of the bow and arrow (from memory); Tuyn and Kooi, Eur. J. Phys. 13 (1992) 127.",
            "the strung and drawn bow; four measured target bows to compare ours with",
        ),
        Source(
            "amo",
            "AMO Standards, draw length (quoted by others).",
            "the draw length on a tape: the pivot point and 1¾ in",
        ),
        Source(
            "amo-arrow",
            "AMO Standards, least arrow mass and the older test of spine (quoted by others).",
            "5 grains of arrow per pound of draw weight, with no figure of its own for recurve bows. Also a shaft's "
            "bend under 2 lb on 26 in",
        ),
        Source(
            "astm-f2031",
            "ASTM F2031, Measurement of arrow shaft static spine (quoted by others).",
            "what static spine is: the bend under 1.94 lb in the middle of 28 in",
        ),
        Source(
            "yarn",
            "Hearle, Grosberg and Backer, Structural Mechanics of Fibers, Yarns, and Fabrics, 1969 (from memory).",
            "how a bundle of fibres shortens as it is twisted",
        ),
        Source(
            "common-practice",
            "The trade's own rules (common practice, no source).",
            "a margin of at least a quarter of a turn inside both ends. The butt covers more than half of the bolt. "
            "One diameter of thread is engaged in steel, two in aluminium",
        ),
        Source(
            "gum",
            "JCGM 100:2008, Evaluation of measurement data: Guide to the expression of uncertainty in measurement.",
            "how the uncertainties of a reading are combined",
        ),
        Source(
            "iso-261",
            "ISO 261 and ISO 262, general purpose metric screw threads.",
            "standard pitches, metric",
        ),
        Source(
            "asme-b1.1",
            "ASME B1.1, Unified inch screw threads.",
            "standard pitches, profile, stress area and limits of class 2A and 2B, unified",
        ),
        Source(
            "iso-68-1",
            "ISO 68-1, Basic profile of metric screw threads, and ISO 724, their basic dimensions.",
            "pitch and minor diameters, metric",
        ),
        Source(
            "iso-965-1",
            "ISO 965-1, Tolerances of metric screw threads.",
            "the limits of class 6g and 6H",
        ),
        Source(
            "iso-898-1",
            "ISO 898-1, Mechanical properties of bolts, screws and studs of carbon and alloy steel.",
            "stress area, metric; strength and proof load of class 8.8, 10.9 and 12.9",
        ),
        Source(
            "iso-3506-1",
            "ISO 3506-1, Mechanical properties of corrosion-resistant stainless steel fasteners.",
            "strength of A2-70",
        ),
        Source(
            "fed-std-h28-2",
            "FED-STD-H28/2, Screw-thread standards for Federal services: Unified inch screw threads.",
            "the areas that shear where a thread strips",
        ),
        Source(
            "data-sheets",
            "Makers' data sheets of 7075-T6, 6061-T6 and Ti-6Al-4V, annealed.",
            "typical strength, which one piece may miss",
        ),
        Source("iso-534", "ISO 534, Paper and board: determination of thickness.", "how paper's thickness is measured"),
        Source(
            "sp-811",
            "NIST Special Publication 811 (2008), Guide for the use of the International System of Units.",
            "factors between units",
        ),
        Source(
            "statics",
            "Plane geometry of a rigid limb butt under a rigid flat head, worked out here.",
            "where the limb touches the head at a given turn, and what you can feel there with a strip of paper",
        ),
    )
}
