"""A rule that holds of many things, as one test: all are looked at, and those that break it are named.

A test for each would be named alike, but costs a thousandth of a second before it has looked at anything: a second for
the fields, two for the modules.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    Rule = Callable[..., None]


def holds_of_each(cases: Iterable[Any], name: Callable[[Any], str]) -> Callable[[Rule], Callable[[], None]]:
    """Make a test of one case, or of the parts of one where it is a tuple, into a test of all; `name` names a case."""
    listed = tuple(cases)
    assert listed

    def of_all(rule: Rule) -> Callable[[], None]:
        def test() -> None:
            broken: dict[str, str] = {}
            for case in listed:
                try:
                    rule(*case if isinstance(case, tuple) else (case,))
                except AssertionError as error:
                    broken[name(case)] = str(error)
            assert not broken, "\n".join(f"{case}: {why}" for case, why in broken.items())

        test.__name__, test.__doc__ = rule.__name__, rule.__doc__
        return test

    return of_all
