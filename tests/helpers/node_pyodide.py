"""Ask the built runtime, cut library and all, without a browser: Pyodide under Node."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING, Any

from npm_package import find_node

if TYPE_CHECKING:
    from collections.abc import Sequence

SCRIPT = Path(__file__).with_name("node_pyodide.mjs")
VERSION = "import sys\n'%d.%d %s' % (*sys.version_info[:2], sys.platform)"


class NodePyodideError(Exception):
    """Pyodide under Node stopped; the message is what it said."""


def _run(folder: Path, job: dict[str, Any]) -> dict[str, Any]:
    command = [str(find_node().program), str(SCRIPT), str(folder)]
    done = subprocess.run(command, input=json.dumps(job), capture_output=True, text=True, check=False)
    if done.returncode != 0 or not done.stdout:
        raise NodePyodideError(done.stderr[-3000:] or f"Node ended with {done.returncode} and said nothing.")
    result = json.loads(done.stdout.splitlines()[-1])
    if not isinstance(result, dict):
        raise NodePyodideError(done.stdout[-3000:])
    return result


def ask_all(folder: Path, requests: Sequence[str]) -> list[str]:
    """Return the answers of ``quarterturn.worker_interface.ask`` to JSON strings, in their order, from one Pyodide.

    `folder` is what ``runtime.build()`` returned.  Raises NodePyodideError where Python raises.
    """
    answers = _run(folder, {"requests": list(requests)})["answers"]
    return [str(answer) for answer in answers]


def version_and_answers(folder: Path, requests: Sequence[str]) -> tuple[str, list[str]]:
    """Return which Python it is, "3.13 emscripten" say, and its answers, as `ask_all` does."""
    result = _run(folder, {"code": VERSION, "requests": list(requests)})
    return str(result["value"]), [str(answer) for answer in result["answers"]]


def run_python(folder: Path, code: str) -> str:
    """Run Python code in the built runtime and return the value of its last line, which must be a string."""
    return str(_run(folder, {"code": code})["value"])
