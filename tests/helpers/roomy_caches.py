"""Room in the package's caches for all that one process of the tests asks.

In a reader's browser a cache holds the last few results. The tests ask the same few hundred bows of page after page,
and would have each of them worked out a dozen times. What is kept are results of pure functions of frozen values, so
that no answer is another for it; where a test changes the package itself, nothing is kept (`forget`, conftest.py).
"""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable
from typing import Any

PICTURES = 128
"""Of a picture, or of a whole page's words: long texts."""
NUMBERS = 1024
KEPT_IN = functools.lru_cache


def roomy(maxsize: int | Callable[..., Any] | None = 128, typed: bool = False) -> Any:
    """As `functools.lru_cache`, with more room where the package asks for a little."""
    asking = str(sys._getframe(1).f_globals.get("__name__"))
    if asking.startswith("quarterturn.") and isinstance(maxsize, int):
        shown = asking.startswith(("quarterturn.figures", "quarterturn.widgets"))
        maxsize = max(maxsize, PICTURES if shown else NUMBERS)
    return KEPT_IN(maxsize, typed)


def forget() -> None:
    """Empty the package's caches."""
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] == "quarterturn":
            for one in list(vars(module).values()):
                if hasattr(one, "cache_clear"):
                    one.cache_clear()


assert not any(name.startswith("quarterturn.") for name in sys.modules), "the package has its caches already"
functools.lru_cache = roomy
