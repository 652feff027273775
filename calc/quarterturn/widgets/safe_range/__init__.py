"""Find the safe range: the window of turns of both limb bolts, how sure it is, where they stand, what to do next."""

from __future__ import annotations

from functools import partial

from quarterturn.bench.family import FAMILIES
from quarterturn.bench.inspection import inspect
from quarterturn.record.reading import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import Answer, Block, Later, Points, Widget
from quarterturn.widgets.safe_range import early, numbers_shown, pictures, remarks, steps, tables
from quarterturn.widgets.safe_range.form import GROUPS, NAME
from quarterturn.widgets.safe_range.found import Found, find
from quarterturn.widgets.safe_range.verdict import spoken, verdict


def answer(values: Values) -> Answer:
    """Answer a record.

    Raises:
        Refusal: where an entry cannot be used or entries contradict one another.
    """
    family = FAMILIES[values.choice("bolt_family")]
    gate = inspect(values)
    if (stopped := early.without_readings(values)) is not None:
        return stopped
    return _with_readings(find(values, family, gate))


def _with_readings(found: Found) -> Answer:
    state, title, sentence = verdict(found)
    return Answer(NAME, state, title, sentence, spoken(found, title), tuple(_parts(found)))


def _parts(found: Found) -> list[Block | Later]:
    bolts = found.bolts
    return [
        *remarks.missing(found),
        *remarks.remarks(found),
        *(pictures.scale(bolt, found) for bolt in bolts),
        *(numbers_shown.bolt_values(bolt, found) for bolt in bolts),
        *steps.what_to_do(found),
        *(Later(partial(pictures.side_view, bolt, found)) for bolt in bolts if bolt.window.feel is not None),
        Later(lambda: tables.against_each_other(found)),
        numbers_shown.strip(found),
        *(Later(partial(tables.limits, bolt)) for bolt in bolts),
        *(Later(partial(tables.doubts, bolt)) for bolt in bolts),
        *tables.assumed(found),
        *tables.entered(found),
        steps.bench_steps(found),
        remarks.sources(),
        Points("not-meant", "What this does not say", remarks.not_meant(found)),
        Points("cautions", "Cautions", words.CAUTIONS, "caution"),
    ]


WIDGET = Widget(
    name=NAME,
    title="Find the safe range",
    groups=GROUPS,
    answer=answer,
    sheet="the worksheet",
    kept=("brace_height", "draw_weight", "nocking_point"),
)
