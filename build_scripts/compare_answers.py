"""Whether a change of the code changed an answer: drawn records and the digest of what every widget says to each.

    .made/venv/bin/python build_scripts/compare_answers.py write FILE [--records 500]
    .made/venv/bin/python build_scripts/compare_answers.py compare FILE [--show 3]

`write` draws the records and keeps them in FILE beside the digests, so that `compare` asks the same of a later state,
whatever has become of the drawing. An answer is all that a reader or a program gets: HTML, first part, entries that
are kept or offered, the JSON of the command line, links, the log as a table. FILE is JSON; nothing of it is committed.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

from places import ROOT

sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "calc")]

TODAY = "2026-06-30"
ADDRESS = "https://club.example/bows/"


def said(record: dict[str, Any]) -> dict[str, dict[str, str]]:
    """All that is said to one record: of every widget, and of what is no widget's, text by kind."""
    from quarterturn.record.parsing import ParseError, from_data
    from quarterturn.record.values import Values
    from quarterturn.widgets import WIDGETS
    from quarterturn.widgets.answer import Refusal
    from quarterturn.worker_interface import ask

    texts = {}
    for name in WIDGETS:
        request = {"ask": "answer", "widget": name, "record": record, "today": TODAY, "address": ADDRESS}
        whole = json.loads(ask(json.dumps(request)))
        first = ask(json.dumps({**request, "part": "first"}))
        try:
            data = json.dumps(WIDGETS[name].answer(Values(from_data(record).record)).as_data())
        except (Refusal, ParseError) as refusal:
            data = str(refusal)
        html = str(whole.pop("html", None))
        texts[name] = {"html": html, "first": first, "json": data, "rest": json.dumps(whole)}
    for kind in ("link", "csv"):
        texts[f"({kind})"] = {"rest": ask(json.dumps({"ask": kind, "record": record}))}
    return texts


def digests(record: dict[str, Any]) -> dict[str, str]:
    """The digest of every text, by "widget kind"."""
    return {
        f"{name} {kind}": hashlib.sha256(text.encode()).hexdigest()[:16]
        for name, kinds in said(record).items()
        for kind, text in kinds.items()
    }


def drawn(count: int) -> list[dict[str, Any]]:
    """The records: drawn from the schema, and the written ones of the tests' table."""
    from helpers.matrix import RECORDS
    from helpers.records import some

    return [*RECORDS.values(), *some(count)]


def in_parallel(records: list[dict[str, Any]]) -> list[dict[str, str]]:
    """The digests of each record, in their order."""
    with ProcessPoolExecutor() as workers:
        return list(workers.map(digests, records, chunksize=4))


def main() -> int:
    """Write or compare; exit code 1 where an answer differs."""
    parser = argparse.ArgumentParser(description="Keep what is answered, or compare with what was kept.")
    parser.add_argument("act", choices=("write", "compare"))
    parser.add_argument("file", type=Path)
    parser.add_argument("--records", type=int, help="how many to draw (500), or to compare (all)")
    parser.add_argument("--show", type=int, default=5, help="of how many records each difference is told")
    asked = parser.parse_args()
    if asked.act == "write":
        records = drawn(asked.records or 500)
        kept = [
            {"record": record, "digests": found} for record, found in zip(records, in_parallel(records), strict=True)
        ]
        asked.file.write_text(json.dumps(kept), encoding="utf-8")
        print(f"{len(kept)} records kept.")
        return 0
    kept = json.loads(asked.file.read_text(encoding="utf-8"))[: asked.records]
    found = in_parallel([each["record"] for each in kept])
    different = [
        (place, sorted(key for key in old["digests"] | new if old["digests"].get(key) != new.get(key)))
        for place, (old, new) in enumerate(zip(kept, found, strict=True))
        if old["digests"] != new
    ]
    for place, keys in different[: asked.show]:
        print(f"record {place}: {', '.join(keys)}")
    print(f"{len(kept)} records, {len(different)} with another answer.")
    return 1 if different else 0


if __name__ == "__main__":
    sys.exit(main())
