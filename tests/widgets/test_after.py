"""After the change: the verdict on the arrow, the order, what is foretold and what was measured.

Outside sources: 5 grains a pound (AMO, S2), static spine (ASTM F2031, S2), the order of common practice; sums in the
trade's own units, by hand or by pint (C); that a string of the length told gives the brace height back, by the bow (C).
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from typing import Any

import pint
import pytest

from helpers.asking import (
    COMPLETE,
    answered,
    changed,
    numbers,
    picture_of,
    points_of,
    read,
    refused,
    table_of,
    texts,
    texts_of,
    values,
)
from quarterturn.bench import bow_fit, nocking
from quarterturn.bench.bow_inputs import bow_inputs
from quarterturn.bench.judgement import judge
from quarterturn.widgets.after.arrow_wording import needed
from quarterturn.widgets.after.form import ASKED
from quarterturn.widgets.after.inputs import BowChange, bow_change
from quarterturn.widgets.answer import Answer, Drawing, Points, State, Status, Steps, Table, ValueList, name_of

REGISTRY: pint.UnitRegistry[float] = pint.get_application_registry()  # type: ignore[no-untyped-call]
GRAIN = 64.79891e-6
LBF = 4.4482216152605
OWN: dict[str, Any] = COMPLETE | {"brace_height": 222, "upper_tiller": 179, "lower_tiller": 175, "draw_weight": 38}
"""A made-up bow of which all is entered but the arrow."""
ARROW = OWN | {"arrow_mass": 320, "least_mass_per_pound": 7, "arrow_spine": 600, "nocking_point": 9}


def kind_of(answer: Answer, name: str) -> str:
    return next((each.kind for each in answer.blocks if isinstance(each, Points) and each.name == name), "")


def order(answer: Answer) -> tuple[str, ...]:
    return next(block.steps for block in answer.blocks if isinstance(block, Steps) and block.name == "order")


# The arrow's mass


def test_mass_for_a_pound_is_the_trades_division() -> None:
    found = numbers(answered(ARROW | {"weight_after": 40}, "after"))
    assert found["ratio_before"] == pytest.approx(320 / 38, rel=1e-6)
    assert found["ratio_after"] == pytest.approx(320 / 40, rel=1e-9)
    assert found["least_ratio"] == pytest.approx(7)
    assert found["least_mass"] == pytest.approx(280)
    assert found["spare_mass"] == pytest.approx(40)
    assert found["heaviest_bow"] == pytest.approx(320 / 7)


def test_in_si_is_told_beside_it() -> None:
    answer = answered(ARROW | {"weight_after": 40}, "after")
    note = next(value.note for value in answer.all_values() if value.name == "ratio_after")
    exact = (8 * REGISTRY("grain") / REGISTRY("force_pound")).to("gram / newton").magnitude
    assert note == f"in SI: {exact:.3f} g/N"


@pytest.mark.parametrize(
    ("entries", "state", "title"),
    [
        ({"arrow_mass": 180}, State.STOP, "Stop: this arrow is too light"),
        ({"arrow_mass": 192}, State.ASK, "Too close to tell: take a heavier arrow"),
        ({"arrow_mass": 196}, State.EXPLAIN, ""),
        ({"arrow_mass": 196, "least_mass_per_pound": 6}, State.STOP, "Stop: this arrow is too light"),
        ({"arrow_mass": 300, "least_mass_per_pound": 7.85}, State.ASK, "Too close to tell: take a heavier arrow"),
        ({"arrow_mass": 300, "least_mass_per_pound": 7}, State.EXPLAIN, ""),
        # Weighed heavier than was foretold: 42 lb wants 210 gr, and with its doubt some 3 more.
        ({"arrow_mass": 205, "weight_after": 42}, State.STOP, "Stop: this arrow is too light"),
        ({"arrow_mass": 212, "weight_after": 42}, State.ASK, "Too close to tell: take a heavier arrow"),
        ({"arrow_mass": 216, "weight_after": 42}, State.EXPLAIN, ""),
        # The lighter bow lets the lighter arrow pass.
        ({"arrow_mass": 180, "weight_after": 34}, State.EXPLAIN, ""),
    ],
)
def test_the_verdict_on_the_arrow(entries: dict[str, Any], state: State, title: str) -> None:
    answer = answered(OWN | entries, "after")
    assert answer.state is state
    if title:
        assert answer.title == title
        assert kind_of(answer, "light") == "stop"
        assert "Do not shoot it" in answer.verdict or "do not shoot it" in answer.verdict
        assert "dry-fire" in " ".join(points_of(answer, "light"))
    else:
        assert points_of(answer, "light") == ()
    assert any("lighter than the limb maker permits" in each for each in points_of(answer, "cautions"))


def test_a_stop_says_what_it_lacks_and_under_which_least() -> None:
    verdict = answered(OWN | {"arrow_mass": 180, "weight_after": 40}, "after").verdict
    assert "lighter than 5 gr/lb is certainly too light" in verdict
    assert "It is 20 gr lighter than the published general figure" in verdict
    verdict = answered(OWN | {"arrow_mass": 180, "weight_after": 40, "least_mass_per_pound": 6.5}, "after").verdict
    assert "the limb maker wants 6.5 gr/lb" in verdict
    assert "It is 80 gr lighter than the limb maker's minimum" in verdict


@pytest.mark.parametrize("change", [0, -0.5, 0.25])
@pytest.mark.parametrize("least", [6, 7.5, None])
def test_the_title_is_the_makers_word_or_sends_to_him(change: float, least: float | None) -> None:
    """So much for a pound at the least: rounded down."""
    answer = answered(changed(ARROW, least_mass_per_pound=least) | {"upper_change": change}, "after")
    has = math.floor(10 * numbers(answer)["ratio_after"] + 1e-9) / 10
    if least is None:
        assert answer.title == f"Look up how light an arrow your limb maker permits: yours has {has:.1f} gr/lb"
    else:
        wants = f"the limb maker wants {least:g} gr/lb"
        assert answer.title == f"Your 320 gr arrow is heavy enough: {has:.1f} gr/lb, and {wants}"
        assert f"320 gr has {has:.1f} gr/lb of draw weight; {wants}." in answer.verdict
    assert answer.state is State.EXPLAIN
    assert is_round(answer)


def test_title_and_sentence_have_one_number_for_the_arrow() -> None:
    answer = answered(ARROW, "after")
    (title,) = re.findall(r"enough: (\S+) gr/lb", answer.title)
    assert f"has {title} gr/lb" in answer.verdict


def is_round(answer: Answer) -> bool:
    """Whether headline and sentence have neither a doubt nor hundredths of a turn."""
    return not re.search(r"±|\d\.\d\d+ turn", f"{answer.title} {answer.verdict}")


@pytest.mark.parametrize("change", [-0.75, 1, 4])
def test_turns_are_written_in_quarters(change: float) -> None:
    assert is_round(answered(OWN | {"upper_change": change}, "after"))


PERMITS = re.compile(
    r"\b(enough|must|allowed|permit\w*|suffic\w+|safe|may be shot|least mass|minimum mass|heaviest)\b", re.I
)


def permissions(answer: Answer) -> list[str]:
    """Sentences, labels and notes that read as leave to shoot an arrow; what is the maker's to say is none."""
    blocks = [block for block in answer.blocks if name_of(block) not in ("sources", "cautions")]
    texts = [answer.title, answer.verdict, answer.speak, *(text for block in blocks for text in texts_of(block))]
    sentences = [each for text in texts for each in re.split(r"(?<=[.;])\s", text)]
    of_arrows = [each for each in sentences if re.search(r"arrow|mass|gr\b|heav|light", each)]
    return [each for each in of_arrows if PERMITS.search(each) and not re.search(r"how light an arrow", each, re.I)]


@pytest.mark.parametrize("arrow", [{}, {"arrow_mass": 320}, {"arrow_mass": 192}, {"arrow_mass": 170}])
@pytest.mark.parametrize("more", [{}, {"upper_change": 0}, {"weight_after": 36}, {"inspection_source": "other"}])
@pytest.mark.parametrize("record", [OWN, {"version": 1}])
def test_without_the_makers_figure_nothing_reads_as_permission(
    record: dict[str, Any], more: dict[str, Any], arrow: dict[str, Any]
) -> None:
    answer = answered(record | more | arrow, "after")
    assert permissions(answer) == []
    assert answer.state is not State.GO
    assert "Lighter than this is certainly too light" in {value.label for value in answer.all_values()}
    assert "look it up before you shoot" in points_of(answer, "general")[0]
    light = arrow.get("arrow_mass", 320) < 175
    assert ("Only the limb maker can say" in answer.verdict) is not light


def test_what_reads_as_permission_is_found_where_the_maker_gives_it() -> None:
    found = permissions(answered(ARROW, "after"))
    assert any("heavy enough" in each for each in found)
    assert any(each.startswith("Limb maker's minimum mass") for each in found)


def test_the_stop_does_not_wait_for_other_readings_but_for_the_weight() -> None:
    light = {"version": 1, "arrow_mass": 150}
    assert answered(light, "after").state is State.EXAMPLE
    assert kind_of(answered(light, "after"), "light") == "caution"
    for weight in ({"draw_weight": 38}, {"weight_after": 38}, {"scale_readings": [{"draw": 28, "weight": 38}]}):
        assert answered(light | weight, "after").state is State.STOP


def test_an_example_arrow_is_never_held_against_a_readers_bow() -> None:
    heavy = OWN | {"draw_weight": 70}  # the example's 320 gr would be too light for it
    answer = answered(heavy, "after")
    assert answer.state is State.EXPLAIN
    assert not {"ratio_before", "ratio_after", "spare_mass", "spine_then", "nocking_then"} & set(numbers(answer))
    assert "arrow of" not in answer.verdict
    assert "look it up" in answer.verdict
    assert "it is not entered yet" in answered(heavy | {"least_mass_per_pound": 7}, "after").verdict
    assert numbers(answer)["least_mass"] == pytest.approx(5 * (70 + numbers(answer)["weight_change"]))
    example = numbers(answered({"version": 1}, "after"))
    assert {"ratio_before", "ratio_after", "spine_then", "nocking_then"} <= set(example)
    # How much heavier it is than a figure that permits nothing is not said; than the maker's it is.
    assert "spare_mass" not in example
    assert "spare_mass" in numbers(answered(ARROW, "after"))


def test_the_heaviest_is_that_of_one_weighing_and_of_what_is_only_foretold() -> None:
    """By hand: scale 0.5 lb, mark 1/8 in on a slope of some 2.2 lb an inch; half of what is only foretold."""
    shown = of_record(OWN)
    slope = (shown.prediction.now.drawn.force - _drawn(-1e-3)) / 1e-3
    once = math.hypot(0.5 * LBF, slope * 0.125 * 0.0254) / math.sqrt(3)
    assert slope == pytest.approx(2.2 * LBF / 0.0254, rel=0.1)
    assert shown.weighed_to == pytest.approx(once, rel=0.01)
    assert shown.uncertainty == pytest.approx(math.hypot(2 * once, (shown.weight - shown.before) / 2), rel=0.01)
    weighed = of_record(OWN | {"weight_after": 39})
    assert weighed.uncertainty == pytest.approx(2 * once, rel=0.01)


def of_record(record: dict[str, Any]) -> BowChange:
    """What the page is about."""
    given = values(record)
    return bow_change(given, ASKED, judge(given))


def _drawn(less: float) -> float:
    bow = bow_inputs(values(OWN), ASKED)
    return bow_fit.turned(bow.fitted, bow.fitted.rock, bow.draw + less).drawn.force


def test_a_least_mass_is_never_rounded_down() -> None:
    assert needed(191.02 * GRAIN, "gr") == "192 gr"
    assert needed(191 * GRAIN, "gr") == "191 gr"
    assert needed(12.301e-3, "g") == "12.4 g"


def test_the_makers_figure_governs_and_a_missing_one_is_said() -> None:
    assert points_of(answered(ARROW, "after"), "general") == ()
    missing = " ".join(points_of(answered(OWN, "after"), "general"))
    assert "no figure of its own for recurve bows" in missing
    low = answered(OWN | {"arrow_mass": 170, "least_mass_per_pound": 4}, "after")
    assert low.state is State.EXPLAIN
    assert "less than the published general figure, 5.0 gr/lb" in " ".join(points_of(low, "general"))
    status = {value.name: value.status for value in answered(ARROW, "after").all_values()}
    assert status["least_ratio"] is Status.MAKER


def test_units_are_those_that_were_typed() -> None:
    typed = {
        "arrow_mass": {"typed": "20,7", "unit": "g"},
        "least_mass_per_pound": {"typed": "0.1", "unit": "g/N"},
        "arrow_spine": {"typed": "15.24", "unit": "mm"},
        "draw_weight": {"typed": "170", "unit": "N"},
    }
    found = texts(answered(OWN | typed | {"upper_change": 0}, "after"))
    assert found["ratio_after"] == "0.1218 g/N"
    assert found["least_mass"] == "17.0 g"
    assert found["heaviest_bow"] == "207.0 N"
    assert found["spine_now"] == "15.24 mm"


# Stiffness and flight


@pytest.mark.parametrize(("weighed", "spine"), [(40, 570), (38, 600), (34.2, 666.667)])
def test_spine_keeps_step_by_proportion(weighed: float, spine: float) -> None:
    found = numbers(answered(ARROW | {"weight_after": weighed}, "after"))
    assert found["spine_then"] == pytest.approx(spine, rel=1e-4)
    assert found["spine_change"] == pytest.approx(100 * (38 / weighed - 1), abs=1e-3)
    assert found["drop_change"] == pytest.approx(100 * (38 / weighed - 1), abs=1e-3)
    assert found["weight_percent"] == pytest.approx(100 * (weighed / 38 - 1), abs=1e-3)
    assert found["shaft_stiffness"] == pytest.approx(5.09236 * 500 / 600, abs=1e-4)  # 500: by hand in test_arrows
    assert found["older_spine"] == pytest.approx(0.8254 * 600, rel=1e-4)


def test_direction_is_told_in_words() -> None:
    def note(weighed: float) -> str:
        answer = answered(ARROW | {"weight_after": weighed}, "after")
        return next(value.note for value in answer.all_values() if value.name == "spine_change")

    assert "too weak" in note(42)
    assert "too stiff" in note(34)
    assert note(38) == "almost nothing"


# The order


def test_the_order_is_the_trades() -> None:
    """Line of the limbs before tiller; then the rest (common practice, no source)."""
    wanted = ("Line of the limbs", "Brace height", "Tiller", "Nocking point", "Rest and plunger", "Clicker", "Sight")
    for record in ({"version": 1}, OWN, ARROW | {"weight_after": 40}, OWN | {"upper_change": 0}):
        steps = order(answered(record, "after"))
        places = [next(at for at, step in enumerate(steps) if step.startswith(name)) for name in wanted]
        assert places == sorted(places)
        assert steps[0].startswith("String the bow with the stringer")
        assert steps[-1].startswith("After the first dozen arrows")
        assert "Never tighten a limb bolt" in steps[-1]
    assert any("positioned, never torqued" in each for each in points_of(answered({"version": 1}, "after"), "cautions"))


def test_steps_tell_what_to_expect() -> None:
    steps = order(answered(ARROW | {"upper_height_now": 8}, "after"))
    assert "It was 222.0 mm; expect 221.6 mm" in steps[2]
    assert "It was 4.0 mm; expect 1.7 mm" in steps[3]
    assert "0.4 mm higher" in steps[4]
    assert "(upper 7.47 mm)" in steps[-1]
    measured = order(answered(ARROW | {"brace_after": 221}, "after"))
    assert "It was 222.0 mm and is 221.0 mm" in measured[2]


# Foretold and measured


def test_it_is_said_for_which_turn_numbers_are_expected() -> None:
    def said(**entries: Any) -> str:
        answer = answered(OWN | entries, "after")
        return next(block.intro for block in answer.blocks if isinstance(block, Steps) and block.name == "order")

    given = "The numbers are for this turn: upper bolt in by half a turn. "
    assert said().startswith(f"{given}Set your own turn with the sliders. Each step")
    assert said(upper_change=-0.5).startswith(f"{given}Each step")
    assert "this turn: lower bolt out by a quarter of a turn. " in said(upper_change=0, lower_change=0.25)
    logged = [
        {"date": "2026-05-01", "upper_at": 2.5, "lower_at": 2},
        {"date": "2026-06-01", "upper_at": 2, "lower_at": 2},
    ]
    for other in ({"upper_change": 0, "lower_change": 0}, {"log": logged}):
        assert said(**other).startswith("Each step")


def test_nocking_point_is_that_of_the_bow() -> None:
    bow = bow_inputs(values(ARROW), ASKED)
    found = numbers(answered(ARROW | {"upper_change": -1, "lower_change": 0.5}, "after"))
    change = nocking.change(bow, (2.5, 2.0), (1.5, 2.5), nocking.NockingReading(9e-3, 0.0, 20e-3))
    assert found["nocking_change"] == pytest.approx(1000 * change, rel=1e-6)
    assert found["nocking_then"] == pytest.approx(9 + 1000 * change, rel=1e-6)
    assert change > 1e-3


def test_the_rests_place_is_used_where_it_was_told() -> None:
    told = ARROW | {"draw_station": "rest", "station_offset": 40, "draw_length": 26.25}
    plain, moved = (numbers(answered(record, "after"))["nocking_change"] for record in (ARROW, told))
    assert moved < plain - 0.1  # 40 mm more of lever about a tilt of 3.8 mrad: 0.15 mm


@pytest.mark.parametrize("change", [(-1.0, 0.0), (0.25, 0.25), (0.0, 0.5)])
def test_string_gives_the_brace_height_back(change: tuple[float, float]) -> None:
    """A string that is so much shorter, on the bow with its bolts there, braces it as high as before."""
    record = OWN | {"upper_change": change[0], "lower_change": change[1]}
    bow = bow_inputs(values(record), ASKED)
    shorter = numbers(answered(record, "after"))["string_change"] / 1000
    length, part = bow.fitted.string - shorter, bow.fitted.frame.upper_part
    string = replace(bow.fitted.bow.string, upper=length * part, lower=length * (1 - part))
    there = replace(bow.fitted.bow, string=string)
    found = bow_fit.strung(there, bow.setup.rock(bow.at(change)), near=bow.fitted.braced)
    assert found.brace_height == pytest.approx(0.222, abs=1e-6)


def test_a_measured_brace_height_takes_the_place_of_the_foretold_one() -> None:
    plain = answered(OWN, "after")
    foretold = 222 + numbers(plain)["brace_change"]
    same = answered(OWN | {"brace_after": round(foretold, 6)}, "after")
    assert numbers(same)["string_change"] == pytest.approx(numbers(plain)["string_change"], abs=1e-4)
    lower = answered(OWN | {"brace_after": round(foretold - 1, 6)}, "after")
    more = numbers(lower)["string_change"] - numbers(plain)["string_change"]
    assert 0.5 < more < 2  # some millimetre of string for a millimetre of brace height


def test_what_is_measured_counts_and_what_is_off_is_said() -> None:
    now = numbers(answered(OWN, "after"))
    as_foretold = 38 + now["weight_change"]
    near = answered(OWN | {"weight_after": round(as_foretold + 0.3, 3), "brace_after": 222}, "after")
    assert points_of(near, "off") == ()
    for entries, word in (({"weight_after": 41}, "Draw weight"), ({"brace_after": 215}, "Brace height")):
        told = points_of(answered(OWN | entries, "after"), "off")
        assert len(told) == 1
        assert told[0].startswith(word)
        assert "stop and look" in told[0]
    assert len(points_of(answered(OWN | {"weight_after": 41, "brace_after": 215}, "after"), "off")) == 2


def test_off_is_by_the_doubt_of_two_readings_and_of_the_change() -> None:
    """By hand: twice the root of the sum of squares of the tape, before and after, and of the foretold change."""
    answer = answered(OWN, "after")
    value = next(each for each in answer.all_values() if each.name == "brace_change")
    assert value.value is not None
    assert value.uncertainty is not None
    edge = 2 * math.sqrt(value.uncertainty**2 + 2 * 1 / 3)
    for off, told in ((edge - 0.02, 0), (edge + 0.02, 1), (-edge + 0.02, 0), (-edge - 0.02, 1)):
        after_it = {"brace_after": round(222 + value.value + off, 4)}
        assert len(points_of(answered(OWN | after_it, "after"), "off")) == told


def test_the_table_adds_up() -> None:
    for record in ({"version": 1}, ARROW | {"lower_change": -1}):
        table = table_of(answered(record, "after"), "before-after")
        assert table.columns == ("what", "before", "changes by", "then")
        assert len(table.rows) == 6
        for row in table.rows:
            assert read(row[1]) + read(row[2].replace("+", "")) == pytest.approx(read(row[3]), abs=0.11)
        cells = {row[0].split(",")[0]: row for row in table.rows}
        upper, lower, tiller = (
            read(cells[name][3]) for name in ("upper limb to string", "lower limb to string", "tiller")
        )
        assert upper - lower == pytest.approx(tiller, abs=0.11)
    measured = table_of(answered(ARROW | {"weight_after": 39, "brace_after": 221}, "after"), "before-after")
    assert measured.columns[-1] == "measured since"
    assert [row[4] for row in measured.rows] == ["39.00", "221.0", "", "", "", ""]


def test_heads_rise_by_the_pitch() -> None:
    record = OWN | {"rise": 4.24, "upper_change": -0.5, "lower_change": 0.25, "lower_height_now": 8.1}
    found = numbers(answered(record, "after"))
    assert found["upper_head_change"] == pytest.approx(-0.53)
    assert found["lower_head_then"] == pytest.approx(8.1 + 0.265)
    still = answered(OWN | {"upper_change": -0.5, "lower_change": 0}, "after")
    assert "lower_head_change" not in numbers(still)


# Where nothing is foretold


def test_outside_a_window_nothing_is_foretold_and_the_turn_is_stopped() -> None:
    answer = answered(ARROW | {"upper_change": -4}, "after")
    assert answer.title == "Nothing is predicted there"
    assert kind_of(answer, "beyond") == "stop"
    assert "the upper bolt is outside" in points_of(answer, "beyond")[0]
    assert not {"weight_change", "nocking_change", "string_change", "spine_then", "upper_head_change"} & set(
        numbers(answer)
    )
    assert "Outside the safe range nothing is predicted" in answer.verdict
    assert not any(isinstance(block, ValueList) and block.name == "heads" for block in answer.blocks)
    weighed = answered(ARROW | {"upper_change": -4, "weight_after": 42}, "after")
    assert kind_of(weighed, "beyond") == "stop"
    assert numbers(weighed)["ratio_after"] == pytest.approx(320 / 42)


def test_without_a_turn_the_bow_stays_and_the_order_holds() -> None:
    assert answered(OWN | {"upper_change": 0}, "after").title == "No bolt is turned: this is how to set the bow"
    answer = answered(ARROW | {"upper_change": 0}, "after")
    assert numbers(answer)["ratio_after"] == pytest.approx(numbers(answer)["ratio_before"])
    assert "string_change" not in numbers(answer)
    assert "It was 4.0 mm. If" in order(answer)[3]
    assert not re.search(r"[Ee]xpect", " ".join(order(answer)))


@pytest.mark.parametrize(
    ("change", "state", "words"),
    [
        ({"limb_cracks": "fault"}, State.STOP, "the inspection says no"),
        ({"limb_cracks": "unsure"}, State.ASK, "Ask a technician"),
        ({"upper_now_turns": 9}, State.STOP, "the upper bolt is at 9"),
        ({"margin": 2, "upper_touch_turns": 4}, State.STOP, "no turn is safe"),
        ({"events": [{"date": "2026-06-01", "happened": "slipped"}]}, State.STOP, "moved by itself"),
        ({"events": [{"date": "2026-06-01", "happened": "limbs"}]}, State.OPEN, "other limbs"),
        ({"log": [{"upper_at": 3}]}, State.OPEN, "log cannot be used"),
    ],
)
def test_what_speaks_against_the_bow_comes_in_place_of_it(change: dict[str, Any], state: State, words: str) -> None:
    """No arrow is called heavy enough, nothing is predicted, and nobody is told to string the bow."""
    answer = answered(ARROW | change, "after")
    assert answer.state is state
    assert words in answer.title
    assert answer.all_values() == ()
    assert not any(isinstance(block, Drawing | Table) for block in answer.blocks)
    assert [block.name for block in answer.blocks if isinstance(block, Steps) and block.name != "way-back"] == []
    assert not re.search(r"heavy enough|expected|in order", answer.title + answer.verdict)
    assert points_of(answer, "ask") != ()


def test_until_the_bow_is_looked_over_again_the_order_is_not_told() -> None:
    answer, plain = answered(ARROW | {"inspection_source": "other"}, "after"), answered(ARROW, "after")
    assert (answer.state, answer.title) == (State.OPEN, "Look the bow over yourself first")
    assert numbers(answer) == numbers(plain)
    assert not any(isinstance(block, Steps) for block in answer.blocks)
    light = answered(ARROW | {"inspection_source": "other", "arrow_mass": 150}, "after")
    assert (light.state, light.title) == (State.STOP, "Stop: this arrow is too light")  # the graver one comes first
    assert points_of(light, "also") != ()


def test_until_the_bow_is_looked_over_again_no_sentence_tells_to_set_it() -> None:
    assert "Now set again" not in answered(ARROW | {"inspection_source": "other"}, "after").verdict


def test_pictures_show_the_arrow_and_where_it_is_too_light() -> None:
    mass = picture_of(answered(ARROW, "after"), "mass")
    assert "too light" in mass.description
    assert "320" in mass.description
    assert picture_of(answered(ARROW, "after"), "spine").svg != picture_of(answered(OWN, "after"), "spine").svg
    assert picture_of(answered(OWN, "after"), "mass").svg != mass.svg


@pytest.mark.parametrize(
    ("entry", "word"),
    [
        ({"arrow_mass": 20}, "Mass of one arrow"),
        ({"arrow_mass": "heavy"}, "Mass of one arrow"),
        ({"least_mass_per_pound": 1}, "Limb maker's minimum arrow mass"),
        ({"arrow_spine": 50}, "Static spine"),
        ({"weight_after": 500}, "Draw weight after the change"),
        ({"brace_after": 20}, "Brace height after the change"),
        ({"nocking_point": -3}, "Nocking point over square"),
    ],
)
def test_bad_input_names_its_field(entry: dict[str, Any], word: str) -> None:
    sentences = refused(OWN | entry, "after")
    (name,) = entry
    assert sentences[name].startswith(word)
    assert sentences[name].endswith(".")


def test_answers_are_json_without_nan() -> None:
    for record in ({"version": 1}, ARROW, changed(ARROW, draw_weight=None), ARROW | {"weight_after": 41}):
        assert "NaN" not in json.dumps(answered(record, "after").as_data(), allow_nan=False)


# The log


LOGGED = {"upper_at": 4.25, "lower_at": 2.75, "weight": 37, "upper_tiller": 182.5, "lower_tiller": 174.5}
ROW = {"date": "2026-06-04", **LOGGED, "brace_height": 223.8}


def test_the_turn_of_the_log_is_the_one_that_was_made() -> None:
    """As if the same had been entered by hand: 2.5 to 4.25 and 2 to 2.75 turns (C)."""
    logged = answered(ARROW | {"log": [{"date": "2026-06-01", "upper_at": 3, "weight": 37.8}, ROW]}, "after")
    by_hand = answered(
        ARROW | {"upper_change": 1.75, "lower_change": 0.75, "weight_after": 37, "brace_after": 223.8}, "after"
    )
    assert logged.title == by_hand.title
    assert numbers(logged) == numbers(by_hand)
    assert any("is from your log" in point for point in points_of(logged, "by-log"))
    assert points_of(by_hand, "by-log") == ()
    since = {row[0]: row[-1] for row in table_of(logged, "before-after").rows}
    assert {since[name] for name in since if "limb" in name} == {"182.5", "174.5"}
    assert since["tiller, mm"] == "8.0"
    assert "It was 4.0 mm and is 8.0 mm." in order(logged)[3]


def test_a_turn_that_is_looked_at_goes_on_from_where_the_log_has_the_bolts() -> None:
    """From there on it does what both turns together do more than the log's alone (C)."""
    base = changed(ARROW, upper_height_now=8)
    looked = answered(base | {"upper_change": -0.5, "lower_change": 0.25, "log": [ROW]}, "after")
    there, both = (
        numbers(answered(base | {"upper_change": upper, "lower_change": lower}, "after"))
        for upper, lower in ((1.75, 0.75), (1.25, 1.0))
    )
    found = numbers(looked)
    for name in ("weight_change", "brace_change", "tiller_change", "nocking_change"):
        assert found[name] == pytest.approx(both[name] - there[name], abs=2e-5)
    for name in ("ratio_after", "nocking_then", "upper_head_then"):
        assert found[name] == pytest.approx(both[name], rel=1e-6)
    assert found["ratio_before"] == pytest.approx(there["ratio_after"], rel=1e-6)
    (where,) = points_of(looked, "by-log")
    assert "the upper bolt is now 4¼ turns out from zero, the lower one 2¾" in where


@pytest.mark.parametrize("row", [{}, {"upper_at": 2.5, "lower_at": 2}], ids=["no place", "where it stood"])
def test_a_log_without_a_turn_changes_nothing(row: dict[str, float]) -> None:
    logged = answered(ARROW | {"log": [{"date": "2026-06-04", "weight": 38.3} | row]}, "after")
    assert numbers(logged) == numbers(answered(ARROW, "after"))


def test_a_reading_that_the_turn_does_not_make_is_a_stop_and_then_is_said() -> None:
    log = [ROW | {"upper_tiller": 195}]
    far = answered(ARROW | {"log": log}, "after")
    assert (far.state, far.title) == (State.STOP, "Stop: the tiller was not what was expected")
    assert "The tiller was 20.5 mm on 2026-06-04" in far.verdict
    event = {"date": "2026-06-04", "happened": "reading", "found": "nothing", "found_on": "2026-06-05"}
    looked_at = answered(ARROW | {"log": log, "events": [event]}, "after")
    assert any(said.startswith("Tiller: 20.5 mm measured") for said in points_of(looked_at, "off"))
    assert points_of(answered(ARROW | {"log": [ROW]}, "after"), "off") == ()


def test_what_was_entered_here_counts_before_the_log() -> None:
    both = answered(ARROW | {"log": [ROW], "weight_after": 36.5}, "after")
    assert "36.5 lb weighed since" in both.verdict
