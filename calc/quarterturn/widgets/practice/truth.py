"""What is shown once the reader has answered: the truth, and of what each reading's error is made."""

from __future__ import annotations

from quarterturn.bench import practice
from quarterturn.bench.practice import ChosenEnd, Hand, Loss, ReadingLoss
from quarterturn.figures.turn_scale import EndMarks, ScaleMark, ScaleMarks, turn_scale
from quarterturn.numbers import at_most, fixed, same
from quarterturn.widgets import words
from quarterturn.widgets.answer import Drawing, Points, Table
from quarterturn.widgets.practice.form import NAME
from quarterturn.widgets.practice.inputs import PracticeInputs
from quarterturn.widgets.practice.wording import eighths

CAUSES = {
    "paper": "the strip's thickness",
    "prong": "one prong only",
    "tip": "the tip not eased",
    "play": "play of the thread",
    "turning": "where you stopped turning",
}
STANDS = {"inside": "inside its range", "inner": "past flush", "outer": "past first touch"}


def turns(value: float) -> str:
    """Turns to a hundredth, with their side: "0.42 out", "0.03 in", "0"."""
    text = fixed(abs(value), 2)
    return "0" if text == "0.00" else f"{text} {'out' if value > 0 else 'in'}"


def title(shown: PracticeInputs) -> str:
    """The outcome in a few words."""
    if shown.stands and shown.stands != shown.bolt.stands:
        return f"Bolt {shown.number}: you say {STANDS[shown.stands]}, it was {STANDS[shown.bolt.stands]}"
    ends = chosen(shown)
    if shown.bolt.stands != "inside":
        return f"Bolt {shown.number}: right, it was {STANDS[shown.bolt.stands]}"
    if ends is None:
        return f"Bolt {shown.number}: the truth"
    if any(end.past for end in ends):
        return f"Bolt {shown.number}: your range goes past an end"
    if not all(end.enough for end in ends):
        return f"Bolt {shown.number}: your range comes too near an end"
    return f"Bolt {shown.number}: your range lies well inside both ends"


def sentence(shown: PracticeInputs) -> str:
    """What the range, or the answer, comes to."""
    if shown.bolt.stands != "inside":
        return (
            f"It was found {fixed(_beyond(shown), 2)} turn past {_end(shown.bolt.stands)}. On a real bow: leave the "
            "string off. Find the safe range says what comes next; in doubt a bow technician looks at it first."
        )
    ends = chosen(shown)
    if ends is None:
        return "You have not said from where to where you would use it."
    parts = [_end_sentence("begins", ends[0], "flush" if shown.bolt.stop is None else "the stop")]
    parts.append(_end_sentence("ends", ends[1], "first touch"))
    return " ".join(parts)


def _beyond(shown: PracticeInputs) -> float:
    bolt = shown.bolt
    return bolt.inner - bolt.found if bolt.stands == "inner" else bolt.found - bolt.touch


def _end(stands: str) -> str:
    return "flush" if stands == "inner" else "first touch"


def _end_sentence(verb: str, end: ChosenEnd, what: str) -> str:
    if end.past:
        there = "only the rim bears, and the bolt can break" if verb == "begins" else "the head does not reach the limb"
        return f"Your range {verb} {fixed(-end.inside, 2)} turn past {what}: there {there}."
    kept = "" if end.enough else ", less than the quarter turn that you keep"
    side = "out from" if verb == "begins" else "short of"
    return f"Your range {verb} {fixed(end.inside, 2)} turn {side} {what}{kept}."


def chosen(shown: PracticeInputs) -> tuple[ChosenEnd, ChosenEnd] | None:
    """The chosen range against the truth; None while there is none, or no zero to count from."""
    if shown.zero is None or shown.inner is None or shown.outer is None:
        return None
    return practice.chosen_ends(shown.bolt, shown.zero, shown.inner, shown.outer)


# Of what an error is made


def losses(shown: PracticeInputs) -> Table:
    """Every part of every error, in turns."""
    rows: list[tuple[str, ...]] = []
    for name, hand, take in (
        ("zero", shown.zero, practice.zero_loss),
        ("first touch", shown.touch, practice.touch_loss),
    ):
        if hand is not None:
            rows += _rows(name, take(shown.bolt, hand), shown)
    rows += _miscounts(shown)
    return Table(
        "losses",
        "What your readings lost",
        ("of what", "turns", "why"),
        tuple(rows),
        "“Out” is away from flush. Zero a little out is the careful side; first touch a little out is not.",
    )


def _rows(name: str, loss: ReadingLoss, shown: PracticeInputs) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [(f"{name}, in all", turns(loss.at - loss.truth), _whole(name, loss, shown))]
    if loss.guessed:
        return [*rows, ("a guess", turns(loss.at - loss.truth), _guess(name))]
    apart = [one for one in loss.losses if not same(one.turns, 0.0)]
    return [*rows, *((CAUSES[one.cause], turns(one.turns), _why(one, name, shown)) for one in apart)]


def _whole(name: str, loss: ReadingLoss, shown: PracticeInputs) -> str:
    if name == "zero" and not same(loss.truth, 0.0):
        return f"Your zero is the stop; flush lies {fixed(loss.truth, 2)} turn farther in."
    if name == "zero":
        return "From true flush to your zero."
    return "From true first touch to yours."


def _guess(name: str) -> str:
    if name == "zero":
        return "Held like that, the strip stops nowhere near flush: take a thinner one that both prongs can stop."
    return "Held like that, the strip tells nothing of first touch: offer it at the butt end, over both prongs."


def _why(loss: Loss, name: str, shown: PracticeInputs) -> str:
    if loss.cause == "paper":
        hand = (shown.zero if name == "zero" else shown.touch) or Hand()
        sheet = words.length(shown.bolt.thickness(hand.strip), "mm", 3)
        return f"Your sheet was {sheet} thick, and a strip cannot tell a thinner gap from none."
    if loss.cause == "prong":
        return "The other prong had less room. The first that stops the strip counts."
    if loss.cause == "tip":
        return "The limb lay in its pocket, off the head. Ease the tip for every reading."
    if loss.cause == "play":
        return "You came by turning out, and the head lagged behind the key. Come to each reading by turning in."
    return _where_stopped(loss.turns, shown)


def _where_stopped(by: float, shown: PracticeInputs) -> str:
    if shown.in_sight:
        return "The nearest eighth, or how well you looked."
    if at_most(-practice.EIGHTH, by) and at_most(by, 0.0):
        return "The step of an eighth: it stopped somewhere within the last one."
    if by > 0:
        return "There the strip still went in. Go on until it stops."
    return "It had stopped more than an eighth before. Take the first eighth where it stops."


def _miscounts(shown: PracticeInputs) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for name, typed, turned in (
        ("your mark", shown.now_turns, 0.0),
        ("first touch", shown.touch_turns, None if shown.touch is None else shown.touch.turned),
    ):
        true = None if turned is None else shown.turns_from_zero(turned)
        if typed is None or true is None or abs(typed - true) <= practice.EIGHTH / 2:
            continue
        rows.append(
            (
                f"{name}: the count",
                turns(typed - true),
                f"You entered {_signed(typed)}; the key had gone {_signed(true)}.",
            )
        )
    return rows


def _signed(value: float) -> str:
    return f"{eighths(value)} {'in' if value < 0 else 'out'}"


def lessons(shown: PracticeInputs) -> Points:
    """What else there is to learn of this try."""
    points = []
    deepest = shown.bolt.found + shown.deepest
    if shown.bolt.stop is None and deepest < min(0.0, shown.bolt.found) - practice.EIGHTH:
        points.append(
            f"At the deepest you were {fixed(-deepest, 2)} turn past flush. There the rim presses into the limb: "
            "come in by eighths, and stop when the strip does."
        )
    if (window := _worksheet(shown)) is not None:
        points.append(f"For your counts, Find the safe range would say: {window}.")
    points.append("The real bow differs: your hands, its paper, and the limb that bends when it is drawn.")
    return Points("lessons", "What else it shows", tuple(points))


def _worksheet(shown: PracticeInputs) -> str | None:
    if shown.touch_turns is None or shown.now_turns is None or shown.zero is None:
        return None
    window = practice.window_from(shown.bolt, shown.touch_turns, shown.now_turns)
    if window is None or window.vanished:
        return "no turn can be used"
    return f"use {words.safe_range(window)}"


# Pictures


def scale(shown: PracticeInputs) -> Drawing:
    """The true ends on the scale of the reader's own count, with their readings."""
    bolt = shown.bolt
    zero = bolt.found if shown.zero is None else practice.key_of(bolt, shown.zero.turned)
    inner, outer = bolt.inner - zero, bolt.touch - zero
    places = [ScaleMark("flush", "flush" if bolt.stop is None else "stop", inner), ScaleMark("touch", "touch", outer)]
    if shown.zero is not None:
        places.append(ScaleMark("zero", "your zero", 0.0))
    if shown.touch_turns is not None:
        places.append(ScaleMark("yours", "your touch", shown.touch_turns))
    if shown.inner is not None and shown.outer is not None:
        places += [ScaleMark("from", "yours from", shown.inner), ScaleMark("to", "yours to", shown.outer)]
    marks = ScaleMarks(
        inner=EndMarks(inner, inner + practice.MARGIN),
        outer=EndMarks(outer, outer - practice.MARGIN),
        usable=f"true: {fixed(inner + practice.MARGIN, 2)} to {fixed(outer - practice.MARGIN, 2)}",
        places=tuple(places),
        now=ScaleMark("now", "found here", bolt.found - zero),
    )
    name = "truth-scale"
    picture = turn_scale(marks, prefix=f"{NAME}-{name}", title="The truth, counted from your zero", name=name, key=True)
    return Drawing(picture)
