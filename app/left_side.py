"""The left side: what is carried, and pinned under it what came of it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from app.verdict.panel import VerdictPanel

# The results take what they need, but leave so much for the parts.
RESULTS_SHARE = 0.6


class LeftSide(QWidget):
    """The builders over the results, which stay in sight."""

    def __init__(
        self, stations: QWidget, results: VerdictPanel, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._results = results
        self.area = QScrollArea()
        self.area.setWidget(results)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setAccessibleName("results")
        results.home = self
        results.installEventFilter(self)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(stations, 1)
        whole.addWidget(self.area)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        wanted = self._results.sizeHint().height()
        self.area.setFixedHeight(min(wanted, round(self.height() * RESULTS_SHARE)))

    def minimumSizeHint(self) -> QSize:
        return QSize(240, 200)
