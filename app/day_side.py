"""The right half: the plot of the day, and below it verdict, table and findings, in one sheet."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.plots.day import DayView
from app.verdict.panel import VerdictPanel

# The plot takes this share of what is in sight, and at least what its panes need.
PLOT_SHARE = 0.58
PANES_LINES = 19


class DaySide(QScrollArea):
    """Scrolls plot and verdict together, and never makes the plot too small to read."""

    def __init__(self, day: DayView, verdict: VerdictPanel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._day = day
        self._revealed: QWidget | None = None
        self._stations = 2
        sheet = QWidget()
        column = QVBoxLayout(sheet)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(day, 1)
        column.addWidget(verdict)
        self.setWidget(sheet)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # What the chart would like to have does not count, only what it needs and what is free.
        day.chart.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        day.chart.viewport().installEventFilter(self)
        day.installEventFilter(self)
        verdict.reveal_wanted.connect(self.reveal)

    def show_stations(self, count: int) -> None:
        """Make room for so many stations in the plot."""
        if count != self._stations:
            self._stations = count
            # Its rows came or went; else they are not counted before they are laid out.
            self._day.read_out.updateGeometry()
            self._fit()

    def reveal(self, widget: QWidget) -> None:
        """Bring a widget into sight once it is laid out."""
        self._revealed = widget
        QTimer.singleShot(0, self, self._scroll_to_revealed)

    def _scroll_to_revealed(self) -> None:
        if self._revealed is not None:
            self.ensureWidgetVisible(self._revealed, 0, 12)
            self._revealed = None

    def _fit(self) -> None:
        line = self.fontMetrics().lineSpacing()
        chart = line * (PANES_LINES + 2 * self._stations)
        self._day.chart.setMinimumHeight(chart)
        layout = self._day.layout()
        width = self.viewport().width()
        needed = layout.minimumHeightForWidth(width) if layout is not None else chart
        wanted = round(self.viewport().height() * PLOT_SHARE)
        self._day.setMinimumHeight(max(needed, wanted))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._day and event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        # Over the plot the wheel scrolls the sheet like everywhere else on it; with Ctrl, or
        # where all is in sight, it zooms.
        if isinstance(event, QWheelEvent) and self._is_for_the_sheet(watched, event):
            bar = self.verticalScrollBar()
            lines = event.angleDelta().y() / 120 * QApplication.wheelScrollLines()
            bar.setValue(bar.value() - round(lines * bar.singleStep()))
            return True
        return super().eventFilter(watched, event)

    def _is_for_the_sheet(self, watched: QObject, event: QWheelEvent) -> bool:
        # The area filters the events of its own scroll bars through here too.
        if watched is not self._day.chart.viewport():
            return False
        modifiers = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
        is_plain = not event.modifiers() & modifiers and not event.angleDelta().x()
        return is_plain and self.verticalScrollBar().maximum() > 0
