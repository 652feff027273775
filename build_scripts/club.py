"""What a club says of itself in one small file, for a site of its own; every problem of the file is found at once.

The file is TOML; `club.example.toml` has every key with what it means. Whoever builds the site for a club names its
file in the environment (`VARIABLE`); the hooks of the build ask for `current()`. Needs the standard library only.
"""

from __future__ import annotations

import os
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import club_colours

VARIABLE = "QUARTER_TURN_CLUB"
"""Holds the path of the club's file while the site is built for it."""
LONGEST = {"name": 60, "contact": 120}
MOST_RULES, LONGEST_RULE = 8, 200
SYSTEMS = ("metric", "imperial")
KEYS = ("name", "contact", "rules", "units", "address", "colours")
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
_HOST = re.compile(r"(?:[\w-]+\.)*[\w-]+(?::\d{1,5})?", re.ASCII)
_PATH = re.compile(r"(?:/[\w.~-]+)*/?", re.ASCII)


@dataclass(frozen=True, slots=True)
class Club:
    """Whose site it is. All is text, never markup; "" and () where nothing was said.

    Attributes:
        name: what the site is called.
        contact: whom to ask at the club, and how.
        rules: its own range rules, a sentence each.
        units: what boxes begin with, "metric" or "imperial".
        address: where the site will lie, with a slash at its end.
        primary, accent: colours, as "#1f3a47".
    """

    name: str = ""
    contact: str = ""
    rules: tuple[str, ...] = ()
    units: str = ""
    address: str = ""
    primary: str = ""
    accent: str = ""


class ClubFileError(ValueError):
    """The file of a club cannot be used; `problems` has a sentence for everything that is wrong."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


@cache
def current() -> Club:
    """The club that the site is built for; one that says nothing of itself where it is built for none.

    Raises:
        ClubFileError: if the file that is named in the environment cannot be used.
    """
    file = os.environ.get(VARIABLE, "")
    return read(Path(file)) if file else Club()


def read(file: Path) -> Club:
    """Read a club's file.

    Raises:
        ClubFileError: if it cannot be read, or anything in it cannot be used.
    """
    try:
        data = tomllib.loads(file.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise ClubFileError([f"{file} cannot be read: {error.strerror}."]) from None
    except UnicodeDecodeError:
        raise ClubFileError([f"{file} is no text: it must be saved as UTF-8."]) from None
    except tomllib.TOMLDecodeError as error:
        raise ClubFileError([f"{file} is not written as TOML: {error}. Text stands in straight quotes."]) from None
    return _club(data)


def _club(data: dict[str, Any]) -> Club:
    reader = _Reader(data)
    reader.look_for_unknown(data, KEYS, "")
    if "name" not in data:
        reader.problems.append('name: the club\'s name is missing; write for example name = "Our club".')
    found = Club(
        name=reader.text("name"),
        contact=reader.text("contact"),
        rules=reader.rules(),
        units=reader.units(),
        address=reader.address(),
        **reader.colours(),
    )
    if reader.problems:
        raise ClubFileError(reader.problems)
    return found


class _Reader:
    """Takes one key after the other, and notes what is wrong with each."""

    def __init__(self, data: dict[str, Any]) -> None:
        self.data = data
        self.problems: list[str] = []

    def look_for_unknown(self, data: dict[str, Any], known: tuple[str, ...], where: str) -> None:
        """Note the keys that nothing is done with."""
        for key in data:
            if key not in known:
                self.problems.append(f"{where}{key}: there is no such key; the keys are {', '.join(known)}.")

    def text(self, key: str) -> str:
        """A line of text."""
        return self._line(self.data[key], key, LONGEST[key]) if key in self.data else ""

    def _line(self, value: object, called: str, longest: int) -> str:
        if not isinstance(value, str):
            self.problems.append(f"{called} must be text in quotes, not {_kind(value)}.")
            return ""
        text = value.strip()
        if not text:
            self.problems.append(f"{called} is empty; write it, or leave the key out.")
        elif not text.isprintable():
            self.problems.append(f"{called} must be one line of plain text, without line breaks and hidden signs.")
        elif len(text) > longest:
            self.problems.append(f"{called} may have {longest} characters, and has {len(text)}.")
        return text

    def rules(self) -> tuple[str, ...]:
        """The club's range rules."""
        rules = self.data.get("rules", [])
        if not isinstance(rules, list):
            self.problems.append(f'rules must be a list, as in rules = ["One sentence."], not {_kind(rules)}.')
            return ()
        if len(rules) > MOST_RULES:
            self.problems.append(f"rules may be {MOST_RULES} at most, and there are {len(rules)}.")
        return tuple(self._line(rule, f"rules, number {place}:", LONGEST_RULE) for place, rule in enumerate(rules, 1))

    def units(self) -> str:
        """The units that boxes begin with."""
        units = self.data.get("units", "")
        if "units" in self.data and units not in SYSTEMS:
            self.problems.append(f'units must be "metric" or "imperial", or be left out: {_shown(units)}.')
            return ""
        return str(units)

    def address(self) -> str:
        """The public address, with a slash at its end."""
        if "address" not in self.data:
            return ""
        address = self.data["address"]
        parts = _split(address.strip()) if isinstance(address, str) else None
        if parts is None:
            self.problems.append(
                "address must be where the first page will lie, as in https://club.example/bows/, of plain letters and "
                f"without ? and #: {_shown(address)}."
            )
            return ""
        return f"{parts}/"

    def colours(self) -> dict[str, str]:
        """The colours, by name; each can be read on what it stands on."""
        given = self.data.get("colours", {})
        if not isinstance(given, dict):
            self.problems.append(f"colours must be a table with primary and accent, not {_kind(given)}.")
            return {}
        self.look_for_unknown(given, ("primary", "accent"), "colours.")
        found = {}
        for name, problem in (("primary", club_colours.primary_problem), ("accent", club_colours.accent_problem)):
            if name not in given:
                continue
            colour = given[name]
            if not isinstance(colour, str) or not _COLOUR.fullmatch(colour):
                sentence: str | None = f'must be # and six of 0-9 and a-f, as in "#1f3a47": {_shown(colour)}.'
            else:
                sentence = problem(colour)
                found[name] = colour.lower()
            if sentence:
                self.problems.append(f"colours.{name} {sentence}")
        return found


def _split(address: str) -> str | None:
    """The address without a slash at its end; None if it is none."""
    try:
        parts = urlsplit(address)
    except ValueError:
        return None
    good = parts.scheme in ("http", "https") and _HOST.fullmatch(parts.netloc) and _PATH.fullmatch(parts.path)
    return address.rstrip("/") if good and not re.search(r"[?#\s]", address) else None


def _kind(value: object) -> str:
    """What was found in place of what would be right, in words."""
    kinds = {bool: "true or false", int: "a number", float: "a number", str: "text", list: "a list", dict: "a table"}
    return kinds.get(type(value), "a date")


def _shown(value: object) -> str:
    """The beginning of what was found."""
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else f"{text[:59]}…"
