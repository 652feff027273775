"""The scale of turns: marks where they should be, zones that meet, words that do not collide, nothing that is not read.

What is drawn is measured and divided by the stated scale (C); no number of a bow is computed here.
"""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from xml.etree.ElementTree import Element

import pytest

from figures.reading import SPACE, Drawing, boxes, collisions, faults
from quarterturn.figures.svg import Picture
from quarterturn.figures.turn_scale import (
    BLANK,
    EndMarks,
    ScaleMark,
    ScaleMarks,
    axis_range,
    small_scale,
    turn_scale,
)

NEAR = 0.002  # turns: a thousandth of a user unit is much less

ZERO = ScaleMark("zero", "zero", 0.0)
NOW = ScaleMark("now", "now 2½", 2.5)
# A made-up bolt: zero felt from outside, first touch at 5.03 (sources.md F, C), half a quarter of counting error.
MARKS = ScaleMarks(
    inner=EndMarks(0.0, 0.38),
    outer=EndMarks(5.03, 4.56),
    usable="use ½ to 4½",
    places=(
        ZERO,
        ScaleMark("touch", "first touch 5", 5.03),
        ScaleMark("limit-0", "maker's outer limit 6", 6.0),
        ScaleMark("limit-1", "end of the thread 7.2", 7.2),
    ),
    now=NOW,
)
VANISHED = ScaleMarks(
    inner=EndMarks(0.0, 1.1),
    outer=EndMarks(1.37, 0.7),
    usable="no turn is safe",
    places=(ZERO, ScaleMark("touch", "first touch 1.4", 1.37)),
    now=ScaleMark("now", "now 0.9", 0.9),
)
READ = ScaleMarks(inner_read=0.0, outer_read=5.25, places=(ZERO, ScaleMark("touch", "first touch 5¼", 5.25)))


class Scale(Drawing):
    """A drawn scale of turns, read back in turns."""

    def __init__(self, marks: ScaleMarks, title: str = "Upper bolt", *, key: bool = False) -> None:
        super().__init__(turn_scale(marks, prefix="s", title=title, name="scale", key=key))
        self.unit, self.origin = self.numbers("s-scale", "data-scale-x", "data-origin-x")

    def turns(self, x: float) -> float:
        return (x - self.origin) / self.unit

    def zone(self, key: str) -> tuple[float, float]:
        x, width = self.numbers(f"s-zone-{key}", "x", "width")
        return self.turns(x), self.turns(x + width)

    def at(self, key: str) -> float:
        return self.turns(self.line(f"s-{key}")[0])


class Small(Scale):
    """The same without words, read back by its frame, which spans the axis."""

    def __init__(self, marks: ScaleMarks, title: str = "Upper bolt") -> None:
        Drawing.__init__(self, small_scale(marks, prefix="s", title=title, name="small"))
        left, width = (float(frame_of(self).attrib[name]) for name in ("x", "width"))
        first, last = axis_range(marks)
        self.unit = width / (last - first)
        self.origin = left - first * self.unit


def frame_of(drawing: Drawing) -> Element:
    return next(one for one in drawing.elements if one.attrib.get("class") == "qt-frame")


def zones_of(drawing: Drawing) -> set[str]:
    return {key.removeprefix("s-zone-") for key in drawing.ids if key.startswith("s-zone-") and "key" not in key}


def poles(drawing: Drawing) -> list[tuple[float, float, float]]:
    drawn = [one for one in drawing.elements if "qt-pole" in one.attrib.get("class", "")]
    return [(float(one.attrib["x1"]), float(one.attrib["y1"]), float(one.attrib["y2"])) for one in drawn]


def flags(drawing: Drawing) -> dict[str, str]:
    """The words of each place, by its key."""
    start = "s-label-"
    return {
        key.removeprefix(start): drawing.by_id[key].text or ""
        for key in drawing.ids
        if key.startswith(start) and key != "s-label-window"
    }


# Where everything is


def test_marks_are_where_they_should_be() -> None:
    scale = Scale(MARKS)
    wanted = {"now": 2.5, "inner-limit": 0, "outer-limit": 5.03}
    for key, turns in wanted.items():
        assert scale.at(key) == pytest.approx(turns, abs=NEAR), key
    x1, _, x2, _ = scale.line("s-window")
    assert (scale.turns(x1), scale.turns(x2)) == pytest.approx((0.38, 4.56), abs=NEAR)
    assert scale.turns(scale.points("s-now-arrow")[2][0]) == pytest.approx(2.5, abs=NEAR)
    found = sorted(scale.turns(x) for x, _, _ in poles(scale))
    assert found == pytest.approx([0, 2.5, 5.03, 6, 7.2], abs=NEAR)
    assert flags(scale) == {"now": NOW.words} | {place.key: place.words for place in MARKS.places}
    assert scale.by_id["s-label-window"].text == MARKS.usable


def test_words_stand_at_their_own_pole() -> None:
    """Nearer to it than to any other: at one of its ends, or over it."""
    scale = Scale(MARKS)
    found = {box.words: box for box in boxes(scale)}
    for place in (*MARKS.places, NOW):
        box, pole = found[place.words], scale.origin + place.turns * scale.unit
        assert box.left - 5 < pole < box.right + 5, place.words


def test_zones_follow_one_another_from_limit_to_limit() -> None:
    first, last = axis_range(MARKS)
    wanted = [
        ("stop-inner", first, 0), ("inner-margin", 0, 0.38), ("usable", 0.38, 4.56),
        ("outer-margin", 4.56, 5.03), ("stop-outer", 5.03, last),
    ]  # fmt: skip
    for scale in (Scale(MARKS), Small(MARKS)):
        for key, start, end in wanted:
            assert scale.zone(key) == pytest.approx((start, end), abs=NEAR), key
        assert zones_of(scale) == {key for key, _, _ in wanted}
        levels = {scale.numbers(f"s-zone-{key}", "y", "height") for key, _, _ in wanted}
        assert len(levels) == 1


def test_the_axis_ends_where_the_band_ends() -> None:
    scale = Scale(MARKS)
    first, last = scale.numbers("s-scale", "data-first", "data-last")
    assert (first, last) == axis_range(MARKS)
    left, width = (float(frame_of(scale).attrib[name]) for name in ("x", "width"))
    assert (scale.turns(left), scale.turns(left + width)) == pytest.approx((first, last), abs=NEAR)


def test_ticks_stand_at_their_numbers() -> None:
    scale = Scale(MARKS)
    texts = [one for one in scale.by_id["s-axis"] if one.tag == f"{SPACE}text"]
    assert len(texts) >= 8
    for one in texts:
        number = float((one.text or "").replace("−", "-"))
        assert scale.turns(float(one.attrib["x"])) == pytest.approx(number, abs=NEAR)


def test_the_axis_shows_everything_with_room_around() -> None:
    """To whole or half turns, so that its ends can be read; of nothing read there is an axis all the same."""
    rng = random.Random(11)
    for _ in range(200):
        marks = random_marks(rng)
        first, last = axis_range(marks)
        assert (first * 2) % 1 == (last * 2) % 1 == 0
        ends = [end for end in (marks.inner, marks.outer) if end is not None]
        values = [place.turns for place in marks.places]
        values += [value for end in ends for value in (end.limit, end.usable)]
        values += [value for value in (marks.inner_read, marks.outer_read) if value is not None]
        values += [marks.now.turns] if marks.now is not None else []
        assert all(first + 0.29 < value < last - 0.29 for value in values)
    assert axis_range(ScaleMarks()) == BLANK
    assert axis_range(ScaleMarks(), MARKS) == axis_range(MARKS)


def test_one_axis_for_two_bolts() -> None:
    other = replace(MARKS, outer=EndMarks(7.9, 7.4), places=(ZERO,), hollow=True)
    first, last = axis_range(MARKS, other)
    upper, lower = (Scale(replace(marks, first=first, last=last)) for marks in (MARKS, other))
    assert (upper.unit, upper.origin) == (lower.unit, lower.origin)
    assert upper.at("inner-limit") == pytest.approx(lower.at("inner-limit"), abs=NEAR)
    assert lower.zone("usable")[1] == pytest.approx(7.4, abs=NEAR)


def test_what_is_off_the_axis_is_pointed_at() -> None:
    far = replace(MARKS, now=ScaleMark("now", "now 12", 12.0), first=-1, last=8)
    assert flags(Scale(far))["now"] == "now 12 →"
    assert Scale(far).at("now") == pytest.approx(8, abs=NEAR)
    deep = replace(MARKS, now=ScaleMark("now", "now −3", -3.0), first=-1, last=8)
    assert flags(Scale(deep))["now"] == "← now −3"
    assert flags(Scale(MARKS))["now"] == "now 2½"


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="axis"):
        Scale(replace(MARKS, first=2, last=2))


# A range that is none


def test_a_vanished_range_shows_both_ends_in_lanes_of_their_own() -> None:
    for scale in (Scale(VANISHED), Small(VANISHED)):
        assert "usable" not in zones_of(scale)
        first, last = axis_range(VANISHED)
        assert scale.zone("stop-inner") == pytest.approx((first, 0), abs=NEAR)
        assert scale.zone("inner-margin") == pytest.approx((0, 1.1), abs=NEAR)
        assert scale.zone("outer-margin") == pytest.approx((0.7, 1.37), abs=NEAR)
        assert scale.zone("stop-outer") == pytest.approx((1.37, last), abs=NEAR)
        inner, outer = (scale.numbers(f"s-zone-{end}-margin", "y", "height") for end in ("inner", "outer"))
        assert inner[0] + inner[1] == pytest.approx(outer[0], abs=0.01)  # one lane under the other
        top, height = (float(frame_of(scale).attrib[name]) for name in ("y", "height"))
        assert (inner[0], outer[0] + outer[1]) == pytest.approx((top, top + height), abs=0.01)
    scale = Scale(VANISHED)
    assert "no turn is safe" in scale.words()
    assert "s-window" not in scale.by_id
    assert "No turn is safe." in scale.picture.description


def test_a_range_that_is_just_none_is_none() -> None:
    """Where both ends meet there is no turn to use; a hair apart there is."""
    for usable, vanished in ((2.0, True), (2.1, False)):
        marks = replace(VANISHED, inner=EndMarks(0, 2.0), outer=EndMarks(4, usable))
        assert marks.vanished is vanished
        assert ("usable" in zones_of(Scale(marks))) is not vanished


# What has been read, and no more


@pytest.mark.parametrize("read", list(itertools.product([True, False], repeat=3)), ids=str)
def test_only_what_has_been_read_is_drawn(read: tuple[bool, bool, bool]) -> None:
    """Zero, first touch and place, each if it was read; a range never, for it would be another bolt's."""
    zero, touch, now = read
    marks = ScaleMarks(
        inner_read=0.0 if zero else None,
        outer_read=5.25 if touch else None,
        places=READ.places[not zero : 1 + touch],
        now=NOW if now else None,
    )
    for scale in (Scale(marks), Small(marks)):
        wanted = {name for name, there in (("stop-inner", zero), ("stop-outer", touch)) if there}
        assert zones_of(scale) == wanted
        assert ("s-inner-limit" in scale.by_id) is zero
        assert ("s-outer-limit" in scale.by_id) is touch
        assert ("s-now" in scale.by_id) is now
        assert "s-window" not in scale.by_id
        assert "s-label-window" not in scale.by_id
        assert "No range is drawn before it is this bolt's own." in scale.picture.description
    scale = Scale(marks)
    assert set(flags(scale)) == {name for name, there in (("zero", zero), ("touch", touch), ("now", now)) if there}
    assert not any(words.startswith("use") or "safe" in words for words in scale.words())


def test_past_a_limit_that_was_read_is_past_a_limit() -> None:
    scale = Scale(READ)
    assert scale.zone("stop-inner")[1] == pytest.approx(0, abs=NEAR)
    assert scale.zone("stop-outer")[0] == pytest.approx(5.25, abs=NEAR)


# Upper and lower


def test_the_lower_bolt_is_hollow_and_the_upper_one_filled() -> None:
    """By class, for the style sheet draws them: whoever sees no colour tells them apart by shape and stroke."""
    for make in (Scale, Small):
        upper, lower = make(MARKS), make(replace(MARKS, hollow=True))
        for key in ("s-now", "s-now-arrow"):
            filled, hollow = (one.by_id[key].attrib["class"].split() for one in (upper, lower))
            assert "qt-now-hollow" not in filled
            assert set(hollow) - set(filled) == {"qt-now-hollow"}
        positions = [one.points("s-now-arrow") for one in (upper, lower)]
        assert positions[0] == positions[1]


# Without words


def test_the_small_form_has_no_words_and_the_same_zones() -> None:
    rng = random.Random(3)
    for marks in (MARKS, VANISHED, READ, ScaleMarks(), *(random_marks(rng) for _ in range(60))):
        small, large = Small(marks), Scale(marks)
        assert small.words() == []
        assert zones_of(small) == zones_of(large)
        for key in zones_of(large):
            assert small.zone(key) == pytest.approx(large.zone(key), abs=0.05)  # 124 units for some ten turns
        if marks.now is not None:
            assert small.at("now") == pytest.approx(marks.now.turns, abs=0.05)
        assert small.picture.description == large.picture.description
        assert not faults(small, "s")
        assert small.picture.height <= 64


def test_small_pictures_say_what_they_show_to_those_who_do_not_see_them() -> None:
    picture = Small(MARKS).picture
    for place in (*MARKS.places, NOW):
        assert place.words[1:] in picture.description
    assert "Use ½ to 4½." in picture.description
    assert picture.title in picture.svg


# Words


def random_marks(rng: random.Random) -> ScaleMarks:
    """A bolt with as many named places as one has at the bench, anywhere; of some only what has been read."""
    touch, now = rng.uniform(0.4, 9), rng.uniform(-1, 10)
    places = [
        ZERO,
        ScaleMark("touch", f"first touch {touch:.1f}", touch),
        ScaleMark("limit-0", f"maker's inner limit {touch / 9:.1f}", touch / 9),
        ScaleMark("limit-1", f"maker's outer limit {touch - 0.4:.1f}", touch - 0.4),
        ScaleMark("limit-2", f"end of the thread {touch + 0.3:.1f}", touch + 0.3),
        ScaleMark("limit-3", f"end of the cover {touch:.1f}", touch),
    ]
    here = rng.choice([None, ScaleMark("now", f"now {now:.1f}", now), ScaleMark("now", "now 0", 0.0)])
    hollow = rng.random() < 0.5
    if rng.random() < 0.3:
        zero, reached = rng.random() < 0.7, rng.random() < 0.5
        read = tuple(place for place, there in zip(places, (zero, reached), strict=False) if there)
        ends = (0.0 if zero else None, touch if reached else None)
        return ScaleMarks(inner_read=ends[0], outer_read=ends[1], places=read, now=here, hollow=hollow)
    low, high = rng.choice([0.0, touch / 9]), rng.choice([touch, touch - 0.3])
    inner = EndMarks(low, low + rng.choice([0, 0.25, rng.uniform(0, 2)]))
    outer = EndMarks(high, high - rng.choice([0, 0.25, rng.uniform(0, 2)]))
    vanished = inner.usable >= outer.usable
    usable = "no turn is safe" if vanished else rng.choice(["use ½ to 4¾", "less than a quarter turn", "use 2"])
    chosen = (*places[:2], *rng.sample(places[2:], rng.randint(0, 4)))
    return ScaleMarks(inner=inner, outer=outer, usable=usable, places=chosen, now=here, hollow=hollow)


def struck_through(scale: Scale) -> list[str]:
    """Words that the line under the axis, as long as the range, runs through with its ends."""
    if "s-window" not in scale.by_id:
        return []
    left, y, right, _ = scale.line("s-window")
    return [
        box.words
        for box in boxes(scale)
        if box.left < right and left < box.right and box.top < y + 3 and y - 3 < box.bottom
    ]


def test_words_never_collide_and_markup_is_sound() -> None:
    rng = random.Random(7)
    seen = {"vanished": 0, "own": 0, "read": 0}
    for place in range(400):
        marks = random_marks(rng)
        scale = Scale(marks, "Lower bolt" if marks.hollow else "Upper bolt", key=place % 2 == 0)
        assert not faults(scale, "s")
        assert collisions(scale) == [], marks
        assert not any("…" in words for words in scale.words()), marks
        assert struck_through(scale) == [], marks
        kind = "read" if not marks.usable else "vanished" if marks.vanished else "own"
        seen[kind] += 1
        if kind == "own" and marks.inner is not None and marks.outer is not None:
            wanted = (marks.inner.usable, marks.outer.usable)
            assert scale.zone("usable") == pytest.approx(wanted, abs=NEAR)
    assert min(seen.values()) > 20


def test_poles_do_not_run_through_words() -> None:
    """With as many named limits as a bolt has at the bench."""
    close = (
        ZERO,
        ScaleMark("touch", "first touch 5", 5.03),
        ScaleMark("limit-0", "maker's outer limit 5.2", 5.2),
        ScaleMark("limit-1", "end of the thread 5.6", 5.6),
    )
    crowded = replace(MARKS, places=close, now=ScaleMark("now", "now 4.9", 4.9))
    for marks in (MARKS, crowded, replace(MARKS, now=ScaleMark("now", "now 0.1", 0.1)), replace(MARKS, now=None), READ):
        scale = Scale(marks)
        words = [box for box in boxes(scale) if box.words in flags(scale).values()]
        assert len(poles(scale)) == len(words)
        for x, top, bottom in poles(scale):
            crossed = [
                box.words for box in words if box.left < x < box.right and top < box.bottom - 3 and box.top < bottom
            ]
            assert crossed == []


def test_every_zone_is_told_by_a_pattern_or_none_and_by_words() -> None:
    scale = Scale(MARKS, key=True)
    band = [one for one in scale.elements if one.attrib.get("data-kind")]
    fills = {one.attrib["data-kind"]: {part.attrib["fill"] for part in one if "fill" in part.attrib} for one in band}
    assert fills["usable"] == set()  # plain
    assert len(fills["margin"] | fills["stop"]) == 2
    for words in ("safe range", "margin", "past the limit"):
        assert words in scale.words()
        assert words not in Scale(MARKS).words()
    key = [one for one in scale.by_id["s-key"] if one.attrib.get("data-kind")]
    assert {one.attrib["data-kind"] for one in key} == set(fills)


def test_words_from_outside_are_escaped() -> None:
    marks = replace(MARKS, places=(ScaleMark("limit-0", "<img src=x>", 6),), usable="<b>use</b>")
    pictures: list[Picture] = [
        turn_scale(marks, prefix="s", title="<script>alert(1)</script>", name="scale", key=True),
        small_scale(marks, prefix="s", title="<script>alert(1)</script>", name="small"),
    ]
    for picture in pictures:
        assert "<img" not in picture.svg
        assert "<b>" not in picture.svg
        assert "<script" not in picture.svg
        assert not faults(Drawing(picture), "s")
