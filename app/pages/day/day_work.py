"""What a hand does on the day, made a change of the document: the plan, handles, held curves."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject

from app.pages.day.headline_bar import HeadlineBar
from app.pages.day.offers_work import OffersWork
from app.pages.day_view import DayView
from app.state.document import Document
from model.editing.edit_plan import Plan
from model.editing.faults import ScenarioError
from model.editing.paths import with_value
from model.support.figures import percent


class DayWork(QObject):
    """Takes the wishes of the day to the document; says on the foot what cannot be."""

    def __init__(
        self,
        document: Document,
        day: DayView,
        head: HeadlineBar,
        offers: OffersWork,
        say: Callable[[str], None],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._day, self._head = document, day, head
        self._offers, self._say = offers, say
        plan = day.plan
        plan.plan_changed.connect(self._on_plan_changed)
        plan.previewed.connect(self._on_plan_previewed)
        plan.editor.left.connect(document.end_burst)
        plan.said.connect(say)
        day.said.connect(say)
        day.chart.handle_moved.connect(self._on_handle)
        day.chart.handle_left.connect(self._on_handle_left)
        head.held.toggled.connect(day.ghost.hold)
        day.ghost.released.connect(self._on_released)

    def _on_plan_changed(self, plan: Plan, merge_key: str, text: str) -> None:
        scenario = self._document.scenario
        try:
            changed = with_value(scenario, "plan", plan)
        except ScenarioError as error:
            self._say(str(error.faults[0]))
            self._day.plan.show_scenario(scenario)
            return
        self._document.replace(text, changed, merge_key)

    def _on_plan_previewed(self, plan: Plan | None) -> None:
        if plan is None:
            self._offers.preview(None)
            return
        try:
            self._offers.preview(with_value(self._document.scenario, "plan", plan))
        except ScenarioError as error:
            self._say(str(error.faults[0]))

    def _on_handle(self, field: str, fraction: float) -> None:
        index = self._day.chart.selected
        faults = self._document.edit(f"stations.{index}.{field}", fraction)
        words = percent(fraction)
        self._day.card.say(str(faults[0]) if faults else words)

    def _on_handle_left(self) -> None:
        self._day.card.say("")
        self._document.end_burst()

    def _on_released(self) -> None:
        self._head.held.setChecked(False)
