"""The day: the headline above, then the curves and the plan, which scroll where room is short."""

from __future__ import annotations

from math import ceil

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.plots.day import DayView

# The charge takes this share of the window's height, by the least size of the window. At large
# text less is left for it; at the largest it keeps a height and what is below scrolls.
SHARES = ((1920, 1080, 0.45), (1366, 768, 0.40), (0, 0, 0.28))
LARGE_TEXT, LARGE_TEXT_SHARE = 1.5, 0.28
LARGEST_TEXT, LEAST_CHARGE_PX = 1.75, 200


def charge_height_px(window: QSize, text_scale: float) -> int:
    """Return how high the pane of the charge is to be in a window, at this size of text."""
    if text_scale >= LARGEST_TEXT:
        return LEAST_CHARGE_PX
    if text_scale >= LARGE_TEXT:
        return ceil(window.height() * LARGE_TEXT_SHARE)
    return next(
        ceil(window.height() * share)
        for width, height, share in SHARES
        if window.width() >= width and window.height() >= height
    )


class DayLens(QWidget):
    """Headline, curves and plan, each in a place of its own."""

    def __init__(
        self, head: QWidget, day: DayView, plan: QWidget, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._day = day
        self._text_scale = 1.0
        sheet = QWidget()
        column = QVBoxLayout(sheet)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(day, 1)
        column.addWidget(plan)
        self.area = QScrollArea()
        self.area.setWidget(sheet)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(head)
        whole.addWidget(self.area, 1)
        self.setFocusProxy(day)
        # What the chart would like to have does not count, only what it needs and what is free.
        day.chart.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        day.chart.viewport().installEventFilter(self)
        day.installEventFilter(self)

    def show_text_scale(self, scale: float) -> None:
        """Follow another size of text, over the system's."""
        self._text_scale = scale
        self._fit()

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 200)

    def fit_soon(self) -> None:
        """Fit again once rows that came or went are laid out."""
        QTimer.singleShot(0, self, self._fit)

    def _fit(self) -> None:
        charge_px = charge_height_px(self.window().size(), self._text_scale)
        self._day.chart.keep_first_pane(charge_px)
        layout = self._day.layout()
        if layout is not None:
            self._day.setMinimumHeight(layout.minimumHeightForWidth(self.area.viewport().width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._day and event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        # Over the curves the wheel scrolls like everywhere else here; with Ctrl, or where all is
        # in sight, it zooms.
        if isinstance(event, QWheelEvent) and self._is_for_the_sheet(watched, event):
            bar = self.area.verticalScrollBar()
            lines = event.angleDelta().y() / 120 * QApplication.wheelScrollLines()
            bar.setValue(bar.value() - round(lines * bar.singleStep()))
            return True
        return super().eventFilter(watched, event)

    def _is_for_the_sheet(self, watched: QObject, event: QWheelEvent) -> bool:
        if watched is not self._day.chart.viewport():
            return False
        modifiers = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
        is_plain = not event.modifiers() & modifiers and not event.angleDelta().x()
        return is_plain and self.area.verticalScrollBar().maximum() > 0
