"""The menus of the plan: what to do with a block, new blocks, and ready patterns."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.editors.fields.words import word_of
from model.editing.edit_plan import CONTINUOUS, FIFTEEN_MINUTES_AN_HOUR, FIVE_MINUTES_AN_HOUR
from model.editing.field_facts import field_at
from model.scenario.scenario import Activity

PATTERNS = (
    ("Continuous watch", CONTINUOUS),
    ("First five minutes of each hour", FIVE_MINUTES_AN_HOUR),
    ("Fifteen minutes an hour", FIFTEEN_MINUTES_AN_HOUR),
)
NETS = "Nets at set times…"
ON_A_BLOCK = (
    ("edit", "&Edit…"),
    ("split", "&Split here"),
    ("copy", "&Copy"),
    ("delete", "&Delete"),
)


class PatternMenu(QMenu):
    """Ready patterns; pointing at one of the watch previews it.

    ``watch_wanted`` and ``watch_previewed`` carry the share of the time that is heard;
    ``preview_ended`` follows a preview.
    """

    watch_wanted = Signal(float)
    watch_previewed = Signal(float)
    preview_ended = Signal()
    nets_wanted = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__("&Patterns", parent)
        for text, share in PATTERNS:
            self.addAction(text).setData(share)
        self.addSeparator()
        self.nets = self.addAction(NETS)
        self.hovered.connect(self._on_hovered)
        self.triggered.connect(self._on_triggered)
        self.aboutToHide.connect(self.preview_ended)

    def _on_hovered(self, action: QAction) -> None:
        if action is self.nets:
            self.preview_ended.emit()
        elif action.data() is not None:
            self.watch_previewed.emit(action.data())

    def _on_triggered(self, action: QAction) -> None:
        if action is self.nets:
            self.nets_wanted.emit()
        elif action.data() is not None:
            self.watch_wanted.emit(action.data())


class PlanMenu(QMenu):
    """Everything that can be done with the plan, at a minute of the day or with a chosen block.

    ``asked`` carries a wish and the minute it is about, -1 for none; ``new_wanted`` the activity
    of a new block and its minute.
    """

    asked = Signal(str, int)
    new_wanted = Signal(str, int)

    def __init__(self, patterns: PatternMenu, parent: QWidget) -> None:
        super().__init__("Plan", parent)
        self._minute = -1
        self.block_actions = {wish: self.addAction(text) for wish, text in ON_A_BLOCK}
        for wish, action in self.block_actions.items():
            action.setData(wish)
        self.addSeparator()
        self.new_menu = self.addMenu("&New block here")
        for activity in field_at("plan.0.activity").choices:
            self.new_menu.addAction(word_of(activity)).setData(activity)
        self.addMenu(patterns)
        self.new_menu.triggered.connect(self._on_new)
        for action in self.block_actions.values():
            action.triggered.connect(self._on_action)

    def show_for(self, minute: int, *, has_block: bool) -> None:
        """Be about a minute of the day, -1 for none, with a block chosen or not."""
        self._minute = minute
        for action in self.block_actions.values():
            action.setEnabled(has_block)
        self.block_actions["split"].setText(
            "&Split here" if minute >= 0 else "&Split in the middle"
        )
        self.new_menu.setTitle("&New block here" if minute >= 0 else "&New block")

    def _on_action(self) -> None:
        action = self.sender()
        assert isinstance(action, QAction)
        self.asked.emit(action.data(), self._minute)

    def _on_new(self, action: QAction) -> None:
        activity: Activity = action.data()
        self.new_wanted.emit(activity, self._minute)
