"""What a class has said so far: read from the deeds of its record, one after another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal

Round = Literal[1, 2]
LINES_LIMIT = 500
TEXT_LIMIT = 400
COUNT_LIMIT = 999


@dataclass(frozen=True)
class Line:
    """A line of guesses as typed, and how many people they are of."""

    text: str
    people: int


@dataclass(frozen=True)
class Measured:
    """What was read off on the table: as typed, empty where there was no meter; and when."""

    text: str
    at: str

    @property
    def has_value(self) -> bool:
        """Whether somebody measured."""
        return bool(self.text)


@dataclass
class Said:
    """What was said to one question, by round where it was asked twice.

    Attributes
    ----------
    lines : of guesses.
    votes : hands raised for each choice.
    reasons : hands raised for each reason.
    curves : heights between 0 and 1, one each half hour.
    """

    lines: dict[int, list[Line]] = field(default_factory=dict)
    votes: dict[int, list[int]] = field(default_factory=dict)
    reasons: list[int] = field(default_factory=list)
    curves: dict[int, list[float]] = field(default_factory=dict)
    measured: Measured | None = None

    def count(self, which: int) -> int:
        """Return how many people have answered in one round; a curve is drawn by the room."""
        return (
            sum(line.people for line in self.lines.get(which, ()))
            + sum(self.votes.get(which, ()))
            + bool(self.curves.get(which))
        )


@dataclass
class Kept:
    """A class: what it walks through, where it is, how long it has taken, and what was said.

    Attributes
    ----------
    key, title : of the playlist or lesson.
    begun : when, as ISO 8601 with the zone.
    place : key of the screen shown last.
    spent_s : by part of the class, how long it was shown. [s]
    """

    key: str
    title: str
    begun: str
    place: str = ""
    spent_s: dict[str, float] = field(default_factory=dict)
    said: dict[str, Said] = field(default_factory=dict)
    is_over: bool = False

    @property
    def count(self) -> int:
        """How many guesses were taken, second ones included."""
        return sum(said.count(1) + said.count(2) for said in self.said.values())

    def of(self, question: str) -> Said:
        """Return what was said to a question; it may be added to."""
        return self.said.setdefault(question, Said())

    def take(self, entry: Mapping[str, Any]) -> None:
        """Take one deed.

        Raises
        ------
        LookupError, TypeError, ValueError, AttributeError, OverflowError
            Where it is no deed of a class.
        """
        deed = entry["deed"]
        if deed == "at":
            spent_s = {str(part): float(each) for part, each in entry["spent_s"].items()}
            self.spent_s.update((part, min(max(each, 0.0), 1e6)) for part, each in spent_s.items())
            self.place = str(entry["screen"])
        elif deed == "over":
            self.is_over = True
        elif deed in _TAKEN:
            _TAKEN[deed](self.of(str(entry["question"])), entry)


def kept_of(entries: Iterable[Any]) -> Kept | None:
    """Return the class that a record tells of, None where it tells of none.

    What comes after an entry that cannot be read may rest on it and is left out.
    """
    kept: Kept | None = None
    for entry in entries:
        try:
            if kept is None:
                title = " ".join(str(entry["title"]).split())
                begun = datetime.fromisoformat(entry["begun"]).isoformat()
                kept = Kept(str(entry["class"]), title[:TEXT_LIMIT], begun)
            else:
                kept.take(entry)
        except (LookupError, TypeError, ValueError, AttributeError, OverflowError):
            break
    return kept


def _round(entry: Mapping[str, Any]) -> int:
    if entry["round"] not in (1, 2):
        raise ValueError("there are two rounds")
    return int(entry["round"])


def _counts(entry: Mapping[str, Any]) -> list[int]:
    return [min(max(int(count), 0), COUNT_LIMIT) for count in entry["counts"]]


def _guesses(said: Said, entry: Mapping[str, Any]) -> None:
    taken = said.lines.setdefault(_round(entry), [])
    if len(taken) < LINES_LIMIT:
        people = min(max(int(entry["people"]), 0), COUNT_LIMIT)
        taken.append(Line(str(entry["line"])[:TEXT_LIMIT], people))


def _take_back(said: Said, entry: Mapping[str, Any]) -> None:
    taken = said.lines.get(_round(entry))
    if taken:
        taken.pop()


def _votes(said: Said, entry: Mapping[str, Any]) -> None:
    said.votes[_round(entry)] = _counts(entry)


def _reasons(said: Said, entry: Mapping[str, Any]) -> None:
    said.reasons = _counts(entry)


def _curve(said: Said, entry: Mapping[str, Any]) -> None:
    said.curves[_round(entry)] = [min(max(float(each), 0.0), 1.0) for each in entry["heights"]]


def _measured(said: Said, entry: Mapping[str, Any]) -> None:
    said.measured = Measured(str(entry["text"])[:TEXT_LIMIT], str(entry["at"]))


_TAKEN = {
    "guesses": _guesses,
    "taken back": _take_back,
    "votes": _votes,
    "reasons": _reasons,
    "curve": _curve,
    "measured": _measured,
}
