"""The row under the strip: every field of the chosen block, to be typed exactly."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.flow import FlowLayout
from app.plan_strip.cells import Cell, ChoiceCell, ClockCell, FlagCell, NoteCell, NumberCell
from model.scenario.scenario import Block

SENDING = ("rf_w", "transmit_share")


class BlockEditor(QWidget):
    """Shows one block and says how it is wanted; it changes nothing itself."""

    block_changed = Signal(object, str)
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._block: Block | None = None
        self._cells: dict[str, Cell] = {}
        self._fault = QLabel(self)
        self._fault.setTextFormat(Qt.TextFormat.PlainText)
        self._fault.setWordWrap(True)
        self._fault.hide()
        self._row = QWidget(self)
        row = FlowLayout(self._row)
        for cell in (
            ClockCell("start"), ClockCell("end"), ChoiceCell("activity"), NumberCell("rf_w"),
            NumberCell("transmit_share"), NumberCell("listen_share"), FlagCell("processed"),
            NumberCell("frequency_mhz"), NoteCell("note"),
        ):  # fmt: skip
            self._cells[cell.name] = cell
            row.addWidget(cell)
            cell.changed.connect(self._on_changed)
            cell.refused.connect(self._on_refused)
            cell.left.connect(self.left)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 0, 4, 0)
        column.setSpacing(2)
        column.addWidget(self._row)
        column.addWidget(self._fault)
        self.show_block(None)

    def show_block(self, block: Block | None) -> None:
        """Show a block; without one the row takes no room."""
        self._block = block
        self._row.setVisible(block is not None)
        self._fit()
        if block is None:
            return
        for name, cell in self._cells.items():
            cell.show_value(getattr(block, name))
        sends = block.activity not in ("off", "watch")
        for name in SENDING:
            self._cells[name].setEnabled(sends)
        self._cells["listen_share"].setEnabled(block.activity != "off")
        self._cells["processed"].setEnabled(block.activity == "voice")

    def forget(self) -> None:
        """Let go of what was refused: another block is shown from now on."""
        self.show_fault("")
        for cell in self._cells.values():
            cell.forget()

    def show_fault(self, sentence: str, name: str = "") -> None:
        """Say why something typed was refused, and mark where; an empty sentence takes it away."""
        self._fault.setText(sentence)
        self._fault.setVisible(bool(sentence))
        self._fit()
        if name in self._cells:
            self._cells[name].mark(bool(sentence))

    @property
    def fault_text(self) -> str:
        """Why something typed was refused."""
        return self._fault.text()

    def cell(self, name: str) -> Cell:
        """Return the editor of a field."""
        return self._cells[name]

    def _fit(self) -> None:
        self.setVisible(self._block is not None or bool(self.fault_text))

    def _on_changed(self, name: str, value: Any) -> None:
        if self._block is not None:
            self.show_fault("")
            self.block_changed.emit(self._block.model_copy(update={name: value}), name)

    def _on_refused(self, name: str, sentence: str) -> None:
        self.show_fault(sentence, name)
