"""What to look for: each drawing is whole, legible and unlike the others."""

from __future__ import annotations

import pytest

from drawings import form_drawings
from drawings.inspection import SUBJECTS, subject_drawing
from figures.reading import SPACE, Drawing
from helpers.sketches import points_of, shapes, wrongs
from quarterturn.bench.progress import CHECKS
from quarterturn.widgets import WIDGETS

WANTED = {
    "limb_cracks", "limb_layers", "limb_twist", "limb_tips", "butt_end", "slot_root", "fitting", "riser_pocket",
    "bolt_head", "bolt_shank", "bolt_thread", "bolts_alike", "bolt_lock", "marks_agree", "upper_on_top",
    "length_class", "string_sound", "string_off", "bolt_turns",
}  # fmt: skip
STEPS = {"bolt_lock", "string_off"}
"""These show two steps, one after the other, not in order against not in order."""

ROWS = {"length_class"}
"""These have the two sides one below the other."""

each_name = pytest.mark.parametrize("name", SUBJECTS)


def test_every_question_that_a_drawing_helps_has_one() -> None:
    assert set(SUBJECTS) == WANTED
    assert len(SUBJECTS) == len(WANTED)


@each_name
def test_nothing_is_wrong_with_the_drawing(name: str) -> None:
    assert wrongs(subject_drawing(name, prefix="some-page"), "some-page") == []


@each_name
def test_the_same_again(name: str) -> None:
    assert subject_drawing(name, prefix="p").svg == subject_drawing(name, prefix="p").svg


@each_name
def test_labels_are_short(name: str) -> None:
    words = Drawing(subject_drawing(name, prefix="p")).words()
    assert words
    assert [said for said in words if len(said.split()) > 3] == []


@each_name
def test_good_and_bad_stand_beside_one_another_in_words_too(name: str) -> None:
    picture = subject_drawing(name, prefix="p")
    words = Drawing(picture).words()
    if name in STEPS:
        assert [said[0] for said in words if said[:1].isdigit()] == ["1", "2"]
        assert "First" in picture.description
    else:
        assert words.count("in order") == words.count("not in order") == 1
        assert "In order:" in picture.description
        assert "Not in order:" in picture.description


@each_name
def test_a_fault_is_told_by_shape_and_not_by_colour_alone(name: str) -> None:
    """With all classes, which carry the colours, taken away, the two sides still have different lines."""
    good, bad = sides(Drawing(subject_drawing(name, prefix="p")), name)
    assert good
    assert bad
    assert good != bad


def sides(drawing: Drawing, name: str) -> tuple[set[str], set[str]]:
    """Lines of the two sides, moved onto one another; ticks and crosses over the panels are left out."""
    axis, start, apart, heading = (1, 86, 86, 20) if name in ROWS else (0, 122, 121, 20)
    found: tuple[set[str], set[str]] = (set(), set())
    for one in drawing.elements:
        tag = one.tag.removeprefix(SPACE)
        if tag not in ("path", "polygon", "circle"):
            continue
        points = points_of(dict(one.attrib), tag)
        second = min(point[axis] for point in points) >= start
        shift = (apart * second * (axis == 0), apart * second * (axis == 1))
        moved = [(round(x - shift[0], 2), round(y - shift[1], 2)) for x, y in points]
        if max(y for _, y in moved) > heading:
            found[second].add(f"{tag} {moved}")
    return found


def test_no_two_are_alike() -> None:
    assert len({shapes(subject_drawing(name, prefix="p"), "p") for name in SUBJECTS}) == len(SUBJECTS)
    assert len({subject_drawing(name, prefix="p").title for name in SUBJECTS}) == len(SUBJECTS)


def test_another_name_is_refused() -> None:
    with pytest.raises(ValueError, match="name must be one of limb_cracks"):
        subject_drawing("elsewhere", prefix="p")


def test_a_drawing_stands_at_most_of_the_questions() -> None:
    drawn = form_drawings("inspection")
    assert set(drawn) <= set(CHECKS) <= set(WIDGETS["inspection"].fields())
    assert len(drawn) == len(WANTED)
    assert len({picture.svg.split('id="')[1].split('"')[0] for picture in drawn.values()}) == len(drawn)


def test_other_forms_have_no_drawings() -> None:
    assert not any(form_drawings(name) for name in WIDGETS if name not in ("start", "inspection", "safe-range"))
