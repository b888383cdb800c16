"""A number with its unit, and where it comes from."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.fields.editor import FieldEditor
from app.fields.line import LineEdit
from app.fields.source import SourceButton, SourceGap
from app.number_text import NumberTextError, plain, shown_as, step_of
from app.state.edit_context import Desk
from model.editing.field_facts import field_at
from model.station.chemistry import nominal_v

NUMBER_CHARACTERS = 6
UNIT_CHARACTERS = 4


class UnitLabel(QLabel):
    """The unit beside a number; all are equally wide, so that the numbers stand in a column."""

    def __init__(self, unit: str, parent: QWidget | None = None) -> None:
        super().__init__(unit, parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._characters = UNIT_CHARACTERS

    def be_narrow(self) -> None:
        """Take no more room than the unit: for fields that stand in a line."""
        self._characters = 0
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        usual = self.fontMetrics().horizontalAdvance("m" * self._characters)
        return super().sizeHint().expandedTo(QSize(usual, 0))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class NumberEditor(FieldEditor):
    """A number: typed text is used at once when it can be, and stays, marked, when it cannot."""

    def __init__(
        self, desk: Desk, path: str, parent: QWidget | None = None, *, with_source: bool = True
    ) -> None:
        super().__init__(desk, path, parent)
        self.edit = LineEdit(NUMBER_CHARACTERS)
        self.edit.setAlignment(Qt.AlignmentFlag.AlignRight)
        if self.facts.optional:
            self.edit.setPlaceholderText("–")
        self.unit = UnitLabel("")
        self.line.addWidget(self.edit)
        self.line.addWidget(self.unit)
        self._source: SourceButton | None = None
        if with_source and can_have_source(path):
            self._source = SourceButton(desk, path, self.whole)
            self.line.addWidget(self._source)
        elif with_source and path.startswith("stations."):
            self.line.addWidget(SourceGap())
        self.use_as_editor(self.edit)
        self.edit.textEdited.connect(self._on_typed)
        self.edit.stepped.connect(self._on_stepped)
        self.edit.entered.connect(self._on_entered)
        self.edit.given_up.connect(self._on_given_up)
        self.edit.left.connect(self._on_left)
        self.edit.returnPressed.connect(self._on_left)

    def refresh(self) -> None:
        super().refresh()
        if self._source is not None:
            self._source.refresh()

    def show_value(self, value: Any) -> None:
        unit = self.desk.display.unit(self.facts)
        units_changed = unit != self.unit.text()
        if units_changed:
            self.unit.setText(unit)
        if value == self._shown and not units_changed:
            return
        self._shown = value
        if not units_changed and self._means(value):
            return
        self.edit.show_text(self.desk.display.text(value, self.facts))
        self._accept()
        self.settle()

    def _means(self, value: Any) -> bool:
        """Whether the text that stands there already means this value."""
        try:
            return self.edit.hasFocus() and self._read() == value
        except NumberTextError:
            return False

    def _read(self) -> float | None:
        return self.desk.display.read(self.edit.text(), self.facts, self._supply_v())

    def _supply_v(self) -> float | None:
        """Return the volts that turn watts into amperes here, and watt-hours into Ah."""
        if self.facts.unit not in ("A", "Ah") or not self.path.startswith("stations."):
            return None
        station = self.desk.document.scenario.stations[int(self.path.split(".")[1])]
        return nominal_v(station.battery)

    def _accept(self) -> None:
        self.edit.mark(False)
        self.show_understood("")
        self.show_fault("")

    def _on_typed(self, text: str) -> None:
        self.show_understood(self.desk.display.understood(text, self.facts, self._supply_v()))
        try:
            value = self._read()
        except NumberTextError as error:
            self.edit.mark(True)
            self.refuse(str(error))
            return
        self.edit.mark(not self.write(value))
        if self.edit.is_marked:
            self.refuse(self.fault)

    def _on_stepped(self, direction: int) -> None:
        shown = shown_as(self.facts, us=self.desk.display.is_us)
        try:
            value = self._read()
        except NumberTextError:
            return
        here = shown.of(value) if value is not None else 0.0
        step = max(step_of(here), 1.0) if self.facts.kind == "whole" else step_of(here)
        self.edit.setText(plain(here + direction * step, 10))
        self._on_typed(self.edit.text())

    def _on_given_up(self) -> None:
        self.give_up()
        self.edit.show_text(self.desk.display.text(self.value(), self.facts))
        self._accept()

    def _on_entered(self) -> None:
        if not self.edit.is_marked:
            self.settle()

    def _on_left(self) -> None:
        self.desk.document.end_burst()
        # The keyboard also leaves a field whose part or station was just removed.
        if not self.edit.is_marked and self.is_there():
            self.settle()
            self.show_understood("")
            self.edit.show_text(self.desk.display.text(self.value(), self.facts))


def can_have_source(path: str) -> bool:
    """Whether a part keeps the source of the number at this path."""
    parent, _, name = path.rpartition(".")
    try:
        field_at(f"{parent}.sources.{name}")
    except KeyError:
        return False
    return field_at(path).spread is not None and field_at(path).spread != 0.0
