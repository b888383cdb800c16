"""The sun's way over the horizon sketch on the first day, worked out while the sketch is seen."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.document import Document
from app.place.panel import PlacePanel
from app.plots.horizon import HorizonSketch
from model.scenario import Day, Scenario, Site
from model.sun import sun_position


class SunPath(QObject):
    """Follows the place and the date of a scenario."""

    def __init__(
        self, document: Document, place: PlacePanel, horizon: HorizonSketch, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._document, self._horizon = document, horizon
        self._shown: tuple[Site, Day] | None = None
        document.scenario_changed.connect(self._show)
        place.more_toggled.connect(self._on_toggled)

    def _on_toggled(self, _is_open: bool) -> None:
        self._show()

    def _show(self) -> None:
        if not self._horizon.isVisible():
            return
        scenario: Scenario = self._document.scenario
        first = scenario.day.model_copy(update={"days": 1})
        bare = scenario.site.model_copy(update={"horizon": ()})
        if (bare, first) != self._shown:
            self._shown = (bare, first)
            self._horizon.show_horizon(
                scenario.site.horizon, (sun_position(scenario.site, first),)
            )
