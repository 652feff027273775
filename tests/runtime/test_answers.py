"""The real package in the cut library: Pyodide under Node answers every kind of request as CPython does.

The next Pyodide is asked the same in `test_other_runtime.py`.
"""

from __future__ import annotations

import runtime
from helpers.node_pyodide import ask_all
from helpers.runtime_requests import check_requests_of_every_kind, requests_of_every_kind


def test_pyodide_answers_as_cpython_does() -> None:
    check_requests_of_every_kind(ask_all(runtime.build(runtime.PYODIDE), requests_of_every_kind()))
