"""The rack of a club: every bow in a row, judged as on its own pages; cards, tags and a notice; a table as a file."""

from __future__ import annotations

from quarterturn.bench import presets
from quarterturn.bench.judgement import Judgement
from quarterturn.record.values import Values
from quarterturn.widgets.answer import Answer, Group, Points, Refusal, Stage, State
from quarterturn.widgets.frame import Widget

NAME = "rack"
GROUPS = (Group("rack", "The club and its presets", "", ("inspection_months", "kept_as")),)
ASKED = tuple(name for group in GROUPS for name in group.fields)
WHAT_IT_SAYS = (
    "Each bow is judged by what was entered about it, as on its own pages: its gravest matter comes first.",
    "A row says nothing of a bow that was turned, dropped or mended, and never written down.",
    "A row does not test strength, and it is no permission to string a bow.",
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Say what the rack tells of a bow; the rows are made bow by bow (`rows.row_of`).

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    if problems := values.problems_in(ASKED):
        raise Refusal(problems)
    title = "Every bow is judged as on its own pages"
    months = round(values.number("inspection_months"))
    every = "every month" if months == 1 else f"every {months} months"
    told = f"A bow is looked over again {every}."
    if presets.is_preset(values):
        many = len(presets.measures_of(values.record).entries)
        told += f" What is open now is a preset of {many} {'measure' if many == 1 else 'measures'}, and no bow."
    return Answer(
        *(NAME, State.EXPLAIN, title, told, f"{title}."),
        (Points("what-it-says", "What a row says, and what not", WHAT_IT_SAYS),),
        "Rack",
        line=f"Looked over {every}",
    )


WIDGET = Widget(
    name=NAME,
    title="Rack of a club",
    groups=GROUPS,
    work=work,
    explains=True,
    of_any_bolt=True,
    of_no_bow=True,
    next=(Stage("Card, log, bows", "keep", "", "read"),),
    sheet="rack",
)
