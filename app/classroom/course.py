"""A class on its way: which screen is shown, what was said, and the reveal when it is due."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import monotonic

from app.classroom import units
from app.classroom.kept import Kept, Said
from app.classroom.pace import Pace
from app.classroom.programme import (
    FIRST_ROUND,
    OPEN,
    SECOND_ROUND,
    Programme,
    Question,
    Screen,
)
from app.classroom.record import ClassRecords
from app.state.display import Display
from model.editing.faults import ScenarioError
from model.lessons.entry import Guess, GuessError, read_line
from model.lessons.formula import FormulaError
from model.lessons.lesson import ChoiceAnswer
from model.lessons.measured import measured_truth, read_reading
from model.lessons.run import Reveal, StepRun, Truth, tried, truth_of


@dataclass(frozen=True)
class Changed:
    """A step run again with one thing changed; ``fault`` where that cannot be."""

    run: StepRun | None
    fault: str = ""


class Course:
    """Owns the place in a class and all that is said; every deed is in the record at once."""

    def __init__(
        self,
        programme: Programme,
        records: ClassRecords,
        kept: Kept | None = None,
        now_s: Callable[[], float] = monotonic,
        display: Display | None = None,
    ) -> None:
        self.programme = programme
        self._display = display
        self.trouble = ""
        self._records = records
        self._is_begun = kept is not None
        self._kept = kept or Kept(programme.key, programme.title, "")
        self.place = self._place_of(self._kept.place)
        self._runs: dict[str, StepRun] = {}
        self._reveals: dict[str, Reveal] = {}
        self._changed: dict[tuple[str, int, float | None], Changed] = {}
        self.pace = Pace(programme.parts, self._kept.spent_s, now_s)
        self.pace.show(self.screen.part)

    @property
    def is_us(self) -> bool:
        """Whether US customary units are shown, and the question of the screen follows them."""
        is_us = self._display is not None and self._display.is_us
        return is_us and (self.question is None or not units.is_metric(self.question.step))

    def text(self, words: str) -> str:
        """Return a text of the step of this screen, with its numbers filled in."""
        return units.text(self.run, words, us=self.is_us)

    def told(self, said: str) -> str:
        """Return what a run of the step of this screen says."""
        return units.told(self.asked.step, said, us=self.is_us)

    @property
    def screen(self) -> Screen:
        """The screen shown."""
        return self.programme.screens[self.place]

    @property
    def next_screen(self) -> Screen | None:
        """The screen that comes next."""
        screens = self.programme.screens
        return screens[self.place + 1] if self.place + 1 < len(screens) else None

    @property
    def question(self) -> Question | None:
        """The question the screen belongs to."""
        key = self.screen.question
        return self.programme.question(key) if key else None

    @property
    def asked(self) -> Question:
        """The question the screen belongs to, on a screen that has one."""
        question = self.question
        assert question is not None
        return question

    @property
    def said(self) -> Said:
        """What was said to this question."""
        return self._kept.of(self.asked.key)

    @property
    def count(self) -> int:
        """How many guesses were taken in the whole class."""
        return self._kept.count

    @property
    def round(self) -> int:
        """Which round the screen asks for: 1, 2, or 0 where it asks for none."""
        kind = self.screen.kind
        return 1 if kind in FIRST_ROUND else 2 if kind in SECOND_ROUND else 0

    def run_of(self, question: Question) -> StepRun:
        """Return a step as run; before its reveal for the clock and the facts given alone."""
        if question.key not in self._runs:
            self._runs[question.key] = self.programme.run_of(question)
        return self._runs[question.key]

    @property
    def run(self) -> StepRun:
        """The step of this screen as run; see ``run_of``."""
        return self.run_of(self.asked)

    @property
    def reveal(self) -> Reveal:
        """Everything said of the step afterwards; refused while its answer is still asked for."""
        if self.screen.kind not in OPEN:
            raise RuntimeError("the answer of this question is not due yet")
        return self._reveal_of(self.asked)

    def reveals(self) -> list[tuple[Question, Reveal]]:
        """Return the reveals of the opening questions; refused before the class is closed."""
        if self.screen.kind not in ("narrowing", "end"):
            raise RuntimeError("the answers of the class are not due yet")
        found = [each for each in self.programme.questions if each.lesson is None]
        return [(each, self._reveal_of(each)) for each in found]

    def _reveal_of(self, question: Question) -> Reveal:
        if question.key not in self._reveals:
            run = self.run_of(question)
            said = run.text(run.step.explanation), run.text(run.step.sum)
            self._reveals[question.key] = Reveal(truth_of(run), *said, run.comparison)
        return self._reveals[question.key]

    def is_revealed(self, question: Question) -> bool:
        """Whether the answer of a question has been shown."""
        return question.key in self._reveals

    def guesses(self, which: int, question: Question | None = None) -> list[Guess]:
        """Return the guesses of a round, those by hand among them."""
        asked = question or self.asked
        said, found = self._kept.of(asked.key), list[Guess]()
        for line in said.lines.get(which, []):
            try:
                found += self._read(asked, line.text)
            except GuessError:
                # The lesson was changed since: what no longer answers it is left out.
                continue
        if isinstance(asked.step.answer, ChoiceAnswer):
            for index, votes in enumerate(said.votes.get(which, [])):
                found += [(index,)] * votes
        return found

    def numbers(self, which: int, question: Question | None = None) -> tuple[float, ...]:
        """Return the guessed numbers or times of a round; inf is "never"."""
        return tuple(each for each in self.guesses(which, question) if isinstance(each, float))

    # What the room says. Each deed is written before it counts as done.

    def add_line(self, text: str) -> None:
        """Take a line of guesses, one a person; raises GuessError, and takes none of it."""
        people = len(self._read(self.asked, text))
        if people:
            self._do("guesses", line=text.strip(), people=people, round=self.round)

    def take_back(self) -> None:
        """Take the last typed line back."""
        if self.said.lines.get(self.round):
            self._do("taken back", round=self.round)

    def set_votes(self, counts: Sequence[int]) -> None:
        """Keep how many hands were raised for each choice."""
        self._do("votes", counts=list(counts), round=self.round)

    def set_reasons(self, counts: Sequence[int]) -> None:
        """Keep how many hands were raised for each reason."""
        self._do("reasons", counts=list(counts))

    def set_curve(self, heights: Sequence[float]) -> None:
        """Keep the curve the class has drawn."""
        self._do("curve", heights=list(heights), round=self.round)

    def set_measured(self, text: str) -> None:
        """Keep what was read off on the table, nothing for no meter; raises GuessError."""
        said = units.as_measured(self.asked.step, text, us=self.is_us)
        reading = self._reading(said)
        self._do("measured", text="" if reading is None else said)

    def measured_truth(self) -> Truth | None:
        """Return the answer by the table; None where nothing was measured or comes of it."""
        held = self.said.measured
        try:
            reading = None if held is None else self._reading(held.text)
            return None if reading is None else measured_truth(self.run, reading)
        except (GuessError, ScenarioError, FormulaError):
            return None

    def _reading(self, text: str) -> float | None:
        clock = self.run.comparison.clock
        if not text.strip():
            return None
        return read_reading(text, self.asked.step, clock.start, clock.days)

    def changed(self, typed: float | None = None) -> Changed:
        """Return the step with the change of this screen made."""
        key = (self.asked.key, self.screen.number, typed)
        if key not in self._changed:
            change = self.asked.step.tries[self.screen.number]
            try:
                self._changed[key] = Changed(tried(self.run, change, typed))
            except ScenarioError as error:
                self._changed[key] = Changed(None, error.faults[0].message)
            except FormulaError as error:
                self._changed[key] = Changed(None, str(error))
        return self._changed[key]

    # Moving on and back.

    def go(self, by: int) -> bool:
        """Go to the next or the earlier screen; False at either end."""
        place = self.place + by
        if not 0 <= place < len(self.programme.screens):
            return False
        if self.screen.kind == "measure" and by > 0 and self.said.measured is None:
            self.set_measured("")
        self.place = place
        self.pace.show(self.screen.part)
        self._add("at", screen=self.screen.key, spent_s=self._spent())
        if self.screen.kind == "end":
            self._add("over")
        return True

    def leave(self) -> None:
        """Keep how long the class has taken; it can be gone on with."""
        self.pace.stop()
        if self._is_begun:
            self._add("at", screen=self.screen.key, spent_s=self._spent())

    def _spent(self) -> dict[str, float]:
        return {part: round(spent_s, 1) for part, spent_s in self.pace.spent_s.items()}

    def _place_of(self, key: str) -> int:
        keys = [screen.key for screen in self.programme.screens]
        return keys.index(key) if key in keys else 0

    def _read(self, question: Question, text: str) -> tuple[Guess, ...]:
        clock = self.run_of(question).comparison.clock
        return read_line(text, question.step, clock.start, clock.days)

    def _do(self, deed: str, **what: object) -> None:
        """Write a deed to the record, and take it as the record will be read."""
        entry = {"question": self.asked.key, **what}
        self._add(deed, **entry)

    def _add(self, deed: str, **what: object) -> None:
        """Add to the record, which is begun when the first page is turned."""
        if not self._is_begun:
            self._records.begin(self.programme.key, self.programme.title)
            self._is_begun = True
        self.trouble = self._records.add(deed, **what)
        self._kept.take({"deed": deed, "at": self._records.last_at, **what})
