"""The arrows that are shot with the bow."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField
from quarterturn.record.fields.builders import measure

ARROWS: tuple[AnyField, ...] = (
    measure(
        ("gr", "g"),
        172,
        "arrow_mass",
        "Mass of an arrow, ready to shoot",
        "On a scale, with its point, nock and vanes. Of several the lightest one counts.",
        default=320.0,
        limits=(50.0, 2000.0, "arrows lie between"),
        step=1.0,
        slider_high=800.0,
    ),
    measure(
        ("gr/lbf", "g/N"),
        173,
        "least_mass_per_pound",
        "Least arrow mass for a pound of draw weight, by the limbs' maker",
        "From the limbs' manual. Left empty, the published general one stands in: 5 grains a pound.",
        default=6.0,
        limits=(3.0, 20.0, "makers' figures lie between"),
        step=0.1,
        slider_high=12.0,
    ),
    measure(
        ("thou", "mm"),
        174,
        "arrow_spine",
        "Static spine of your arrows",
        "The number on the shaft: thousandths of an inch that it bends under 1.94 lb, on a span of 28 in.",
        default=700.0,
        limits=(100.0, 3000.0, "shafts lie between"),
        step=5.0,
        slider_high=2000.0,
    ),
)
