"""Now: curves, headline and offers taken up again from a charge that was read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from PySide6.QtCore import QObject, QPoint, QRect, Signal

from app.pages.day.headline_bar import HeadlineBar
from app.pages.day.now_form import NowForm
from app.pages.day_view import DayView
from app.widgets.popover import Popover
from model.advice.act_now import search_act_now
from model.advice.offers import Offer
from model.engine.comparison import Comparison
from model.engine.now import comparison_from_now
from model.results.wording import called
from model.scenario.scenario import Scenario
from model.support.figures import amount, day_and_time
from model.support.progress import Search


@dataclass(frozen=True)
class Reading:
    """What was read of a station's battery."""

    index: int
    at: datetime
    ah_left: float


class NowWork(QObject):
    """Holds what was read, and turns each comparison into one that goes on from there.

    ``changed`` follows a reading, or its end.
    """

    changed = Signal()

    def __init__(self, day: DayView, head: HeadlineBar, parent: QObject) -> None:
        super().__init__(parent)
        self._day, self._head = day, head
        self._planned: Comparison | None = None
        self._seen: Comparison | None = None
        self._scenario: Scenario | None = None
        self.reading: Reading | None = None
        self.form = NowForm()
        self.popover = Popover("Now: go on from a reading", self.form, head)
        head.now.clicked.connect(self._on_clicked)
        self.form.wanted.connect(self._on_wanted)
        self.form.plan_wanted.connect(self.forget)

    def seen(self, comparison: Comparison) -> Comparison:
        """Return what is to be shown of a comparison: from the reading on, where there is one."""
        reading = self.reading
        if reading is None or not self._is_in(reading, comparison):
            return comparison
        if comparison is not self._planned:
            self._planned = comparison
            self._seen = comparison_from_now(comparison, reading.index, reading.at, reading.ah_left)
        assert self._seen is not None
        return self._seen

    def basis(self, comparison: Comparison) -> str:
        """Return from where the words count, as a sentence; nothing as planned."""
        reading = self.reading
        if reading is None or not self._is_in(reading, comparison):
            return ""
        who = called(comparison.scenario, reading.index)
        when = day_and_time(reading.at, comparison.clock.days)
        return f"From {when} on, with {amount(reading.ah_left, 'Ah', 3)} left in {who}."

    def search(self, comparison: Comparison) -> Search[tuple[Offer, ...]] | None:
        """Return the search for what can be done from the reading on; None as planned."""
        reading = self.reading
        if reading is None or not self._is_in(reading, comparison):
            return None
        return search_act_now(comparison, reading.index, reading.at, reading.ah_left)

    def begin(self, scenario: Scenario) -> None:
        """Begin with a scenario: what was read of another one's batteries is forgotten."""
        if self._scenario is not scenario:
            self._scenario = scenario
            self.forget()

    def forget(self) -> None:
        """Go back to the plan."""
        if self.reading is not None:
            self._take(None)
        self.popover.close_popover()

    def _is_in(self, reading: Reading, comparison: Comparison) -> bool:
        """Whether a comparison has the station that was read, and runs at that moment."""
        clock = comparison.clock
        is_run = reading.index < len(comparison.runs) and bool(comparison.runs[reading.index])
        return is_run and 0 <= clock.minutes_to(reading.at) < clock.days * 1440

    def _on_clicked(self) -> None:
        # The button tells whether there is a reading, not whether it was pressed.
        self._head.show_now(self.reading is not None)
        comparison = self._day.chart.comparison
        if comparison is not None:
            is_now = self.reading is not None
            self.form.show_comparison(comparison, self._day.cursor_minute, is_now=is_now)
            button = self._head.now
            self.popover.open_over(QRect(button.mapToGlobal(QPoint(0, 0)), button.size()))
            self.form.ah.setFocus()
            self.form.ah.selectAll()

    def _on_wanted(self, index: int, at: datetime, ah_left: float) -> None:
        self._take(Reading(index, at, ah_left))
        self.popover.close_popover()

    def _take(self, reading: Reading | None) -> None:
        self.reading, self._planned, self._seen = reading, None, None
        self._head.show_now(reading is not None)
        self.changed.emit()
