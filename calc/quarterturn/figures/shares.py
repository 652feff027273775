"""Level bars from zero against one limit: one number for several things, such as the share of the yield."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Share:
    """One row: its label, the value against the limit of 1 (None for no answer), and the value in words."""

    label: str
    value: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Shares:
    """Everything that is drawn, in the caller's order.

    `axis_label` says what the bars are, `limit_words` what the line at 1 is.
    """

    rows: tuple[Share, ...]
    axis_label: str
    limit_words: str
