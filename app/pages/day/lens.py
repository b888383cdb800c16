"""The day: the headline above, then the curves and the plan, which scroll where room is short."""

from __future__ import annotations

from math import ceil

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.pages.day.headline_bar import HeadlineBar
from app.pages.day_view import DayView
from app.widgets.caution_label import CautionLabel
from app.widgets.tokens import NOTES
from model.scenario.cautions import AT_THE_PLAN

# In a lower window all offers are in a menu, at the usual size of text. [px]
LOW_WINDOW_PX = 700
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
    """Headline, curves over the plan, and the cautions of transmitting."""

    def __init__(self, head: HeadlineBar, day: DayView, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._head, self._day = head, day
        self._text_scale = 1.0
        self._cautions = CautionLabel()
        self._cautions.setContentsMargins(8, 2, 8, 2)
        self._cautions.show_cautions(AT_THE_PLAN)
        sheet = QWidget()
        column = QVBoxLayout(sheet)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(day, 1)
        column.addWidget(self._cautions)
        self.area = QScrollArea()
        self.area.setWidget(sheet)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._whole = QVBoxLayout(self)
        self._whole.setContentsMargins(0, 0, 0, 0)
        self._whole.setSpacing(0)
        self._whole.addWidget(head)
        self._whole.addWidget(self.area, 1)
        # What the chart would like to have does not count, only what it needs and what is free.
        self.area.viewport().installEventFilter(self)
        day.chart.lanes_changed.connect(self._fit)
        day.chart.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)

    def take_focus(self) -> None:
        """Give the curves the keyboard.

        They are no focus proxy: Tab, on its way into a proxy's owner, would pass the headline over.
        """
        self._day.setFocus()

    def show_plan(self) -> None:
        """Give the plan the keyboard, and bring it into sight."""
        self._day.plan.setFocus()
        self.area.ensureWidgetVisible(self._day.plan, 0, 0)

    def put_above(self, line: QWidget) -> None:
        """Show a line above the headline."""
        self._whole.insertWidget(0, line)

    def show_text_scale(self, scale: float) -> None:
        """Follow another size of text, over the system's."""
        self._text_scale = scale
        self._dress()
        self._fit()

    def minimumSizeHint(self) -> QSize:
        return QSize(320, 200)

    def _dress(self) -> None:
        font = self.font()
        font.setPointSizeF(font.pointSizeF() * NOTES)
        if self._cautions.font() != font:
            self._cautions.setFont(font)

    def _fit(self) -> None:
        window = self.window().size()
        self._head.keep_low(window.height() < LOW_WINDOW_PX * self._text_scale)
        charge_px = charge_height_px(window, self._text_scale)
        cautions_px = self._cautions.heightForWidth(self.area.viewport().width())
        self._day.fold_for_room(self.area.viewport().height() - cautions_px - 8, charge_px)
        self._day.chart.keep_first_pane(charge_px)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            # The headline may take more lines or fewer.
            self._fit()
        return super().eventFilter(watched, event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._dress()
