"""Find the safe range: the window of turns of both limb bolts, how sure it is, where they are, what to do next."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.judgement import Judgement, Kind
from quarterturn.bench.locks import is_captive
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Answer, Block, DeferredBlock, Points, Stage, State, Table
from quarterturn.widgets.explanation import sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.safe_range import (
    bolt_values,
    entry_tables,
    pictures,
    remarks,
    steps,
    still_to_do,
    tells,
    verdict,
)
from quarterturn.widgets.safe_range.form import GROUPS, NAME
from quarterturn.widgets.safe_range.ranges import BoltRange, SafeRanges, find_ranges

BEFORE = (Kind.INSPECTION, Kind.FAMILY, Kind.EVENT)
"""While one of these stands no window is worked out."""


def work(values: Values, judgement: Judgement) -> Answer:
    """Find both windows and where the bolts are in them.

    Raises:
        Refusal: where an entry cannot be used or entries contradict one another.
    """
    if any(judgement.of(kind) for kind in BEFORE):
        return Answer(NAME, State.OPEN, "No window is worked out", "Something comes before it.", "")
    found = find_ranges(values, judgement)
    state, title, sentence = verdict.verdict(found)
    badge = "Not finished" if found.example and not found.untouched else ""
    notes = (Points("not-meant", "What this does not say", remarks.not_meant(found)),)
    return Answer(
        *(NAME, state, title, sentence, f"{title}.", tuple(_parts(found)), badge),
        notes=notes,
        headline=verdict.headline(found),
        line=verdict.line(found),
    )


def _parts(found: SafeRanges) -> list[Block | DeferredBlock]:
    bolts = found.bolts
    return [
        verdict.sure(found),
        *([still_to_do.count(found)] if found.example else []),
        *remarks.remarks(found),
        *tells.tells(found),
        *(verdict.bolt_line(bolt, found) for bolt in bolts),
        *(part for bolt in bolts for part in verdict.bolt_verdict(bolt, found)),
        pictures.small(found),
        *(pictures.scale(bolt, found) for bolt in bolts),
        *(bolt_values.bolt_values(bolt, found) for bolt in bolts),
        *([steps.what_to_do(found)] if found.untouched or not found.example else []),
        *(DeferredBlock(f"{bolt.name}-side", partial(pictures.side_view, bolt, found)) for bolt in bolts),
        DeferredBlock("against", partial(_against, found)),
        bolt_values.strip(found),
        *(DeferredBlock(f"{bolt.name}-limits", partial(_limits, bolt, found)) for bolt in bolts),
        *(DeferredBlock(f"{bolt.name}-doubts", partial(_uncertainties, bolt)) for bolt in bolts),
        *entry_tables.assumed(found),
        *entry_tables.entered(found),
        steps.bench_steps(found),
        DeferredBlock("bench-sheet", partial(_bench_sheet, found)),
    ]


# What comes later is imported then.


def _bench_sheet(found: SafeRanges) -> Table:
    from quarterturn.widgets.safe_range import bench_sheet

    return bench_sheet.bench_sheet(found.values)


def _against(found: SafeRanges) -> Table:
    from quarterturn.widgets.safe_range import window_tables

    return window_tables.against_each_other(found)


def _limits(bolt: BoltRange, found: SafeRanges) -> Table:
    from quarterturn.widgets.safe_range import window_tables

    return window_tables.limits(bolt, captive=is_captive(found.values))


def _uncertainties(bolt: BoltRange) -> Table:
    from quarterturn.widgets.safe_range import window_tables

    return window_tables.uncertainties(bolt)


SOURCES_USED = ("common-practice", "gum", "iso-261", "asme-b1.1", "iso-534", "sp-811", "statics")
EACH_BOLT = tuple(
    f"{bolt}-{part}" for bolt in ("upper", "lower") for part in ("scale", "values", "side", "limits", "doubts")
)
WIDGET = Widget(
    name=NAME,
    title="Find the safe range",
    groups=GROUPS,
    work=work,
    facts=frozenset(
        (
            *EACH_BOLT,
            *tells.NAMES,
            "small",
            "sure",
            "remarks",
            "against",
            "strip",
            "assumed",
            "entered",
            "bench",
        )
    ),
    steps=frozenset(("to-do", "bench-sheet")),
    buttons=(("print-bench", "Print one sheet to write on"),),
    blocks=frozenset(("count", "upper-verdict", "lower-verdict")),
    notes=(sources(*SOURCES_USED, title="Where rules and numbers come from", gives="Taken from it"),),
    next=(Stage("Weigh and measure", "bow", "", "read"),),
)
