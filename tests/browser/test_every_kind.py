"""Every kind of bow from the first page to the end of its way, by touch on a phone (issue 18)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.asking import COMPLETE, MAKER
from helpers.budgets import hollow_folds
from helpers.taps import Finger
from helpers.worksheet import Sheet

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from web_server import Server

pytestmark = pytest.mark.browser

FIRST = {"check_manual": "read", "check_string_off": "off", "check_lock": "loose"}
SHORT = dict.fromkeys(("check_limbs", "check_butt", "check_bolt", "check_match"), "fine")
LIMBS = dict.fromkeys(("limb_cracks", "limb_layers", "limb_twist", "limb_tips"), "fine")
CLAMP = dict.fromkeys(("clamp_tight", "clamp_washer", "clamp_insert", "clamp_wood", "clamp_pin"), "fine")
JOINT = dict.fromkeys(("joint_bolts", "joint_seat", "joint_riser"), "fine")
RISER = {"joint_riser": "fine"}
STRING = {"string_sound": "fine"}
FELT = ("upper_touch_turns", "lower_rim_to_butt", "head_diameter")
WINDOW = {
    name: str(COMPLETE[name])
    for name in ("head_diameter", "upper_now_turns", "upper_touch_turns", "upper_rim_to_butt",
                 "lower_now_turns", "lower_touch_turns", "lower_rim_to_butt")
}  # fmt: skip
RANGE = {name: str(MAKER[name]) for name in ("maker_in", "maker_out", "upper_now_turns", "lower_now_turns")}
TURNING = ("#bench", "#touch", "#now", "#means")
"""Parts of Find the safe range that only a bow is shown whose bolts are turned."""


def to(page: Page, server: Server, path: str) -> None:
    """The next page of the way, with its answer."""
    page.goto(f"{server.address}{path}")
    Sheet(page).settled()
    assert hollow_folds(page) == [], path


def choose_kind(hand: Finger, kind: str) -> None:
    """Say on the first page which kind it is, and read what it is and what comes next."""
    card = f'label:has(input[name=bolt_family][value="{kind}"])'
    box = hand.page.locator(card).bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 44
    hand.tap(card)
    expect(hand.page.locator(f"{card} small")).to_be_visible()
    expect(hand.page.locator("#start-tell-bolt")).to_contain_text("Next: look it over")


@pytest.mark.parametrize(
    ("kind", "asked", "said", "most"),
    [
        ("clamp", CLAMP, "leave the bolts alone", 12),
        ("under", JOINT, "leave bolts and screws alone", 10),
        ("two", JOINT, "leave all four bolts alone", 10),
        ("fixed", RISER, "nothing here to turn", 8),
    ],
)
def test_a_bow_that_is_not_turned_ends_in_order(
    finger: Finger, server: Server, kind: str, asked: dict[str, str], said: str, most: int
) -> None:
    """By what the bow has: its own list, green at the end, and no word of turning on the pages beside its way."""
    hand, page = finger, finger.page
    choose_kind(hand, kind)
    expect(page.locator("#turn:visible, .qt-pane:visible")).to_have_count(0)
    to(page, server, "before/")
    own = {"check_string_off": "off"} | LIMBS | asked | STRING
    boxes = page.locator("[data-field^=check_], [data-field^=clamp_], [data-field^=joint_], [data-field^=bolt_]")
    shown = {str(box.get_attribute("data-field")) for box in boxes.all() if box.get_attribute("hidden") is None}
    assert shown - {"check_limbs", "bolt_family"} == {name for name in own if not name.startswith(("limb", "string"))}
    for name, value in own.items():
        hand.choose(name, value)
    expect(page.locator(".qt-headline[data-state=go]")).to_contain_text(f"In order: {said}.")
    assert hand.boxes == 0
    assert hand.taps <= most
    to(page, server, "safe-range/")
    expect(page.locator(".qt-headline")).to_contain_text(said[1:])
    for part in (*TURNING, "details.qt-step"):
        expect(page.locator(f"{part}:visible")).to_have_count(0)
    to(page, server, "bow/")
    expect(page.locator("#tiller")).to_be_visible()
    expect(page.locator("#measure")).to_be_visible()
    expect(page.locator(".qt-try:visible, #does:visible")).to_have_count(0)
    to(page, server, "")
    expect(page.locator(".qt-headline[data-state=go]")).to_contain_text(f"is in order: {said}.")


def look_over(hand: Finger, server: Server) -> None:
    """The short list of a bow whose bolts are for turning."""
    to(hand.page, server, "before/")
    assert hand.page.locator("#clamp:visible, #joint:visible").count() == 0
    for name, value in (FIRST | SHORT).items():
        hand.choose(name, value)


def both_bolts(hand: Finger, boxes: dict[str, str], choices: dict[str, str]) -> None:
    """Fill in one bolt, then the other."""
    for bolt, other in (("upper", "lower"), ("lower", "upper")):
        hand.choose("limb_shown", bolt)
        for name, text in boxes.items():
            if not name.startswith(other) and (bolt == "upper" or name.startswith(bolt)):
                hand.fill(name, text)
        for name, value in choices.items():
            hand.choose(f"{bolt}_{name}", value)


@pytest.mark.parametrize(("kind", "first"), [("flat", {}), ("stop", {"first_in": "flush"})])
def test_a_flat_head_ends_with_its_safe_range(finger: Finger, server: Server, kind: str, first: dict[str, str]) -> None:
    hand, page = finger, finger.page
    choose_kind(hand, kind)
    expect(page.locator("#turn")).to_be_visible()
    look_over(hand, server)
    to(page, server, "safe-range/")
    hand.choose("flush_way", "outside")
    both_bolts(hand, WINDOW, {"now_side": "out"} | first)
    expect(page.locator(".qt-headline[data-state=go]")).to_contain_text("Lower bolt: use ½ to 4½ turns out")
    assert hand.boxes == 7
    assert hand.taps <= 20 + 2 * len(first)


@pytest.mark.parametrize("kind", ["swivel", "pivot"])
def test_where_nothing_is_felt_the_way_ends_with_the_makers_range(finger: Finger, server: Server, kind: str) -> None:
    hand, page = finger, finger.page
    choose_kind(hand, kind)
    look_over(hand, server)
    to(page, server, "safe-range/")
    for felt in FELT:
        assert page.locator(f"#field-{felt}:not([hidden])").count() == 0
    both_bolts(hand, RANGE, {"now_side": "out"})
    expect(page.locator(".qt-headline[data-state=go]")).to_contain_text("Lower bolt: use")
    assert hand.boxes == 4
    assert hand.taps <= 18


def test_who_does_not_know_the_bolt_turns_nothing(finger: Finger, server: Server) -> None:
    hand, page = finger, finger.page
    hand.tap('label:has(input[name=bolt_family][value="unknown"])')
    expect(page.locator("#start-tell-bolt")).to_contain_text("Turn nothing")
    to(page, server, "safe-range/")
    expect(page.locator(".qt-verdict-title:visible").first).to_have_text("Find out first which bolt this is")
    assert hand.taps == 1
