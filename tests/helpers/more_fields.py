"""Fields of a test's own, beside those that are declared."""

from __future__ import annotations

import pytest

from quarterturn.record import entries, schema, values
from quarterturn.record.field_types import AnyField
from quarterturn.record.fields import BY_NAME, BY_NUMBER, FIELDS


def declare(monkeypatch: pytest.MonkeyPatch, *more: AnyField) -> None:
    """Have these fields declared too, for as long as the test runs."""
    for field in more:
        monkeypatch.setitem(BY_NAME, field.name, field)
        monkeypatch.setitem(BY_NUMBER, field.number, field)
    for module in (entries, schema, values):
        monkeypatch.setattr(module, "FIELDS", (*FIELDS, *more))
