"""The minute under the cursor: on the card, and with the whole plot for those who listen."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.charts.day.band import band_words, between_words
from app.charts.day.card import CardRow, CursorCard
from app.charts.day.day_chart import DayChart
from app.charts.day.outlook import outlook_at, outlook_words
from app.charts.day.words import day_words, moment_words
from app.charts.time_marks import full_text
from app.work.deferred import Deferred
from model.engine.comparison import Comparison
from model.results.minute import Moment, moment
from model.scenario.declare import MINUTES_A_DAY

KEYS = (
    "Left and right arrows move the cursor by one minute, with Ctrl by ten, page keys by an hour,"
    " Home and End to the ends. Plus and minus zoom, 0 shows the whole run. The menu key offers"
    " pictures, a table and what the marks mean."
)


class ReadOut(QObject):
    """Reads out one minute of the comparison that the chart shows.

    What nobody sees yet, the card while it is hidden and the description, follows once the curves
    are painted.
    """

    def __init__(self, chart: DayChart, card: CursorCard, parent: QObject) -> None:
        super().__init__(parent)
        self._chart, self._card = chart, card
        self.minute = 0
        self._moments: list[Moment | None] = []
        self._read: Comparison | None = None
        self._later = Deferred.after_paint(self)
        self._later.due.connect(self._tell)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to read out."""
        return self._chart.comparison is None

    @property
    def is_settled(self) -> bool:
        """Whether those who listen are told of what is shown."""
        return not self._later.is_waiting

    def move(self, minute: int) -> None:
        """Read out another minute, elapsed since the start of the run."""
        self.point(minute)
        # Who walks by keyboard is told at once.
        self._tell()

    def point(self, minute: int) -> None:
        """Read out the minute under the pointer; those who listen are told once it rests."""
        comparison = self._chart.comparison
        if comparison is not None:
            self.minute = min(max(minute, 0), comparison.clock.days * MINUTES_A_DAY - 1)
            self.renew()

    def follow(self) -> None:
        """Read the minute out of another comparison."""
        if self._card.isVisible():
            self.point(self.minute)
        else:
            self._later.ask()

    def renew(self) -> None:
        """Read out what stands at the minute now."""
        comparison = self._chart.comparison
        if comparison is None:
            return
        self._read = comparison
        self._moments = [
            None if run is None else moment(run, int(self.minute / run.clock.step_min))
            for run in comparison.runs
        ]
        at = next((each.at for each in self._moments if each is not None), None)
        rows = tuple(
            CardRow(index, each, beside)
            for index, (each, beside) in enumerate(
                zip(self._moments, self._beside(comparison), strict=True)
            )
        )
        self._card.show_moments(full_text(at) if at is not None else "", rows)
        self._later.ask()

    def _tell(self) -> None:
        comparison = self._chart.comparison
        if comparison is None:
            return
        if self._read is not comparison:
            self.point(self.minute)
        self._later.forget()
        self._chart.setAccessibleDescription(" ".join(filter(None, self._told(comparison))))

    def _beside(self, comparison: Comparison) -> list[str]:
        """Return what is said of each station's charge beside the number itself."""
        spread, outlook = self._chart.band.spread, self._chart.outlook.outlook
        said = []
        for index in range(len(comparison.runs)):
            band = between_words(spread, index, self.minute) if spread is not None else ""
            read = (
                outlook_at(outlook, self.minute)
                if outlook is not None and outlook.index == index
                else ""
            )
            said.append(", ".join(filter(None, (band, read))))
        return said

    def _told(self, comparison: Comparison) -> list[str]:
        """Return the sentences of the plot as read aloud."""
        spread, outlook = self._chart.band.spread, self._chart.outlook.outlook
        band = band_words(comparison, spread, self.minute) if spread is not None else ""
        read = outlook_words(comparison, outlook, self.minute) if outlook is not None else ""
        return [moment_words(comparison, self._moments), band, read, day_words(comparison), KEYS]
