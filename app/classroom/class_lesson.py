"""A lesson on its way: which stage is shown, what was guessed, and the reveal when it is due."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from app.classroom.guess_store import GuessStore, Kept
from model.lessons.entry import Guess, GuessError, read_guess
from model.lessons.lesson import Lesson, Step
from model.lessons.run import Reveal, StepRun, reveal, step_run

StageKind = Literal[
    "cover", "question", "guesses", "reveal", "why", "sum", "result", "change", "end"
]
# Stages that may show what a run says.
_OPEN = {"reveal", "why", "sum", "result", "change"}


@dataclass(frozen=True)
class Stage:
    """One screen of a lesson."""

    kind: StageKind
    step: int = 0
    result: str = ""


def stages_of(lesson: Lesson) -> tuple[Stage, ...]:
    """Return the screens of a lesson in order."""
    stages = [Stage("cover")]
    for index, step in enumerate(lesson.steps):
        stages.append(Stage("question", index))
        if step.answer.kind != "curve":
            stages.append(Stage("guesses", index))
        stages += [Stage("reveal", index), Stage("why", index), Stage("sum", index)]
        stages += [Stage("result", index, shown.result) for shown in step.show]
        if step.tries:
            stages.append(Stage("change", index))
    return (*stages, Stage("end", len(lesson.steps) - 1))


class ClassLesson:
    """Owns the place in a lesson and its guesses; every guess is written to the store at once."""

    def __init__(self, lesson: Lesson, path: Path, store: GuessStore) -> None:
        self.lesson = lesson
        self.stages = stages_of(lesson)
        self.place = 0
        self.trouble = ""
        self._store = store
        self._kept = Kept(str(path), lesson.title)
        self._is_begun = False
        self._runs: dict[int, StepRun] = {}
        self._reveals: dict[int, Reveal] = {}

    @property
    def stage(self) -> Stage:
        """The screen shown."""
        return self.stages[self.place]

    @property
    def step(self) -> Step:
        """The step the screen belongs to."""
        return self.lesson.steps[self.stage.step]

    @property
    def run(self) -> StepRun:
        """The step as run; for the clock and the facts given, before the reveal for no more."""
        index = self.stage.step
        if index not in self._runs:
            self._runs[index] = step_run(self.lesson, index)
        return self._runs[index]

    @property
    def reveal(self) -> Reveal:
        """Everything said of the step afterwards; refused while its answer is still asked for."""
        if self.stage.kind not in _OPEN:
            raise RuntimeError("the answer of this step is not due yet")
        index = self.stage.step
        if index not in self._reveals:
            self._reveals[index] = reveal(self.lesson, index)
        return self._reveals[index]

    @property
    def is_revealed(self) -> bool:
        """Whether the answer of this step has been shown."""
        return self.stage.step in self._reveals

    @property
    def guesses(self) -> list[Guess]:
        """The guesses of this step, in the order they were taken."""
        found = []
        for text in self._kept.guesses.get(self.stage.step, []):
            try:
                found.append(self._read(text))
            except GuessError:
                # The lesson was changed since: what no longer answers it is left out.
                continue
        return found

    @property
    def curve(self) -> list[float]:
        """The curve the class has drawn, empty where it has not."""
        return self._kept.curves.get(self.stage.step, [])

    @property
    def last_text(self) -> str:
        """The guess taken last, as typed."""
        return (self._kept.guesses.get(self.stage.step) or [""])[-1]

    def resume(self, kept: Kept) -> None:
        """Go on with a class that was under way, at its question again."""
        self._is_begun = True
        self._kept.guesses = dict(kept.guesses)
        self._kept.curves = dict(kept.curves)
        wanted = Stage("question", min(max(kept.step, 0), len(self.lesson.steps) - 1))
        self.place = self.stages.index(wanted)

    def add_guess(self, text: str) -> None:
        """Take one guess; raises GuessError where it cannot be read."""
        self._read(text)
        self._kept.guesses.setdefault(self.stage.step, []).append(text.strip())
        self._add("guess", text.strip())

    def take_back(self) -> None:
        """Take the last guess back."""
        taken = self._kept.guesses.get(self.stage.step)
        if taken:
            taken.pop()
            self._add("taken back")

    def set_curve(self, heights: list[float]) -> None:
        """Keep the curve the class has drawn."""
        self._kept.curves[self.stage.step] = heights
        self._add("curve", heights)

    def go(self, by: int) -> bool:
        """Go to the next or the earlier screen; False at either end."""
        place = self.place + by
        if not 0 <= place < len(self.stages):
            return False
        self.place = place
        if self.stage.kind == "end":
            self._store.end()
        elif self.stage.step != self._kept.step:
            self._kept.step = self.stage.step
            self._add("step")
        return True

    def _read(self, text: str) -> Guess:
        clock = self.run.comparison.clock
        return read_guess(text, self.step, clock.start, clock.days)

    def _add(self, deed: str, what: object = None) -> None:
        """Add to the record, which is begun by the first thing the class does."""
        if not self._is_begun:
            self.trouble = self._store.begin(self._kept.path, self._kept.title)
            self._is_begun = not self.trouble
        if self._is_begun:
            self.trouble = self._store.add(deed, self.stage.step, what)
