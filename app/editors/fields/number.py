"""A number with its unit, and where it comes from."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.editors.fields.source_button import SourceButton, SourceGap
from app.editors.fields.typed import TypedEditor
from app.state.edit_context import Desk
from app.widgets.number_text import NumberTextError, plain, shown_as, step_of
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


class NumberEditor(TypedEditor):
    """A number: typed text is used at once when it can be, and stays, marked, when it cannot."""

    characters = NUMBER_CHARACTERS

    def __init__(
        self, desk: Desk, path: str, parent: QWidget | None = None, *, with_source: bool = True
    ) -> None:
        super().__init__(desk, path, parent)
        self.edit.setAlignment(Qt.AlignmentFlag.AlignRight)
        if self.facts.optional:
            self.edit.setPlaceholderText("–")
        self.unit = UnitLabel("")
        self.line.addWidget(self.unit)
        self._source: SourceButton | None = None
        if with_source and can_have_source(path):
            self._source = SourceButton(desk, path, self.whole)
            self.line.addWidget(self._source)
        elif with_source and path.startswith("stations."):
            self.line.addWidget(SourceGap())
        self.edit.stepped.connect(self._on_stepped)

    def refresh(self) -> None:
        super().refresh()
        if self._source is not None:
            self._source.refresh()

    def show_value(self, value: Any) -> None:
        unit = self.desk.display.unit(self.facts)
        if unit != self.unit.text():
            # Whatever stands there was of another unit.
            self.unit.setText(unit)
            self.show_help()
            self._shown = value
            self._put(value)
        else:
            super().show_value(value)

    def read(self, text: str) -> float | None:
        return self.desk.display.read(text, self.facts, self._supply_v())

    def text_of(self, value: Any) -> str:
        return self.desk.display.text(value, self.facts)

    def _supply_v(self) -> float | None:
        """Return the volts that turn watts into amperes here, and watt-hours into Ah."""
        if self.facts.unit not in ("A", "Ah") or not self.path.startswith("stations."):
            return None
        station = self.desk.document.scenario.stations[int(self.path.split(".")[1])]
        return nominal_v(station.battery)

    def _on_typed(self, text: str) -> None:
        self.show_understood(self.desk.display.understood(text, self.facts, self._supply_v()))
        super()._on_typed(text)

    def _on_stepped(self, direction: int) -> None:
        shown = shown_as(self.facts, us=self.desk.display.is_us)
        try:
            value = self.read(self.edit.text())
        except NumberTextError:
            return
        here = shown.of(value) if value is not None else 0.0
        step = max(step_of(here), 1.0) if self.facts.kind == "whole" else step_of(here)
        self.edit.setText(plain(here + direction * step, 10))
        self._on_typed(self.edit.text())


def can_have_source(path: str) -> bool:
    """Whether a part keeps the source of the number at this path."""
    parent, _, name = path.rpartition(".")
    try:
        field_at(f"{parent}.sources.{name}")
    except KeyError:
        return False
    return field_at(path).spread is not None and field_at(path).spread != 0.0
