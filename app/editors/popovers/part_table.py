"""Parts to choose from: a line each, with the numbers that matter beside its name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QAbstractItemView

from app.editors.fields.words import word_of
from app.state.display import Display
from app.widgets.figure_view import FigureView
from app.widgets.number_text import quantity
from app.widgets.table_model import TableRow, TextTable
from model.editing.field_facts import FieldFacts, field_at
from model.library.store import place_in_station
from model.scenario.kinds import PartKind
from model.scenario.station import Part

# Beside the name stand so many of the numbers that say most of a part, and its mass.
MOST_NUMBERS, MASS = 3, "mass_kg"
MOST_ROWS, MOST_NAME_DIGITS, ROW_MARGIN_PX, CELL_MARGIN_PX = 14, 34, 6, 14
NONE, NOTHING = "none", "–"
# Behind the name of a part that is as a person made it.
OWN = ", as it is"
_SHOWN = ("number", "whole", "choice", "points")


class PartTable(FigureView):
    """Shows parts; ``part_chosen`` carries the row that was selected by hand."""

    part_chosen = Signal(int)

    def __init__(self, name: str, kind: PartKind, display: Display) -> None:
        super().__init__(name, TextTable(words=(0,), tip="Return keeps this part"))
        self._kind, self._display = kind, display
        self._is_showing = False
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.verticalHeader().hide()
        self.selectionModel().selectionChanged.connect(self._on_selected)

    def show_parts(
        self, parts: Sequence[Part | None], chosen: int, *, is_own_first: bool = False
    ) -> None:
        """Show parts, or that there may be none; ``chosen`` is a row, -1 for none of them.

        With ``is_own_first`` the first is the station's own and not one of the others.
        """
        names = self._columns(parts)
        heads = [self._kind.label, *(self._head(name) for name in names)]
        rows = [
            self._row(part, names, OWN if is_own_first and not place else "")
            for place, part in enumerate(parts)
        ]
        self._is_showing = True
        self.texts.show(heads, rows, [head.replace("\n", ", ") for head in heads])
        if chosen >= 0:
            self.setCurrentIndex(self.texts.index(chosen, 0))
        else:
            self.clearSelection()
        self._is_showing = False
        self.measure()

    def _columns(self, parts: Sequence[Part | None]) -> list[str]:
        """Return the fields of which any part says something, the one that says most in front."""
        told = [
            name
            for name in self._kind.first
            if self._facts(name).kind in _SHOWN
            and any(self._text(part, name) != NOTHING for part in parts if part is not None)
        ]
        return [*(name for name in told[:MOST_NUMBERS] if name != MASS), MASS]

    def _facts(self, name: str) -> FieldFacts:
        return field_at(f"{place_in_station(self._kind.key)}.{name}")

    def _head(self, name: str) -> str:
        facts = self._facts(name)
        unit = self._display.unit(facts) if facts.kind in ("number", "whole") else ""
        return f"{facts.label}\n{unit}" if unit else facts.label

    def _row(self, part: Part | None, names: Sequence[str], after: str) -> TableRow:
        if part is None:
            return TableRow((NONE, *("" for _ in names)), key=NONE)
        called = f"{part.name or self._kind.label}{after}" if after else part.name
        cells = (called, *(self._text(part, name) for name in names))
        heads = [self._head(name).replace("\n", ", ") for name in names]
        told = [f"{called}: {head}: {cell}" for head, cell in zip(heads, cells[1:], strict=True)]
        return TableRow(cells, (called, *told), key=called)

    def _text(self, part: Part, name: str) -> str:
        facts, value = self._facts(name), _held(part, name)
        if facts.kind == "points":
            # The whole curve has no room: its last point says most.
            most = max(value, default=None)
            return (
                f"{quantity(most[1], 'A', 2)} at {quantity(most[0], 'W', 1)}" if most else NOTHING
            )
        if facts.kind == "choice":
            return word_of(value)
        return self._display.text(value, facts) or NOTHING

    def measure(self) -> None:
        self.fit()

    def fit(self) -> None:
        metrics, header = self.fontMetrics(), self.horizontalHeader()
        row_px = metrics.height() + ROW_MARGIN_PX
        self.verticalHeader().setDefaultSectionSize(row_px)
        most_px = metrics.horizontalAdvance("0") * MOST_NAME_DIGITS
        width = 0
        for column, texts in enumerate(self.texts.column_texts()):
            lines = [line for text in texts for line in text.split("\n")]
            needed = max(metrics.horizontalAdvance(line) for line in lines) + CELL_MARGIN_PX
            header.resizeSection(column, min(needed, most_px) if column == 0 else needed)
            width += header.sectionSize(column)
        rows = self.texts.rowCount()
        bar_px = self.verticalScrollBar().sizeHint().width() if rows > MOST_ROWS else 0
        self.setMinimumWidth(width + bar_px + 2)
        self.setFixedHeight(header.sizeHint().height() + row_px * min(rows, MOST_ROWS) + 2)

    def _on_selected(self) -> None:
        rows = self.selectionModel().selectedRows()
        if rows and not self._is_showing:
            self.part_chosen.emit(rows[0].row())

    def focusInEvent(self, event: QFocusEvent) -> None:
        # The keyboard stands on a part when it comes; only moving on, a click or Space chooses.
        rows = self.selectionModel().selectedRows()
        self._is_showing = True
        super().focusInEvent(event)
        if not rows:
            self.clearSelection()
        self._is_showing = False


def _held(part: Part, name: str) -> Any:
    return part.model_dump(by_alias=True)[name]
