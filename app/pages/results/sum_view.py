"""The sum behind one figure: its terms, each with its factors, and what they come to."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QWidget

from app.state.display import Display
from app.widgets.number_text import fixed
from model.verdict.explain_figure import FigureSum, SumLine

# Labels wrap at so many digits.
LABEL_DIGITS = 34


class SumView(QWidget):
    """Shows one sum at a time."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(2)
        self._grid.setColumnStretch(0, 1)

    def show_sum(self, found: FigureSum) -> None:
        """Show another sum."""
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
        is_alone = not line.factors and not amount
        for column, text in enumerate((line.label, line.factors, amount)):
            label = QLabel(text)
            label.setTextFormat(Qt.TextFormat.PlainText)
            if column == 0:
                label.setWordWrap(True)
                label.setMinimumWidth(label.fontMetrics().horizontalAdvance("0") * LABEL_DIGITS)
            side = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
            label.setAlignment(side | Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(label, row, column, 1, 3 if is_alone else 1)
            if is_alone:
                break
        return f"{line.label}: {line.factors} {amount}".strip(" :")

    def _amount(self, line: SumLine) -> str:
        pieces = []
        if line.ah is not None:
            pieces.append(fixed(line.ah, 2, "Ah"))
        if line.wh is not None:
            pieces.append(fixed(line.wh, 1, "Wh"))
        if line.kg is not None:
            pieces.append(self._display.quantity(line.kg, "kg", 2))
        return ", ".join(pieces)
