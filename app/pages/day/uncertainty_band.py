"""The band of doubt on the day: by choice, worked out beside the window after the advice."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QObject, Signal

from app.pages.day_view import DayView
from app.state.document import Document
from app.state.session import Session
from app.state.settings import Settings
from app.work.jobs import Jobs
from model.odds.odds import Odds, search_odds
from model.scenario.scenario import Scenario
from model.support.progress import Search

# At the ten minutes that serve for ends, a band misses its curve by up to 3 % of charge where loads
# return in the morning; at five by half of one, as 300 runs of each minute showed.
BAND_STEP_MIN = 5.0
BAND_TRIPS = 400
FOLLOWS = "The uncertainty band follows once the advice is ready"


def band_work(scenario: Scenario) -> Search[Odds]:
    """Run trial trips about the day as it is planned: its sky, its plan, its numbers."""
    return search_odds(scenario, BAND_TRIPS, basis="forecast", step_min=BAND_STEP_MIN)


class Doubt(QObject):
    """Runs trial trips while nothing else is to be done; any change ends that."""

    said = Signal(str)

    def __init__(
        self,
        document: Document,
        session: Session,
        day: DayView,
        settings: Settings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._day, self._settings = session, day, settings
        self._jobs = Jobs(self)
        document.scenario_changed.connect(self._jobs.cancel)
        session.advice_changed.connect(self._on_advice)
        session.advice_failed.connect(self._on_advice)
        self._jobs.finished.connect(self._on_finished)
        self._jobs.failed.connect(self._on_failed)

    @property
    def is_settled(self) -> bool:
        """Whether nobody is at work."""
        return not self._jobs.is_running

    def set_shown(self, is_shown: bool) -> None:
        """Show the band from now on, or no more."""
        self._settings.shows_band = is_shown
        self._jobs.cancel()
        if not is_shown:
            self._day.show_band(None)
        if is_shown:
            self.said.emit(FOLLOWS)
        if is_shown and self._session.is_settled:
            self._start()

    def close(self) -> None:
        """Forget the work and wait for the worker: to be called before the window goes."""
        self._jobs.close()

    def _on_advice(self, _advice: object) -> None:
        if self._settings.shows_band:
            self._start()

    def _start(self) -> None:
        comparison = self._session.comparison
        if comparison is not None:
            self._jobs.start(band_work(comparison.scenario))

    def _on_finished(self, _number: int, value: object) -> None:
        self._day.show_band(cast(Odds, value))

    def _on_failed(self, _number: int, fault: str) -> None:
        self.said.emit(f"The uncertainty band could not be worked out: {fault}")
