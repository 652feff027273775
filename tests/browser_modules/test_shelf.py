"""Several bows: two states made one, names, files, what the storage holds, and the bench that gives way to another bow.

What a merge must give is worked out here once more, field by field (C).
"""

from __future__ import annotations

import json
import random
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from playwright.sync_api import expect

from browser_modules.page_driver import PREFIX, STORED, PageDriver, fragment, kept
from helpers.records import some
from helpers.site import Watch, watched_page
from quarterturn.record.bows import bows_from_text
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.schema import bows_schema

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser

    from web_server import Server

Bow = dict[str, Any]

SHELF = f"quarter-turn {PREFIX} bows"
ASIDE = f"quarter-turn {PREFIX} bows put aside"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError'); };"
FORBID = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
LISTS = {"log": 60}
SCRIPT = "<img src=x onerror=alert(1)>"


@pytest.fixture(scope="module")
def blank(browser: Browser, shared_server: Server) -> Iterator[tuple[PageDriver, Watch]]:
    """A page with nothing on it, for all tests that call a module's functions."""
    watch = Watch()
    with watched_page(browser, watch) as page:
        page.goto(f"{shared_server.address}pages/blank.html")
        yield PageDriver(page, shared_server), watch


@pytest.fixture
def modules(blank: tuple[PageDriver, Watch]) -> Iterator[PageDriver]:
    """The page, its storage empty; its faults fail the test that has it."""
    driver, watch = blank
    driver.page.evaluate("localStorage.clear()")
    yield driver
    watch.check()


def call(driver: PageDriver, module: str, code: str, given: Any = None) -> Any:
    """What an expression of a module `m` and of `given` comes to."""
    script = f"async (given) => {{ const m = await import('{PREFIX}assets/browser/{module}.js'); return {code}; }}"
    return driver.page.evaluate(script, given)


def bow(key: str = "aaaaaaaa", times: dict[str, int] | None = None, **record: Any) -> Bow:
    return {
        "id": key,
        "record": {"version": 1, **record},
        "times": times if times is not None else dict.fromkeys(record, 5),
    }


def name_of(one: Bow) -> str:
    typed = one["record"].get("bow_name", "")
    return str(typed["typed"] if isinstance(typed, dict) else typed)


def typed_log(*days: str) -> list[dict[str, str]]:
    return [{"date": day} for day in days]


# Two states of one bow --------------------------------------------------------------------------------------------

DRAWN = [from_data(record).record.canonical() for record in some(60)]


def states() -> list[tuple[Bow, Bow]]:
    """Pairs of states of one bow, drawn: fields that one has, both, the same, another, with times and without."""
    chance = random.Random(6)
    pairs = []
    for ours, theirs in zip(DRAWN[::2], DRAWN[1::2], strict=True):
        other = {
            name: ours[name] if name in ours and chance.random() < 0.4 else value for name, value in theirs.items()
        }
        pair = []
        for record in (ours, other):
            names = [name for name in BY_NAME if chance.random() < (0.8 if name in record else 0.3)]
            pair.append({"id": "aaaaaaaa", "record": record, "times": {name: chance.randint(2, 9) for name in names}})
        pairs.append((pair[0], pair[1]))
    return pairs


PAIRS = states()


def since(state: Bow, name: str) -> int:
    known: dict[str, int] = state["times"]
    return known.get(name, 1 if name in state["record"] else 0)


def entry_of(ours: Bow, theirs: Bow, name: str) -> Any:
    """What a field of the merged bow must hold; None where nothing."""
    mine, other = ours["record"].get(name), theirs["record"].get(name)
    if name in LISTS and mine and other:
        return mine + [row for row in other if row not in mine]
    return other if since(theirs, name) > since(ours, name) else mine


def test_of_each_field_the_later_entry_counts_and_no_row_of_a_log_is_lost(modules: PageDriver) -> None:
    merged = call(
        modules, "bow", "given.pairs.map(([a, b]) => m.merged(a, b, given.lists))", {"pairs": PAIRS, "lists": LISTS}
    )
    assert any(one["came"] for one in merged)
    assert any(one["stayed"] for one in merged)
    for (ours, theirs), one in zip(PAIRS, merged, strict=True):
        wanted = {name: entry_of(ours, theirs, name) for name in BY_NAME}
        if len(wanted["log"] or []) > LISTS["log"]:
            assert one["bow"] is None
            continue
        found = one["bow"]["record"]
        assert {name: value for name, value in wanted.items() if value is not None} == {
            name: value for name, value in found.items() if name != "version"
        }
        differs = [name for name in BY_NAME if ours["record"].get(name) != theirs["record"].get(name)]
        assert set(one["came"]) == {name for name in differs if found.get(name) != ours["record"].get(name)}
        heard = set(theirs["record"]) | set(theirs["times"])
        assert set(one["stayed"]) == {name for name in differs if name in heard} - set(one["came"])
        for name, time in one["bow"]["times"].items():
            assert time == max(since(ours, name), since(theirs, name))


def test_merging_again_or_with_itself_changes_nothing_more(modules: PageDriver) -> None:
    code = """given.pairs.map(([a, b]) => {
      const { bow } = m.merged(a, b, given.lists);
      return bow && [bow, m.merged(bow, b, given.lists), m.merged(bow, bow, given.lists)];
    })"""
    for found in call(modules, "bow", code, {"pairs": PAIRS, "lists": LISTS}):
        if found is not None:
            once, again, itself = found
            assert (again["came"], again["bow"]) == ([], once)
            assert (itself["came"], itself["stayed"], itself["bow"]) == ([], [], once)


def test_both_devices_end_with_the_same_entries(modules: PageDriver) -> None:
    """Where no field has two equally old entries, it does not matter which side reads the other's file."""
    pairs = [(a, b | {"times": {name: 10 * time + 5 for name, time in b["times"].items()}}) for a, b in PAIRS]
    pairs = [
        (a, b) for a, b in pairs if all(since(a, name) != since(b, name) or name not in a["record"] for name in BY_NAME)
    ]
    pairs += [(bow(times={"margin": 3}, margin="1"), bow(times={"margin": 4}, margin="2", play="1"))]
    code = "given.pairs.map(([a, b]) => [m.merged(a, b, {}).bow.record, m.merged(b, a, {}).bow.record])"
    for one, other in call(modules, "bow", code, {"pairs": pairs}):
        assert one == other


def test_a_field_emptied_later_stays_empty_and_one_entered_later_comes_back(modules: PageDriver) -> None:
    full = bow(times={"margin": 5}, margin="1")
    emptied_later, emptied_before = bow(times={"margin": 6}), bow(times={"margin": 4})
    merge = "m.merged(given[0], given[1], {}).bow.record"
    assert call(modules, "bow", merge, [full, emptied_later]) == {"version": 1}
    assert call(modules, "bow", merge, [full, emptied_before]) == {"version": 1, "margin": "1"}
    assert call(modules, "bow", merge, [emptied_before, full]) == {"version": 1, "margin": "1"}
    assert call(modules, "bow", merge, [emptied_later, full]) == {"version": 1}


def test_hostile_names_are_names(modules: PageDriver) -> None:
    times = '{"__proto__":9,"toString":9,"constructor":9}'
    theirs = f'{{"id":"aaaaaaaa","record":{{"version":1,"constructor":"x"}},"times":{times}}}'
    code = "m.merged(given[0], JSON.parse(given[1]), { __proto__: null }).bow.record.constructor"
    assert call(modules, "bow", code, [bow(margin="1"), theirs]) == "x"
    assert modules.page.evaluate("({}).x") is None


def test_what_comes_back_from_the_bench_keeps_the_times_of_what_was_not_touched(modules: PageDriver) -> None:
    """There every exchanged field got the time of the exchange, 100; later one was entered and one emptied."""
    before = bow(times={"a": 1, "b": 2, "c": 3, "d": 4}, a="1", b="2", c="3")
    record = {"version": 1, "a": {"typed": "1"}, "b": "22", "e": "5"}
    times = {"a": 100, "b": 120, "c": 130, "d": 100, "e": 140}
    found = call(modules, "bow", "m.returned('aaaaaaaa', ...given)", [record, times, before])
    assert found == {"id": "aaaaaaaa", "record": record, "times": {"a": 1, "b": 120, "c": 130, "d": 4, "e": 140}}
    fresh = call(modules, "bow", "m.returned('bbbbbbbb', ...given)", [record, times, None])
    assert (fresh["record"], fresh["times"]) == (record, times)


# Names ------------------------------------------------------------------------------------------------------------


def test_a_name_that_is_taken_gets_a_number_and_never_grows_too_long(modules: PageDriver) -> None:
    free = "m.freeName(...given)"
    assert call(modules, "bow", free, ["Club", [], 60]) == "Club"
    assert call(modules, "bow", free, ["Club", ["Club"], 60]) == "Club 2"
    assert call(modules, "bow", free, ["Club", ["Club", "Club 2", "Club 3"], 60]) == "Club 4"
    long = "弓" * 60
    assert call(modules, "bow", free, [long, [long], 60]) == "弓" * 58 + " 2"
    assert call(modules, "bow", free, ["😀" * 60, ["😀" * 60], 60]) == "😀" * 58 + " 2"


@pytest.mark.parametrize(
    ("names", "wanted"),
    [
        (["Club bow 3"], "club-bow-3-2026-06-30.json"),
        (["../../etc/passwd"], "etc-passwd-2026-06-30.json"),
        ([SCRIPT], "img-src-x-onerror-alert-1-2026-06-30.json"),
        (["Göteborg Nº 5: “blå”"], "goteborg-no-5-bla-2026-06-30.json"),
        (["///"], "bow-2026-06-30.json"),
        ([""], "bow-2026-06-30.json"),
        (["a", "b"], "bows-2026-06-30.json"),
        (["x" * 60], f"{'x' * 40}-2026-06-30.json"),
    ],
)
def test_a_files_name_is_plain(modules: PageDriver, names: list[str], wanted: str) -> None:
    bows = [bow(bow_name=name) for name in names]
    assert call(modules, "bow_file", "m.fileName(given, new Date(2026, 5, 30))", bows) == wanted


# Files ------------------------------------------------------------------------------------------------------------


def test_a_file_is_as_its_schema_says_and_the_package_reads_it(modules: PageDriver) -> None:
    chance = random.Random(7)
    bows: list[Bow] = [
        {
            "id": f"{place:016x}",
            "record": record,
            "times": {name: chance.randint(0, 2**41) for name in record if name != "version"},
        }
        for place, record in enumerate(DRAWN)
    ]
    text = call(modules, "bow_file", "m.fileText(given)", bows)
    data = json.loads(text)
    jsonschema.Draft202012Validator(bows_schema()).validate(data)
    assert len(text.splitlines()) == len(bows) + 2
    assert [one["changed"] for one in data["bows"]] == [max(one["times"].values()) for one in bows]
    opened = bows_from_text(text)
    assert opened.notes == ()
    assert [{"id": one.id, "record": one.record.canonical(), "times": one.times} for one in opened.bows] == bows


@pytest.mark.parametrize(
    ("content", "most", "words"),
    [
        ("x" * 2_001, 2_000, "was not read"),
        ("ä".encode("latin-1").decode("latin-1"), 10, None),
        ("fine", 4, None),
    ],
    ids=["too large", "utf-8", "fine"],
)
def test_a_file_is_read_by_the_browser_or_refused(
    modules: PageDriver, content: str, most: int, words: str | None
) -> None:
    code = "m.readFile(new File([given.content], 'x.json'), given.most)"
    found = call(modules, "bow_file", f"await {code}", {"content": content, "most": most})
    assert found == {"text": content} if words is None else words in found["refused"]


def test_what_is_no_text_is_refused_and_too_large_a_file_is_not_touched(modules: PageDriver) -> None:
    found = call(modules, "bow_file", "await m.readFile(new File([new Uint8Array([255, 254, 0])], 'x.json'), 9)")
    assert found == {"refused": "The file is refused: it is not text in UTF-8."}
    untouched = "{ size: 10_500_000, arrayBuffer() { throw new Error('touched'); } }"
    assert call(modules, "bow_file", f"await m.readFile({untouched}, 2_000_000)") == {
        "refused": "The file is refused and was not read: it has 10.5 MB, and a file of bows has at most 2.0."
    }


# Taking in --------------------------------------------------------------------------------------------------------

MINE = bow("aaaaaaaa", bow_name="Club", margin="1", log=typed_log("2026-06-01", "2026-06-02"))


def taken(driver: PageDriver, theirs: list[Bow], *, apart: bool = False, most: int = 60) -> tuple[list[Bow], list[Any]]:
    """The shelf after MINE, with these bows taken in, and the news."""
    code = """(() => {
      const shelf = new Map([[given.mine.id, given.mine]]);
      const { changes, news } = m.takeIn(shelf, given.theirs, { apart: given.apart, lists: given.lists, most: 60 });
      if (shelf.size !== 1) throw new Error("the shelf was touched");
      return [[...new Map([...shelf, ...changes]).values()], news];
    })()"""
    given = {"mine": MINE, "theirs": theirs, "apart": apart, "lists": {"log": most}}
    bows, news = call(driver, "import_bows", code, given)
    return bows, news


def test_new_known_and_differing_bows_are_told_apart(modules: PageDriver) -> None:
    bows, news = taken(modules, [bow("bbbbbbbb", bow_name="Other"), MINE | {"times": {}}, MINE | {"id": ""}])
    assert [one["kind"] for one in news] == ["new", "same", "same"]
    assert bows == [MINE, bow("bbbbbbbb", bow_name="Other")]


def test_another_bow_of_the_same_name_gets_a_number_and_an_id(modules: PageDriver) -> None:
    theirs = [bow("bbbbbbbb", bow_name="Club"), bow("", bow_name="Club", margin="3"), bow("", margin="4")]
    bows, news = taken(modules, theirs)
    assert [one["name"] for one in news] == ["Club 2", "Club 3", ""]
    assert bows[0] == MINE
    assert bows[1]["id"] == "bbbbbbbb"
    assert len({one["id"] for one in bows}) == 4
    assert all(len(one["id"]) >= 8 for one in bows)
    assert [name_of(one) for one in bows] == ["Club", "Club 2", "Club 3", ""]


def test_a_known_bow_is_merged_or_kept_apart(modules: PageDriver) -> None:
    rows = typed_log("2026-06-02", "2026-06-03")
    theirs = bow("aaaaaaaa", {"margin": 9, "log": 2}, bow_name="Club", margin="2", log=rows)
    bows, news = taken(modules, [theirs])
    assert [(one["kind"], one["came"]) for one in news] == [("merged", ["margin", "log"])]
    assert bows[0]["record"]["margin"] == "2"
    assert bows[0]["record"]["log"] == typed_log("2026-06-01", "2026-06-02", "2026-06-03")
    bows, news = taken(modules, [theirs], apart=True)
    assert [one["kind"] for one in news] == ["apart"]
    assert bows[0] == MINE
    assert name_of(bows[1]) == "Club 2"
    assert bows[1]["record"]["log"] == rows


def test_an_older_state_changes_nothing(modules: PageDriver) -> None:
    older = bow("aaaaaaaa", {"margin": 4}, bow_name="Club", margin="2", log=typed_log("2026-06-01"))
    bows, news = taken(modules, [older])
    assert [(one["kind"], one["stayed"]) for one in news] == [("older", ["margin", "log"])]
    assert bows[0]["record"] == MINE["record"]


def test_lists_too_long_for_one_are_kept_in_two_bows(modules: PageDriver) -> None:
    theirs = bow("aaaaaaaa", bow_name="Club", log=typed_log("2026-07-01", "2026-07-02"))
    bows, news = taken(modules, [theirs], most=3)
    assert [one["kind"] for one in news] == ["apart"]
    assert [len(one["record"]["log"]) for one in bows] == [2, 2]


def test_two_states_of_one_bow_in_one_file_become_one(modules: PageDriver) -> None:
    twice = [bow("bbbbbbbb", bow_name="New", margin="1"), bow("bbbbbbbb", {"margin": 7}, bow_name="New", margin="2")]
    bows, news = taken(modules, twice)
    assert [one["kind"] for one in news] == ["new", "merged"]
    assert [one["record"].get("margin") for one in bows] == ["1", "2"]


# What the storage holds -------------------------------------------------------------------------------------------

GOOD: Bow = {"id": "aaaaaaaa", "record": {"version": 1, "margin": {"typed": "1"}}, "times": {"margin": 5}}


WRONG: tuple[Any, ...] = (
    None,
    3,
    [],
    {},
    GOOD,
    GOOD | {"id": 3},
    GOOD | {"id": "short"},
    GOOD | {"id": "../../../x"},
    GOOD | {"id": "bbbbbbbb", "record": []},
    GOOD | {"id": "bbbbbbbb", "record": {"margin": "1"}},
    GOOD | {"id": "bbbbbbbb", "record": {"version": 1, "margin": True}},
    GOOD | {"id": "bbbbbbbb", "times": {"margin": "now"}},
    GOOD | {"id": "bbbbbbbb", "times": None},
)


@pytest.mark.parametrize(
    ("text", "kind", "many"),
    [
        (None, "none", 0),
        (json.dumps({"version": 1, "bows": [GOOD]}), "good", 1),
        ('{"version": 1, "bows": []}', "good", 0),
        ("{broken", "damaged", 0),
        ("[]", "damaged", 0),
        ("null", "damaged", 0),
        ('{"version": 1, "bows": {}}', "damaged", 0),
        ("[" * 50_000, "damaged", 0),
        (json.dumps({"version": 2, "bows": [GOOD]}), "newer", 0),
        (json.dumps({"version": 1, "bows": [GOOD, GOOD | {"id": "bbbbbbbb", "record": {"version": 2}}]}), "newer", 0),
        *((json.dumps({"version": 1, "bows": [GOOD, wrong]}), "damaged", 1) for wrong in WRONG),
    ],
    ids=range(23),
)
def test_what_is_stored_is_read_as_far_as_it_makes_sense(
    modules: PageDriver, text: str | None, kind: str, many: int
) -> None:
    code = "(({ kind, bows }) => [kind, bows.size])(m.readShelf(given, 1))"
    assert call(modules, "shelf", code, text) == [kind, many]


def put(driver: PageDriver, code: str, given: Any = None) -> Any:
    """What comes of some work with a shelf `s`, and what it said."""
    script = f"""(() => {{
      const said = new Set();
      const s = new m.Shelf({{ version: 1, say: (text) => said.add(text) }});
      const came = (() => {{ {code} }})();
      return [came, [...said]];
    }})()"""
    return call(driver, "shelf", script, given)


def store(driver: PageDriver, key: str, text: str) -> None:
    driver.page.evaluate("([key, text]) => localStorage.setItem(key, text)", [key, text])


CHANGE = "s.change(new Map(given.map((bow) => [bow.id, bow])))"


def test_two_tabs_share_one_shelf(tab: Callable[[], PageDriver]) -> None:
    one, two = tab(), tab()
    for driver in (one, two):
        driver.page.goto(f"{driver.server.address}pages/blank.html")
    assert put(one, f"return {CHANGE};", [bow("aaaaaaaa", margin="1")]) == [None, []]
    both = f"{CHANGE}; return [...s.bows.keys()];"
    assert put(two, both, [bow("bbbbbbbb", margin="2")]) == [["aaaaaaaa", "bbbbbbbb"], []]
    assert put(one, "return [...s.bows.keys()];") == [["aaaaaaaa", "bbbbbbbb"], []]


def test_there_can_be_so_many_and_no_more(modules: PageDriver) -> None:
    many = [bow(f"{place:08d}", margin="1") for place in range(200)]
    over = [*many, bow("one-more".replace("-", ""), margin="1")]
    assert put(modules, f"return {CHANGE};", many) == [None, []]
    (refused, _) = put(modules, f"return {CHANGE};", over)
    assert "200 bows" in refused
    assert len(modules.stored(SHELF)["bows"]) == 200
    large = [bow("00000000", bow_name="x" * 2_000_000)]
    (refused, _) = put(modules, f"return {CHANGE};", large)
    assert "too many for one file" in refused


def test_a_damaged_shelf_is_shown_in_part_and_put_aside(modules: PageDriver) -> None:
    text = json.dumps({"version": 1, "bows": [GOOD, 3]})
    store(modules, SHELF, text)
    came, said = put(modules, "const was = [...s.bows.keys()]; s.change(new Map([['aaaaaaaa', null]])); return was;")
    assert came == ["aaaaaaaa"]
    assert len(said) == 1
    assert "damaged" in said[0]
    assert modules.page.evaluate("(key) => localStorage.getItem(key)", ASIDE) == text
    assert modules.stored(SHELF)["bows"] == []


def test_a_newer_shelf_is_left_as_it_is(modules: PageDriver) -> None:
    text = json.dumps({"version": 2, "bows": [GOOD]})
    store(modules, SHELF, text)
    came, said = put(modules, f"return {CHANGE};", [bow("bbbbbbbb", margin="2")])
    assert "newer version" in came
    assert len(said) == 1
    assert modules.page.evaluate("(key) => localStorage.getItem(key)", SHELF) == text


def test_what_the_browser_removed_is_still_there_and_is_stored_again(modules: PageDriver) -> None:
    code = f"{CHANGE}; localStorage.clear(); const left = [...s.bows.keys()]; s.change(new Map()); return left;"
    came, said = put(modules, code, [bow("bbbbbbbb", margin="2")])
    assert came == ["bbbbbbbb"]
    assert "has removed the bows" in said[0]
    assert [one["id"] for one in modules.stored(SHELF)["bows"]] == ["bbbbbbbb"]


@pytest.mark.parametrize(("script", "words"), [(FULL, "storage is full"), (FORBID, "does not let the page keep")])
def test_without_storage_the_shelf_lasts_as_long_as_the_page(driver: PageDriver, script: str, words: str) -> None:
    driver.page.add_init_script(script)
    driver.page.goto(f"{driver.server.address}pages/blank.html")
    code = f"{CHANGE}; s.change(new Map([['aaaaaaaa', null]])); return [[...s.bows.keys()], s.isStored, s.isForbidden];"
    came, said = put(driver, code, [bow("aaaaaaaa", margin="1"), bow("bbbbbbbb", margin="2")])
    assert came == [["bbbbbbbb"], False, script == FORBID]
    assert len(said) == 1
    assert words in said[0]


# The bench gives way ----------------------------------------------------------------------------------------------

OWN: dict[str, Any] = {"reach": {"typed": "5", "unit": "mm"}, "bow_name": {"typed": "Club"}}
ON_SHELF = {"id": "aaaaaaaa", "record": {"version": 1, **OWN}, "times": {"reach": 1, "bow_name": 2}}


def of_the_shelf(driver: PageDriver) -> PageDriver:
    """A page whose bow lies on the shelf too, as it was before the count was entered."""
    driver.page.goto(f"{driver.server.address}pages/blank.html")
    data = json.loads(kept(10, **OWN, count={"typed": "3", "unit": "turn"}, habit={"typed": "mine"}))
    store(driver, STORED, json.dumps(data | {"bow": {"id": "aaaaaaaa", "time": 9}}))
    store(driver, SHELF, json.dumps({"version": 1, "bows": [ON_SHELF]}))
    return driver


def on_shelf(driver: PageDriver) -> list[Bow]:
    bows: list[Bow] = driver.stored(SHELF)["bows"]
    return bows


RETURNED = {
    "id": "aaaaaaaa",
    "record": {"version": 1, **OWN, "count": {"typed": "3", "unit": "turn"}},
    "times": {"reach": 1, "bow_name": 2, "count": 10},
}


def test_a_bow_of_the_shelf_goes_back_there_before_all_is_cleared(driver: PageDriver) -> None:
    of_the_shelf(driver).open()
    driver.says("reach 5 mm")
    expect(driver.find(".qt-on-bench")).to_contain_text("On the bench: Club")
    driver.act("clear")
    driver.says("reach none")
    expect(driver.find(".qt-on-bench")).to_be_hidden()
    assert on_shelf(driver) == [RETURNED]
    assert driver.stored()["bow"]["id"] is None
    # Another bow is entered: it is not the one of the shelf.
    driver.type("reach", "9")
    driver.act("clear")
    assert on_shelf(driver) == [RETURNED]
    driver.act("undo")
    driver.act("undo")
    assert on_shelf(driver) == [RETURNED]


def test_undo_of_a_clear_is_the_same_bow_again(driver: PageDriver) -> None:
    of_the_shelf(driver).open()
    driver.says("reach 5 mm")
    driver.act("clear")
    driver.act("undo")
    driver.says("reach 5 mm")
    assert driver.stored()["bow"]["id"] == "aaaaaaaa"
    driver.page.reload()
    driver.says("reach 5 mm")
    driver.type("reach", "6")
    driver.act("clear")
    (back,) = on_shelf(driver)
    assert back["record"]["reach"] == {"typed": "6", "unit": "mm"}


def test_a_bow_that_was_never_on_the_shelf_is_not_put_there(driver: PageDriver) -> None:
    driver.open().type("reach", "5")
    driver.act("clear")
    driver.says("reach none")
    assert driver.page.evaluate("Object.keys(localStorage)") == [STORED]


def theirs(name: str) -> str:
    return fragment({"reach": {"typed": "77", "unit": "mm"}, "bow_name": {"typed": name}})


@pytest.mark.parametrize(("name", "same"), [("Club", True), ("Other", False)])
def test_a_kept_link_is_of_the_same_bow_only_under_its_name(driver: PageDriver, name: str, same: bool) -> None:
    of_the_shelf(driver).open(theirs(name))
    driver.says("reach 77 mm")
    expect(driver.find(".qt-on-bench")).to_contain_text(f"Bow of the link: {name}")
    driver.act("link-keep")
    driver.act("link-replace")
    expect(driver.find(".qt-banner")).to_contain_text("now yours")
    assert driver.stored()["record"]["reach"]["typed"] == "77"
    assert driver.stored()["bow"]["id"] == ("aaaaaaaa" if same else None)
    assert on_shelf(driver) == [ON_SHELF if same else RETURNED]


def test_a_links_bow_goes_to_the_shelf_beside_ones_own(driver: PageDriver) -> None:
    of_the_shelf(driver).open(theirs("Other"))
    driver.says("reach 77 mm")
    driver.act("link-shelf")
    driver.says("reach 5 mm")
    expect(driver.find(".qt-banner")).to_contain_text("is on your shelf")
    assert driver.page.url == driver.address
    mine, other = on_shelf(driver)
    assert mine == ON_SHELF
    assert other["record"] == {"version": 1, "reach": {"typed": "77", "unit": "mm"}, "bow_name": {"typed": "Other"}}
    assert set(other["times"]) == {"reach", "bow_name"}
    # Once more: it is there already.
    driver.page.go_back()
    driver.says("reach 77 mm")
    driver.act("link-shelf")
    expect(driver.find(".qt-banner")).to_contain_text("was on your shelf already")
    assert len(on_shelf(driver)) == 2


def test_where_nothing_can_be_stored_a_clear_can_still_be_undone(driver: PageDriver) -> None:
    driver.page.add_init_script(FULL)
    driver.open().type("reach", "5")
    driver.act("clear")
    driver.says("reach none")
    driver.act("undo")
    driver.says("reach 5 mm")


def test_another_tab_follows_to_another_bow(tab: Callable[[], PageDriver]) -> None:
    one, two = of_the_shelf(tab()).open(), tab().open()
    two.says("reach 5 mm")
    one.says("reach 5 mm")
    one.act("clear")
    two.says("reach none")
    two.type("reach", "8")
    two.act("clear")
    # Had the second tab still taken it for the first bow, the shelf's would be overwritten.
    assert on_shelf(two) == [RETURNED]
