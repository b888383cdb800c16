"""The 24-hour plan: the strip, the line of tools over it and the row of fields under it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.caution_label import CautionLabel
from app.plan_strip.canvas import StripCanvas
from app.plan_strip.clock_map import local_text, utc_text
from app.plan_strip.editor import BlockEditor
from app.plan_strip.tools import StripTools
from model.editing.edit_plan import (
    NoRoomError,
    Plan,
    duplicated,
    gaps,
    painted,
    removed,
    replaced,
    split,
    watched,
    with_nets,
)
from model.engine.comparison import Comparison
from model.scenario.cautions import AT_THE_PLAN
from model.scenario.scenario import Activity, Block, Scenario

NEW_BLOCK_MIN = 30
HINT = "Choose a block to edit it; drag over free time for a new one"
# What a new block begins with: share of it spent sending. Invented, to be changed at once.
SHARES: dict[Activity, float] = {
    "voice": 0.2, "morse": 0.25, "fm": 0.1, "slots": 0.4, "arq": 0.3,
}  # fmt: skip


class PlanStrip(QWidget):
    """Shows a scenario's plan and says what plan is wanted; it never changes the scenario."""

    plan_changed = Signal(object, str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scenario: Scenario | None = None
        self.tools = StripTools(self)
        self.canvas = StripCanvas(self)
        self.editor = BlockEditor(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        cautions = CautionLabel(self)
        cautions.setContentsMargins(4, 0, 4, 0)
        for widget in (self.tools, self.canvas, self.editor, cautions):
            column.addWidget(widget)
        cautions.show_cautions(AT_THE_PLAN)
        self.setFocusProxy(self.canvas)
        self.tools.show_chosen(False)
        self.canvas.plan_changed.connect(self._on_dragged)
        self.canvas.chosen_changed.connect(self._on_chosen)
        self.canvas.pointed.connect(self._on_pointed)
        self.canvas.asked.connect(self._on_asked)
        self.tools.asked.connect(self._on_asked)
        self.tools.activity_chosen.connect(self._on_activity)
        self.tools.watch_wanted.connect(self._on_watch)
        self.tools.nets_wanted.connect(self._on_nets)
        self.editor.block_changed.connect(self._on_block)
        self.editor.left.connect(self._on_left)

    def show_scenario(self, scenario: Scenario, comparison: Comparison | None = None) -> None:
        """Show the plan of a scenario, and where in the day the stations first fail."""
        self._scenario = scenario
        self.canvas.set_template(self._template())
        self.canvas.show_scenario(scenario, comparison)
        self._show_chosen()

    def choose(self, index: int | None) -> None:
        """Choose a block, so that its fields stand in the row below."""
        self.canvas.choose(index)

    def _plan(self) -> Plan:
        return self._scenario.plan if self._scenario is not None else ()

    def _template(self, activity: Activity | None = None) -> Block:
        """Return what a new block begins with: like the plan's last one of its kind, if any."""
        kind: Activity = activity or self.tools.activity.currentData()
        alike = [block for block in self._plan() if block.activity == kind]
        if alike:
            return alike[-1].model_copy(update={"note": ""})
        share = SHARES.get(kind, 0.0)
        return Block(
            start="00:00",
            end="24:00",
            activity=kind,
            transmit_share=share,
            rf_w=self._usual_rf_w() if share else 0.0,
        )

    def _usual_rf_w(self) -> float:
        if self._scenario is None:
            return 0.0
        planned = max((block.rf_w for block in self._plan()), default=0.0)
        return planned or self._scenario.stations[0].radio.highest_rf_w

    def _ask(self, change: Callable[[], Plan], text: str, key: str = "", name: str = "") -> None:
        """Make a plan and ask for it; say so where there is no room."""
        try:
            plan = change()
        except NoRoomError as refusal:
            self.editor.show_fault(f"Not done: {refusal}.", name)
            return
        self.editor.show_fault("", name)
        if plan != self._plan():
            self.plan_changed.emit(plan, key, text)

    def _on_dragged(self, plan: Plan, key: str, text: str) -> None:
        self.editor.show_fault("")
        self.plan_changed.emit(plan, key, text)

    def _on_block(self, block: Block, name: str) -> None:
        index = self.canvas.chosen
        if index is not None and index < len(self._plan()):
            self._ask(
                lambda: replaced(self._plan(), index, block),
                "change of the plan",
                f"plan.{index}.{name}",
                name,
            )

    def _on_asked(self, wish: str) -> None:
        index, plan = self.canvas.chosen, self._plan()
        if wish == "add":
            self._add()
        elif index is None or index >= len(plan):
            return
        elif wish == "delete":
            self._ask(lambda: removed(plan, index), "deletion of a block")
        elif wish == "copy":
            self._ask(lambda: duplicated(plan, index), "copy of a block")
            if len(self._plan()) > len(plan):
                self.choose(len(plan))
        elif wish == "split":
            start, end = plan[index].minutes
            self._ask(lambda: split(plan, index, (start + end) // 2), "split of a block")
        elif wish == "edit":
            self.editor.cell("start").setFocus()

    def _add(self) -> None:
        plan, free = self._plan(), gaps(self._plan())
        if not free:
            self.editor.show_fault("Not done: the day has no free time.")
            return
        begin = free[0][0]
        length = min(NEW_BLOCK_MIN, free[0][1] - begin)
        self._ask(lambda: painted(plan, begin, begin + length, self._template()), "new block")
        if len(self._plan()) > len(plan):
            self.choose(len(plan))

    def _on_watch(self, listen_share: float) -> None:
        self._ask(
            lambda: watched(self._plan(), listen_share, self._template("watch")),
            "pattern of the watch",
        )

    def _on_nets(self, starts_min: tuple[int, ...], length_min: int) -> None:
        self._ask(
            lambda: with_nets(self._plan(), starts_min, length_min, self._template("voice")),
            "nets at set times",
        )

    def _on_activity(self, _activity: str) -> None:
        self.canvas.set_template(self._template())

    def _on_chosen(self, _index: int) -> None:
        self.editor.forget()
        self._show_chosen()

    def _on_left(self) -> None:
        """Show a time or a number again as it is kept, once a person is done with it."""
        if not self.editor.fault_text:
            self._show_chosen()

    def _show_chosen(self) -> None:
        index, plan = self.canvas.chosen, self._plan()
        block = plan[index] if index is not None and index < len(plan) else None
        self.tools.show_chosen(block is not None)
        self.editor.show_block(block)
        if not self.canvas.underMouse():
            self._show_hint()

    def _on_pointed(self, minute: int) -> None:
        if self._scenario is not None and 0 <= minute <= 1440:
            utc = utc_text(self._scenario.site, self._scenario.day, minute)
            self.tools.pointer.show_words(f"{local_text(minute)} local, {utc} UTC")
        else:
            self._show_hint()

    def _show_hint(self) -> None:
        """Say how a block is come by, while the pointer is elsewhere."""
        is_chosen = self.canvas.chosen is not None
        self.tools.pointer.show_words("" if is_chosen else HINT)
