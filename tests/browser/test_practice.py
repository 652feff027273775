"""The practice bench in the browser, from the first turn to the truth: by a finger, by keyboard, in a second visit."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from helpers.asking import answered
from helpers.axe import axe
from helpers.keys import Keys
from helpers.profiles import watched_page
from helpers.taps import Finger
from helpers.worksheet import Sheet, kept_record, open_own, open_sheet
from quarterturn.bench.practice import made_up_bolt
from quarterturn.bench.practice_bow import made_up_bow
from quarterturn.bench.practice_task import link_check

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from helpers.site import Watch
    from web_server import Server

pytestmark = pytest.mark.browser

FEEL, COUNT, THEN = "#practice-feel", "#practice-count", "#practice-then"


@pytest.fixture
def phone(browser: Browser, server: Server, watch: Watch) -> Iterator[Finger]:
    """A finger on the practice bench of a fresh phone."""
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
        open_sheet(page, server, "practice/")
        yield Finger(page)


def turn(hand: Finger | Keys, offer: str, *until: str) -> int:
    """Press a button of the key until one of these words is felt; tell how often."""
    for times in range(200):
        if any(word in hand.page.locator(FEEL).inner_text() for word in until):
            return times
        before = hand.page.locator("#practice-bench-figure").evaluate("one => one.outerHTML")
        hand.tap(f"#practice-{offer}-button")
        expect(hand.page.locator("#practice-bench-figure")).not_to_have_js_property("outerHTML", before)
        Sheet(hand.page).settled()
    raise AssertionError(f"never {until}")


def test_by_a_finger_with_paper_to_the_truth(phone: Finger) -> None:
    """Bolt 1: both ends found as the worksheet says it, counted by the bench, a range chosen, and the truth."""
    page = phone.page
    phone.choose("practice_level", "paper")
    expect(page.locator(THEN)).to_contain_text("ease the tip")
    phone.choose("practice_tip", "eased")
    phone.choose("practice_prong", "both")
    Sheet(page).settled()
    assert turn(phone, "key-out", "goes") == 0
    assert come_in(phone) == round(3.375 * 8)
    phone.tap("#practice-call-zero-button")
    expect(page.locator(COUNT)).to_have_text("Your count: no turn from zero; 3⅜ turns in from where you found it.")
    phone.choose("practice_offered", "butt")
    Sheet(page).settled()
    for _ in range(4):
        phone.tap("#practice-key-out-whole-button")
        Sheet(page).settled()
    turn(phone, "key-out", "goes")
    turn(phone, "key-in", "does not go in")
    phone.tap("#practice-call-touch-button")
    expect(page.locator(COUNT)).to_contain_text("4⅜ turns out from zero")
    phone.fill("practice_now_turns", "3 3/8")
    phone.choose("practice_now_side", "out")
    phone.fill("practice_touch_turns", "4,375")
    phone.choose("practice_stands", "inside")
    phone.fill("practice_inner", "0.25")
    assert page.locator("#practice-show-button").count() == 0
    phone.fill("practice_outer", "4")
    phone.tap("#practice-show-button")
    expect(page.locator("[data-spot='practice/headline']")).to_contain_text(
        "Bolt 1: your range lies well inside both ends."
    )
    expect(page.locator("#practice-losses")).to_contain_text("the strip's thickness")
    expect(page.locator("#practice-truth-scale-figure")).to_be_visible()
    expect(page.locator("#practice-inside-figure")).to_be_visible()
    assert phone.boxes == 4
    assert phone.taps < 60
    assert page.evaluate("document.documentElement.scrollWidth") == 390


def test_what_was_done_is_there_at_a_second_visit_and_another_bolt_forgets_it(page: Page, server: Server) -> None:
    """Nothing of it is of the bow: it is in no link, and a bow on the bench stays as it is."""
    sheet = open_own(page, server, {"bolt_family": "flat", "bow_name": "Club bow 3"}, "practice/")
    sheet.choose("practice_level", "found")
    page.locator("#practice-key-out-button").click()
    page.locator("#practice-call-zero-button").click()
    expect(page.locator("#practice-call-zero-button")).to_have_text("Zero is here instead")
    sheet.settled()
    page.reload()
    Sheet(page).settled()
    expect(page.locator("#practice-call-zero-button")).to_have_text("Zero is here instead")
    kept = kept_record(page)
    assert kept["practice_came"] == "out"
    assert kept["bow_name"]
    page.locator("#practice-another-button").click()
    expect(page.locator("#practice-call-zero-button")).to_have_text("This is zero")
    Sheet(page).settled()
    names = {name for name in kept_record(page) if name.startswith("practice_")}
    assert names == {"practice_level", "practice_bolt"}
    assert kept_record(page)["bow_name"]
    assert page.locator("[data-act=link], [data-act=clear]").count() == 0


def test_by_keyboard_and_for_those_who_cannot_see_it(page: Page, server: Server) -> None:
    """The slider goes by eighths; a press of the key's button keeps the focus; axe finds nothing serious."""
    sheet = open_sheet(page, server, "practice/")
    slider = page.locator("input[data-hand=practice_turned]")
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    expect(page.locator(COUNT)).to_have_text("Your count: ⅜ turn in from where you found it.")
    page.locator("#practice-key-in-button").focus()
    page.keyboard.press("Enter")
    expect(page.locator(COUNT)).to_have_text("Your count: ½ turn in from where you found it.")
    sheet.settled()
    assert page.evaluate("document.activeElement.id") == "practice-key-in-button"
    sheet.choose("practice_level", "paper")
    sheet.settled()
    assert axe(page) == []


def test_the_whole_way_by_keyboard_alone(browser: Browser, server: Server, watch: Watch) -> None:
    """From a fresh page on a narrow screen to what was lost and the next bolt; the focus is never gone."""
    with watched_page(browser, watch, viewport={"width": 390, "height": 844}) as page:
        open_sheet(page, server, "practice/")
        hand = Keys(page)
        hand.skip()
        hand.choose("practice_level", "paper")
        hand.choose("practice_strip", "thin")
        hand.choose("practice_prong", "both")
        hand.go("input[data-hand=practice_turned]")
        for _ in range(3):
            hand.press("ArrowLeft")
        expect(page.locator(COUNT)).to_have_text("Your count: ⅜ turn in from where you found it.")
        for _ in range(3):
            hand.press("ArrowRight")
        expect(page.locator(COUNT)).to_have_text("Your count: no turn from where you found it.")
        to_the_hands = hand.presses
        find_both(hand)
        assert page.evaluate("document.activeElement.id") == "f-practice_outer"
        hand.tap("#practice-show-button")
        expect(page.locator("#practice-losses")).to_contain_text("the strip's thickness")
        assert hand.focused() == "practice/outcome"
        told = page.locator("[data-spot='practice/headline']")
        expect(told).to_contain_text("Bolt 1: your range lies well inside both ends.")
        hand.go("#practice-losses [tabindex]")
        # A good third of them go from the strip and the counts back to the key.
        assert to_the_hands <= 65
        assert hand.presses <= 230
        hand.tap("#practice-another-button")
        expect(told).to_contain_text("Made-up bolt 2: find zero.")
        assert hand.focused() == "practice/then"
        hand.go("#practice-key-in-button")


def test_the_head_is_pulled(page: Page, server: Server) -> None:
    """A pull on the head by mouse turns the bolt the way that the head goes."""
    sheet = open_sheet(page, server, "practice/")
    box = page.locator("#practice-bench-figure").bounding_box()
    assert box is not None
    x, y = box["x"] + 0.46 * box["width"], box["y"] + 0.35 * box["height"]
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 30, steps=5)
    page.mouse.up()
    sheet.settled()
    expect(page.locator(COUNT)).to_contain_text("in from where you found it")
    turned = -float(kept_record(page)["practice_turned"]["typed"])
    scale = box["width"] / 312
    pitch = 1000 * made_up_bolt(1, "sight").pocket.pitch
    radius = 1000 * made_up_bolt(1, "sight").pocket.head_radius
    # The hand goes four times as far as the picture is true to scale (drag.js).
    assert turned == pytest.approx(30 / 4 / (scale * 2 * 312 / (3.4 * radius) * pitch), abs=0.07)


def test_nonsense_is_named_at_its_box(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "practice/")
    sheet.unfold()
    sheet.type_into("practice_bolt", "two")
    expect(sheet.error("practice_bolt")).to_be_visible()
    sheet.type_into("practice_bolt", "1.5")
    expect(sheet.error("practice_bolt")).to_contain_text("a whole number, 1 to 99999")
    assert page.input_value("#f-practice_bolt") == "1.5"


def come_in(hand: Finger | Keys) -> int:
    """In by whole turns until the strip stops, one out, in by eighths until it stops; how many eighths in all."""
    whole = turn(hand, "key-in-whole", "does not go in")
    hand.tap("#practice-key-out-whole-button")
    expect(hand.page.locator(FEEL)).not_to_contain_text("does not go in")
    Sheet(hand.page).settled()
    return 8 * (whole - 1) + turn(hand, "key-in", "does not go in")


def work_out(hand: Finger) -> str:
    """A student's way to the truth; the code that is shown."""
    find_both(hand)
    hand.tap("#practice-show-button")
    code = hand.page.locator("#practice-code")
    expect(code).to_contain_text("Code for your instructor")
    return code.inner_text().removeprefix("Code for your instructor: ").rstrip(".")


def find_both(hand: Finger | Keys) -> None:
    """The way to an answer with a strip, counted by the buttons that were pressed."""
    page = hand.page
    hand.choose("practice_tip", "eased")
    hand.choose("practice_prong", "both")
    Sheet(page).settled()
    out = turn(hand, "key-out-whole", "goes")
    back = come_in(hand)
    hand.tap("#practice-call-zero-button")
    hand.choose("practice_offered", "butt")
    Sheet(page).settled()
    eighths = 8 * turn(hand, "key-out-whole", "goes")
    eighths -= come_in(hand)
    hand.tap("#practice-call-touch-button")
    Sheet(page).settled()
    hand.fill("practice_now_turns", str((back - 8 * out) / 8))
    hand.choose("practice_now_side", "out")
    hand.fill("practice_touch_turns", str(eighths / 8))
    hand.choose("practice_stands", "inside")
    hand.fill("practice_inner", "0.25")
    hand.fill("practice_outer", str(int(4 * (eighths / 8 - 0.4)) / 4))
    Sheet(page).settled()


def test_an_instructor_and_two_students(browser: Browser, server: Server, watch: Watch) -> None:
    """The link of a task, two phones with two bolts, two codes, read on the instructor's page."""
    with watched_page(browser, watch) as desk:
        sheet = open_sheet(desk, server, "practice/").unfold()
        sheet.choose("practice_level", "paper")
        sheet.fill("practice_task", "4711")
        address = desk.locator("#practice-task-address").inner_text().removeprefix("Link to this task: ")
        assert address == f"{server.address}practice/?task=4711&level=paper"
        assert desk.locator("#practice-task-code-figure").is_visible()
        codes = []
        for student, bolt in ((1, 95294), (2, 3798)):
            with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
                page.goto(address)
                Sheet(page).settled()
                expect(page.locator("#practice-task")).to_have_text("Task 4711: enter your number in the class.")
                assert "?" not in page.url
                hand = Finger(page)
                hand.fill("practice_student", str(student))
                expect(page.locator("#practice-task")).to_contain_text(f"your bolt is {bolt}, with paper")
                codes.append(work_out(hand))
        assert codes[0] != codes[1]
        for student, code in enumerate(codes, 1):
            sheet.fill("practice_code", code)
            expect(desk.locator("#practice-tell-code")).to_contain_text(f"number {student}, with paper")
            expect(desk.locator("#practice-tell-code")).to_contain_text("from: well inside, to: well inside.")
        sheet.fill("practice_code", codes[0][:-1] + ("1" if codes[0][-1] != "1" else "2"))
        expect(desk.locator("#practice-tell-code")).to_contain_text("A digit of it is wrong")


def test_a_task_with_lessons_from_the_link_to_the_sheet(browser: Browser, server: Server, watch: Watch) -> None:
    """A student opens their made-up bow, follows the list to a lesson and back, finishes both, and the code tells."""
    with watched_page(browser, watch) as desk:
        sheet = open_sheet(desk, server, "practice/").unfold()
        sheet.choose("practice_level", "paper")
        sheet.fill("practice_task", "4711")
        sheet.fill("practice_lessons", "8, 3")
        line = desk.locator("#practice-task-address")
        expect(line).to_contain_text("lessons=3,8&task=4711&level=paper&check=")
        address = line.inner_text().removeprefix("Link to this task: ")
        with watched_page(browser, watch, viewport={"width": 390, "height": 844}, has_touch=True) as page:
            page.goto(address)
            Sheet(page).settled()
            assert "?" not in page.url
            listed = page.locator("#practice-task-lessons")
            expect(listed).to_contain_text("Lessons of the task: 0 of 2 done")
            hand = Finger(page)
            hand.fill("practice_student", "2")
            page.get_by_role("link", name="Open your made-up bow").tap()
            expect(page.locator(".qt-banner")).to_contain_text(
                "“Made up: task 4711, number 2”. None of it is kept yet."
            )
            expect(page.locator("#lessons-task-bow")).to_contain_text("Your made-up bow is open")
            page.go_back()
            Sheet(page).settled()  # or the tap meets another place of the list, which is still growing
            page.get_by_role("link", name="Lesson 3: What a strip can see").tap()
            page.wait_for_url("**/lessons/#paper")
            # Another page of the tab: the bow is still looked at, and its pocket is the one in the picture.
            expect(page.locator("#lessons-task-bow")).to_contain_text("Your made-up bow is open")
            hand.choose("lesson_paper", "at")
            # What is changed before the answer is there was not seen yet, and counts.
            expect(page.locator("#lessons-why-paper")).to_contain_text("No: before flush")
            hand.choose("lesson_paper", "before")
            expect(page.locator("#lessons-why-paper")).to_contain_text("What you said first counts: “at flush”.")
            early = paper_stops(4711, 2)
            assert early != paper_stops(4711, 1)
            hand.fill("lesson_paper_number", paper_stops(4711, 1))
            expect(page.locator("#lessons-tell-paper")).not_to_contain_text("Right")
            hand.fill("lesson_paper_number", early)
            expect(page.locator("#lessons-tell-paper")).to_have_text(f"Right: {early} turn.")
            hand.choose("lesson_stop", "stop")
            expect(page.locator("#lessons-why-stop")).to_contain_text("Yes: stop")
            page.goto(f"{server.address}practice/")
            expect(listed).to_contain_text(f"You said “at flush”: not right. You read {early} turn: right.")
            expect(listed).to_contain_text("Lessons of the task: 2 of 2 done")
            code = work_out(hand)
            assert not {"rise", "bow_name"} & set(kept_record(page))
            assert len(code.replace(" ", "")) == 19
            page.emulate_media(media="print")
            page.evaluate("dispatchEvent(new Event('beforeprint'))")
            for told in (listed, page.locator("#practice-code"), page.locator("#practice-losses")):
                expect(told).to_be_visible()
        sheet.fill("practice_code", code)
        told = desk.locator("#practice-tell-code")
        expect(told).to_contain_text("Task 4711, number 2, with paper")
        expect(told).to_contain_text("Lesson 3: finished, prediction not right. Lesson 8: finished, prediction right.")


def paper_stops(task: int, student: int) -> str:
    """How early paper stops in the pocket of a student's made-up bow, as How the pocket works tells it."""
    record = {name: {"typed": one.typed, "unit": one.unit} for name, one in made_up_bow(task, student)}
    (found,) = [one.value for one in answered(record, "pocket").all_values() if one.name == "flush_outside"]
    assert found is not None
    return f"{found:.2f}"


OTHER_LINKS = ("?task=7", "?lessons=1,4&task=12&level=paper&check=RIGHT")
"""Without its level, and with other lessons than it was made with; more of them: browser_modules/task_link.test.mjs."""


def test_a_link_that_is_no_task_says_so_and_changes_nothing(
    page: Page, server: Server, subtests: pytest.Subtests
) -> None:
    for query in OTHER_LINKS:
        with subtests.test(query):
            open_sheet(page, server, "practice/" + query.replace("RIGHT", link_check("paper", 12, (1, 3))))
            expect(page.locator(".qt-status")).to_contain_text("This link to a task is not whole.")
            assert page.input_value("#f-practice_task") == ""
            assert page.input_value("#f-practice_lessons") == ""
            assert "?" not in page.url


def test_a_task_clears_another_bolt_and_undo_has_it_back(page: Page, server: Server) -> None:
    sheet = open_sheet(page, server, "practice/")
    page.locator("#practice-key-out-button").click()
    sheet.settled()
    page.goto(f"{server.address}practice/?task=12&level=found")
    Sheet(page).settled()
    assert kept_record(page)["practice_task"]["typed"] == "12"
    assert "practice_turned" not in kept_record(page)
    Sheet(page).tool("undo").click()
    Sheet(page).settled()
    expect(page.locator(COUNT)).to_have_text("Your count: ⅛ turn out from where you found it.")
    expect(page.locator("#f-practice_task")).to_have_value("")


def test_a_task_with_lessons_begins_them_anew_and_undo_has_them_back(page: Page, server: Server) -> None:
    """A link that is followed twice clears nothing the second time."""
    sheet = open_sheet(page, server, "lessons/")
    sheet.choose("lesson_stop", "stop")
    sheet.settled()
    query = f"?lessons=1,8&task=12&level=found&check={link_check('found', 12, (1, 8))}"
    page.goto(f"{server.address}practice/{query}")
    sheet.settled()
    assert kept_record(page)["practice_lessons"]["typed"] == "1, 8"
    assert "lesson_stop" not in kept_record(page)
    sheet.tool("undo").click()
    sheet.settled()
    assert kept_record(page)["lesson_stop"]["typed"] == "stop"
    assert "practice_lessons" not in kept_record(page)
    sheet.tool("undo").click()
    sheet.settled()
    page.locator("#practice-key-out-button").click()
    sheet.settled()
    page.goto(f"{server.address}practice/{query}")
    sheet.settled()
    assert float(kept_record(page)["practice_turned"]["typed"]) == 0.125


def test_no_press_is_lost(page: Page, server: Server) -> None:
    """A press before the calculator runs, and eight quick ones, faster than the answers: each is an eighth."""
    page.goto(server.address + "practice/")
    page.locator("#practice-key-out-button").click()
    expect(page.locator(COUNT)).to_have_text("Your count: ⅛ turn out from where you found it.")
    Sheet(page).settled()
    page.evaluate("""() => {
      for (let press = 0; press < 8; press += 1) document.getElementById("practice-key-out-button").click();
    }""")
    expect(page.locator(COUNT)).to_have_text("Your count: 1⅛ turns out from where you found it.")
