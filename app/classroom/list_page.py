"""The list of lessons by title and minutes; choose one with the arrow keys and Enter."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.classroom.big_text import BigText, least_px, sized
from app.classroom.guess_store import Kept
from app.classroom.lessons import Listed
from model.support.figures import NBSP

HINT = "Arrow keys and Enter, or Page Down, open a lesson"


class ListPage(QWidget):
    """Lessons in their order, what else a class can do, and a class that was broken off."""

    chosen = Signal(int)
    resumed = Signal()
    my_kit_wanted = Signal()
    handouts_wanted = Signal()
    file_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.title, self.note = BigText(16, bold=True), BigText(28)
        self.title.set_text("Class: predict, then reveal")
        self.list = QListWidget()
        self.list.setAccessibleName("Lessons")
        self.list.setUniformItemSizes(True)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.installEventFilter(self)
        self.list.itemActivated.connect(self._on_activated)
        self.resume = QPushButton()
        self.resume.clicked.connect(self.resumed)
        self.my_kit = QPushButton("&My kit")
        self.my_kit.clicked.connect(self.my_kit_wanted)
        self.handouts = QPushButton("Write &handouts…")
        self.handouts.clicked.connect(self.handouts_wanted)
        self.file = QPushButton("&Open a lesson file…")
        self.file.clicked.connect(self.file_wanted)
        column, row = QVBoxLayout(self), QHBoxLayout()
        column.addWidget(self.title)
        column.addWidget(self.resume)
        column.addWidget(self.list, 1)
        column.addStretch()
        column.addWidget(self.note)
        for button in (self.my_kit, self.handouts, self.file):
            row.addWidget(button)
        column.addLayout(row)
        self.setFocusProxy(self.list)

    def show_lessons(
        self, lessons: Sequence[Listed], faults: Sequence[str], kept: Kept | None
    ) -> None:
        """Show lessons, what is wrong with any, and the class to go on with."""
        row = self.list.currentRow()
        self.list.clear()
        for listed in lessons:
            self.list.addItem(QListWidgetItem(_line(listed)))
        self.list.setCurrentRow(max(row, 0))
        self.note.set_text(f"Not listed: {faults[0]}" if faults else HINT)
        self.resume.setVisible(kept is not None)
        if kept is not None:
            guesses = "1 guess" if kept.count == 1 else f"{kept.count} guesses"
            title = kept.title[:60].replace("&", "&&")
            self.resume.setText(f"&Go on with: {title} ({guesses} kept)")
        self.fit_type()

    def say(self, text: str) -> None:
        """Say what came of a command."""
        self.note.set_text(text)

    def _on_activated(self, item: QListWidgetItem) -> None:
        self.chosen.emit(self.list.row(item))

    def select_after(self, row: int) -> None:
        """Choose the lesson after one that has come to its end: a clicker then opens it."""
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
        self.list.setFont(sized(self.font(), px))
        for button in (self.resume, self.my_kit, self.handouts, self.file):
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


def _line(listed: Listed) -> str:
    lesson = listed.lesson
    needs = [
        word
        for word, needed in (("sun", lesson.needs_sun), ("soldering", lesson.needs_soldering))
        if needed
    ]
    tail = f" · needs {' and '.join(needs)}" if needs else ""
    return f"{lesson.title} · {lesson.minutes}{NBSP}min{tail}"
