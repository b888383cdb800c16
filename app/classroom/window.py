"""The class window: the list, a lesson, or a student's kit, one at a time."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from app.classroom.class_lesson import ClassLesson
from app.classroom.guess_store import GuessStore
from app.classroom.handouts import write_handouts
from app.classroom.lesson_page import LessonPage
from app.classroom.lessons import Listed, lessons_in, shipped_folder
from app.classroom.list_page import ListPage
from app.classroom.my_kit_page import MyKitPage
from app.printing.document import PageError
from app.printing.paper import PaperName
from app.widgets import dialogs
from app.work.disk import reading
from model.editing.faults import ScenarioError
from model.files.atomic_write import shown_name
from model.lessons.lesson import Lesson
from model.lessons.lesson_file import checked, read_lesson, read_with_faults

# The title never changes: nothing of a lesson may stand in a task bar or a window list.
TITLE = "Class – Counterpoise"
USUAL_SIZE = (1280, 720)


class ClassroomWindow(QWidget):
    """Shows one page at a time; owns the lessons and the store of guesses."""

    def __init__(self, store: GuessStore | None = None, paper: PaperName = "a4") -> None:
        super().__init__()
        self._paper = paper
        self.setWindowTitle(TITLE)
        self.store = store or GuessStore()
        self.list_page, self.lesson_page, self.kit_page = ListPage(), LessonPage(), MyKitPage()
        self.pages = QStackedWidget()
        for page in (self.list_page, self.lesson_page, self.kit_page):
            self.pages.addWidget(page)
        column = QVBoxLayout(self)
        column.addWidget(self.pages)
        self._lessons: tuple[Listed, ...] = ()
        self._row = 0
        self.list_page.chosen.connect(self.open_listed)
        self.list_page.resumed.connect(self.resume)
        self.list_page.my_kit_wanted.connect(self.show_my_kit)
        self.list_page.handouts_wanted.connect(self.write_handouts)
        self.list_page.file_wanted.connect(self.open_file)
        self.lesson_page.left.connect(self.show_list)
        self.lesson_page.ended.connect(self._on_ended)
        self.kit_page.left.connect(self.show_list)
        self.resize(*USUAL_SIZE)
        self.show_list()

    @property
    def lessons(self) -> tuple[Listed, ...]:
        """The lessons listed."""
        return self._lessons

    def show_list(self) -> None:
        """Show the list, read anew, so that an edited lesson is the edited one."""
        self.lesson_page.stop()
        self._lessons, faults = lessons_in(shipped_folder())
        self.list_page.show_lessons(self._lessons, faults, self.store.load())
        self._show(self.list_page)

    def open_listed(self, index: int) -> None:
        """Open a lesson of the list."""
        listed = self._lessons[index]
        self._row = index
        self._start(listed.lesson, listed.path)

    def resume(self) -> None:
        """Go on with the class that was under way."""
        kept = self.store.load()
        if kept is None:
            self.show_list()
            return
        try:
            path = Path(kept.path)
            course = ClassLesson(reading(read_lesson, path), path, self.store)
        except ScenarioError as error:
            self.list_page.say(str(error.faults[0]))
            return
        course.resume(kept)
        self.lesson_page.start(course)
        self._show(self.lesson_page)

    def open_file(self) -> None:
        """Ask for a lesson file, and open it unless it has a fault."""
        path = dialogs.ask_for_lesson_to_open(self, str(shipped_folder()))
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        """Open a lesson file, or tell every fault it has."""
        try:
            # Its runs are worked out here: the disk's thread only reads.
            lesson, faults = checked(reading(read_with_faults, path))
        except ScenarioError as error:
            lesson, faults = None, error.faults
        if lesson is None or faults:
            lines = [f"line {each.line}: {each}" if each.line else str(each) for each in faults]
            dialogs.tell_faults(self, "The lesson has faults", lines)
            return
        self._start(lesson, path)

    def show_my_kit(self) -> None:
        """Show the page for a student's own kit."""
        self._show(self.kit_page)

    def write_handouts(self) -> None:
        """Ask where, and write the handouts of all lessons listed."""
        path = dialogs.ask_for_page_to_write(self, "class-handouts.pdf")
        if path is None:
            return
        try:
            lessons = [listed.lesson for listed in self._lessons]
            write_handouts(lessons, path, paper=self._paper)
        except PageError as error:
            dialogs.tell(self, "The handouts were not written", str(error))
            return
        self.list_page.say(
            f"Handouts written to {shown_name(path)}; the answer key is its last part"
        )

    def _on_ended(self) -> None:
        """Go back to the list, at the lesson after the one that has ended."""
        self.show_list()
        self.list_page.select_after(self._row)

    def _start(self, lesson: Lesson, path: Path) -> None:
        self.lesson_page.start(ClassLesson(lesson, path, self.store))
        self._show(self.lesson_page)

    def _show(self, page: QWidget) -> None:
        self.pages.setCurrentWidget(page)
        page.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # A clicker that starts a show sends F5.
        if event.key() not in (Qt.Key.Key_F11, Qt.Key.Key_F5):
            super().keyPressEvent(event)
        elif self.isFullScreen():
            self.showNormal()
        else:
            self.showFullScreen()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.list_page.fit_type()
        self.kit_page.fit_type()


def open_classroom(parent: QWidget | None = None, paper: PaperName = "a4") -> ClassroomWindow:
    """Open the class window beside the main one, and return it; the caller keeps it."""
    window = ClassroomWindow(paper=paper)
    if parent is not None and parent.windowHandle() is not None:
        window.setScreen(parent.screen())
    window.show()
    return window
