"""A bow's row in the rack: what is known of it, where its bolts are, when it was looked over and when it is again."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from quarterturn import days
from quarterturn.bench import presets
from quarterturn.bench.events import WITHDRAWN
from quarterturn.bench.inspection import Due, InspectionOutcome
from quarterturn.bench.judgement import Judgement, Kind, Level, judge
from quarterturn.bench.positions import BoltPosition
from quarterturn.record.values import Values
from quarterturn.widgets import card_text, judgement_wording
from quarterturn.widgets.answer import State
from quarterturn.widgets.card_sheet import tells_numbers

RANK = {State.STOP: 0, State.ASK: 1, State.OPEN: 2, State.EXPLAIN: 3, State.GO: 4}
"""In which order bows come when the gravest is first."""
NOW = "now"


@dataclass(frozen=True, slots=True)
class BoltCell:
    """What a row says of a bolt: its safe range and its place, each "" where it is not told."""

    window: str
    place: str


@dataclass(frozen=True, slots=True)
class Row:
    """A bow's row.

    Attributes:
        state: the name of its state.
        known: the gravest matter, or what else is known, in a line.
        more: the other matters, a line each.
        about: riser and limbs, as the club calls them.
        upper, lower: the bolts.
        inspected: when and by whom; "" where neither is known.
        due: the day by which it is looked over again, as ISO 8601 writes it; `NOW`; "" where that is not known.
        rank: for sorting, the gravest lowest.
        groups: the selections that it belongs to: "stop", "open", "ready", "due", "withdrawn", or "preset" alone.
    """

    state: str
    known: str
    more: tuple[str, ...]
    about: str
    upper: BoltCell
    lower: BoltCell
    inspected: str
    due: str
    rank: int
    groups: tuple[str, ...]

    def as_data(self) -> dict[str, object]:
        """The row as JSON data."""
        return asdict(self)


def row_of(values: Values) -> Row:
    """Make the row of a bow; it refuses nothing, as the judgement does not."""
    judgement = judge(values)
    # What speaks against a bow is told, whatever its entries are said to be of.
    if presets.is_preset(values) and (judgement.level is None or judgement.level is Level.OPEN):
        return _preset(values)
    state, known = _known(judgement)
    due = due_by(judgement)
    upper, lower = (_bolt(bolt, judgement) for bolt in judgement.bolts)
    return Row(
        state=state.value,
        known=known,
        more=tuple(judgement_wording.title_of(cause, judgement) for cause in judgement.causes[1:]),
        about=about_of(values),
        upper=upper,
        lower=lower,
        inspected=judgement_wording.looked_over(judgement),
        due=due,
        rank=RANK[state],
        groups=tuple(_groups(judgement, state, due)),
    )


def _preset(values: Values) -> Row:
    """Of a preset nothing is told but its measures: there is no bow."""
    many = len(presets.measures_of(values.record).entries)
    known = f"A preset of {many} {'measure' if many == 1 else 'measures'}"
    none = BoltCell("", "")
    return Row(State.EXPLAIN.value, known, (), about_of(values), none, none, "", "", RANK[State.EXPLAIN], ("preset",))


def about_of(values: Values) -> str:
    """Riser and limbs, as the club calls them; "" where neither has a name."""
    return " · ".join(name for field in ("riser_name", "limbs_name") if (name := values.choice(field)))


def _known(judgement: Judgement) -> tuple[State, str]:
    """State and line: the gravest matter, else how far the bow has come."""
    worst = judgement.worst
    if worst is not None:
        return judgement_wording.STATES[worst.level], judgement_wording.title_of(worst, judgement)
    if not judgement.is_turned:
        return State.EXPLAIN, judgement.family.alone
    missing = judgement.missing
    if missing or not judgement.complete or judgement.positions.example:
        first = f": {card_text.in_order(missing, 1)}" if missing else ""
        return State.OPEN, f"Not complete{first}"
    return State.GO, "Both ranges found, nothing open"


def due_by(judgement: Judgement) -> str:
    """The day by which a bow is looked over again; `NOW` where it is due, or was never; "" where no day is known.

    A colleague's inspection has its day too; that the reader has to look as well is said with what is known.
    """
    if judgement.due not in (None, Due.OTHER) or judgement.inspection.outcome is not InspectionOutcome.GO:
        return NOW
    day = judgement.inspection.day
    if day is None:
        return ""
    return days.isoformat(days.months_later(day, round(judgement.values.number("inspection_months"))))


def _bolt(bolt: BoltPosition, judgement: Judgement) -> BoltCell:
    """No range is told of a bow under a stop or a doubt, nor one that other limbs or a bad entry have made old."""
    if not tells_numbers(judgement) or judgement.positions.example:
        return BoltCell("", "")
    shown = judgement.predicts and bolt.known and bolt.window is not None and not bolt.window.vanished
    return BoltCell(f"{card_text.window(bolt)} turns" if shown else "", card_text.place(bolt))


def _groups(judgement: Judgement, state: State, due: str) -> list[str]:
    today = judgement.values.today
    happened = judgement.of(Kind.EVENT)
    late = due == NOW or (bool(due) and today is not None and days.parse(due) <= today)
    groups = []
    if state in (State.STOP, State.ASK):
        groups.append("stop")
    if state is State.OPEN and judgement.due is not Due.AGE:
        groups.append("open")
    if state is State.GO:
        groups.append("ready")
    if late:
        groups.append("due")
    if happened is not None and any(event.happened == WITHDRAWN for event in happened.events):
        groups.append("withdrawn")
    return groups
