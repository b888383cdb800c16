"""The editor of a block: every field of the chosen one, to be typed exactly, and what to do."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.editors.plan_strip.cells import Cell, ChoiceCell, ClockCell, FlagCell, NoteCell, NumberCell
from app.widgets.caution_label import CautionLabel
from model.scenario.cautions import AT_THE_PLAN
from model.scenario.scenario import Block

SENDING = ("rf_w", "transmit_share")
# Name, row, column and how many columns it takes.
PLACES = (
    ("start", 0, 0, 1), ("end", 0, 1, 1), ("activity", 0, 2, 1),
    ("rf_w", 1, 0, 1), ("transmit_share", 1, 1, 1), ("listen_share", 1, 2, 1),
    ("frequency_mhz", 2, 0, 1), ("processed", 2, 1, 1), ("note", 2, 2, 1),
)  # fmt: skip
WISHES = (
    ("split", "Split", "Cut the block in two (S)"),
    ("copy", "Copy", "Put a copy in the next time that holds it (Ctrl+D)"),
    ("delete", "Delete", "Take the block away (Delete)"),
)


class BlockEditor(QWidget):
    """Shows one block and says how it is wanted; it changes nothing itself.

    ``asked`` tells what is to be done with the block.
    """

    block_changed = Signal(object, str)
    left = Signal()
    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._block: Block | None = None
        made: tuple[Cell, ...] = (
            ClockCell("start"), ClockCell("end"), ChoiceCell("activity"), NumberCell("rf_w"),
            NumberCell("transmit_share"), NumberCell("listen_share"), FlagCell("processed"),
            NumberCell("frequency_mhz"), NoteCell("note"),
        )  # fmt: skip
        self._cells = {cell.name: cell for cell in made}
        self._fault = QLabel()
        self._fault.setTextFormat(Qt.TextFormat.PlainText)
        self._fault.setWordWrap(True)
        self._fault.hide()
        self.buttons = {wish: self._button(wish, text, tip) for wish, text, tip in WISHES}
        self._lay_out()
        for cell in made:
            cell.changed.connect(self._on_changed)
            cell.refused.connect(self._on_refused)
            cell.left.connect(self.left)

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(6)
        for name, row, place, width in PLACES:
            grid.addWidget(self._cells[name], row, place, 1, width)
        grid.setColumnStretch(2, 1)
        line = QHBoxLayout()
        for button in self.buttons.values():
            line.addWidget(button)
        line.addStretch(1)
        cautions = CautionLabel()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(grid)
        column.addWidget(self._fault)
        column.addLayout(line)
        column.addWidget(cautions)
        cautions.show_cautions(AT_THE_PLAN)
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * 66)

    def _button(self, wish: str, text: str, tip: str) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(wish)
        button.setToolTip(tip)
        button.setAccessibleName(f"{text} block")
        button.setAutoDefault(False)
        button.clicked.connect(self._on_clicked)
        return button

    def show_block(self, block: Block | None) -> None:
        """Show a block; without one nothing changes."""
        self._block = block
        if block is None:
            return
        for name, cell in self._cells.items():
            cell.show_value(getattr(block, name))
        for name in SENDING:
            self._cells[name].setEnabled(block.activity not in ("off", "watch"))
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
        if name in self._cells:
            self._cells[name].mark(bool(sentence))

    @property
    def fault_text(self) -> str:
        """Why something typed was refused."""
        return self._fault.text()

    def cell(self, name: str) -> Cell:
        """Return the editor of a field."""
        return self._cells[name]

    def _on_clicked(self) -> None:
        self.asked.emit(self.sender().objectName())

    def _on_changed(self, name: str, value: Any) -> None:
        if self._block is not None:
            self.show_fault("")
            self.block_changed.emit(self._block.model_copy(update={name: value}), name)

    def _on_refused(self, name: str, sentence: str) -> None:
        self.show_fault(sentence, name)
