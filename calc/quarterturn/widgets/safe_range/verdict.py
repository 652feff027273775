"""The verdict in a sentence or two."""

from __future__ import annotations

from quarterturn.bench.family import can_be_felt
from quarterturn.bench.window import Place
from quarterturn.numbers import fixed, fixed_down, fixed_up
from quarterturn.widgets import words
from quarterturn.widgets.answer import State
from quarterturn.widgets.safe_range.found import Found, FoundBolt, entered_readings


def verdict(found: Found) -> tuple[State, str, str]:
    """Give the state, the title and the sentence."""
    if found.example:
        total = len(found.missing) + entered_readings(found)
        return (
            State.EXAMPLE,
            "Worked example: a made-up bow",
            f"This does not speak of your bow: {len(found.missing)} of the {total} readings that a verdict needs are "
            f"still the example's. In the example, {_windows(found)}",
        )
    if found.vanished:
        return State.NO_WINDOW, "No window is left", _no_window(found)
    if found.outside:
        return State.STOP, _outside_title(found.outside), _outside_verdict(found.outside)
    title = "Both bolts stand inside their windows"
    if not can_be_felt(found.family.name):
        title = "Both bolts stand inside the maker's range"
    return State.GO, title, f"Under the assumptions below, {_windows(found)} This certifies no strength."


def _no_window(found: Found) -> str:
    lost = words.listed(
        [
            f"nothing between {words.limit(bolt.window.inner)} and {words.limit(bolt.window.outer)} on the {bolt.title}"
            for bolt in found.vanished
        ]
    )
    return (
        f"Margin and doubt leave {lost}. Do not use this combination of riser and limbs as it stands: leave the string "
        "off, and ask its maker or a bow technician. Show them this sheet."
    )


def spoken(found: Found, title: str) -> str:
    """Say the answer in one short line, for those who hear the page and for the foot of a small screen."""
    if found.example:
        return f"Worked example: {len(found.missing)} readings still to enter."
    if found.vanished or found.outside:
        return f"{title}."
    windows = [
        f"{bolt.name} {fixed_up(bolt.window.inner.usable, 2)} to {fixed_down(bolt.window.outer.usable, 2)} turns"
        for bolt in found.bolts
    ]
    return f"{title}: {words.listed(windows)}."


def _windows(found: Found) -> str:
    return f"{'; '.join(_window(bolt) for bolt in found.bolts)}."


def _window(bolt: FoundBolt) -> str:
    if bolt.window.vanished:
        return f"nothing is left to use on the {bolt.title}"
    return (
        f"the {bolt.title} can be used from {fixed_up(bolt.window.inner.usable, 2)} to "
        f"{words.turns_down(bolt.window.outer.usable)} out from its zero, and stands at "
        f"{fixed(bolt.readings.now.turns, 2)}"
    )


_WHERE = {
    ("touch", Place.PAST_OUTER): "past first touch, or where it may be so",
    ("thread", Place.PAST_OUTER): "too far out for the thread that is left",
    ("cover", Place.PAST_OUTER): "where the butt no longer covers half of the bolt",
    ("maker_out", Place.PAST_OUTER): "outside the maker's outer limit",
    ("flush", Place.PAST_INNER): "inside flush, or where it may be so",
    ("stop", Place.PAST_INNER): "in past its stop",
    ("maker_in", Place.PAST_INNER): "inside the maker's inner limit",
}


_BACK = {
    "touch": "Do not string the bow: the pocket's fitting may be carrying the limb alone. With the string off, turn "
    "the {bolt} in, by the steps below.",
    "thread": "Do not string the bow: too little thread may be holding the {bolt}. With the string off, turn it in, by "
    "the steps below.",
    "cover": "Do not string the bow: the butt may slip off the head. With the string off, turn the {bolt} in, by the "
    "steps below.",
    "flush": "Take the string off, or leave it off. Before anything else take the limb out and inspect head, shank, "
    "butt and slot of the {bolt}. A bend, a crack or a bitten rim: stop, and a bow technician. Only then back it out, "
    "by the steps below.",
}


def where(bolt: FoundBolt) -> str:
    """Say where a bolt stands, in a few words."""
    limit = bolt.standing.limit
    if limit is None:
        return "inside its window"
    if bolt.standing.place in (Place.INNER_RESERVE, Place.OUTER_RESERVE):
        return f"in the reserve kept at {words.limit(limit)}"
    return _WHERE[limit.name, bolt.standing.place]


def _outside_title(outside: tuple[FoundBolt, ...]) -> str:
    return "Stop: " + words.listed([f"the {bolt.title} stands {where(bolt)}" for bolt in outside])


def _outside_verdict(outside: tuple[FoundBolt, ...]) -> str:
    sentences = []
    for bolt in sorted(outside, key=lambda bolt: bolt.standing.limit is None or bolt.standing.limit.name != "touch"):
        limit = bolt.standing.limit
        past = bolt.standing.place in (Place.PAST_INNER, Place.PAST_OUTER)
        if limit is not None and past and limit.name in _BACK:
            sentences.append(_BACK[limit.name].format(bolt=bolt.title))
        else:
            way = "out" if bolt.standing.to_inner < 0 else "in"
            sentences.append(f"Do not shoot the bow so: with the string off, turn the {bolt.title} {way}, as below.")
    return f"{' '.join(sentences)} Nothing else is worked out for a bolt outside its window."
