"""What the rows of a dated list come to: how a thing stands now, told by the row that each column is taken from.

What was set holds until it is set again. A reading holds from the day on which something was last set: one from before
then tells of another setting.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence


def newest(rows: Sequence[Collection[str]], setting_columns: Collection[str], date: str) -> dict[str, int]:
    """For each column the place of the row that has the newest of it; empty where there are no rows.

    Args:
        rows: the columns that are not empty, of rows in the order of their days; each has a date.
        setting_columns: the columns of what is set.
        date: the column of the date: that of the row in which something was last set, or else of the newest.
    """
    if not rows:
        return {}
    set_in = max((at for at, row in enumerate(rows) if any(name in row for name in setting_columns)), default=None)
    found = {
        name: at
        for at, row in enumerate(rows)
        for name in row
        if name in setting_columns or set_in is None or at >= set_in
    }
    found[date] = len(rows) - 1 if set_in is None else set_in
    return found
