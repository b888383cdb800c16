"""Runs the model soon after a change: many changes make one run, and words follow the curves.

A run and its words take turns with the window, a station at a time. What is edited meanwhile is
the next run's; a comparison is shown even if the numbers moved on, so that a drag stays alive.
"""

from __future__ import annotations

import logging

from PySide6.QtCore import QObject, Signal

from app.state.document import Document
from app.work.deferred import Deferred
from app.work.jobs import Jobs, window_first
from app.work.turns import Turns
from model.advice.advice import search_counsel
from model.engine.comparison import STEP_MIN, Comparison, search_comparison
from model.verdict.table import search_verdict

# Edits of one turn of the window make one run; what comes while it works makes the next.
RUN_WAIT_MS = 0
RUN_LONGEST_WAIT_MS = 150
# While a hand drags or holds a key, runs that follow one another have longer steps, so that the
# curves keep up with it; once it rests there is a whole run before any word is said.
MOVING_STEP_MIN = 5.0
# The words take several reruns: they wait until the hand rests, the advice a little longer.
WORDS_WAIT_MS = 200
WORDS_LONGEST_WAIT_MS = 3000
ADVICE_WAIT_MS = 900
RUN_FAILED = (
    "Counterpoise made an error in working this out; what is shown is of an earlier input."
    " Your work is kept: change something, or undo."
)
_log = logging.getLogger("counterpoise")


class Session(QObject):
    """Holds the latest comparison, verdict and advice, and says when there are newer ones."""

    comparison_changed = Signal(object)
    run_failed = Signal(str)
    verdict_changed = Signal(object, object)
    advice_started = Signal()
    advice_changed = Signal(object)
    advice_failed = Signal(str)

    def __init__(self, document: Document, jobs: Jobs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._jobs = jobs
        self._job = 0
        self._is_moving = self._is_judged_next = False
        self._comparison: Comparison | None = None
        self._running, self._judging = Turns(self), Turns(self)
        self._run = Deferred(RUN_WAIT_MS, RUN_LONGEST_WAIT_MS, self)
        self._words = Deferred(WORDS_WAIT_MS, WORDS_LONGEST_WAIT_MS, self)
        self._advice = Deferred(ADVICE_WAIT_MS, 60_000, self)
        self._run.due.connect(self._on_run_due)
        self._words.due.connect(self._on_words_due)
        self._running.found.connect(self._on_run)
        self._judging.found.connect(self._on_verdict)
        for turns in (self._running, self._judging):
            turns.failed.connect(self._fail)
        self._advice.due.connect(self.advise_now)
        document.scenario_changed.connect(self._on_scenario_changed)
        jobs.finished.connect(self._on_finished)
        jobs.failed.connect(self._on_failed)

    @property
    def comparison(self) -> Comparison | None:
        """The latest comparison; it may be of an earlier scenario for a few milliseconds."""
        return self._comparison

    @property
    def is_current(self) -> bool:
        """Whether the latest comparison is whole and of the scenario as it is."""
        comparison = self._comparison
        return (
            comparison is not None
            and comparison.is_whole
            and comparison.scenario is self._document.scenario
        )

    @property
    def is_waiting_for_words(self) -> bool:
        """Whether a run or its words are due."""
        return (
            self._run.is_waiting
            or self._words.is_waiting
            or self._running.is_at_work
            or self._judging.is_at_work
        )

    @property
    def is_settled(self) -> bool:
        """Whether curves, words and advice are all of the scenario as it is."""
        waiting = self.is_waiting_for_words or self._advice.is_waiting
        return not waiting and not self._jobs.is_running

    def run_now(self) -> None:
        """Run the scenario as it is, without waiting for more changes."""
        self._run.forget()
        self._running.finish(search_comparison(self._document.scenario))

    def judge_now(self) -> None:
        """Put the latest comparison into words, now."""
        self._words.forget()
        if self._comparison is not None:
            self._judging.finish(search_verdict(self._comparison))

    def _on_run_due(self) -> None:
        if self._running.is_at_work:
            self._run.ask()
        else:
            step_min = MOVING_STEP_MIN if self._is_moving else STEP_MIN
            self._running.begin(search_comparison(self._document.scenario, step_min=step_min))

    def _on_run(self, comparison: Comparison) -> None:
        if len(comparison.runs) != len(self._document.scenario.stations):
            # Stations came or went meanwhile: a run of these is due.
            return
        self._comparison = comparison
        self._judging.drop()
        is_judged, self._is_judged_next = self._is_judged_next, False
        self.comparison_changed.emit(comparison)
        if is_judged and comparison.is_whole:
            self._judging.begin(search_verdict(comparison))
        else:
            self._words.ask()

    def _on_words_due(self) -> None:
        if self._comparison is None:
            return
        if self._comparison.is_whole:
            self._judging.begin(search_verdict(self._comparison))
        else:
            self._is_moving, self._is_judged_next = False, True
            self._run.forget()
            self._running.begin(search_comparison(self._document.scenario))

    def _on_verdict(self, said: object) -> None:
        self.verdict_changed.emit(self._comparison, said)
        self._advice.ask()

    def _fail(self, error: Exception) -> None:
        """Say beside the input that the program is at fault; editing goes on, nothing is lost."""
        _log.error("a run failed", exc_info=error)
        self._words.forget()
        what = " ".join(f"{type(error).__name__} {error}".split())[:160]
        self.run_failed.emit(f"{RUN_FAILED} ({what})")

    def advise_now(self) -> None:
        """Begin to look for cures and flips, and for both skies, beside the window."""
        self._advice.forget()
        if self._comparison is None:
            return
        self._job = self._jobs.start(search_counsel(self._comparison))
        self.advice_started.emit()

    def close(self) -> None:
        """Forget what is due, and wait for the worker."""
        for deferred in (self._run, self._words, self._advice):
            deferred.forget()
        for turns in (self._running, self._judging):
            turns.drop()
        self._jobs.close()

    def _on_scenario_changed(self) -> None:
        window_first()
        self._jobs.cancel()
        self._advice.forget()
        self._is_moving = self._words.is_waiting or self._running.is_at_work
        if self._words.is_waiting:
            # The hand moves on: the words of what it has left behind can wait.
            self._words.ask()
        self._run.ask()

    def _on_finished(self, number: int, value: object) -> None:
        if number == self._job:
            self.advice_changed.emit(value)

    def _on_failed(self, number: int, fault: str) -> None:
        if number == self._job:
            self.advice_failed.emit(fault)
