"""The sun's way over the horizon sketch on the first day, worked out while the sketch is seen."""

from __future__ import annotations

from PySide6.QtCore import QObject

from app.charts.horizon import HorizonSketch
from app.state.session import Session
from app.widgets.anchored import AnchoredSheet
from model.sky.irradiance import sun_position
from model.sky.sun_position import SunPosition


class SunPath(QObject):
    """Follows the place and the date of what was run; the run has worked out its first day."""

    def __init__(
        self, session: Session, sheet: AnchoredSheet, horizon: HorizonSketch, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._session, self._horizon = session, horizon
        self._shown: SunPosition | None = None
        session.comparison_changed.connect(self._show)
        sheet.opened.connect(self._show)

    def _show(self) -> None:
        comparison = self._session.comparison
        if comparison is None or not self._horizon.isVisible():
            return
        first = comparison.scenario.day.model_copy(update={"days": 1})
        sun = sun_position(comparison.scenario.site, first, comparison.step_min)
        if sun is not self._shown:
            self._shown = sun
            self._horizon.show_paths((sun,))
