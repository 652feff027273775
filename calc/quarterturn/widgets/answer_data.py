"""An answer as JSON data, for programs: the same words and numbers as its HTML."""

from __future__ import annotations

from quarterturn.numbers import rounded
from quarterturn.widgets.answer import (
    VERSION,
    Answer,
    Block,
    Drawing,
    Line,
    Offer,
    OfferRow,
    PartVerdict,
    Points,
    Stage,
    Steps,
    Table,
    Tally,
    Value,
    Way,
)


def answer_data(answer: Answer) -> dict[str, object]:
    """The answer as JSON data."""
    blocks = answer.blocks
    return {
        "quarterturn": VERSION,
        "widget": answer.widget,
        "state": answer.state.value,
        "title": answer.title,
        "verdict": answer.verdict,
        "headline": answer.headline,
        "line": answer.line,
        "values": [_value(value) for value in answer.all_values()],
        "tables": [_table(block) for block in blocks if isinstance(block, Table)],
        "figures": [_figure(block) for block in blocks if isinstance(block, Drawing)],
        "steps": [_steps(block) for block in blocks if isinstance(block, Steps)],
        "points": [_points(block) for block in blocks if isinstance(block, Points)],
        "ways": [_way(block) for block in blocks if isinstance(block, Way)],
        "offers": [_offer(one) for block in blocks for one in _offers(block)],
        "lines": [_line(block) for block in blocks if isinstance(block, Line)],
        "verdicts": [_part_verdict(block) for block in blocks if isinstance(block, PartVerdict)],
        "counts": [_count(block) for block in blocks if isinstance(block, Tally)],
    }


def _value(value: Value) -> dict[str, object]:
    return {
        "name": value.name,
        "label": value.label,
        "value": value.text if value.value is None else rounded(value.value),
        "unit": value.unit,
        "uncertainty": None if value.uncertainty is None else rounded(value.uncertainty),
        "status": value.status.value,
        "text": value.text,
        "note": value.note,
    }


def _table(block: Table) -> dict[str, object]:
    rows = [list(row) for row in block.rows]
    return {
        "name": block.name,
        "title": block.title,
        "columns": list(block.columns),
        "rows": rows,
        "note": block.note,
    }


def _figure(block: Drawing) -> dict[str, object]:
    return {
        "name": block.picture.name,
        "title": block.picture.title,
        "description": block.picture.description,
        "caption": block.caption,
        "svg": block.picture.svg,
    }


def _steps(block: Steps) -> dict[str, object]:
    how = [{"text": each.text, "page": each.page, "place": each.anchor} for each in block.how]
    return {"name": block.name, "title": block.title, "intro": block.intro, "steps": list(block.steps), "how": how}


def _points(block: Points) -> dict[str, object]:
    return {"name": block.name, "title": block.title, "kind": block.kind, "points": list(block.points)}


def _way(block: Way) -> dict[str, object]:
    return {"name": block.name, "title": block.title, "stages": [_stage(stage) for stage in block.stages]}


def _offers(block: Block) -> tuple[Offer, ...]:
    if isinstance(block, OfferRow):
        return block.offers
    return (block,) if isinstance(block, Offer) else ()


def _offer(block: Offer) -> dict[str, object]:
    return {"name": block.name, "title": block.title, "text": block.text, "label": block.label}


def _line(block: Line) -> dict[str, object]:
    return {"name": block.name, "text": block.text, "mark": block.mark}


def _part_verdict(block: PartVerdict) -> dict[str, object]:
    return {"name": block.name, "state": block.state.value, "title": block.title, "text": block.text}


def _count(block: Tally) -> dict[str, object]:
    parts = [
        {
            "name": part.name,
            "done": part.done,
            "wanted": part.wanted,
            "missing": [{"text": each.text, "page": each.page, "field": each.field} for each in part.missing],
        }
        for part in block.parts
    ]
    return {"name": block.name, "title": block.title, "parts": parts}


def _stage(stage: Stage) -> dict[str, object]:
    return {
        "text": stage.text,
        "page": stage.page,
        "anchor": stage.anchor,
        "mark": stage.mark,
        "note": stage.note,
    }
