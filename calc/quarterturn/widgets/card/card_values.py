"""What the card says, once more as named values, and what it still waits for."""

from __future__ import annotations

from quarterturn import units
from quarterturn.bench.judgement import Judgement
from quarterturn.bench.positions import BoltPosition, PlaceSource, Positions
from quarterturn.figures.card_sheet import CardSize, Sheet
from quarterturn.figures.qr import QUIET
from quarterturn.record.values import Values
from quarterturn.widgets import card_text, words
from quarterturn.widgets.answer import Points, Stage, Status, Value, ValueList, Way
from quarterturn.widgets.bow_wording import force_unit

NOT_GIVEN = "not entered"


def bolts(judgement: Judgement) -> ValueList:
    """Where both bolts are, and their windows where the card shows them."""
    shown: list[Value] = []
    for bolt in judgement.bolts:
        shown += _bolt(bolt, judgement)
    return ValueList("bolts", "The bolts, from their zeros", tuple(shown))


def _bolt(bolt: BoltPosition, judgement: Judgement) -> list[Value]:
    title = f"{bolt.name.capitalize()} bolt"
    status = _status(judgement.positions)
    note = "newest in the log" if bolt.source is PlaceSource.LOG else ""
    shown = [
        Value(
            *(f"{bolt.name}_at", title, bolt.at, "turn" if bolt.at is not None else ""),
            *(card_text.place(bolt) or NOT_GIVEN, status if bolt.at is not None else Status.ASSUMED),
            note=note,
        )
    ]
    if card_text.is_complete(judgement) and bolt.window is not None:
        for limit, text in (
            (bolt.window.inner, words.turns_up(bolt.window.inner.usable)),
            (bolt.window.outer, words.turns_down(bolt.window.outer.usable)),
        ):
            end = limit.end.value
            label = f"{title}, {end} end"
            shown.append(Value(f"{bolt.name}_{end}", label, limit.usable, "turn", text, note=words.limit(limit)))
    return shown


def _status(found: Positions) -> Status:
    return Status.EXAMPLE if found.example else Status.ENTERED


_NAMES = {
    "Draw weight": "weight",
    "Tiller": "tiller",
    "Brace height": "brace_height",
    "String": "string",
    "Upper head": "upper_head",
    "Lower head": "lower_head",
    "Zero, felt": "flush_felt",
    "Shims": "shims",
    "Looked over": "looked_over",
}


def facts(values: Values, judgement: Judgement) -> ValueList:
    """What was measured with the bolts so."""
    shown, found = [], judgement.positions
    for label, text in card_text.facts(values, judgement):
        name = _NAMES[label]
        number, unit = _number(name, values, found)
        status = _status(found) if text else Status.ASSUMED
        shown.append(Value(name, label, number, unit, text or NOT_GIVEN, status))
    return ValueList("facts", "Measured at this setting", tuple(shown))


def _number(name: str, values: Values, found: Positions) -> tuple[float | None, str]:
    """What is one number is given as one."""
    measured, unit = found.measured, values.choice("length_unit")
    if name == "weight" and measured.weight is not None:
        return units.from_si(measured.weight, force_unit(values)), force_unit(values)
    if name == "brace_height" and measured.brace_height is not None:
        return units.from_si(measured.brace_height, unit), unit
    if name == "tiller" and measured.upper_tiller is not None and measured.lower_tiller is not None:
        return units.from_si(measured.upper_tiller - measured.lower_tiller, unit), unit
    return None, ""


def code(sheet: Sheet, size: CardSize) -> ValueList | None:
    """How large the code's squares are; None where there is no code."""
    if sheet.code is None:
        return None
    side = size.code / (sheet.code.modules + 2 * QUIET)
    text = card_text.squares(sheet.code.modules, side)
    return ValueList("code", "The code", (Value("code_squares", "On paper", None, "", text),))


def remarks(values: Values, found: Positions, said: str) -> tuple[Points, ...]:
    """What must be known before the card is used."""
    told = [problem.sentence for problem in values.unfinished("log")]
    if found.moved:
        told.insert(0, "The bolts' places come from the log: they were turned since you first counted.")
    if said:
        told.append(said)
    return (Points("remarks", "Look at this first", tuple(told), "caution"),) if told else ()


def waits(values: Values, judgement: Judgement) -> tuple[Way, ...]:
    """The pages on which what the card still waits for is entered."""
    stages = []
    if not card_text.is_complete(judgement):
        stages.append(Stage("Find the safe range", "safe-range", "bench", "open", "both ranges"))
    measured, example = judgement.positions.measured, judgement.positions.example
    lacking = [
        label
        for label, value in (
            ("draw weight", measured.weight),
            ("tiller", measured.tiller),
            ("brace height", measured.brace_height),
        )
        if value is None or example
    ]
    if lacking:
        logged = bool(values.rows("log"))
        page, text = ("keep", "Log what you measured") if logged else ("bow", "Weigh and measure")
        stages.append(Stage(text, page, "log" if logged else "", "open", words.listed(lacking)))
    if not (values.entered("string_length") and values.entered("string_twists")):
        stages.append(Stage("The string", "after", "string", "open", "its length and its twists"))
    return (Way("waits", "Still missing on the card", tuple(stages)),) if stages else ()
