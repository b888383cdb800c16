"""The left side: what is carried, and under it what came of it."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSplitter, QVBoxLayout, QWidget

from app.station.view import StationsView
from app.verdict.panel import VerdictPanel

BUILDERS_SHARE = 0.52


class LeftSide(QWidget):
    """The builders over the results; the line between them can be dragged."""

    def __init__(
        self, stations: StationsView, results: VerdictPanel, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._revealed: QWidget | None = None
        self._results = results
        self.area = QScrollArea()
        self.area.setWidget(results)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setAccessibleName("results")
        self.down = QSplitter(Qt.Orientation.Vertical)
        self.down.addWidget(stations)
        self.down.addWidget(self.area)
        self.down.setChildrenCollapsible(False)
        self._is_dragged = False
        self.down.splitterMoved.connect(self._on_dragged)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.down)
        results.reveal_wanted.connect(self.reveal)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if not self._is_dragged and self.height() > self.minimumSizeHint().height():
            # Anew for each height: shares that are only scaled drift by their rounding.
            above = round(self.height() * BUILDERS_SHARE)
            self.down.setSizes([above, self.height() - above])

    def _on_dragged(self, _place: int, _index: int) -> None:
        self._is_dragged = True

    def minimumSizeHint(self) -> QSize:
        return QSize(240, 200)

    def reveal(self, widget: QWidget) -> None:
        """Bring something of the results into sight once it is laid out."""
        self._revealed = widget
        QTimer.singleShot(0, self, self._scroll_to_revealed)

    def _scroll_to_revealed(self) -> None:
        if self._revealed is not None:
            top = self._revealed.mapTo(self._results, QPoint(0, 0)).y()
            room = self.area.viewport().height()
            # What is higher than the room begins at its top.
            if self._revealed.height() >= room:
                self.area.verticalScrollBar().setValue(top)
            else:
                self.area.ensureWidgetVisible(self._revealed, 0, 12)
            self._revealed = None
