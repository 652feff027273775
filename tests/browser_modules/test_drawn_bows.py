"""Drawn bows under Node: two states made one, and the text of a file of bows.

What a merge must give is worked out here once more, field by field (C); a file is held against its schema and read by
the package. What needs no drawn records is looked at in bow.test.mjs and bow_file.test.mjs.
"""

from __future__ import annotations

import json
import random
from typing import Any

import jsonschema

from helpers.node_modules import call
from helpers.records import some
from quarterturn.record.bows import bows_from_text
from quarterturn.record.fields import BY_NAME
from quarterturn.record.parsing import from_data
from quarterturn.record.schema import bows_schema

Bow = dict[str, Any]

LISTS = {"log": 60}


def bow(key: str = "aaaaaaaa", times: dict[str, int] | None = None, **record: Any) -> Bow:
    return {
        "id": key,
        "record": {"version": 1, **record},
        "times": times if times is not None else dict.fromkeys(record, 5),
    }


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


def test_of_each_field_the_later_entry_counts_and_no_row_of_a_log_is_lost() -> None:
    merged = call("bow", "given.pairs.map(([a, b]) => m.merged(a, b, given.lists))", {"pairs": PAIRS, "lists": LISTS})
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


def test_merging_again_or_with_itself_changes_nothing_more() -> None:
    code = """given.pairs.map(([a, b]) => {
      const { bow } = m.merged(a, b, given.lists);
      return bow && [bow, m.merged(bow, b, given.lists), m.merged(bow, bow, given.lists)];
    })"""
    for found in call("bow", code, {"pairs": PAIRS, "lists": LISTS}):
        if found is not None:
            once, again, itself = found
            assert (again["came"], again["bow"]) == ([], once)
            assert (itself["came"], itself["stayed"], itself["bow"]) == ([], [], once)


def test_both_devices_end_with_the_same_entries() -> None:
    """Where no field has two equally old entries, it does not matter which side reads the other's file."""
    pairs = [(a, b | {"times": {name: 10 * time + 5 for name, time in b["times"].items()}}) for a, b in PAIRS]
    pairs = [
        (a, b) for a, b in pairs if all(since(a, name) != since(b, name) or name not in a["record"] for name in BY_NAME)
    ]
    pairs += [(bow(times={"margin": 3}, margin="1"), bow(times={"margin": 4}, margin="2", play="1"))]
    code = "given.pairs.map(([a, b]) => [m.merged(a, b, {}).bow.record, m.merged(b, a, {}).bow.record])"
    for one, other in call("bow", code, {"pairs": pairs}):
        assert one == other


# Files ------------------------------------------------------------------------------------------------------------


def test_a_file_is_as_its_schema_says_and_the_package_reads_it() -> None:
    chance = random.Random(7)
    bows: list[Bow] = [
        {
            "id": f"{place:016x}",
            "record": record,
            "times": {name: chance.randint(0, 2**41) for name in record if name != "version"},
        }
        for place, record in enumerate(DRAWN)
    ]
    text = call("bow_file", "m.fileText(given)", bows)
    data = json.loads(text)
    jsonschema.Draft202012Validator(bows_schema()).validate(data)
    assert len(text.splitlines()) == len(bows) + 2
    assert [one["changed"] for one in data["bows"]] == [max(one["times"].values()) for one in bows]
    opened = bows_from_text(text)
    assert opened.notes == ()
    assert [{"id": one.id, "record": one.record.canonical(), "times": one.times} for one in opened.bows] == bows
