"""The sun's way over the horizon sketch on the first day, worked out while the sketch is seen."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.place.panel import PlacePanel
from app.plots.horizon import HorizonSketch
from app.session import Session
from model.quantity import MINUTES_A_DAY
from model.sun import sun_position
from model.sun_position import SunPosition


class SunPath(QObject):
    """Follows the place and the date of what was run; its sun is known from the run."""

    def __init__(
        self, session: Session, place: PlacePanel, horizon: HorizonSketch, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._session, self._horizon = session, horizon
        self._shown: SunPosition | None = None
        session.comparison_changed.connect(self._show)
        place.more_toggled.connect(self._show)

    def _show(self) -> None:
        comparison = self._session.comparison
        if comparison is None or not self._horizon.isVisible():
            return
        site, clock = comparison.scenario.site, comparison.clock
        sun = sun_position(site, comparison.scenario.day, clock.step_min)
        if sun is not self._shown:
            self._shown = sun
            first = slice(round(MINUTES_A_DAY / clock.step_min))
            of_first_day = SunPosition(
                sun.apparent_elevation_deg[first], sun.elevation_deg[first], sun.azimuth_deg[first]
            )
            self._horizon.show_paths((of_first_day,))
