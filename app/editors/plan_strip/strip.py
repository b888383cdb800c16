"""The plan under the curves: the strip, its menus, and the editor of a block that hangs over it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPoint, QRect, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QToolButton, QVBoxLayout, QWidget

from app.charts.span import Span
from app.editors.plan_strip.canvas import StripCanvas
from app.editors.plan_strip.editor import BlockEditor
from app.editors.plan_strip.menus import PatternMenu, PlanMenu
from app.editors.plan_strip.nets import NetRow
from app.widgets.popover import Popover
from model.editing.drag_plan import Part, dragged
from model.editing.edit_plan import (
    NoRoomError,
    Plan,
    duplicated,
    gaps,
    painted,
    removed,
    replaced,
    snapped,
    split,
    watched,
    with_nets,
)
from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import Activity, Block, Scenario

NEW_BLOCK_MIN, NEW_GRID_MIN = 30, 15
# What a new block begins with: share of it spent sending. Invented, to be changed at once.
SHARES: dict[Activity, float] = {
    "voice": 0.2, "morse": 0.25, "fm": 0.1, "slots": 0.4, "arq": 0.3,
}  # fmt: skip
FULL = "Not done: the day has no free time and no watch; right click where it is to be."


class PlanStrip(QWidget):
    """Shows a scenario's plan and says what plan is wanted; it never changes the scenario.

    ``plan_changed`` carries the plan, what its undo step is merged by, and what was done;
    ``previewed`` a plan that is only looked at, or None; ``said`` a sentence on what was not done,
    ``dragged`` what a hand is dragging, and nothing once it lets go.
    """

    plan_changed = Signal(object, str, str)
    previewed = Signal(object)
    said = Signal(str)
    dragged = Signal(str)

    def __init__(self, span: Span, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._span = span
        self._scenario: Scenario | None = None
        self._new_kind: Activity = "voice"
        self.canvas = StripCanvas(span, self)
        self.editor = BlockEditor()
        self.popover = Popover("Block of the plan", self.editor, self)
        self.nets = NetRow()
        self.nets_popover = Popover("Nets at set times", self.nets, self)
        self.patterns = PatternMenu(self)
        self.menu = PlanMenu(self.patterns, self)
        self.button = QToolButton(self)
        self.button.setText("Plan")
        self.button.setAutoRaise(True)
        self.button.setToolTip("New blocks, copies and patterns; right click on the strip")
        self.button.setAccessibleName("Plan: new blocks, copies and patterns")
        self.button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.button.setMenu(self.menu)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.canvas)
        self.setFocusProxy(self.canvas)
        self._wire()

    def _wire(self) -> None:
        self.canvas.plan_changed.connect(self._on_dragged)
        self.canvas.chosen_changed.connect(self._on_chosen)
        self.canvas.asked.connect(self._on_asked)
        self.canvas.menu_wanted.connect(self._on_menu)
        self.canvas.said.connect(self.dragged)
        self.menu.aboutToShow.connect(self._on_menu_shown)
        self.menu.asked.connect(self._on_asked)
        self.menu.new_wanted.connect(self._on_new)
        self.patterns.watch_wanted.connect(self._on_watch)
        self.patterns.watch_previewed.connect(self._on_watch_previewed)
        self.patterns.preview_ended.connect(self._end_preview)
        self.patterns.nets_wanted.connect(self._on_nets_wanted)
        self.nets.wanted.connect(self._on_nets)
        self.nets.previewed.connect(self._on_nets_previewed)
        self.nets_popover.closed.connect(self._end_preview)
        self.editor.block_changed.connect(self._on_block)
        self.editor.asked.connect(self._on_button)
        self.editor.left.connect(self._on_left)

    def show_scenario(self, scenario: Scenario) -> None:
        """Show the plan of a scenario over the days of its run."""
        self._scenario = scenario
        self.canvas.set_template(self._template(self._new_kind))
        self.canvas.show_scenario(scenario)
        self._show_chosen()

    def choose(self, index: int | None) -> None:
        """Choose a block, or none; one that went with an edit of a moment ago is none."""
        is_there = index is not None and index < len(self.canvas.plan)
        self.canvas.choose(index if is_there else None)

    def edit(self, name: str = "start") -> None:
        """Open the editor of the chosen block, at one of its fields."""
        if self.canvas.chosen is not None:
            self._open_editor()
            self.editor.cell(name).setFocus()

    def follow_span(self) -> None:
        """Take over the stretch that is shown, and where the panes above stand."""
        self.canvas.follow_span()
        left = round(self._span.left_px + self._span.width_px) + 4
        hint = self.button.sizeHint()
        self.button.setVisible(self.width() - left >= hint.width())
        self.button.setGeometry(left, 2, hint.width(), hint.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.follow_span()

    def _plan(self) -> Plan:
        return self._scenario.plan if self._scenario is not None else ()

    def _template(self, kind: Activity) -> Block:
        """Return what a new block begins with: like the plan's last one of its kind, if any."""
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
        self._end_preview()
        try:
            plan = change()
        except NoRoomError as refusal:
            self._refuse(f"Not done: {refusal}.", name)
            return
        self._refuse("", name)
        if plan != self._plan():
            self.plan_changed.emit(plan, key, text)

    def _refuse(self, sentence: str, name: str = "") -> None:
        self.editor.show_fault(sentence, name)
        self.nets.show_fault(sentence)
        if sentence:
            self.said.emit(sentence)

    def _on_dragged(self, plan: Plan, key: str, text: str) -> None:
        self.editor.show_fault("")
        self.plan_changed.emit(plan, key, text)

    def _on_block(self, block: Block, name: str) -> None:
        index = self.canvas.chosen
        if index is None or index >= len(self._plan()):
            return
        if name in ("start", "end"):
            self._on_time(index, block, name)
            return
        key = f"plan.{index}.{name}"
        self._ask(lambda: replaced(self._plan(), index, block), "change of the plan", key, name)

    def _on_time(self, index: int, block: Block, name: str) -> None:
        """Put one edge where it was typed: the neighbour that shares it follows.

        A start typed past the end, or an end before the start, takes the whole block along.
        """
        old, new = self._plan()[index].minutes, block.minutes
        part: Part = "start" if name == "start" else "end"
        at, half = 0 if part == "start" else 1, MINUTES_A_DAY // 2
        by = (new[at] - old[at] + half) % MINUTES_A_DAY - half
        if (by if part == "start" else -by) >= old[1] - old[0]:
            part = "whole"
        after = dragged(self._plan(), index, part, by)
        if after.stopped:
            self._refuse(f"Not done: {after.stopped}.", name)
            return
        self._ask(lambda: after.plan, "change of the plan", f"plan.{index}.{name}", name)
        self.choose(after.index)

    def _on_button(self, wish: str) -> None:
        self._on_asked(wish, -1)

    def _on_asked(self, wish: str, minute: int) -> None:
        index, plan = self.canvas.chosen, self._plan()
        if wish == "add":
            self._add(self._new_kind, minute)
        elif index is None or index >= len(plan):
            return
        elif wish == "delete":
            self._ask(lambda: removed(plan, index), "deletion of a block")
            self.popover.close_popover()
        elif wish == "copy":
            self._ask(lambda: duplicated(plan, index), "copy of a block")
            self._choose_last(plan)
        elif wish == "split":
            start, end = plan[index].minutes
            at = minute if minute >= 0 else (start + end) // 2
            self._ask(lambda: split(plan, index, snapped(at, 5)), "split of a block")
        elif wish == "edit":
            self._open_editor()
            if minute < 0 and not self.canvas.underMouse():
                self.editor.cell("start").setFocus()

    def _choose_last(self, before: Plan) -> None:
        """Choose what was added, if anything was: it stands last."""
        if self._plan() != before:
            self.choose(len(self._plan()) - 1)

    def _on_new(self, kind: Activity, minute: int) -> None:
        self._new_kind = kind
        self._add(kind, minute)

    def _add(self, kind: Activity, minute: int) -> None:
        """Put a new block at a minute of the day.

        By default that is the first free time, else the middle of the longest watch.
        """
        plan, free, block = self._plan(), gaps(self._plan()), self._template(kind)
        if minute < 0 and not free:
            minute = _middle_of_watch(plan)
        gap = next((each for each in free if minute < 0 or _lies_in(minute, each)), None)
        if gap is not None:
            begin = gap[0] if minute < 0 else max(_floor(minute), gap[0])
            end = min(begin + NEW_BLOCK_MIN, gap[1])
            self._ask(lambda: painted(plan, begin, end, block), "new block")
        elif minute >= 0:
            self._ask(lambda: with_nets(plan, [_floor(minute)], NEW_BLOCK_MIN, block), "new block")
        else:
            self._refuse(FULL)
        if self._plan() != plan:
            self.choose(len(self._plan()) - 1)
            self.edit()

    def _on_watch(self, listen_share: float) -> None:
        self._ask(lambda: self._with_watch(listen_share), "pattern of the watch")

    def _on_watch_previewed(self, listen_share: float) -> None:
        self._preview(lambda: self._with_watch(listen_share))

    def _with_watch(self, listen_share: float) -> Plan:
        return watched(self._plan(), listen_share, self._template("watch"))

    def _on_nets_wanted(self) -> None:
        self.popover.close_popover()
        self.nets_popover.open_over(self._global(QRect(self.canvas.pos(), self.canvas.size())))
        self.nets.times.setFocus()
        self.nets.preview()

    def _on_nets(self, starts_min: tuple[int, ...], length_min: int) -> None:
        before = self._plan()
        self._ask(lambda: self._with_nets(starts_min, length_min), "nets at set times")
        if self._plan() != before:
            self.nets_popover.close_popover()

    def _on_nets_previewed(self, starts_min: tuple[int, ...], length_min: int) -> None:
        self._preview(lambda: self._with_nets(starts_min, length_min))

    def _with_nets(self, starts_min: tuple[int, ...], length_min: int) -> Plan:
        return with_nets(self._plan(), starts_min, length_min, self._template("voice"))

    def _preview(self, change: Callable[[], Plan]) -> None:
        """Show a plan before it is asked for; one without room is no preview."""
        try:
            plan = change()
        except NoRoomError as refusal:
            self._end_preview()
            self.nets.show_fault(f"No room: {refusal}.")
            return
        self.nets.show_fault("")
        self.canvas.show_preview(plan)
        self.previewed.emit(plan)

    def _end_preview(self) -> None:
        self.canvas.show_preview(None)
        self.previewed.emit(None)

    def _on_menu(self, minute: int, place: QPoint) -> None:
        self.menu.show_for(minute, has_block=self.canvas.chosen is not None)
        self.menu.popup(place)

    def _on_menu_shown(self) -> None:
        if self.button.isDown():
            self.menu.show_for(-1, has_block=self.canvas.chosen is not None)

    def _on_chosen(self, index: int) -> None:
        self.editor.forget()
        self._show_chosen()
        if index < 0:
            self.popover.close_popover()

    def _on_left(self) -> None:
        """Show a time or a number again as it is kept, once a person is done with it."""
        if not self.editor.fault_text:
            self._show_chosen()

    def _show_chosen(self) -> None:
        index, plan = self.canvas.chosen, self._plan()
        self.editor.show_block(plan[index] if index is not None and index < len(plan) else None)

    def _open_editor(self) -> None:
        if self.canvas.chosen is None:
            return
        self.nets_popover.close_popover()
        place = self.canvas.place_of(self.canvas.chosen).toRect()
        self.popover.open_over(self._global(place))

    def _global(self, place: QRect) -> QRect:
        return QRect(self.canvas.mapToGlobal(place.topLeft()), place.size())


def _lies_in(minute: int, gap: tuple[int, int]) -> bool:
    return gap[0] <= minute < gap[1] or gap[0] <= minute + MINUTES_A_DAY < gap[1]


def _middle_of_watch(plan: Plan) -> int:
    """Return where a new block fits the longest watch, -1 where nobody listens."""
    watches = [block.minutes for block in plan if block.activity == "watch"]
    start, end = max(watches, key=lambda each: each[1] - each[0], default=(0, 0))
    return (start + end - NEW_BLOCK_MIN) // 2 % MINUTES_A_DAY if end > start else -1


def _floor(minute: int) -> int:
    """Return the last round time before a minute."""
    return minute // NEW_GRID_MIN * NEW_GRID_MIN
