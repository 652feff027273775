"""The scale of turns: marks where they should be, zones that meet, words that do not collide."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from figures.reading import Drawing, boxes, collisions, faults
from quarterturn.figures.turn_scale import Limit, Reserve, ScaleMarks, axis_range, turn_scale

NEAR = 0.002  # turns: a thousandth of a user unit is much less

# A made-up bolt: zero looked for from outside, first touch at 5.03 (sources.md F, C), half a quarter of doubt.
MARKS = ScaleMarks(
    inner_usable=0.38, outer_usable=4.56, inner_parts=Reserve(0, 0.25, 0.13), outer_parts=Reserve(0.09, 0.25, 0.13),
    touch=5.03, limits=(Limit("maker's outer limit", 6, "outer"), Limit("thread", 7.2, "outer")),
    present=2.5, present_uncertainty=0.13,
)  # fmt: skip


class Scale(Drawing):
    """A drawn scale of turns, read back in turns."""

    def __init__(self, marks: ScaleMarks, title: str = "Upper bolt") -> None:
        super().__init__(turn_scale(marks, prefix="s", title=title))
        self.unit, self.origin = self.numbers("s-scale", "data-scale-x", "data-origin-x")

    def turns(self, x: float) -> float:
        return (x - self.origin) / self.unit

    def zone(self, key: str) -> tuple[float, float]:
        x, width = self.numbers(f"s-zone-{key}", "x", "width")
        return self.turns(x), self.turns(x + width)

    def at(self, key: str) -> float:
        return self.turns(self.line(f"s-{key}")[0])


def test_marks_are_where_they_should_be() -> None:
    scale = Scale(MARKS)
    wanted = {
        "mark-zero": 0, "mark-touch": 5.03, "mark-limit-0": 6, "mark-limit-1": 7.2, "middle": (0.38 + 4.56) / 2,
        "now": 2.5, "inner-limit": 0, "outer-limit": 5.03,
    }  # fmt: skip
    for key, turns in wanted.items():
        assert scale.at(key) == pytest.approx(turns, abs=NEAR), key
    x1, _, x2, _ = scale.line("s-window")
    assert (scale.turns(x1), scale.turns(x2)) == pytest.approx((0.38, 4.56), abs=NEAR)
    assert scale.turns(scale.points("s-now-arrow")[2][0]) == pytest.approx(2.5, abs=NEAR)
    numbers = [float(part) for part in scale.by_id["s-now-doubt"].attrib["d"].split() if part not in "MHV"]
    assert (scale.turns(numbers[0]), scale.turns(numbers[5])) == pytest.approx((2.37, 2.63), abs=NEAR)


def test_zones_follow_one_another_from_limit_to_limit() -> None:
    scale = Scale(MARKS)
    wanted = [
        ("stop-inner", axis_range(MARKS)[0], 0), ("inner-feeler", 0, 0), ("inner-margin", 0, 0.25),
        ("inner-doubt", 0.25, 0.38), ("usable", 0.38, 4.56), ("outer-doubt", 4.56, 4.69),
        ("outer-margin", 4.69, 4.94), ("outer-feeler", 4.94, 5.03), ("stop-outer", 5.03, axis_range(MARKS)[1]),
    ]  # fmt: skip
    for key, start, end in wanted:
        assert scale.zone(key) == pytest.approx((start, end), abs=NEAR), key


def test_the_axis_ends_where_the_band_ends() -> None:
    scale = Scale(MARKS)
    first, last = scale.numbers("s-scale", "data-first", "data-last")
    assert scale.zone("stop-inner")[0] == pytest.approx(first, abs=NEAR)
    frame = next(one for one in scale.elements if one.attrib.get("class") == "qt-frame")
    left, width = (float(frame.attrib[name]) for name in ("x", "width"))
    assert (scale.turns(left), scale.turns(left + width)) == pytest.approx((first, last), abs=NEAR)


def test_poles_do_not_run_through_words() -> None:
    """With as many named limits as a bolt has at the bench."""
    crowded = replace(MARKS, present=4.9, limits=(Limit("maker", 5.2, "outer"), Limit("thread", 5.6, "outer")))
    for marks in (MARKS, crowded, replace(MARKS, present=0.1), replace(MARKS, present=None, limits=())):
        scale = Scale(marks)
        words = [box for box in boxes(scale) if box.words.startswith(("zero", "first", "maker", "thread", "now"))]
        poles = [one for one in scale.elements if "qt-pole" in one.attrib.get("class", "")]
        assert len(poles) == len(words)
        for pole in poles:
            x, top, bottom = (float(pole.attrib[name]) for name in ("x1", "y1", "y2"))
            crossed = [
                box.words for box in words if box.left < x < box.right and top < box.bottom - 3 and box.top < bottom
            ]
            assert crossed == []


def test_ticks_stand_at_their_numbers() -> None:
    scale = Scale(MARKS)
    texts = [one for one in scale.by_id["s-axis"] if one.tag.endswith("text")]
    assert len(texts) >= 8
    for one in texts:
        number = float((one.text or "").replace("−", "-"))
        assert scale.turns(float(one.attrib["x"])) == pytest.approx(number, abs=NEAR)


def test_a_vanished_window_shows_the_overlap_and_nothing_usable() -> None:
    marks = ScaleMarks(1.1, 0.7, Reserve(0.42, 0.25, 0.43), Reserve(0.09, 0.25, 0.33), touch=1.37, present=0.9)
    scale = Scale(marks)
    x, width = scale.numbers("s-overlap", "x", "width")
    assert (scale.turns(x), scale.turns(x + width)) == pytest.approx((0.7, 1.1), abs=NEAR)
    assert "s-zone-usable" not in scale.by_id
    assert "s-middle" not in scale.by_id
    assert "no window: the reserves overlap by 0.40" in scale.words()
    assert "No turn is usable" in scale.picture.description
    assert scale.zone("inner-doubt")[1] == pytest.approx(1.1, abs=NEAR)
    assert scale.zone("outer-doubt")[0] == pytest.approx(0.7, abs=NEAR)
    tops = {key: scale.numbers(f"s-zone-{key}", "y")[0] for key in ("inner-doubt", "outer-doubt")}
    assert tops["outer-doubt"] > tops["inner-doubt"]  # in lanes of their own


def test_one_axis_for_two_bolts() -> None:
    other = replace(MARKS, touch=7.9, outer_usable=7.4, limits=())
    first, last = axis_range(MARKS, other)
    upper, lower = (Scale(replace(marks, first=first, last=last)) for marks in (MARKS, other))
    assert (upper.unit, upper.origin) == (lower.unit, lower.origin)
    assert upper.at("mark-zero") == pytest.approx(lower.at("mark-zero"), abs=NEAR)


def test_what_is_off_the_axis_is_pointed_at() -> None:
    scale = Scale(replace(MARKS, present=12, first=-1, last=8))
    assert any(words.startswith("now 12.00") and words.endswith("→") for words in scale.words())
    scale = Scale(replace(MARKS, present=-3, first=-1, last=8))
    assert any(words.startswith("← now −3.00") for words in scale.words())


def random_marks(rng: random.Random) -> ScaleMarks:
    def reserve() -> Reserve:
        return Reserve(
            rng.choice([0, rng.uniform(0, 0.5)]), rng.choice([0, 0.25, rng.uniform(0, 1)]), rng.uniform(0, 0.6)
        )

    touch = rng.uniform(0.4, 12)
    inner, outer = reserve(), reserve()
    limits = [
        Limit("maker, inner", rng.uniform(0, 1), "inner"),
        Limit("maker's outer limit", rng.uniform(1, 9), "outer"),
        Limit("thread", touch + rng.uniform(-1, 3), "outer"),
        Limit("cover of the bolt", touch, "outer"),
    ]
    chosen = tuple(rng.sample(limits, rng.randint(0, 4)))
    base = min([touch] + [limit.turns for limit in chosen if limit.side == "outer"])
    low = max([0.0] + [limit.turns for limit in chosen if limit.side == "inner"])
    present = rng.choice([None, rng.uniform(-1, 10), touch, 0.0])
    return ScaleMarks(
        low + inner.total, base - outer.total, inner, outer,
        touch=rng.choice([touch, None]), limits=chosen, present=present, present_uncertainty=rng.uniform(0, 0.4),
    )  # fmt: skip


def test_words_never_collide_and_markup_is_sound() -> None:
    rng = random.Random(7)
    vanished = 0
    for _ in range(400):
        marks = random_marks(rng)
        vanished += marks.vanished
        scale = Scale(marks)
        assert not faults(scale, "s")
        assert collisions(scale) == [], marks
        if not marks.vanished:
            assert scale.zone("usable") == pytest.approx((marks.inner_usable, marks.outer_usable), abs=NEAR)
    assert 20 < vanished < 380


def test_every_zone_is_told_by_a_pattern_or_none_and_by_words() -> None:
    scale = Scale(MARKS)
    fills = [one.attrib["fill"] for one in scale.elements if one.attrib.get("fill", "").startswith("url")]
    assert len(set(fills)) == 4  # feeler, margin, doubt, past a limit; the usable zone is the solid one
    for words in ("margin", "counting error", "past a limit: do not turn here", "usable"):
        assert words in scale.words()


def test_numbers_of_the_key_are_the_reserves() -> None:
    words = Scale(MARKS).words()
    start = words.index("what the strip cannot show")
    assert words[start + 1 : start + 3] == ["0.00", "0.09"]
    start = words.index("counting error")
    assert words[start + 1 : start + 3] == ["0.13", "0.13"]


def test_words_from_outside_are_escaped() -> None:
    marks = replace(MARKS, limits=(Limit("<img src=x>", 6, "outer"),))
    picture = turn_scale(marks, prefix="s", title="<script>alert(1)</script>")
    assert "<img" not in picture.svg
    assert "<script" not in picture.svg
    assert not faults(Drawing(picture), "s")


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="axis"):
        turn_scale(replace(MARKS, first=2, last=2), prefix="s", title="x")
