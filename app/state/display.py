"""How quantities are shown at present: metric or US units, and the size of text."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication

from app.state.settings import TEXT_SIZES_PERCENT, Settings
from app.widgets.number_text import (
    entered_quantity,
    number_text,
    quantity,
    read_number,
    sentence_text,
    shown_as,
    shown_unit,
    understood,
)
from app.widgets.tokens import body_font
from model.editing.field_facts import FieldFacts
from model.findings.rules import Finding


class Display(QObject):
    """Owns the choice of units and of text size, and remembers it."""

    units_changed = Signal()
    text_size_changed = Signal()

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._before = QApplication.font()
        self._usual_points = self._before.pointSizeF()

    @property
    def is_us(self) -> bool:
        """Whether US customary units are shown."""
        return self._settings.is_us

    def set_us(self, is_us: bool) -> None:
        """Show US customary or metric units."""
        if is_us != self._settings.is_us:
            self._settings.is_us = is_us
            self.units_changed.emit()

    @property
    def text_percent(self) -> int:
        """Size of text over the system's, in per cent."""
        return self._settings.text_percent

    def set_text_percent(self, percent: int) -> None:
        """Show all text larger or smaller."""
        self._settings.text_percent = percent
        self.apply_text_size()
        self.text_size_changed.emit()

    def apply_text_size(self) -> None:
        """Give the program's font its size."""
        points = self._usual_points * self.text_percent / 100
        QApplication.setFont(body_font(QApplication.font(), points))

    def restore_text_size(self) -> None:
        """Give the program's font back the size it had before this window."""
        QApplication.setFont(self._before)

    def next_text_percent(self, step: int) -> int:
        """Return the next size up or down."""
        sizes = TEXT_SIZES_PERCENT
        index = sizes.index(self.text_percent) + step
        return sizes[max(0, min(index, len(sizes) - 1))]

    def text(self, value: float | None, facts: FieldFacts) -> str:
        """Return a field's number as it stands in its editor."""
        return number_text(value, facts, us=self.is_us)

    def read(self, text: str, facts: FieldFacts, supply_v: float | None = None) -> float | None:
        """Return the value that text means; raises NumberTextError."""
        return read_number(text, facts, us=self.is_us, supply_v=supply_v)

    def understood(self, text: str, facts: FieldFacts, supply_v: float | None = None) -> str:
        """Return what was understood of text in another unit than the one shown."""
        return understood(text, facts, us=self.is_us, supply_v=supply_v)

    def unit(self, facts: FieldFacts) -> str:
        """Return the unit that stands beside a field."""
        return shown_as(facts, us=self.is_us).unit

    def quantity(self, value: float, unit: str, decimals: int) -> str:
        """Return a number with its unit, as in a line of text."""
        return quantity(value, unit, decimals, us=self.is_us)

    def entered(self, value: float, unit: str, decimals: int) -> str:
        """Return a number that a person entered with its unit, as in a line of text."""
        return entered_quantity(value, unit, decimals, us=self.is_us)

    def sentence(self, text: str) -> str:
        """Return a sentence of the model with its quantities in the units shown."""
        return sentence_text(text, us=self.is_us)

    def help(self, facts: FieldFacts) -> str:
        """Return what is said of a field, in the unit that stands beside it.

        What is stated at 25 °C, as data sheets have it, stays so beside volts and watts.
        """
        is_other = shown_unit(facts.unit, 0, us=self.is_us).unit != facts.unit
        return self.sentence(facts.help) if is_other else facts.help

    def finding(self, finding: Finding) -> str:
        """Return a finding with its remedy, in the units shown."""
        words = f"{finding.sentence} {finding.remedy}".strip()
        # What a variant is called may hold quantities: they stay as a person wrote them.
        return words if finding.path.startswith("variants.") else self.sentence(words)
