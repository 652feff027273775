"""The tables and values of the page on loads."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.bow_fit import FitError
from quarterturn.bench.force_draw import AMO
from quarterturn.mechanics.materials import MATERIALS, Material
from quarterturn.mechanics.thread_strength import needed_length, strip_force
from quarterturn.numbers import fixed, same, trimmed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Status, Table, Value, ValueList
from quarterturn.widgets.bow_doubts import HOW, label
from quarterturn.widgets.explained import DOUBT_DIGITS, rounded
from quarterturn.widgets.loads import sentences
from quarterturn.widgets.loads.asked import Asked, Carried

NAMES = ("out", "flush", "rim")
"""The three states, as values are named after them."""


def at_this_turn(about: Asked) -> ValueList:
    """What the bolt carries where the picture has it."""
    borne, status = about.shown.bearing, about.status
    place = borne.contact_x
    bolt = about.bolt
    share = about.shown.stress.combined / bolt.yield_strength
    return ValueList(
        "now",
        "At this turn",
        (
            Value("turns", "Turns out from flush", about.turns, "turn", words.turns(about.turns), status),
            Value("force", "Force on the head", borne.force, "N", sentences.newtons(borne.force), status),
            Value("force_along", "Its part along the bolt", borne.along, "N", sentences.newtons(borne.along), status),
            Value(
                *("force_across", "Its part across, toward the tip", borne.across, "N"),
                *(f"{fixed(borne.across, 1)} N", status),
            ),
            Value(
                "off_axis",
                "Off the bolt's axis, toward the tip",
                None if place is None else units.from_si(place, about.unit),
                "" if place is None else about.unit,
                "it touches nothing" if place is None else words.length(place, about.unit),
                status,
                note="minus is toward the butt",
            ),
            Value(
                *("bending", "Bending moment under the head", borne.bending, "N m"),
                *(f"{fixed(borne.bending, 2)} N·m", status),
                note=f"it sends the head {sentences.side(borne.bending)}",
            ),
            Value(
                *("stress", "Nominal stress in the shank", units.from_si(about.shown.stress.combined, "MPa"), "MPa"),
                *(sentences.stress(about.shown.stress.combined), status),
            ),
            Value(
                *("yield_share", f"Of the yield strength of {bolt.name}", 100 * share, "percent"),
                *(sentences.percent(share), status),
                note="it ranks positions; it certifies no strength",
            ),
        ),
    )


def three(about: Asked) -> ValueList:
    """The three states as named values, for those who ask by name."""
    status = about.status
    listed = []
    for name, carried in zip(NAMES, about.states, strict=True):
        borne, what = carried.bearing, _WHAT[name]
        listed += [
            Value(f"{name}_force", f"{what}: force", borne.force, "N", sentences.newtons(borne.force), status),
            Value(
                *(f"{name}_bending", f"{what}: bending", borne.bending, "N m"),
                *(sentences.moment(borne.bending), status),
                note=f"head {sentences.side(borne.bending)}",
            ),
            Value(
                *(f"{name}_stress", f"{what}: nominal stress", units.from_si(carried.stress.combined, "MPa"), "MPa"),
                *(sentences.stress(carried.stress.combined), status),
            ),
        ]
    for name, one, other in (
        ("rim_over_out_force", about.rim.bearing.force, about.out.bearing.force),
        ("rim_over_out_bending", about.rim.bearing.bending, about.out.bearing.bending),
        ("rim_over_out_stress", about.rim.stress.combined, about.out.stress.combined),
    ):
        found = sentences.ratio(one, other)
        label = f"Past flush against outside it: {name.rpartition('_')[2]}"
        text = "none" if found is None else sentences.times(found)
        listed.append(Value(name, label, found, "count" if found is not None else "", text, status))
    return ValueList("three", "Three states, by name", tuple(listed), folded=True)


_WHAT = {"out": "A quarter turn outside", "flush": "At flush, spread evenly", "rim": "A quarter turn past flush"}


def states(about: Asked) -> Table:
    """Hold the three states against one another: as ratios first, then in newtons and megapascals."""
    of_flush = (
        ("force, of flush", *(_times(one.bearing.force, about.flush.bearing.force) for one in about.states)),
        ("stress, of flush", *(_times(one.stress.combined, about.flush.stress.combined) for one in about.states)),
    )
    out = about.out
    of_out = (
        ("force, of outside", *(_times(one.bearing.force, out.bearing.force) for one in about.states)),
        ("bending, of outside", *(_times(one.bearing.bending, out.bearing.bending) for one in about.states)),
        ("stress, of outside", *(_times(one.stress.combined, out.stress.combined) for one in about.states)),
    )
    sized = (
        ("what bears", *(sentences.STATES[one.bearing.state] for one in about.states)),
        ("force", *(sentences.newtons(one.bearing.force) for one in about.states)),
        ("along the bolt", *(sentences.newtons(one.bearing.along) for one in about.states)),
        ("across it, toward the tip", *(f"{fixed(one.bearing.across, 1)} N" for one in about.states)),
        ("off the axis, toward the tip", *(_place(one, about.unit) for one in about.states)),
        ("bending moment", *(f"{fixed(one.bearing.bending, 2)} N·m" for one in about.states)),
        ("stress from the pull", *(sentences.stress(one.stress.axial) for one in about.states)),
        ("stress from bending", *(sentences.stress(one.stress.bending) for one in about.states)),
        ("together, nominal", *(sentences.stress(one.stress.combined) for one in about.states)),
        (
            f"of the yield of {about.bolt.name}",
            *(sentences.percent(one.stress.combined / about.bolt.yield_strength) for one in about.states),
        ),
    )
    return Table(
        "states-table",
        "Three states, side by side",
        ("", "¼ turn outside flush", "flush, spread evenly", "¼ turn past flush"),
        (*of_flush, *of_out, *sized),
        f"{sentences.even(about)} A line of contact is an upper bound: metal and limb give a little. So the fair "
        "comparison is that of the two lines.",
    )


def _times(value: float, against: float) -> str:
    found = sentences.ratio(value, against)
    return "none" if found is None else sentences.against(found)


def _place(carried: Carried, unit: str) -> str:
    place = carried.bearing.contact_x
    return "nowhere" if place is None else words.length(place, unit)


def pull(about: Asked) -> ValueList:
    """What the string does to the limb, in the bow as it stands."""
    status, unit, found = about.status, about.unit, about.pull
    return ValueList(
        "pull",
        f"What the string does to the {about.limb} limb",
        (
            Value(
                *("moment", "Moment about the fulcrum", found.moment, "N m", sentences.moment(found.moment), status),
                note="of your bow as it is computed; how sure it is stands below",
            ),
            Value(
                *("tension", "Tension in its part of the string", found.half.tension, "N"),
                *(sentences.newtons(found.half.tension), status),
            ),
            Value(
                *("string_angle", "Between that part and the draw", units.from_si(found.angle, "deg"), "deg"),
                *(words.degrees(found.angle), status),
            ),
            _far("string_lever", "Fulcrum to the string", found.lever, unit, status),
            _far(
                *("draw_from_pivot", "Drawn from the pivot point", found.bow.draw, unit, status),
                note=_station(about),
            ),
        ),
    )


def sure(about: Asked) -> ValueList | None:
    """How sure the moment is: slow. Nothing where the bow has no answer about where its bolts stand."""
    try:
        doubt = about.pull.doubt()
    except FitError:
        return None
    status, moment, off = about.status, about.pull.moment, rounded(doubt.budget.expanded, DOUBT_DIGITS)
    low, high = max(0.0, moment - off), moment + off
    return ValueList(
        "sure",
        "How sure that moment is",
        (
            Value(
                *("moment_off", "It may be off by", off, "N m", f"±\u00a0{sentences.moment(off)}", status),
                note=f"at about 95 % (U = 2u, GUM); most of it: {_lower(label(doubt.most))}, {HOW[doubt.most.known]}",
            ),
            Value("moment_low", "At least", low, "N m", sentences.moment(low), status),
            Value("moment_high", "At most", high, "N m", sentences.moment(high), status),
        ),
    )


def _far(name: str, what: str, value: float, unit: str, status: Status, note: str = "") -> Value:
    """A length of the bow: whole millimetres, or hundredths of an inch."""
    text = words.length(value, unit, 0 if unit == "mm" else 2)
    return Value(name, what, units.from_si(value, unit), unit, text, status, note=note)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _station(about: Asked) -> str:
    """How the draw length was counted."""
    station, offset = about.values.choice("draw_station"), about.values.number("station_offset")
    if station == "amo":
        return f"the AMO draw length less {trimmed(units.from_si(AMO, 'in'), 2)} in"
    if station == "pivot":
        return "as entered"
    place = {"plunger": "plunger hole", "rest": "rest"}[station]
    if same(offset, 0.0):
        return f"as entered: the {place} lies right over the pivot point"
    way = "less" if offset > 0 else "and"
    return f"as entered, {way} {words.length(abs(offset), about.unit)} to the {place}"


def thread(about: Asked) -> ValueList:
    """What holds the bolt in the riser."""
    unit, status = about.unit, _thread_status(about)
    here = about.engaged.at(about.turns)
    return ValueList(
        "thread",
        "What holds it: the thread",
        (
            Value("thread_name", "Taken as", None, "", about.thread or "no standard thread: as measured", status),
            _length(
                *("engaged", "Engaged at this turn", here, unit, status),
                note="" if about.thread_given else "the example's: count your thread, limb off",
            ),
            _length(
                *("engaged_wanted", "Wanted at least", about.wanted.length, unit, status),
                note=sentences.wanted(about.wanted),
            ),
            *_turns_of_thread(about, status),
            _strip("strip_bolt", "bolt", about.areas.external, here, about.bolt, status),
            _strip("strip_riser", "riser", about.areas.internal, here, about.riser, status),
        ),
    )


def _thread_status(about: Asked) -> Status:
    return Status.COMPUTED if about.thread_given and not about.example else Status.EXAMPLE


def profile(about: Asked) -> ValueList:
    """The thread's dimensions, and the length at which it is as strong as the bolt."""
    unit, status, found = about.unit, _thread_status(about), about.profile
    much = needed_length(found, about.bolt, about.riser)
    area = units.from_si(found.stress_area, "mm2")
    return ValueList(
        "profile",
        "The thread's dimensions",
        (
            Value("stress_area", "Stress area", area, "mm2", f"{fixed(area, 1)} mm²", status),
            _length("stress_diameter", "Its diameter as a plain rod", found.stress_diameter, unit, status),
            _length(
                *("doubling", "So far off the axis a pull stresses it twice", found.stress_diameter / 8, unit, status),
                note="the eighth part of it",
            ),
            _length("pitch_diameter", "Pitch diameter", found.pitch_diameter, unit, status),
            _length("minor_external", "At the root of the bolt's thread", found.minor_external, unit, status),
            _length("minor_internal", "The riser's hole", found.minor_internal, unit, status),
            _length(
                *("engaged_for_strength", "The bolt breaks before a thread strips from", much.length, unit, status),
                note=f"the weaker thread is the {'bolt' if much.weaker == 'bolt' else 'riser'}'s, taken as "
                f"{about.riser.name}",
            ),
        ),
        folded=True,
    )


def _turns_of_thread(about: Asked, status: Status) -> tuple[Value, ...]:
    """Up to which turns all of the riser's thread holds, and as much of it as is wanted; from flush."""
    engaged = about.engaged
    enough = engaged.free.turns - about.wanted.length / about.pitch.value
    rows = [("enough_until", "As much as that holds up to", enough), ("lets_go", "It lets go at", engaged.free.turns)]
    if engaged.whole_until is not None:
        rows.insert(0, ("whole_until", "All of the riser's thread holds up to", engaged.whole_until))
    return tuple(
        Value(name, label, at, "turn", words.turns(at), status, note="out from zero") for name, label, at in rows
    )


def _length(name: str, label: str, value: float, unit: str, status: Status, note: str = "") -> Value:
    return Value(name, label, units.from_si(value, unit), unit, words.length(value, unit), status, note=note)


def _strip(name: str, whose: str, area: float, engaged: float, metal: Material, status: Status) -> Value:
    force = strip_force(area, engaged, metal.tensile)
    label = f"The {whose}'s thread would strip at"
    return Value(name, label, force, "N", f"{fixed(force / 1000, 0)} kN", status, note="steady pull, sound threads")


def materials(about: Asked) -> Table:
    """What the contact past flush, and the one outside it, ask of every material."""
    rows = tuple(
        (
            each.name,
            sentences.stress(each.tensile),
            sentences.stress(each.yield_strength),
            "least" if each.least else "typical",
            sentences.percent(about.out.stress.combined / each.yield_strength),
            sentences.percent(about.rim.stress.combined / each.yield_strength),
        )
        for each in MATERIALS.values()
    )
    return Table(
        "materials-table",
        "The numbers behind the bars",
        ("material", "breaks at", "yields at", "these are", "¼ turn outside", "¼ turn past flush"),
        rows,
        "The last two columns are the nominal stress over the yield strength. Least: the standard holds the maker to "
        "it. Typical: from data sheets, and a piece may miss it.",
        folded=True,
    )
