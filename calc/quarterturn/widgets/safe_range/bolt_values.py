"""The named values of each bolt and of the strip."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench import counting, locks
from quarterturn.bench.engagement import ThreadEngagement, needed
from quarterturn.bench.family import can_be_felt
from quarterturn.bench.positions import PlaceSource
from quarterturn.bench.window import WindowLimit
from quarterturn.mechanics.threads import Match, nearest_threads
from quarterturn.numbers import fixed, quarters, rounded, same, trimmed
from quarterturn.widgets import words
from quarterturn.widgets.answer import Status, Value, ValueList
from quarterturn.widgets.judgement_wording import where
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges, foretold

ALL_THREADS = 99


def bolt_values(bolt: BoltRange, found: SafeRanges) -> ValueList:
    """List the window of one bolt, where it stands and what else is known of it."""
    status = Status.COMPUTED if bolt.position.known else Status.EXAMPLE
    listed = [
        *_window(bolt, found, status),
        *(() if bolt.window.vanished else _inside_values(bolt, found, status)),
        _now(bolt, found),
        *(() if bolt.window.vanished else _distances(bolt, status)),
        *_bolt_extras(bolt, found, status),
    ]
    return ValueList(f"{bolt.name}-values", f"{bolt.title.capitalize()}, from its zero", tuple(listed), bolt.name)


def _window(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    """Both ends and the width."""
    window, name = bolt.window, bolt.name
    by_maker = Status.MAKER if not can_be_felt(found.family.name) else status
    width = window.width_budget.combined
    return [
        _end(name, window.inner, words.turns_up(window.inner.usable), by_maker),
        _end(name, window.outer, words.turns_down(window.outer.usable), by_maker),
        Value(
            *(f"{name}_width", "Width of the safe range", window.width, "turn"),
            *("none" if window.vanished else words.turns_down(window.width), status, width),
            f"standard uncertainty {fixed(width, 2)}",
        ),
    ]


def _now(bolt: BoltRange, found: SafeRanges) -> Value:
    now = bolt.readings.now
    return Value(
        *(f"{bolt.name}_now", "Where it is", now.turns, "turn", words.turns(now.turns)),
        *(_status_of_now(bolt, found), now.budget.combined),
        f"{_where(bolt, found)}U {fixed(bolt.standing.uncertainty, 2)}",
    )


def _where(bolt: BoltRange, found: SafeRanges) -> str:
    """Where it is in its range; nothing while the range is the example's and the place the reader's."""
    return f"{where(bolt.position)}; " if bolt.position.known or found.untouched else ""


def _distances(bolt: BoltRange, status: Status) -> list[Value]:
    return [
        _distance(f"{bolt.name}_to_inner", "From there in to the inner end", bolt.standing.to_inner, status),
        _distance(f"{bolt.name}_to_outer", "From there out to the outer end", bolt.standing.to_outer, status),
    ]


def _end(bolt: str, limit: WindowLimit, text: str, status: Status) -> Value:
    return Value(
        f"{bolt}_{limit.end.value}",
        f"{limit.end.value.capitalize()} end of the safe range",
        limit.usable,
        "turn",
        text,
        status,
        limit.budget.combined,
        f"set by {words.limit(limit)}; U taken off: {fixed(limit.budget.expanded, 2)}",
    )


def _status_of_now(bolt: BoltRange, found: SafeRanges) -> Status:
    if bolt.position.source is PlaceSource.LOG:
        return Status.ENTERED
    if bolt.readings.now.by == "heights":
        return Status.COMPUTED
    return Status.ENTERED if found.values.entered(f"{bolt.name}_now_turns") else Status.EXAMPLE


def _inside_values(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    window, name = bolt.window, bolt.name
    first, last = _quarter_up(window.inner.usable), _quarter_down(window.outer.usable)
    on_quarters = "none" if last < first else f"{quarters(first)} to {quarters(last)}"
    return [
        Value(f"{name}_middle", "Middle of the safe range", window.middle, "turn", words.turns(window.middle), status),
        Value(f"{name}_quarters", "Whole quarters inside it", None, "", on_quarters, status),
        *_clicks(bolt, found, status),
    ]


def _clicks(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    """The range in clicks, on which its ends lie; none where no detent's clicks are known."""
    each = found.readings.clicks
    if not each:
        return []
    first, last = (round(locks.in_clicks(end, each)) for end in (bolt.window.inner.usable, bolt.window.outer.usable))
    text, note = f"{first} to {last} clicks out", f"{each} clicks a turn; both ends are whole clicks"
    return [Value(f"{bolt.name}_clicks", "The same in clicks", None, "", text, status, note=note)]


def _quarter_up(turns: float) -> float:
    return -_quarter_down(-turns)


def _quarter_down(turns: float) -> float:
    return rounded(turns * 4 + 1e-9) // 1 / 4


def _distance(name: str, label: str, turns: float, status: Status) -> Value:
    text = words.turns_down(turns) if turns >= 0 else f"{words.turns(-turns)} beyond it"
    return Value(name, label, turns, "turn", text, status)


def _bolt_extras(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    """What else is known of a bolt, as far as it was measured."""
    return [
        *_flush_reserve(bolt, status),
        *_cover(bolt, found, status),
        *_foretold_touch(bolt, found, status),
        *_differences(bolt, status),
        *_pitch_by_heights(bolt, found, status),
    ]


def _flush_reserve(bolt: BoltRange, status: Status) -> list[Value]:
    feel, readings, label = bolt.window.feel, bolt.readings, "True flush is farther in by up to"
    if feel is None or readings.way not in ("outside", "both"):
        return []
    reserve = feel.flush_outside if readings.way == "outside" else readings.bracket
    return [
        Value(
            *(f"{bolt.name}_flush_reserve", label, reserve, "turn", words.turns(reserve), status),
            note="held in reserve, not used",
        )
    ]


def _cover(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    """By how much the butt covers the bolt, and the thread that is left."""
    if bolt.readings.dimensions is None:
        return []
    cover = bolt.readings.dimensions.cover
    covered = Value(
        *(f"{bolt.name}_cover", "The butt reaches past the bolt's middle by", units.from_si(cover, found.unit)),
        *(found.unit, words.length(cover, found.unit), status),
        note="the butt should reach past the middle (common practice, no source)",
    )
    return [covered, *_thread_left(bolt, found, status)]


def _foretold_touch(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    expected, label = foretold(bolt, found), "First touch expected from the tip's travel"
    if expected is None:
        return []
    return [
        Value(
            *(f"{bolt.name}_touch_foretold", label, expected, "turn", words.turns(expected), status),
            note="from true flush, as the strip reads it",
        )
    ]


def _differences(bolt: BoltRange, status: Status) -> list[Value]:
    """Counts against what was measured by caliper."""
    listed = []
    for field, comparison in bolt.readings.comparisons:
        event, label = _DIFFERENCES[field.removeprefix(f"{bolt.name}_")]
        listed.append(
            Value(
                *(f"{bolt.name}_{event}_difference", label, comparison.difference, "turn"),
                *(words.turns(comparison.difference), status, comparison.explained / counting.DISAGREEMENT),
                f"explained up to {fixed(comparison.explained, 2)}",
            )
        )
    return listed


_DIFFERENCES = {
    "touch_turns": ("touch", "Turns less heights, first touch"),
    "now_turns": ("now", "Turns less heights, where it is"),
    "free_from_mark": ("mark", "Thread's end, from zero less from the mark"),
    "free_turns": ("free", "Turns less lengths, where the thread lets go"),
}


def _thread_left(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    """How much thread holds at the outer end and where the bolt stands, or that it was not given."""
    name, free, readings = bolt.name, bolt.readings.free, found.readings
    at_end = "Thread engaged at the outer end"
    if free is None:
        captive = locks.is_captive(found.values)
        note = "so it limits nothing: measure lengths" if captive else "so it limits nothing: count it"
        return [Value(f"{name}_engaged_outer", at_end, None, "", "not given", Status.ASSUMED, note=note)]
    engaged = ThreadEngagement(free, readings.bush_length, readings.pitch)
    wanted = ""
    if readings.thread_diameter is not None:
        much = needed(readings.thread_diameter, readings.diameters_engaged, readings.bush_length)
        rule = "all of the riser's thread" if much.whole_bush else f"{trimmed(much.diameters, 1)} diameters"
        wanted = f"wanted: {words.length(much.length, found.unit, 1 if found.unit == 'mm' else 3)}, {rule}"
    places = (
        (f"{name}_engaged_outer", at_end, bolt.window.outer.usable, wanted),
        (f"{name}_engaged_now", "Thread engaged where it is", bolt.readings.now.turns, ""),
    )
    return [_engaged(label, words_, engaged, turns, found, status, note) for label, words_, turns, note in places]


def _engaged(
    name: str, label: str, engaged: ThreadEngagement, turns: float, found: SafeRanges, status: Status, note: str
) -> Value:
    length = engaged.at(turns)
    text = words.length(length, found.unit, 1 if found.unit == "mm" else 3)
    return Value(name, label, units.from_si(length, found.unit), found.unit, text, status, note=note)


def _pitch_by_heights(bolt: BoltRange, found: SafeRanges, status: Status) -> list[Value]:
    """The pitch that the heights at zero and at first touch give with the count between them."""
    values, name = found.values, bolt.name
    zero, touch = values.optional(f"{name}_height_zero"), values.optional(f"{name}_height_touch")
    if zero is None or touch is None or not values.entered(f"{name}_touch_turns"):
        return []
    turns = values.number(f"{name}_touch_turns")
    if values.choice(f"{name}_touch_found") != "yes" or turns <= 0 or touch <= zero:
        return []
    pitch = (touch - zero) / turns
    return [
        Value(
            f"{name}_pitch_by_heights",
            "Pitch by these heights and this count",
            units.from_si(pitch, found.unit),
            found.unit,
            words.length(pitch, found.unit),
            status,
            units.from_si(found.readings.resolution.height() / turns, found.unit),
            f"nearest: {_thread_text(nearest_threads(pitch, found.readings.thread_diameter, ALL_THREADS))}",
        )
    ]


def strip(found: SafeRanges) -> ValueList:
    """List the pitch and what the strip can feel."""
    pitch = found.readings.pitch
    nearest = nearest_threads(pitch.value, found.readings.thread_diameter, ALL_THREADS)
    status = Status.COMPUTED if pitch.measured else Status.ASSUMED
    shown = [
        Value(
            "pitch",
            "Pitch of the thread, a turn",
            units.from_si(pitch.value, found.unit),
            found.unit,
            words.length(pitch.value, found.unit),
            status,
            units.from_si(pitch.uncertainty, found.unit),
        ),
        Value(
            "nearest_thread",
            "Nearest standard thread by pitch",
            None,
            "",
            _thread_text(nearest),
            status,
            note="" if found.readings.thread_diameter is not None else "its diameter is not known",
        ),
    ]
    feel = found.bolts[0].window.feel
    if feel is not None:
        title = "What the strip can feel"
        shown += [
            _resolution("flush_outside", "Flush from outside: felt early by", feel.flush_outside),
            _resolution("flush_inside", "Flush from inside: felt late by", feel.flush_inside),
            _resolution("touch_outside", "First touch: felt early by", feel.touch),
        ]
    else:
        title = "The thread"
    return ValueList("strip", title, tuple(shown))


def _resolution(name: str, label: str, turns: float) -> Value:
    return Value(name, label, turns, "turn", words.turns(turns), note="upper pocket" if name != "touch_outside" else "")


def _thread_text(matches: tuple[Match, ...]) -> str:
    """Name all threads of the nearest pitch: pitch alone does not tell their diameters apart."""
    if not matches:
        return "none that fits"
    return f"{' or '.join(alike(matches))} ({fixed(100 * matches[0].relative_difference, 1)} % off)"


def alike(matches: tuple[Match, ...]) -> list[str]:
    """The names of the nearest thread, and of all that are as near."""
    return [
        match.thread.designation for match in matches if same(match.relative_difference, matches[0].relative_difference)
    ]
