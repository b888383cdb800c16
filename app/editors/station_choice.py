"""Which station a view is about."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

from app.editors.fields.editor import plain_tip
from app.widgets.tokens import station_style
from model.results.wording import letter
from model.scenario.scenario import Scenario


class StationChoice(QComboBox):
    """The stations by letter and name; ``whole`` is a first entry that means all of them."""

    def __init__(self, name: str, whole: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._whole = whole
        self.setAccessibleName(name)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(max(22, len(whole)))

    def show_stations(self, scenario: Scenario) -> None:
        """Offer the stations of a scenario; the one chosen stays chosen while it is there."""
        names = [self._whole] if self._whole else []
        for index, station in enumerate(scenario.stations):
            name = " ".join(station.name.split()) or f"Station {letter(index)}"
            names.append(f"{station_style(index).letter}  {name}")
        if names == [self.itemText(row) for row in range(self.count())]:
            return
        row = min(max(self.currentIndex(), 0), len(names) - 1)
        self.blockSignals(True)
        self.clear()
        self.addItems(names)
        self.setCurrentIndex(row)
        self.blockSignals(False)
        self.setToolTip(plain_tip(self.currentText()))

    @property
    def station(self) -> int | None:
        """The station chosen, from 0; none where all are."""
        index = max(self.currentIndex(), 0) - (1 if self._whole else 0)
        return index if index >= 0 else None

    def choose(self, index: int) -> None:
        """Choose a station, from 0."""
        self.setCurrentIndex(index + (1 if self._whole else 0))
