"""What the archer should look at before reading on."""

from __future__ import annotations

from quarterturn.bench import locks
from quarterturn.bench.engagement import EngagementRequirement, needed
from quarterturn.bench.family import can_be_felt
from quarterturn.bench.positions import PlaceSource
from quarterturn.numbers import fixed, trimmed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Block, Points
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges, foretold


def remarks(found: SafeRanges) -> list[Block]:
    """Say what does not fit together."""
    found_remarks: list[str] = []
    moved = [bolt for bolt in found.bolts if bolt.position.moved and bolt.position.source is PlaceSource.LOG]
    if moved:
        named = words.listed([f"the {bolt.title} at {words.place(bolt.readings.now.turns)}" for bolt in moved])
        found_remarks.append(f"Your log has {named}. That is used here; below is what you counted before.")
    if found.values.entered("check_manual") and found.values.choice("check_manual") == "none":
        found_remarks.append(
            "You have no manual, so the maker's own range is not known here, and it may be the narrower one. Ask the "
            "maker for it."
        )
    found_remarks += _of_the_lock(found)
    found_remarks += [remark for bolt in found.bolts for remark in _bolt_remarks(bolt, found)]
    return [Points("remarks", "Look at this first", tuple(found_remarks), "caution")] if found_remarks else []


def _of_the_lock(found: SafeRanges) -> list[str]:
    """What a detent's clicks do not fit, and a captive bolt whose way out nothing but the strip limits."""
    told = [
        f"{bolt.capitalize()} bolt: your count from zero is {trimmed(at, 1)} clicks, and a bolt rests in whole ones. "
        "Count the clicks again."
        for bolt, at in locks.between_clicks(found.values)
    ]
    if locks.lock_of(found.values) == locks.DETENT and not found.readings.clicks:
        told.append(
            "The bolts click, and the clicks of one turn are not entered. Count them once: a bolt rests in whole "
            "clicks, and the safe range then ends on them."
        )
    if locks.is_captive(found.values) and _wanted(found) is None and found.readings.maker_out is None:
        told.append(
            "The bolts are captive, and neither the maker's limit nor the thread's lengths are known. A bolt that "
            "comes to a stop on its way out has met what holds it. Go back, and force nothing."
        )
    return told


def _bolt_remarks(bolt: BoltRange, found: SafeRanges) -> list[str]:
    feel, readings = bolt.window.feel, bolt.readings
    remarks = []
    much = _wanted(found)
    if much is not None and readings.free is not None and much.whole_bush:
        long, wanted = words.length(much.length, found.unit, 1), trimmed(much.diameters, 1)
        remarks.append(
            f"{bolt.title.capitalize()}: the riser's thread is only {long} long, and {wanted} diameters are wanted "
            "(common practice, no source). The limit here keeps all of it engaged. Ask the maker whether that is how "
            "it was made."
        )
    elif bolt.window.outer.name == "thread" and not found.values.entered("bush_metal"):
        remarks.append(
            f"{bolt.title.capitalize()}: the thread that is left sets the outer end, with two diameters of engagement, "
            "because the metal in the riser is not known. If it is a steel bush, say so: one diameter is wanted then "
            "(common practice, no source)."
        )
    if feel is not None and readings.way == "both":
        expected = feel.flush_outside + feel.flush_inside
        if readings.bracket > 1.5 * expected + readings.now.budget.expanded:
            remarks.append(
                f"{bolt.title.capitalize()}: your two readings of flush are {words.turns(readings.bracket)} apart. "
                f"This strip explains only {words.turns(expected)}. Feel for both again, over both prongs."
            )
    expected_count = foretold(bolt, found)
    if expected_count is not None and readings.touch is not None and feel is not None:
        low, high = expected_count - feel.flush_outside - 0.5, expected_count + 0.5
        if not low <= readings.touch.turns <= high:
            remarks.append(
                f"{bolt.title.capitalize()}: by the free travel of the tip, expect first touch about "
                f"{words.turns(expected_count)} from flush. You counted {fixed(readings.touch.turns, 2)}. A turn may "
                "have been lost: count again."
            )
    return remarks


def _wanted(found: SafeRanges) -> EngagementRequirement | None:
    """How much thread is wanted; None where its diameter is not known."""
    readings = found.readings
    if readings.thread_diameter is None:
        return None
    return needed(readings.thread_diameter, readings.diameters_engaged, readings.bush_length)


def not_meant(found: SafeRanges) -> tuple[str, ...]:
    """Say what the answer does not mean."""
    geometry = (
        "It takes head and butt as rigid, the slot as open past the rim, and the pocket as having no floor that stops "
        "the limb.",
    )
    return (
        "It does not say that the bow is sound, and it does not test strength.",
        *(geometry if can_be_felt(found.family.name) else ()),
        "It belongs to this riser with these limbs, as they are today. Other limbs, shims or bolts: count again.",
        "It predicts no draw weight and no tiller.",
    )
