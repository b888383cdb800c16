"""The list of playlists and lessons; choose one with the arrow keys and Enter, or a clicker."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.classroom.big_text import BigText, least_px, sized
from app.classroom.kept import Kept
from app.classroom.lessons import Listed
from app.classroom.pace import clock_text
from app.widgets.chosen_rows import ChosenList
from app.widgets.flow import in_flow
from model.lessons.lesson import Lesson
from model.support.figures import NBSP, entered

HINT = "Enter or Page Down opens a class, or goes on with one that is under way"
COMMANDS = (
    ("anew", "&Begin anew"), ("two_screens", "&Two windows"), ("handouts", "&Handouts…"),
    ("csv", "&Guesses as CSV…"), ("my_kit", "&My kit"), ("file", "&Open a file…"),
)  # fmt: skip


class ListPage(QWidget):
    """Playlists and lessons in their order, and what else a class can do."""

    chosen = Signal(int)
    begun_anew = Signal(int)
    handouts_wanted = Signal(int)
    csv_wanted = Signal(int)
    my_kit_wanted = Signal()
    file_wanted = Signal()
    two_screens_wanted = Signal(bool)

    def __init__(self) -> None:
        super().__init__()
        self.title, self.note = BigText(16, bold=True), BigText(28, quiet=True)
        self.title.set_text("Class: guess, talk, measure, see")
        self.list = ChosenList()
        self.list.setAccessibleName("Playlists and lessons")
        self.list.setUniformItemSizes(True)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.installEventFilter(self)
        self.list.itemActivated.connect(self._on_activated)
        self.list.currentRowChanged.connect(self._on_row)
        self.buttons = {key: QPushButton(words) for key, words in COMMANDS}
        self.buttons["two_screens"].setCheckable(True)
        self.buttons["two_screens"].setToolTip(
            "The room's side in a window of its own, for a second screen"
        )
        self.buttons["two_screens"].toggled.connect(self.two_screens_wanted)
        for key, slot in (
            ("anew", self._on_anew), ("handouts", self._on_handouts), ("csv", self._on_csv),
            ("my_kit", self.my_kit_wanted), ("file", self.file_wanted),
        ):  # fmt: skip
            self.buttons[key].clicked.connect(slot)
        self._column = column = QVBoxLayout(self)
        column.addWidget(self.title)
        column.addWidget(self.list, 1)
        column.addStretch()
        column.addWidget(self.note)
        column.addWidget(in_flow(*self.buttons.values()))
        self._kept: list[Kept | None] = []
        self._has_said: list[bool] = []
        self._on_row(-1)
        self.setFocusProxy(self.list)

    def show_classes(
        self,
        listed: Sequence[Listed],
        faults: Sequence[str],
        kept: Mapping[str, Kept],
        said: Collection[str],
        row: int = -1,
    ) -> None:
        """Show what there is, what is wrong with any, and the guesses taken so far.

        Parameters
        ----------
        said : the keys of all in whose classes anything was ever said.
        row : what is chosen; by itself the class begun last that is under way.
        """
        self._kept = [kept.get(each.programme.key) for each in listed]
        self._has_said = [each.programme.key in said for each in listed]
        self.list.clear()
        for each, held in zip(listed, self._kept, strict=True):
            self.list.addItem(QListWidgetItem(_line(each, held)))
        under_way = [at for at, held in enumerate(self._kept) if held and not held.is_over]
        if row < 0 and under_way:
            row = max(under_way, key=self._begun)
        self.list.setCurrentRow(min(max(row, 0), self.list.count() - 1))
        self.note.set_text(f"Not listed: {faults[0]}" if faults else HINT)
        self.fit_type()

    def _begun(self, row: int) -> str:
        held = self._kept[row]
        return held.begun if held else ""

    def say(self, text: str) -> None:
        """Say what came of a command."""
        self.note.set_text(text)

    def _on_activated(self, item: QListWidgetItem) -> None:
        self.chosen.emit(self.list.row(item))

    def _on_row(self, row: int) -> None:
        # Where the folder of the lessons cannot be read there is no row at all.
        held = self._kept[row] if 0 <= row < len(self._kept) else None
        self.buttons["handouts"].setEnabled(row >= 0)
        self.buttons["anew"].setEnabled(held is not None and not held.is_over)
        self.buttons["csv"].setEnabled(0 <= row < len(self._has_said) and self._has_said[row])

    def _on_anew(self) -> None:
        self.begun_anew.emit(self.list.currentRow())

    def _on_handouts(self) -> None:
        self.handouts_wanted.emit(self.list.currentRow())

    def _on_csv(self) -> None:
        self.csv_wanted.emit(self.list.currentRow())

    def select_after(self, row: int) -> None:
        """Choose what comes after a lesson that has come to its end: a clicker then opens it."""
        self.list.setCurrentRow(min(row + 1, self.list.count() - 1))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if (
            watched is self.list
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
        ):
            row = self.list.currentRow()
            if event.key() == Qt.Key.Key_PageDown and row >= 0:
                self.chosen.emit(row)
                return True
            if event.key() == Qt.Key.Key_PageUp:
                self.list.setCurrentRow(max(row - 1, 0))
                return True
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_type()

    def fit_type(self) -> None:
        """Set the type by the height of the window."""
        px = least_px(self)
        self._column.setContentsMargins(px, round(px * 0.5), px, round(px * 0.7))
        self.list.setFont(sized(self.font(), px))
        for button in self.buttons.values():
            button.setFont(sized(self.font(), px))
        self.title.setFixedHeight(round(px * 2.2))
        self.note.setFixedHeight(round(px * 1.5))
        self._show_whole_rows()

    def _show_whole_rows(self) -> None:
        """Give the list a height at which its last row is not cut."""
        pitch = self.list.sizeHintForRow(0)
        if pitch <= 0:
            return
        layout = self.layout()
        assert layout is not None
        self.list.setMaximumHeight(16777215)
        layout.activate()
        frame = 2 * self.list.frameWidth()
        rows = min(max((self.list.height() - frame) // pitch, 1), self.list.count())
        self.list.setMaximumHeight(rows * pitch + frame)


def _line(listed: Listed, kept: Kept | None) -> str:
    programme = listed.programme
    said = [f"{'▸ ' if listed.is_playlist else ''}{programme.title}"]
    if not listed.is_playlist:
        lesson = programme.lessons[0].lesson
        if lesson.number != Lesson.model_fields["number"].default:
            # The guide calls a lesson by its number.
            said[0] = f"{lesson.number}{NBSP * 2}{programme.title}"
        said.append(entered(lesson.minutes, "min"))
        if lesson.needs_sun:
            said.append("needs sun")
        if lesson.needs_soldering:
            said.append("needs soldering")
    if listed.is_own:
        said.append("own")
    if kept is not None:
        guesses = "1 guess" if kept.count == 1 else f"{kept.count} guesses"
        said.append(guesses.replace(" ", NBSP))
        said.append("ended" if kept.is_over else f"under way, {clock_text(_spent_s(kept))}")
    return " · ".join(said)


def _spent_s(kept: Kept) -> float:
    return sum(kept.spent_s.values())
