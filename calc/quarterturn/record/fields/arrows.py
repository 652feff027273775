"""The arrows that are shot with the bow."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField
from quarterturn.record.fields.builders import measure

ARROWS: tuple[AnyField, ...] = (
    measure(
        ("gr", "g"),
        172,
        "arrow_mass",
        "Mass of one arrow",
        "Ready to shoot, with point, nock and vanes. Weigh several and use the lightest.",
        default=320.0,
        limits=(50.0, 2000.0, "that is the range of arrows"),
        step=1.0,
        slider_high=800.0,
    ),
    measure(
        ("gr/lbf", "g/N"),
        173,
        "least_mass_per_pound",
        "Limb maker's minimum arrow mass",
        "Grains per pound, from the limbs' manual. Empty: the published general figure, 5 grains per pound.",
        default=6.0,
        limits=(3.0, 20.0, "that is the range of makers' figures"),
        step=0.1,
        slider_high=12.0,
    ),
    measure(
        ("thou", "mm"),
        174,
        "arrow_spine",
        "Static spine of your arrows",
        "The number on the shaft: its bend under 1.94 lb on 28 in, in thousandths of an inch.",
        default=700.0,
        limits=(100.0, 3000.0, "that is the range of shafts"),
        step=5.0,
        slider_high=2000.0,
    ),
)
