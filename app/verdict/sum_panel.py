"""The sum behind one figure, in place under the table."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.number_text import fixed
from app.state.display import Display
from model.engine.comparison import Comparison
from model.support.figures import NBSP
from model.verdict.explain_figure import FigureSum, SumLine, figure_sum


class SumPanel(QFrame):
    """Hidden until a figure is opened; then it follows every change of the scenario."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._comparison: Comparison | None = None
        self._key, self._station = "", 0
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._title = QLabel()
        self._title.setTextFormat(Qt.TextFormat.PlainText)
        self._title.setWordWrap(True)
        font = self._title.font()
        font.setBold(True)
        self._title.setFont(font)
        close = QToolButton()
        close.setText("✕")
        close.setAutoRaise(True)
        close.setAccessibleName("close the sum")
        close.setToolTip("Close the sum (Esc)")
        close.clicked.connect(self.close_figure)
        head = QHBoxLayout()
        head.addWidget(self._title, 1)
        head.addWidget(close)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(1)
        self._grid.setColumnStretch(0, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 4, 8, 6)
        whole.addLayout(head)
        whole.addLayout(self._grid)
        self.hide()

    def show_comparison(self, comparison: Comparison) -> None:
        """Follow a newer comparison."""
        self._comparison = comparison
        if self._station >= len(comparison.runs):
            self.close_figure()
        self.refresh()

    def open_figure(self, key: str, station: int) -> None:
        """Open the sum behind a figure."""
        self._key, self._station = key, station
        self.refresh()
        self.show()

    def close_figure(self) -> None:
        """Close the sum."""
        self._key = ""
        self.hide()

    def refresh(self) -> None:
        """Show the sum as it now is."""
        if self._key and self._comparison is not None:
            self._show_sum(figure_sum(self._comparison, self._station, self._key))

    def _show_sum(self, found: FigureSum) -> None:
        self._title.setText(found.title)
        while self._grid.count():
            item = self._grid.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        spoken = [found.title]
        for row, line in enumerate(found.lines):
            spoken.append(self._show_line(row, line))
        if found.total is not None:
            rule = QFrame()
            rule.setFrameShape(QFrame.Shape.HLine)
            self._grid.addWidget(rule, len(found.lines), 0, 1, 3)
            spoken.append(self._show_line(len(found.lines) + 1, found.total))
        self.setAccessibleName("; ".join(spoken))

    def _show_line(self, row: int, line: SumLine) -> str:
        amount = self._amount(line)
        for column, text in enumerate((line.label, line.factors, amount)):
            label = QLabel(text)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(column == 0)
            side = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
            label.setAlignment(side | Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(label, row, column)
        return f"{line.label}: {line.factors} {amount}".strip()

    def _amount(self, line: SumLine) -> str:
        pieces = []
        if line.ah is not None:
            pieces.append(f"{fixed(line.ah, 2)}{NBSP}Ah")
        if line.wh is not None:
            pieces.append(f"{fixed(line.wh, 1)}{NBSP}Wh")
        if line.kg is not None:
            pieces.append(self._display.quantity(line.kg, "kg", 2))
        return ", ".join(pieces)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.close_figure()
            return
        super().keyPressEvent(event)
