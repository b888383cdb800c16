"""The window of a group: a document of its own, with its own file, undo and parts."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QTabWidget, QVBoxLayout, QWidget

from app.pages.frame.top_line import TopLine
from app.pages.group.board_part import BoardPart
from app.pages.group.columns import ROSTER
from app.pages.group.drill_part import DrillPart
from app.pages.group.matrix_part import MatrixPart
from app.pages.group.points_part import PointsPart
from app.pages.group.posts_part import PostsPart
from app.pages.group.printed_set import PrintedSet
from app.pages.group.shared_part import SharedPart
from app.pages.group.spares_part import SparesPart
from app.pages.group.work import GroupWork, Task
from app.state.display import Display
from app.state.group_document import GroupDocument
from app.state.group_kept import KeptGroup
from app.state.group_reports import GroupReports
from app.state.starting import is_shipped
from app.widgets import dialogs
from app.widgets.labels import sentence_label
from app.widgets.undo_words import name_undo
from app.widgets.work_bar import WorkBar
from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, shown_name
from model.group.drill import Drill, search_drill
from model.group.group_run import GroupResult
from model.group.group_words import ODDS_MEAN, net_words
from model.group.kits import LoadedGroup, is_net_control
from model.group.power_matrix import PowerCell, search_power_matrix
from model.group.shared_odds import search_group_odds, with_odds
from model.group.single_points import SharedPoint, shared_points
from model.group.spares import search_spares
from model.scenario.cautions import ELECTRICAL, PREDICTION
from model.support.progress import Search, at_once

USUAL_SIZE = (1280, 760)
NO_ODDS = "The odds of the net are worked out after the runs."


class GroupWindow(QWidget):
    """Shows a group by parts; ``kit_wanted`` carries a kit's file and its station, from 1."""

    kit_wanted = Signal(object, int)
    closed = Signal()

    def __init__(self, document: GroupDocument, display: Display) -> None:
        # Of no other window: the main one must be able to stand over it.
        super().__init__()
        self.document, self.display = document, display
        self.kept = KeptGroup(document)
        self.posts = PostsPart("posts", document, display)
        self.roster = PostsPart("roster", document, display, ROSTER)
        self.shared = SharedPart(document, display)
        self.spares, self.matrix = SparesPart(document, display), MatrixPart()
        self.points, self.drill = PointsPart(document), DrillPart()
        self.board = BoardPart(GroupReports(document.path))
        self._rows: GroupResult | None = None
        self.set = PrintedSet(self, display)
        self.work = GroupWork(self._tasks(), self)
        self.bar = WorkBar()
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        for at, (part, text) in enumerate(self._parts(), start=1):
            self.tabs.addTab(part, text)
            self.tabs.setTabToolTip(at - 1, f"Ctrl+{at}")
        self.actions_by_key: dict[str, QAction] = {}
        self._lay_out()
        self._wire()
        self.resize(*USUAL_SIZE)
        self._on_file_changed()
        self._on_changed()

    def _parts(self) -> tuple[tuple[QWidget, str], ...]:
        return (
            (self.posts, "Posts"), (self.roster, "Roster"), (self.shared, "Days and places"),
            (self.spares, "Spares"), (self.matrix, "Who can power whom"),
            (self.points, "Single points"),
            (self.drill, "Drill"), (self.board, "Tonight"),
        )  # fmt: skip

    def _tasks(self) -> tuple[Task, ...]:
        """Return what is worked out after the rows; what takes longest comes last."""
        return (
            Task("spares", lambda _, rows: search_spares(rows), "Allotting the spares"),
            Task("matrix", _search_matrix, "Comparing batteries and radios"),
            Task("points", _search_points, "Looking for single points"),
            Task("drill", self._search_drill, "Running the drill"),
            Task(
                "odds",
                lambda _, rows: search_group_odds(rows),
                "Odds under shared skies",
                of=_odds_of,
            ),
            Task("pages", self.set.search, "Laying out all pages", is_asked=True),
        )

    def _search_drill(self, whole: LoadedGroup, rows: GroupResult) -> Search[Drill | None]:
        without = self.drill.without
        return search_drill(whole, without, rows) if without else at_once(lambda: None)

    def _lay_out(self) -> None:
        self.title, self.odds_line = QLabel(), sentence_label()
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.odds_line.setToolTip(ODDS_MEAN)
        self.top = TopLine(self.title)
        self.top.menus.addMenu(self._file_menu())
        self.top.menus.addMenu(self._edit_menu())
        self.top.menus.addMenu(self._go_menu())
        self.says = sentence_label()
        foot = QHBoxLayout()
        foot.setContentsMargins(8, 2, 8, 4)
        caution = sentence_label(f"{PREDICTION} {ELECTRICAL}")
        foot.addWidget(caution, 2)
        foot.addWidget(self.says, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.top)
        inside = QVBoxLayout()
        inside.setContentsMargins(8, 0, 8, 0)
        inside.addWidget(self.odds_line)
        inside.addWidget(self.tabs, 1)
        inside.addWidget(self.bar)
        whole.addLayout(inside, 1)
        whole.addLayout(foot)

    def _file_menu(self) -> QMenu:
        menu = QMenu("&File", self)
        self._add(menu, "save", "&Save", "Ctrl+S", self.save)
        self._add(menu, "save_as", "Save &as…", "Ctrl+Shift+S", self.save_as)
        menu.addSeparator()
        self._add(menu, "pdf", "All pages as P&DF…", "Ctrl+Shift+P", self.set.save)
        self._add(menu, "print", "&Print all pages…", "Ctrl+P", self.set.print_it)
        menu.addSeparator()
        self._add(menu, "close", "&Close", "Ctrl+W", self.close)
        return menu

    def _edit_menu(self) -> QMenu:
        menu, stack = QMenu("&Edit", self), self.document.undo_stack
        self._add(menu, "undo", "&Undo", "Ctrl+Z", stack.undo)
        self._add(menu, "redo", "&Redo", "Ctrl+Shift+Z", stack.redo)
        return menu

    def _go_menu(self) -> QMenu:
        menu = QMenu("&Go", self)
        for at, (part, text) in enumerate(self._parts(), start=1):
            self._add(menu, f"go.{at}", text, f"Ctrl+{at}", partial(self._look_at, part))
        return menu

    def _look_at(self, part: QWidget) -> None:
        self.tabs.setCurrentWidget(part)
        part.setFocus()

    def _add(
        self, menu: QMenu, key: str, text: str, shortcut: str, slot: Callable[..., object]
    ) -> None:
        action = QAction(text, self)
        action.setShortcut(QKeySequence(shortcut))
        action.triggered.connect(slot)
        menu.addAction(action)
        self.addAction(action)
        self.actions_by_key[key] = action

    def _wire(self) -> None:
        document = self.document
        document.changed.connect(self._on_changed)
        document.file_changed.connect(self._on_file_changed)
        for signal in (
            document.undo_stack.indexChanged,
            document.undo_stack.canUndoChanged,
            document.undo_stack.canRedoChanged,
        ):
            signal.connect(self._on_undo_changed)
        for part in (self.posts, self.roster):
            part.kit_wanted.connect(self._on_kit_wanted)
            part.said.connect(self.say)
        self.shared.said.connect(self.say)
        self.spares.said.connect(self.say)
        self.set.said.connect(self.say)
        self.set.wanted.connect(self._on_set_wanted)
        self.points.drill_wanted.connect(self._on_drill_wanted)
        self.drill.wanted.connect(self._on_drill_changed)
        self.display.text_size_changed.connect(self._on_text_size_changed)
        work = self.work
        work.began.connect(self._on_began)
        work.progressed.connect(self.bar.advance)
        work.found.connect(self._on_found)
        work.stopped.connect(self._on_stopped)
        work.ended.connect(self._on_ended)
        self.bar.cancel_wanted.connect(work.stop)
        self.bar.again_wanted.connect(self._on_again)
        self._stopped: tuple[str, str] | None = None
        self._on_undo_changed()

    def say(self, text: str) -> None:
        """Show a sentence at the foot."""
        self.says.setText(text)

    # What the document says.

    def _on_changed(self) -> None:
        group, self._stopped = self.document.group, None
        self.title.setText(group.title or "Group without a title")
        self.odds_line.setText(NO_ODDS)
        self.set.odds = None
        for part in (self.posts, self.roster):
            part.follow()
        self.shared.follow()
        self.spares.follow()
        self.drill.show_group(self.document.whole)
        self.work.show_group(self.document.whole)

    def _on_file_changed(self) -> None:
        name = shown_name(self.document.path).replace("[*]", "[*][*]")
        self.setWindowTitle(f"{name}[*] – Group – Counterpoise")
        self.setWindowModified(not self.document.is_clean)

    def _on_undo_changed(self) -> None:
        actions = self.actions_by_key
        name_undo(self.document.undo_stack, actions["undo"], actions["redo"])

    def _on_text_size_changed(self) -> None:
        for table in (self.posts.table, self.roster.table, self.spares.table):
            table.fit()
        self.shared.fit()
        self.matrix.fit()
        self.board.fit()

    # What the worker says.

    def _on_began(self, _key: str, words: str) -> None:
        self.bar.show_working(words)

    def _on_found(self, key: str, value: Any) -> None:
        if key == "rows":
            self._rows = value
            self._show_rows(value)
            self.board.show_rows(value)
        elif key == "pages":
            self.set.show_pages(value)
        elif key == "odds" and self._rows is not None:
            self.set.odds = value
            self._show_rows(with_odds(self._rows, value))
            self.odds_line.setText(net_words(self._rows, value))
        elif key == "spares" and self._rows is not None:
            self.spares.show_allotment(self._rows, value)
        elif key == "matrix":
            self.matrix.show_matrix(value)
        elif key == "points":
            self.points.show_points(value)
        elif key == "drill":
            self.drill.show_drill(value)

    def _show_rows(self, result: GroupResult) -> None:
        for part in (self.posts, self.roster):
            part.show_rows(result)

    def _on_drill_wanted(self, names: tuple[str, ...]) -> None:
        self._look_at(self.drill)
        self.drill.take(self.document.whole, names)

    def _on_set_wanted(self) -> None:
        self.work.ask("pages")

    def _on_drill_changed(self) -> None:
        self.work.ask("drill")

    def _on_stopped(self, key: str, words: str) -> None:
        self._stopped = (key, words)
        self.say(words)

    def _on_ended(self) -> None:
        if self._stopped is None:
            self.bar.show_idle()
        else:
            self.bar.show_offer(self._stopped[1])

    def _on_again(self) -> None:
        if self._stopped is not None:
            key, self._stopped = self._stopped[0], None
            self.work.ask(key)

    def _on_kit_wanted(self, row: int) -> None:
        post = self.document.group.posts[row]
        self.kit_wanted.emit(self.document.kit_file(row), post.station)

    def read_kits_again(self) -> None:
        """Take over kits that were saved meanwhile."""
        try:
            self.document.read_kits_again()
        except ScenarioError as error:
            self.say(f"A kit was not read again: {error.faults[0]}")

    # The file.

    def save(self) -> bool:
        """Save to its file; return whether it was done."""
        path = self.document.path
        if is_shipped(path):
            return self.save_as()
        if self.document.is_changed_on_disk():
            answer = dialogs.ask_about_changed(self, shown_name(path))
            if answer != 0:
                return answer == 1 and self.save_as()
        return self._write(path)

    def save_as(self) -> bool:
        """Ask for a file and save; kits that do not lie beside it are written there too."""
        path = dialogs.ask_for_group_to_save(self, str(self.document.path))
        return path is not None and self._write(path)

    def _write(self, path: Path) -> bool:
        try:
            self.document.save(path)
        except SaveError as error:
            dialogs.tell(self, "The group was not saved", str(error))
            return False
        self.say(f"Saved to {shown_name(path)}")
        return True

    def may_go_on(self) -> bool:
        """Ask about changes that are not saved; a save that did not happen counts as cancel."""
        focused = self.focusWidget()
        if focused is not None:
            # What is being typed counts.
            focused.clearFocus()
        if self.document.is_clean:
            return True
        answer = dialogs.ask_about_unsaved(self, shown_name(self.document.path))
        if answer is dialogs.Answer.SAVE:
            return self.save()
        return answer is dialogs.Answer.DISCARD

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "posts"):
            self._on_text_size_changed()

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.may_go_on():
            event.ignore()
            return
        self.kept.drop()
        self.work.close()
        event.accept()
        self.closed.emit()


def _search_matrix(
    whole: LoadedGroup, rows: GroupResult
) -> Search[tuple[tuple[PowerCell, ...], ...]]:
    return search_power_matrix(whole.group, tuple(row.kit for row in rows.posts))


def _search_points(whole: LoadedGroup, _rows: GroupResult) -> Search[tuple[SharedPoint, ...]]:
    return at_once(shared_points, whole)


def _odds_of(rows: GroupResult) -> object:
    """Return what the odds depend on: no word of the roster but who is net control."""
    kits = [row.kit for row in rows.posts]
    return (
        rows.whole.group.weather_reach_km,
        tuple(
            (
                kit.question.model_copy(update={"title": ""}),
                kit.shared,
                kit.trip,
                kit.post.kit if is_net_control(kit.post) else "",
            )
            for kit in kits
        ),
    )
