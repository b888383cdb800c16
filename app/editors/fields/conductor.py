"""The conductor of a lead: square millimetres or AWG, never both asked for."""

from __future__ import annotations

from typing import Any

from app.editors.fields.editor import fault_words
from app.editors.fields.number import NumberEditor
from app.widgets.number_text import awg_of, plain
from model.editing.faults import ScenarioError
from model.editing.field_facts import place_words
from model.editing.paths import value_at, with_value
from model.station.conductors import conductor_mm2

OTHER = {"awg": "size_mm2", "size_mm2": "awg"}


class ConductorEditor(NumberEditor):
    """One of the two ways to say how thick; what is typed here takes the place of the other.

    While it is empty and the other is not, it shows in grey what the other comes to.
    """

    _settled_other: Any = None

    @property
    def _lead(self) -> str:
        return self.path.rpartition(".")[0]

    @property
    def _other(self) -> str:
        return f"{self._lead}.{OTHER[self.path.rpartition('.')[2]]}"

    def settle(self) -> None:
        super().settle()
        self._settled_other = value_at(self.desk.document.scenario, self._other)

    def refresh(self) -> None:
        super().refresh()
        size_mm2 = conductor_mm2(value_at(self.desk.document.scenario, self._lead))
        if size_mm2 is None:
            self.edit.setPlaceholderText("–")
        elif self.path.endswith("awg"):
            self.edit.setPlaceholderText(f"≈ {plain(awg_of(size_mm2), 0)}")
        else:
            self.edit.setPlaceholderText(f"≈ {plain(size_mm2, 1)}")

    def write(self, value: Any) -> bool:
        """Hold the conductor in this way; what was given up comes back as it was, in either."""
        document = self.desk.document
        other = value_at(document.scenario, self._other)
        if value == self._settled:
            other = self._settled_other
        elif value is not None:
            other = None
        try:
            changed = with_value(document.scenario, self.path, value)
            changed = with_value(changed, self._other, other)
        except ScenarioError as error:
            self.show_fault(fault_words(error.faults))
            return False
        document.replace(f"change of {place_words(self.path)}", changed, self.path)
        self.show_fault("")
        return True
