"""What a class has guessed, kept in a file at once, so that no crash can lose it."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import platformdirs

from model.editing.faults import ScenarioError
from model.files.scenario_file import SaveError, read_bytes, text_of, write_text

FILE_NAME = "class.json"
GUESSES_LIMIT = 500


@dataclass
class Kept:
    """A class under way: its lesson, the question it is at, and all guesses as typed."""

    path: str
    title: str
    step: int = 0
    guesses: dict[int, list[str]] = field(default_factory=dict)
    curves: dict[int, list[float]] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """How many guesses were taken."""
        return sum(map(len, self.guesses.values())) + len(self.curves)


class GuessStore:
    """Reads and writes the file; what cannot be read counts as not there."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or _state_folder() / FILE_NAME

    def save(self, kept: Kept) -> str:
        """Write what is kept, whole or not at all; return why it was not, or nothing."""
        text = json.dumps(
            {
                "lesson": kept.path,
                "title": kept.title,
                "step": kept.step,
                "guesses": {str(step): texts for step, texts in kept.guesses.items()},
                "curves": {str(step): heights for step, heights in kept.curves.items()},
            }
        )
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_text(text, self.path)
        except (OSError, SaveError) as error:
            return f"The guesses could not be saved: {error}"
        return ""

    def load(self) -> Kept | None:
        """Return the class that was under way, or None."""
        try:
            return _kept(json.loads(text_of(read_bytes(self.path)), parse_constant=_refuse))
        except (
            ScenarioError, ValueError, TypeError, KeyError, AttributeError, OverflowError,
            RecursionError,
        ):  # fmt: skip
            return None

    def clear(self) -> None:
        """Forget the class: it has come to its end."""
        self.path.unlink(missing_ok=True)


def _state_folder() -> Path:
    return Path(platformdirs.user_state_dir("Counterpoise", appauthor=False))


def _refuse(word: str) -> None:
    raise ValueError(f"{word} is not a number")


def _kept(table: dict[str, Any]) -> Kept:
    guesses = {
        int(step): [str(text)[:40] for text in texts][:GUESSES_LIMIT]
        for step, texts in table["guesses"].items()
    }
    curves = {
        int(step): [min(max(float(height), 0.0), 1.0) for height in heights]
        for step, heights in table["curves"].items()
    }
    title = " ".join(str(table["title"]).split())
    return Kept(str(table["lesson"]), title, int(table["step"]), guesses, curves)
