"""What the reader keeps over time: settings and readings, and what happened to the bow."""

from __future__ import annotations

from quarterturn.record.field_types import AnyField, ListField, Option, Role
from quarterturn.record.fields.builders import (
    bolt_position,
    brace_height,
    choice,
    day,
    draw_weight,
    pair,
    string_to_limb,
)

LOG: tuple[AnyField, ...] = (
    ListField(
        number=164,
        name="log",
        label="Log of settings and readings",
        help="One row each time you set or measure something; rows of one day in their order. Only the date is "
        "needed. Count turns out from zero; a minus is in.",
        row="entry",
        setting_columns=("upper_at", "lower_at"),
        columns=(
            day(1, "date", "date", role=Role.READING),
            *pair(bolt_position(2, "upper_at", "upper bolt at"), lower=2.0, shift=1),
            draw_weight(4, "weight", "draw weight"),
            *pair(string_to_limb(5, "upper_tiller", "upper string to limb", default=179.0), lower=175.0, shift=1),
            brace_height(7, "brace_height", "brace height"),
        ),
        max_rows=60,
        linked=False,
    ),
)

EVENTS: tuple[AnyField, ...] = (
    ListField(
        number=191,
        name="events",
        label="What happened to the bow",
        help="A click, a crack, a dry-fire, other limbs or shims: one row each. It stays open until you write what was "
        "found, and when. The line of the limbs needs its date only.",
        row="event",
        columns=(
            day(1, "date", "date", role=Role.READING),
            choice(
                2,
                "happened",
                "what happened",
                "",
                Option("click", "a click or a creak"),
                Option("crack", "a crack or a lifted layer"),
                Option("dry_fire", "a dry-fire"),
                Option("fall", "a fall or a crash"),
                Option("slipped", "a bolt or its lock moved by itself"),
                Option("reading", "a reading I did not expect"),
                Option("limbs", "other limbs put in"),
                Option("shims", "shims or washers changed"),
                Option("line", "line of the limbs set anew"),
                Option("withdrawn", "taken out of use"),
                role=Role.READING,
            ),
            choice(
                3,
                "found",
                "what was found",
                "",
                Option("slip", "counted and measured again: a slip"),
                Option("nothing", "looked at: nothing wrong"),
                Option("mended", "mended, or a part replaced"),
                Option("counted", "both bolts counted again"),
                Option("released", "looked at and released for use"),
                default="nothing",
            ),
            day(4, "found_on", "found on"),
        ),
        max_rows=24,
        initial_rows=1,
    ),
)
