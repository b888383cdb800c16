"""The printed set of a group, asked for in its window: laid out, then saved or printed."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.printing import PageError, write_pages
from app.printing.group_set import search_answers, search_group_pages, set_title
from app.printing.marks import Page
from app.printing.paper import paper_with
from app.printing.printing import print_pages
from app.state.display import Display
from app.widgets import dialogs
from model.group.group_run import GroupResult
from model.group.kits import LoadedGroup
from model.group.shared_odds import GroupOdds, with_odds
from model.support.progress import Search, within

NAME = "group-set.pdf"


class PrintedSet(QObject):
    """``wanted`` asks for the pages; ``said`` carries what became of them.

    ``odds`` are printed where they are worked out by then.
    """

    wanted = Signal()
    said = Signal(str)

    def __init__(self, window: QWidget, display: Display) -> None:
        super().__init__(window)
        self._window, self._display = window, display
        self._path: Path | None = None
        self._title = ""
        self.odds: GroupOdds | None = None

    def save(self) -> None:
        """Ask where, then lay the set out and write it."""
        path = dialogs.ask_for_page_to_write(self._window, NAME)
        if path is not None:
            self._path = path
            self.wanted.emit()

    def print_it(self) -> None:
        """Lay the set out, then ask for a printer."""
        self._path = None
        self.wanted.emit()

    def search(self, _whole: LoadedGroup, rows: GroupResult) -> Search[list[Page]]:
        """Lay the pages out."""
        is_us, odds = self._display.is_us, self.odds
        self._title = set_title(rows)
        return _search(rows, odds, is_us=is_us)

    def show_pages(self, pages: list[Page]) -> None:
        """Write or print what is laid out."""
        if self._path is not None:
            self._write(pages, self._path)
            return
        printer = dialogs.ask_for_printer(self._window, self._title, len(pages))
        if printer is None:
            return
        try:
            print_pages(pages, printer, self._title)
        except PageError as error:
            dialogs.tell(self._window, "Nothing was printed", str(error))
            return
        self.said.emit(f"{len(pages)} pages are printing")

    def _write(self, pages: list[Page], path: Path) -> None:
        try:
            write_pages(pages, path, self._title)
        except PageError as error:
            dialogs.tell(self._window, "The pages were not saved", str(error))
            return
        self.said.emit(f"{len(pages)} pages saved to {path}")


def _search(rows: GroupResult, odds: GroupOdds | None, *, is_us: bool) -> Search[list[Page]]:
    result = with_odds(rows, odds) if odds is not None else rows
    answers = yield from within(search_answers(result, odds), 0.0, 0.2)
    return (
        yield from within(
            search_group_pages(
                answers,
                paper=paper_with(us=is_us),
                units="us" if is_us else "metric",
            ),
            0.2,
            1.0,
        )
    )
