"""The work behind the odds: a first answer, the full one, the year, what follows, and sizes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from typing import Any, cast

from PySide6.QtCore import QObject, QTimer, Signal

from app.work.jobs import Jobs
from model.odds.answers import Answers, search_answers, search_with_sizes
from model.odds.half_months import HalfMonth, search_half_months
from model.odds.odds import FIRST_TRIPS, USUAL_TRIPS
from model.odds.rows import Rows, search_rows
from model.odds.station_trips import Goal
from model.scenario.scenario import Scenario
from model.support.progress import Search

# The first answer waits until the hand rests, the rest a little longer.
QUIET_MS, LONGER_MS = 120, 300


class Stage(Enum):
    """What is worked out, in this order, with the words that say so."""

    FIRST = "Running the first trial trips …"
    FULL = "Running trial trips …"
    YEAR = "Running trial trips through the year …"
    ANSWERS = "Looking for what would raise and narrow the odds …"
    SIZES = "Looking for the smallest sizes …"


ORDER = tuple(Stage)
# The same trips each time, so that odds move only when the scenario does.
SEED = 0


@dataclass(frozen=True)
class Asked:
    """What is asked beyond the odds: about which station, by which goal, for how many of ten."""

    index: int
    goal: Goal
    of_ten: int


class OddsWork(QObject):
    """Works out one stage after the other; a change begins again, another question where it must.

    Nothing is worked out while nobody looks.
    """

    rows_found = Signal(object)
    year_found = Signal(object)
    answers_found = Signal(object)
    began = Signal(str)
    advanced = Signal(float)
    outdated = Signal(object)
    finished = Signal()
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._scenario: Scenario | None = None
        self._asked: Asked | None = None
        self._rows: Rows | None = None
        self._answers: Answers | None = None
        self._next: Stage | None = None
        self._jobs = Jobs(self)
        self._quiet = QTimer(self, singleShot=True)
        self._quiet.timeout.connect(self._go_on)
        self._jobs.progressed.connect(self._on_progressed)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)

    @property
    def is_settled(self) -> bool:
        """Whether nothing is due and nobody is at work."""
        return self._next is None

    @property
    def asked(self) -> Asked | None:
        """What is asked; None before there are odds to ask about."""
        return self._asked

    def show_scenario(self, scenario: Scenario) -> None:
        """Work out the odds of another scenario."""
        if scenario != self._scenario:
            self._scenario = scenario
            self.begin(Stage.FIRST)

    def ask(self, asked: Asked) -> None:
        """Ask something else; what does not depend on it stays."""
        before, self._asked = self._asked, asked
        if before is None or asked == before:
            return
        only_sizes = replace(before, of_ten=asked.of_ten) == asked and self._answers is not None
        stage = Stage.SIZES if only_sizes else Stage.ANSWERS
        # What comes before is at work, or due: the question is taken up when it is its turn.
        if self._next is None or ORDER.index(self._next) >= ORDER.index(stage):
            self.begin(stage)

    def begin(self, stage: Stage = Stage.FIRST) -> None:
        """Begin again with a stage, in place of what is at work."""
        if self._scenario is None:
            return
        self._jobs.cancel()
        self._next = stage
        self.outdated.emit(stage)
        self._quiet.start(QUIET_MS if stage is Stage.FIRST else LONGER_MS)

    def cancel(self) -> None:
        """Stop; it can be begun again."""
        self._quiet.stop()
        self._jobs.cancel()
        self._next = None

    def rest(self) -> None:
        """End the work; what is not done begins again when seen."""
        if self._next is not None:
            self._scenario = None
        self.cancel()

    def stop(self) -> None:
        """End the work and wait for the worker: to be called before the window goes."""
        self.rest()
        self._jobs.close()

    def _go_on(self) -> None:
        search = None
        while self._next is not None and (search := self._search(self._next)) is None:
            self._next = _after(self._next)
        if search is None or self._next is None:
            self.finished.emit()
            return
        self.began.emit(self._next.value)
        self._jobs.start(search)

    def _search(self, stage: Stage) -> Search[Any] | None:
        """Return the work of a stage, None where there is nothing to be worked out."""
        scenario, asked, found = self._scenario, self._asked, self._answers
        if scenario is None:
            return None
        if stage in (Stage.FIRST, Stage.FULL):
            trips = FIRST_TRIPS if stage is Stage.FIRST else USUAL_TRIPS
            return search_rows(scenario, trips)
        if stage is Stage.YEAR:
            return None if scenario.climate is None else search_half_months(scenario, SEED)
        if asked is None:
            return None
        if stage is Stage.ANSWERS:
            return search_answers(scenario, asked.index, goal=asked.goal, seed=SEED)
        return None if found is None else search_with_sizes(found, asked.of_ten / 10)

    def _on_progressed(self, _number: int, share: float) -> None:
        self.advanced.emit(share)

    def _on_finished(self, _number: int, value: object) -> None:
        assert self._next is not None
        stage = self._next
        self._next = _after(stage)
        if stage in (Stage.FIRST, Stage.FULL):
            self._rows = cast(Rows, value)
            self.rows_found.emit(self._rows)
        elif stage is Stage.YEAR:
            assert self._rows is not None
            self._rows = self._rows.with_year(cast("tuple[HalfMonth, ...]", value))
            self.year_found.emit(self._rows)
        else:
            self._answers = cast("Answers | None", value)
            self.answers_found.emit(self._answers)
        if self._next is None:
            self.finished.emit()
        elif not self._quiet.isActive() and not self._jobs.is_running:
            self._quiet.start(LONGER_MS if stage is Stage.FIRST else 0)

    def _on_failed(self, _number: int, fault: str) -> None:
        self._next = None
        self.failed.emit(fault)


def _after(stage: Stage) -> Stage | None:
    later = ORDER[ORDER.index(stage) + 1 :]
    return later[0] if later else None
