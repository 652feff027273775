"""The runtimes that the tests of this folder look at."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

import runtime
from helpers import stand_in

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="session")
def real_runtime() -> Path:
    """The runtime with the real package."""
    return runtime.build()


@pytest.fixture(scope="session")
def fetched() -> Path:
    """The folder of the fetched releases, the usual one in it."""
    return runtime.fetch(runtime.PYODIDE).parent


@pytest.fixture(scope="session")
def small_runtime(tmp_path_factory: pytest.TempPathFactory, fetched: Path) -> Path:
    """The runtime with a stand-in for the package."""
    home = tmp_path_factory.mktemp("small")
    return runtime.build(package=stand_in.write(home / "calc"), made=stand_in.made_beside(home / "made", fetched))
