"""A tiny package with the real one's name, so that the runtime can be tested for itself."""

from __future__ import annotations

import os
from pathlib import Path

WORKER_INTERFACE = '''
"""Answers with what it was asked."""

import json
import math
from dataclasses import dataclass

from .inner import words


@dataclass(frozen=True, slots=True)
class Reading:
    turns: float


def ask(text: str) -> str:
    """JSON in, JSON out."""
    from fractions import Fraction

    asked = json.loads(text)
    if asked.get("ask") == "raise":
        raise ValueError("asked to raise")
    if asked.get("ask") == "hang":
        while True:
            pass
    reading = Reading(math.fsum([0.25] * asked.get("quarters", 0)))
    return json.dumps({"html": words(reading.turns), "quarter": str(Fraction(1, 4))})
'''

INNER = """
import html


def words(turns: float) -> str:
    return html.escape(f"<{turns} turns>")
"""

MAIN = "import nowhere_to_be_found\n"


def write(parent: Path, worker_interface: str = WORKER_INTERFACE) -> Path:
    """Write the package under a folder and return its own folder."""
    package = parent / "quarterturn"
    package.mkdir(parents=True)
    (package / "__init__.py").write_text("", encoding="utf-8")
    (package / "__main__.py").write_text(MAIN, encoding="utf-8")
    (package / "inner.py").write_text(INNER, encoding="utf-8")
    (package / "worker_interface.py").write_text(worker_interface, encoding="utf-8")
    return package


def made_beside(folder: Path, fetched: Path) -> Path:
    """Return an empty folder for what is made, which shares the Pyodide that is fetched already."""
    folder.mkdir(parents=True)
    os.symlink(fetched, folder / "pyodide", target_is_directory=True)
    return folder
