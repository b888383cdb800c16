"""The place as a Maidenhead locator, beside its degrees: each follows the other."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from PySide6.QtWidgets import QWidget

from app.editors.fields.editor import plain_tip
from app.editors.fields.typed import TypedEditor
from app.state.edit_context import Desk
from model.editing.locator import locator_of, read_locator, spelt
from model.findings.rules import Finding

NAME = "site, locator"
HELP = (
    "Maidenhead locator: 4, 6 or 8 characters. What you type puts the place at the middle of that"
    " square; six characters are known to some 5\N{NO-BREAK SPACE}km."
)


class LocatorField(TypedEditor):
    """Shows the locator of the degrees; what is typed sets both degrees as one undo step."""

    characters = 9

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "site.latitude_deg", parent)
        self._typed = ""
        self.label.setText("Locator")
        self.edit.setAccessibleName(NAME)

    def show_help(self) -> None:
        """Say what the field is, in the units shown."""
        words = self.desk.display.sentence(HELP)
        self.edit.setAccessibleDescription(words)
        for widget in (self.label, self.edit):
            widget.setToolTip(plain_tip(words))

    def refresh(self) -> None:
        super().refresh()
        self.show_help()

    def value(self) -> tuple[float, float]:
        site = self.desk.document.scenario.site
        return site.latitude_deg, site.longitude_deg

    def read(self, text: str) -> tuple[float, float]:
        place = read_locator(text)
        self._typed = spelt(text)
        return place

    def text_of(self, value: Any) -> str:
        # What was typed stays as long as it was, while the place is still the middle of it.
        if self._typed and read_locator(self._typed) == value:
            return self._typed
        return locator_of(*value)

    def write(self, value: Any) -> bool:
        scenario = self.desk.document.scenario
        latitude, longitude = value
        site = scenario.site.model_copy(
            update={"latitude_deg": latitude, "longitude_deg": longitude}
        )
        after = scenario.model_copy(update={"site": site})
        self.desk.document.replace("change of the locator", after, NAME)
        self.show_fault("")
        return True

    def show_findings(self, findings: Iterable[Finding]) -> None:
        """Leave what is found to the degrees."""
