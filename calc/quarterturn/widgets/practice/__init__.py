"""The practice bench: a made-up bolt in a closed pocket. Find both ends of its range by feel, then see the truth.

Nothing on it is of the reader's bow, and nothing of the reader's bow changes it.
"""

from __future__ import annotations

from quarterturn.bench.judgement import Judgement
from quarterturn.bench.practice import Hand
from quarterturn.figures.closed_pocket import ClosedScene, TurnDrag, closed_pocket, opened_pocket, small_dial
from quarterturn.figures.side_view import side_view
from quarterturn.figures.small_side_view import small_side_view
from quarterturn.figures.svg import Picture
from quarterturn.mechanics import contact as contacts
from quarterturn.numbers import plain
from quarterturn.record.entries import Entry
from quarterturn.record.values import Values
from quarterturn.widgets import words
from quarterturn.widgets.answer import (
    Answer,
    Block,
    DeferredBlock,
    Drawing,
    Line,
    Offer,
    OfferRow,
    Slider,
    Stage,
    State,
)
from quarterturn.widgets.explanation import assumptions, sources
from quarterturn.widgets.frame import Widget
from quarterturn.widgets.practice import truth, wording
from quarterturn.widgets.practice.form import ASKED, GROUPS, NAME, OF_THIS_BOLT, SHOWN
from quarterturn.widgets.practice.inputs import PracticeInputs, keeps, practice_inputs, reading_entries, turned_entry

EIGHTH, WHOLE = 0.125, 1.0
ENDS = (-8.0, 8.0)
"""Of the slider, turns from where the bolt was found."""
ASSUMED = (
    "Head, butt and strip are rigid, and the limb is eased by a hand, as in How the pocket works.",
    "Not eased, the limb lies still in its pocket. The head lags by all the play after each turn out.",
    "Every bolt here is made up from its number. None is a real bow's.",
)


def work(values: Values, judgement: Judgement) -> Answer:
    """Show the bench.

    Raises:
        Refusal: where an entry of this form cannot be used.
    """
    shown = practice_inputs(values)
    felt, ahead = _felt(shown), wording.next_thing(shown)
    title = truth.title(shown) if shown.open else f"Made-up bolt {shown.number}: {_stage(shown)}"
    verdict = truth.sentence(shown) if shown.open else f"{felt} {ahead}"
    return Answer(
        *(NAME, State.EXPLAIN, title, verdict, title if shown.open else felt, tuple(_parts(shown, judgement))),
        "Made up",
        keeps=keeps(shown),
        headline=_headline(shown, title),
        line=title if shown.open else felt.rstrip("."),
    )


def _felt(shown: PracticeInputs) -> str:
    """What is seen or felt now."""
    return wording.feel(shown, contacts.contact(shown.bolt.pocket, shown.felt.head).state)


def _headline(shown: PracticeInputs, title: str) -> str:
    """How far it has come, or what came of it; none before a bolt is chosen or turned."""
    return f"{title}." if any(shown.values.entered(name) for name in ASKED) else ""


def _stage(shown: PracticeInputs) -> str:
    """How far it has come, in a few words."""
    if shown.zero is None:
        return "find zero"
    if shown.touch_turns is None or shown.now_turns is None:
        return "count"
    return "your answer" if not shown.chosen else "see the truth"


def _parts(shown: PracticeInputs, judgement: Judgement) -> list[Block | DeferredBlock]:
    parts: list[Block | DeferredBlock] = [
        _bench(shown),
        _small(shown),
        _keys(shown),
        Line("feel", _felt(shown)),
        Line("count", _count(shown)),
        Line("then", wording.next_thing(shown)),
        _readings(shown),
    ]
    if shown.chosen and not shown.open:
        parts.append(_show())
    if shown.open:
        parts += [
            Line("outcome", truth.sentence(shown)),
            _inside(shown),
            truth.scale(shown),
            truth.losses(shown),
            truth.lessons(shown),
        ]
    parts += _of_a_task(shown, judgement)
    if shown.begun and shown.task is None:
        parts.append(_another(shown))
    return parts


def _of_a_task(shown: PracticeInputs, judgement: Judgement) -> list[Block | DeferredBlock]:
    """What there is to say of a task; imported only where there is one."""
    if not any(map(shown.values.entered, ("practice_task", "practice_code"))):
        return [Line("task", ""), Line("tell-code", "")]
    from quarterturn.widgets.practice import task

    return task.parts(shown, judgement)


def _count(shown: PracticeInputs) -> str:
    """The count that the bench keeps at the easy levels."""
    if not shown.counted_for:
        return "Count for yourself. The mark on the head shows the part of a turn."
    place = f"{wording.counted(shown.felt.turned)} from where you found it"
    if (from_zero := shown.turns_from_zero(shown.felt.turned)) is None:
        return f"Your count: {place}."
    return f"Your count: {wording.counted(from_zero)} from zero; {place}."


# What can be pressed


def _keys(shown: PracticeInputs) -> OfferRow:
    """The key: an eighth and a whole turn, either way."""
    at, bolt = shown.felt.turned, shown.bolt

    def by(name: str, label: str, turns: float) -> Offer:
        key = min(max(bolt.found + at + turns, bolt.lowest), bolt.highest) - bolt.found
        text = f"Turn the bolt {label}."
        return Offer(name, "", text, label, (("practice_turned", turned_entry(key)),))

    offers = (
        by("key-in-whole", "1 in", -WHOLE),
        by("key-in", "⅛ in", -EIGHTH),
        by("key-out", "⅛ out", EIGHTH),
        by("key-out-whole", "1 out", WHOLE),
    )
    return OfferRow("key", "Turn the key", offers)


def _readings(shown: PracticeInputs) -> OfferRow:
    """Calling where the bolt is now a reading."""
    zero, touch = reading_entries("zero", shown), reading_entries("touch", shown)
    return OfferRow(
        "call",
        "Found it?",
        (
            Offer("call-zero", "", "Zero is where the bolt is now.", _called("zero", shown.zero), zero),
            Offer(
                "call-touch", "", "First touch is where the bolt is now.", _called("first touch", shown.touch), touch
            ),
        ),
    )


def _called(name: str, made: Hand | None) -> str:
    return f"This is {name}" if made is None else f"{words.capital(name)} is here instead"


def _show() -> Offer:
    return Offer(
        "show",
        "Ready?",
        "It opens the pocket. Then this bolt keeps no secret.",
        "See the truth",
        ((SHOWN, Entry("yes")),),
        then="outcome",
    )


def _another(shown: PracticeInputs) -> Offer:
    following = shown.number % 99_999 + 1
    return Offer(
        "another",
        "Another bolt",
        f"It takes made-up bolt {following} and clears what you did with this one.",
        "Take the next bolt",
        (*((name, None) for name in OF_THIS_BOLT), ("practice_bolt", Entry(plain(float(following), 0), "count"))),
        then="then",
    )


# Pictures


def _hands(shown: PracticeInputs) -> tuple[Slider, ...]:
    low, high = ENDS
    at = min(max(shown.felt.turned, low), high)
    return (Slider("practice_turned", "Turn the bolt", low, high, EIGHTH, at, wording.counted(shown.felt.turned)),)


def _bench(shown: PracticeInputs) -> Drawing:
    if shown.in_sight or shown.open:
        picture = opened_pocket(
            shown.bolt.pocket,
            shown.felt.head,
            prefix=f"{NAME}-bench",
            title="The made-up pocket, open",
            name="bench",
            drag=TurnDrag("practice_turned", *ENDS, shown.bolt.pocket.pitch),
            found=shown.bolt.found,
        )
        return Drawing(picture, hands=_hands(shown))
    return Drawing(_closed(shown), hands=_hands(shown))


def _closed(shown: PracticeInputs) -> Picture:
    hand, pocket = shown.hand, shown.bolt.pocket
    scene = ClosedScene(
        turned=shown.felt.turned,
        height=pocket.pitch * (shown.bolt.found + shown.felt.turned),
        radius=pocket.head_radius,
        offered=hand.offered,
        reach=shown.felt.reach,
        lines=(
            "The head from above",
            "The strip is at the rim" if hand.offered == "rim" else "The strip is at the butt end",
            {"both": "over both prongs", "near": "over the near prong", "far": "over the far prong"}[hand.prong],
            "The tip is eased" if hand.eased else "The tip is let go",
        ),
        felt="A hard stop" if shown.felt.at_stop else wording.strip_does(shown),
    )
    drag = TurnDrag("practice_turned", *ENDS, pocket.pitch)
    return closed_pocket(scene, prefix=f"{NAME}-bench", title="The made-up pocket, closed", name="bench", drag=drag)


def _small(shown: PracticeInputs) -> Drawing:
    if shown.in_sight or shown.open:
        picture = small_side_view(
            shown.bolt.pocket,
            shown.felt.head,
            None,
            prefix=f"{NAME}-small",
            strip_side=None,
            title="The made-up pocket",
            name="small",
        )
        return Drawing(picture, small=True)
    return Drawing(
        small_dial(shown.felt.turned, prefix=f"{NAME}-small", title="The head from above", name="small"), small=True
    )


def _inside(shown: PracticeInputs) -> Drawing:
    name, title = "inside", "The pocket, as it was found"
    picture = side_view(
        shown.bolt.pocket, shown.bolt.found, None, prefix=f"{NAME}-{name}", title=title, name=name, enlarged=False
    )
    return Drawing(picture, "The pocket as you found it, open.")


RESULTS = ("code", "outcome", "inside", "truth-scale", "losses", "lessons", "show", "another")
BLOCKS = (*RESULTS, "answer-key", "lesson-key", "task-code", "task-address", "task-lessons", "task-bow")
WIDGET = Widget(
    name=NAME,
    title="Practice bench",
    groups=GROUPS,
    work=work,
    facts=frozenset(("bench", "small", "key", "feel", "count", "then", "call", "task", "tell-code", *BLOCKS)),
    blocks=frozenset(BLOCKS),
    explains=True,
    of_no_bow=True,
    notes=(assumptions(*ASSUMED), sources("statics", "common-practice")),
    next=(Stage("Find the safe range", "safe-range", "", "read"),),
    sheet="the practice",
)
