"""The same drawn examples, whichever tests are chosen.

Hypothesis draws some of its values from the constants of the project's own modules, of those that happen to be loaded:
with another selection of tests other modules are loaded, and other examples drawn. Here they are always those of the
whole package and of nothing else, so that an example depends on the test's own text and on the package.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import walk_packages

from hypothesis.internal.conjecture import providers
from hypothesis.internal.constants_ast import constants_from_module

import quarterturn

COMMAND_LINE = "quarterturn.__main__"


def draw_from_the_whole_package() -> None:
    """Settle for this process which constants are drawn; to be called before the first test."""
    constants = providers._local_constants  # empty as yet, but sorted
    assert len(constants) == 0, "examples were drawn before"
    for each in walk_packages(quarterturn.__path__, "quarterturn."):
        if each.name != COMMAND_LINE:
            constants |= constants_from_module(import_module(each.name))
    providers._get_local_constants = lambda: constants
