"""The class window: the list, a class under way, or a student's kit, one at a time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import monotonic

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QLayout, QStackedWidget, QVBoxLayout, QWidget

from app.classroom.class_page import ClassPage
from app.classroom.course import Course
from app.classroom.handouts import write_handouts
from app.classroom.lessons import Listed, classes_in, own_folder, read_class, shipped_folder
from app.classroom.list_page import ListPage
from app.classroom.my_kit_page import MyKitPage
from app.classroom.record import ClassRecords
from app.classroom.record_table import record_csv
from app.printing.document import PageError
from app.printing.paper import paper_with
from app.state.display import Display
from app.widgets import dialogs
from app.work.disk import reading, write_data
from model.editing.faults import Fault, ScenarioError
from model.files.atomic_write import SaveError, shown_name
from model.lessons.lesson_check import checked
from model.lessons.lesson_file import read_with_faults

# The title never changes: nothing of a lesson may stand in a task bar or a window list.
TITLE = "Class – Counterpoise"
USUAL_SIZE, LEAST_SIZE = (1280, 720), (640, 400)
# More than a title bar takes.
FRAME_PX = 60
CSV_FILES = "Table, CSV (*.csv)"
TORN = "The last line of the record was cut off in mid-write and has been dropped."
ELSEWHERE = "Another window has this class open: it begins here anew, in a record of its own."


class ClassroomWindow(QWidget):
    """Shows one page at a time; owns what is listed and the records of the classes."""

    def __init__(
        self,
        display: Display,
        records: ClassRecords | None = None,
        now_s: Callable[[], float] = monotonic,
    ) -> None:
        super().__init__()
        self._display, self._now_s = display, now_s
        self.setWindowTitle(TITLE)
        self.records = records or ClassRecords()
        self.list_page, self.class_page, self.kit_page = ListPage(), ClassPage(), MyKitPage()
        self.pages = QStackedWidget()
        for page in (self.list_page, self.class_page, self.kit_page):
            self.pages.addWidget(page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.pages)
        # Type and margins follow the window's height: what they need at one height must not keep
        # the window from another.
        column.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        self.setMinimumSize(*LEAST_SIZE)
        self._listed: tuple[Listed, ...] = ()
        self._row = -1
        self._wants_two = False
        self.list_page.chosen.connect(self.open_listed)
        self.list_page.begun_anew.connect(self.begin_anew)
        self.list_page.my_kit_wanted.connect(self.show_my_kit)
        self.list_page.handouts_wanted.connect(self.write_handouts)
        self.list_page.csv_wanted.connect(self.write_csv)
        self.list_page.file_wanted.connect(self.open_file)
        self.list_page.two_screens_wanted.connect(self._on_two_screens)
        self.class_page.left.connect(self.show_list)
        self.class_page.ended.connect(self._on_ended)
        self.kit_page.left.connect(self.show_list)
        display.units_changed.connect(self.class_page.render_screen)
        self.resize(*USUAL_SIZE)
        self.show_list()

    @property
    def listed(self) -> tuple[Listed, ...]:
        """The playlists and lessons listed."""
        return self._listed

    def show_list(self) -> None:
        """Show the list, read anew, so that an edited lesson is the edited one."""
        self.class_page.stop()
        self.records.let_go()
        self._listed, faults = classes_in(shipped_folder(), own_folder())
        kept, said = self.records.latest(), self.records.last_said()
        self.list_page.show_classes(self._listed, faults, kept, said, self._row)
        self._show(self.list_page)

    def open_listed(self, row: int) -> None:
        """Open a playlist or lesson of the list, or go on with it where it is under way."""
        if 0 <= row < len(self._listed):
            self._row = row
            self.start(self._listed[row])

    def begin_anew(self, row: int) -> None:
        """Begin a playlist or lesson from its first screen; the old record stays."""
        if 0 <= row < len(self._listed):
            self._row = row
            self.start(self._listed[row], anew=True)

    def open_file(self) -> None:
        """Ask for a playlist or lesson file, and open it unless it has a fault."""
        path = dialogs.ask_for_lesson_to_open(self, str(own_folder()))
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        """Open a playlist or lesson file, or tell every fault it has."""
        faults: tuple[Fault, ...] = ()
        listed = None
        try:
            listed = read_class(path)
            if not listed.is_playlist:
                # Its runs are worked out here: the disk's thread only reads.
                _, faults = checked(reading(read_with_faults, path))
        except ScenarioError as error:
            faults = error.faults
        if listed is None or faults:
            dialogs.tell_faults(self, "The lesson has faults", [each.at_line for each in faults])
            return
        self._row = -1
        self.start(listed)

    def start(self, listed: Listed, *, anew: bool = False) -> None:
        """Show a class from the place it is at."""
        kept = None if anew else self.records.go_on(listed.programme.key)
        course = Course(listed.programme, self.records, kept, self._now_s, self._display)
        self.class_page.start(course)
        self._show(self.class_page)
        if self._wants_two:
            self.class_page.part_screens()
        elif self.isVisible():
            self.class_page.use_screens()
        if kept is not None and self.records.was_torn:
            self.class_page.desk.say(TORN)
        if not anew and self.records.is_elsewhere:
            self.class_page.desk.say(ELSEWHERE)
        self.class_page.render_focus()

    def show_my_kit(self) -> None:
        """Show the page for a student's own kit."""
        self._show(self.kit_page)

    def write_handouts(self, row: int) -> None:
        """Ask where, and write the handouts of one playlist or lesson."""
        path = dialogs.ask_for_page_to_write(self, "class-handouts.pdf")
        if path is None or not 0 <= row < len(self._listed):
            return
        us = self._display.is_us
        try:
            write_handouts(self._listed[row].programme, path, paper=paper_with(us=us), us=us)
        except PageError as error:
            dialogs.tell(self, "The handouts were not written", str(error))
            return
        self.list_page.say(
            f"Handouts written to {shown_name(path)}; the answer key is its last part"
        )

    def write_csv(self, row: int) -> None:
        """Ask where, and write what a class has said as a table."""
        if not 0 <= row < len(self._listed):
            return
        kept = self.records.last_said().get(self._listed[row].programme.key)
        path = dialogs.ask_for_export(self, "class.csv", CSV_FILES) if kept else None
        if path is None or kept is None:
            return
        try:
            write_data(record_csv(self._listed[row].programme, kept).encode(), path)
        except SaveError as error:
            dialogs.tell(self, "The guesses were not written", str(error))
            return
        self.list_page.say(f"{kept.count} guesses written to {shown_name(path)}")

    def _on_two_screens(self, wants: bool) -> None:
        self._wants_two = wants

    def _on_ended(self) -> None:
        """Go back to the list, at the lesson after the one that has ended."""
        self.show_list()
        if self._row >= 0 and not self._listed[self._row].is_playlist:
            self.list_page.select_after(self._row)

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

    def closeEvent(self, event: QCloseEvent) -> None:
        # The window on the projector goes too, and the record says where the class is.
        self.class_page.stop()
        self.records.let_go()
        super().closeEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.list_page.fit_type()
        self.kit_page.fit_type()


def open_classroom(display: Display, parent: QWidget | None = None) -> ClassroomWindow:
    """Open the class window beside the main one, and return it; the caller keeps it."""
    window = ClassroomWindow(display)
    if parent is not None and parent.windowHandle() is not None:
        window.setScreen(parent.screen())
    # With its frame it would reach beyond a small screen.
    available = window.screen().availableGeometry()
    has_room = available.width() > USUAL_SIZE[0] and available.height() > USUAL_SIZE[1] + FRAME_PX
    if has_room:
        window.show()
    else:
        window.showMaximized()
    return window
