"""Pages to look at, to print and to save, with the keys and buttons that go with them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.printing import PageError, write_pages
from app.printing.marks import Page
from app.printing.preview import PagePreview
from app.printing.printing import print_pages
from app.widgets import dialogs

KEYS = "Page up and page down turn pages, + and − zoom, 0 fits the width, 1 is the size of paper."


class Sheets(QWidget):
    """Shows pages; prints them or saves them as PDF. ``said`` tells what became of that."""

    said = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.preview = PagePreview()
        self.preview.setToolTip(KEYS)
        self.preview.setAccessibleDescription(KEYS)
        self._count = QLabel()
        self.back = self._button("◂", "Page before (page up)")
        self.on = self._button("▸", "Next page (page down)")
        self.print_button = QPushButton("&Print…")
        self.save_button = QPushButton("&Save PDF…")
        line = QHBoxLayout()
        for widget in (self.back, self._count, self.on):
            line.addWidget(widget)
        line.addStretch(1)
        line.addWidget(self.print_button)
        line.addWidget(self.save_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.preview, 1)
        whole.addLayout(line)
        self.setFocusProxy(self.preview)
        self.preview.page_shown.connect(self._on_page_shown)
        self.back.clicked.connect(self._on_back)
        self.on.clicked.connect(self._on_next)
        self.print_button.clicked.connect(self._on_print)
        self.save_button.clicked.connect(self._on_save)
        self.show_pages((), "", Path())

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text)
        button.setToolTip(tip)
        button.setAccessibleName(tip)
        button.setFixedWidth(button.fontMetrics().height() * 2)
        return button

    def show_pages(self, pages: Sequence[Page], title: str, file_name: Path) -> None:
        """Show pages; ``file_name`` is where saving them suggests to put them."""
        self._pages, self._title, self._file_name = pages, title, file_name
        self.preview.set_pages(pages)
        for button in (self.print_button, self.save_button):
            button.setEnabled(bool(pages))
        self._tell_page()

    def forbid_paper(self) -> None:
        """Let pages that are out of date be neither printed nor saved."""
        for button in (self.print_button, self.save_button):
            button.setEnabled(False)

    def _tell_page(self) -> None:
        at, count = self.preview.index, self.preview.count
        self._count.setText(f"Page {at + 1} of {count}" if count else "No page")
        self.back.setEnabled(at > 0)
        self.on.setEnabled(at + 1 < count)

    def _on_page_shown(self, _index: int) -> None:
        self._tell_page()

    def _on_back(self) -> None:
        self.preview.turn(-1)

    def _on_next(self) -> None:
        self.preview.turn(1)

    def _on_print(self) -> None:
        printer = dialogs.ask_for_printer(self, self._title, len(self._pages))
        if printer is None:
            return
        try:
            print_pages(self._pages, printer, self._title)
        except PageError as error:
            dialogs.tell(self, "Nothing was printed", str(error))
            return
        self.said.emit(f"{self._title} is printing")

    def _on_save(self) -> None:
        path = dialogs.ask_for_page_to_write(self, str(self._file_name))
        if path is None:
            return
        try:
            write_pages(self._pages, path, self._title)
        except PageError as error:
            dialogs.tell(self, "The pages were not saved", str(error))
            return
        self.said.emit(f"{self._title} saved to {path}")
