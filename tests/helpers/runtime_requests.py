"""What both versions of Pyodide are asked, and what the package imports of their libraries."""

from __future__ import annotations

import ast
import json
from typing import TYPE_CHECKING

from quarterturn.worker_interface import ask

if TYPE_CHECKING:
    from pathlib import Path

DEFAULTS: dict[str, object] = {"ask": "answer", "widget": "safe-range", "record": {"version": 1}}
# One request of every kind, good and bad: an answer, a refusal with sentences, a link and back, an old record.
REQUESTS: list[dict[str, object]] = [
    DEFAULTS,
    {**DEFAULTS, "record": {"version": 1, "bolt_family": "flat", "upper_touch_turns": "5,25"}},
    {**DEFAULTS, "record": {"version": 1, "upper_touch_turns": "-1e308", "upper_flush_turns": "NaN"}},
    {**DEFAULTS, "record": {"version": 1, "upper_touch_turns": "five", "bolt_family": "no such thing"}},
    {**DEFAULTS, "record": {"version": 99, "nobody_knows": 1}},
    {"ask": "answer", "widget": "no such widget", "record": {}},
    {"ask": "link", "record": {"version": 1, "upper_touch_turns": {"typed": "5,25", "unit": "turn"}}},
    {"ask": "open", "fragment": "q1.not-a-link"},
    {"ask": "read", "text": '{"version": 1, "bow_name": {"typed": "Club bow 3 <b>"}}'},
    {"ask": "read", "text": "{" * 5000},
    {"ask": "nothing"},
]


def requests_of_every_kind() -> list[str]:
    """The requests as JSON, the last one to open the link that an earlier one asks for."""
    asked = [json.dumps(request) for request in REQUESTS]
    link = json.loads(ask(asked[6]))["fragment"]
    return [*asked, json.dumps({"ask": "open", "fragment": link})]


def check_requests_of_every_kind(answers: list[str]) -> None:
    """Hold the answers to them against those of this Python, and see that they are answers."""
    asked = requests_of_every_kind()
    assert answers == [ask(text) for text in asked]
    assert "broken" not in json.loads(answers[0])
    assert json.loads(answers[0])["html"]
    assert json.loads(answers[6])["fragment"] == json.loads(asked[-1])["fragment"]
    assert json.loads(answers[-1])["record"]


def imports_of(package: Path) -> list[str]:
    """Every import statement of the package but for its command line and its notebook, as absolute statements."""
    found: set[str] = set()
    for path in sorted(package.rglob("*.py")):
        if path.name in ("__main__.py", "notebook.py"):
            continue
        within = path.relative_to(package.parent).with_suffix("").parts
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found.update(f"import {alias.name}" for alias in node.names)
            elif isinstance(node, ast.ImportFrom):
                base = within[: len(within) - node.level] if node.level else ()
                target = ".".join([*base, *([node.module] if node.module else [])])
                found.update(f"from {target} import {alias.name}" for alias in node.names)
    return sorted(found)
