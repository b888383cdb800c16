"""The left side: what is carried, and right under it what came of it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from app.editors.sheet.grid import SheetGrid
from app.pages.results.panel import VerdictPanel

# The results take what they need, but leave so many rows for the parts; where that would be too
# little for them, they keep this share of the height.
PARTS_ROWS, LEAST_SHARE = 10, 0.4


class LeftSide(QWidget):
    """The sheet as high as its rows, and under it the results, which stay in sight.

    Where there is no room for all rows, the sheet is what scrolls.
    """

    def __init__(
        self, sheet: SheetGrid, results: VerdictPanel, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._sheet, self._results = sheet, results
        self.area = QScrollArea()
        self.area.setWidget(results)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setAccessibleName("results")
        for ground in (self, self.area.viewport()):
            ground.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAutoFillBackground(True)
        results.home = self
        results.installEventFilter(self)
        rows = sheet.verticalHeader()
        rows.sectionResized.connect(self._fit)
        rows.sectionCountChanged.connect(self._fit)
        sheet.laid_out.connect(self._fit)
        sheet.horizontalScrollBar().rangeChanged.connect(self._fit)
        results.results.go_across_with(sheet.horizontalScrollBar())
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(sheet)
        whole.addWidget(self.area)
        whole.addStretch(1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        rows = self._sheet.verticalHeader().defaultSectionSize() * PARTS_ROWS
        most = max(self.height() - self._head_px() - rows, round(self.height() * LEAST_SHARE))
        results = min(self._results.sizeHint().height(), most)
        self.area.setFixedHeight(results)
        self._sheet.setFixedHeight(max(min(self._rows_px(), self.height() - results), 0))

    def _rows_px(self) -> int:
        """Return how high the sheet is with all its rows."""
        sheet = self._sheet
        bar = sheet.horizontalScrollBar()
        below = bar.sizeHint().height() if bar.maximum() > 0 else 0
        return self._head_px() + sheet.verticalHeader().length() + below + 2 * sheet.frameWidth()

    def _head_px(self) -> int:
        return self._sheet.horizontalHeader().sizeHint().height()

    def minimumSizeHint(self) -> QSize:
        return QSize(240, 200)
