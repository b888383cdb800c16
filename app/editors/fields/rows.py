"""Editors of rows: pairs of numbers such as a key-down curve, hours of the day, and shade."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QWidget,
)

from app.editors.fields.editor import FieldEditor
from app.editors.fields.number import NumberEditor
from app.editors.fields.source_button import SourceButton
from app.editors.fields.texts import ClockEditor
from app.state.edit_context import Desk
from model.editing.paths import describe

ALWAYS = "always"
FIRST_STRETCH = (("18:00", "22:00"),)
FIRST_SHADE = ("14:00", "16:00", 0.0)
_TOP_RIGHT = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignRight


class _Remove(QToolButton):
    """Takes one row away; ``wanted`` carries which."""

    wanted = Signal(int)

    def __init__(self, path: str, index: int) -> None:
        super().__init__()
        self._index = index
        self.setText("−")
        self.setAutoRaise(True)
        self.setAccessibleName(f"remove {describe(path)}")
        self.setToolTip("Remove this row")
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.wanted.emit(self._index)


class RowsEditor(FieldEditor):
    """A list of rows, mostly pairs; they are added and taken away."""

    columns = 2

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self._rows: list[tuple[list[FieldEditor], _Remove]] = []
        self._body = QGridLayout()
        self._body.setContentsMargins(0, 0, 0, 0)
        self._body.setSpacing(4)
        self._body.setVerticalSpacing(2)
        self._body.setColumnStretch(0, 1)
        self.whole.insertLayout(1, self._body)
        self.add = QPushButton("Add a row")
        self.add.setAutoDefault(False)
        self.line.addWidget(self.add)
        self.use_as_editor(self.add)
        self.add.setAccessibleName(f"add a row to {describe(path)}")
        self.add.clicked.connect(self._on_add)

    def be_a_table(self, heads: Sequence[str]) -> None:
        """Stand alone, without a label: what each column is over the rows, what adds one below."""
        self.label.hide()
        self.show_heads(heads)
        below = QHBoxLayout()
        below.addWidget(self.add)
        below.addStretch(1)
        for widget in self.beside():
            below.addWidget(widget)
        self.whole.insertLayout(2, below)

    def beside(self) -> tuple[QWidget, ...]:
        """Return what else there is to do with the rows as a whole."""
        return ()

    def show_heads(self, heads: Sequence[str]) -> None:
        """Show what each column is, over the rows."""
        for column, words in enumerate(heads, start=1):
            label = QLabel(words)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom)
            self._body.addWidget(label, 0, column)

    def cell(self, path: str) -> FieldEditor:
        """Return the editor of one member of a pair."""
        return NumberEditor(self.desk, path, with_source=False)

    def next_row(self, value: tuple[Any, ...]) -> Any:
        """Return the pair that a new row begins with."""
        return (value[-1][0] * 2, value[-1][1] * 1.4) if value else (1.0, 1.0)

    def rows_of(self, value: Any) -> tuple[Any, ...]:
        """Return the pairs that a value holds."""
        return tuple(value)

    def show_value(self, value: Any) -> None:
        count = len(self.rows_of(value))
        while len(self._rows) > count:
            cells, remove = self._rows.pop()
            for widget in (*cells, remove):
                self._body.removeWidget(widget)
                widget.hide()
                widget.deleteLater()
        while len(self._rows) < count:
            self._add_row(len(self._rows))
        for cells, _ in self._rows:
            for cell in cells:
                cell.refresh()

    def _add_row(self, index: int) -> None:
        path = f"{self.path}.{index}"
        cells = [self.cell(f"{path}.{column}") for column in range(self.columns)]
        remove = _Remove(path, index)
        remove.wanted.connect(self.remove_row)
        # The heads stand in the first line, room to spare in the first column.
        for column, cell in enumerate(cells, start=1):
            cell.label.hide()
            if isinstance(cell, NumberEditor):
                cell.unit.be_narrow()
                cell.edit.set_characters(5)
            self._body.addWidget(cell, index + 1, column, _TOP_RIGHT)
        self._body.addWidget(remove, index + 1, self.columns + 1, _TOP_RIGHT)
        self._rows.append((cells, remove))

    def show_findings(self, findings: Any) -> None:
        findings = tuple(findings)
        super().show_findings(findings)

    def first_row(self) -> list[FieldEditor]:
        """Return the editors of the first row; none without a row."""
        return self._rows[0][0] if self._rows else []

    def remove_row(self, index: int) -> None:
        """Take one pair away, unless the field would then be refused."""
        rows = self.rows_of(self.value())
        self._put(rows[:index] + rows[index + 1 :])

    def _on_add(self) -> None:
        rows = self.rows_of(self.value())
        self._put((*rows, self.next_row(rows)))

    def _put(self, rows: Any) -> None:
        self.write(rows)
        self.desk.document.end_burst()


class PointsEditor(RowsEditor):
    """Pairs of numbers; two rows at least come and go together."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self._source = SourceButton(desk, path, self.whole)
        self.line.addWidget(self._source)

    def beside(self) -> tuple[QWidget, ...]:
        return (self._source,)

    def refresh(self) -> None:
        super().refresh()
        self._source.refresh()

    def _on_add(self) -> None:
        rows = self.rows_of(self.value())
        # One point alone is no curve and would be refused.
        self._put((*rows, self.next_row(rows)) if rows else ((5.0, 1.5), (10.0, 2.0)))

    def remove_row(self, index: int) -> None:
        rows = self.rows_of(self.value())
        if len(rows) == 2 and not self.facts.min_items:
            self._put(())
            return
        super().remove_row(index)


class HoursEditor(RowsEditor):
    """Always, or stretches of the day."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.always = QCheckBox("always")
        self.always.setAccessibleName(f"{describe(path)}: always")
        self.line.insertWidget(1, self.always)
        self.always.clicked.connect(self._on_always)

    def cell(self, path: str) -> FieldEditor:
        return ClockEditor(self.desk, path)

    def next_row(self, value: tuple[Any, ...]) -> Any:
        return (value[-1][1], "24:00") if value else FIRST_STRETCH[0]

    def rows_of(self, value: Any) -> tuple[Any, ...]:
        return () if value == ALWAYS else tuple(value)

    def show_value(self, value: Any) -> None:
        self.always.setChecked(value == ALWAYS)
        super().show_value(value)

    def _on_always(self, is_checked: bool) -> None:
        self._put(ALWAYS if is_checked else FIRST_STRETCH)


class ShadeEditor(RowsEditor):
    """Stretches of the day with the share of the direct light that is left in each."""

    columns = 3

    def cell(self, path: str) -> FieldEditor:
        if path.endswith(".2"):
            return NumberEditor(self.desk, path, with_source=False)
        return ClockEditor(self.desk, path)

    def next_row(self, value: tuple[Any, ...]) -> Any:
        return (value[-1][1], "24:00", value[-1][2]) if value else FIRST_SHADE
