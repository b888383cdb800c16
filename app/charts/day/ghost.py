"""The curves of before: faint for a moment after each change, or held in grey to compare with."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from app.charts.day.day_chart import DayChart
from model.engine.comparison import Comparison

SETTLED_MS = 1200
FADE_MS = 90
FADE_STEPS = 5


class Ghost(QObject):
    """Keeps what stood before the first of a row of changes, and lets it fade once they end.

    ``released`` tells that held curves were given up, because the run now has other days.
    """

    released = Signal()

    def __init__(self, chart: DayChart, parent: QObject) -> None:
        super().__init__(parent)
        self._chart = chart
        self._held: Comparison | None = None
        self._fading = 0
        self._settled = QTimer(self, singleShot=True, interval=SETTLED_MS)
        self._settled.timeout.connect(self._on_settled)
        self._fade = QTimer(self, interval=FADE_MS)
        self._fade.timeout.connect(self._on_fade)

    @property
    def is_fading(self) -> bool:
        """Whether there are faint curves that will go by themselves."""
        return self._settled.isActive() or self._fade.isActive()

    @property
    def held(self) -> Comparison | None:
        """The comparison whose curves are held."""
        return self._held

    def hold(self, is_held: bool) -> None:
        """Keep the present curves in grey, or let go of them."""
        self._end()
        self._held = self._chart.comparison if is_held else None
        if self._held is not None:
            self._chart.keep_ghost()
            self._chart.grey_ghost()

    def before(self, comparison: Comparison, *, keep: bool) -> None:
        """Prepare for another comparison; what is shown now stays as a faint curve if wished."""
        if self._held is not None:
            if not self._held.clock.spans_as(comparison.clock):
                self.hold(False)
                self.released.emit()
            return
        shown = self._chart.comparison
        if not keep or shown is None or not shown.clock.spans_as(comparison.clock):
            self._end()
            return
        if not self.is_fading or self._fade.isActive():
            self._end()
            self._chart.keep_ghost()
            self._chart.fade_ghost(1.0)
        self._settled.start()

    def dress(self) -> None:
        """Take over other colours."""
        if self._held is not None:
            self._chart.grey_ghost()

    def _end(self) -> None:
        self._settled.stop()
        self._fade.stop()
        self._chart.drop_ghost()

    def _on_settled(self) -> None:
        self._fading = FADE_STEPS
        self._fade.start()

    def _on_fade(self) -> None:
        self._fading -= 1
        if self._fading <= 0:
            self._end()
        else:
            self._chart.fade_ghost(self._fading / FADE_STEPS)
