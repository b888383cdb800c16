"""The window of the guide: headings and a search at the left, a chapter at the right."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QCloseEvent,
    QKeySequence,
    QTextBlockFormat,
    QTextCursor,
    QTextDocument,
    QTextLength,
    QTextTable,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QListWidgetItem,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from app.pages.help.chapters import Chapter
from app.widgets.chosen_rows import ChosenList
from app.widgets.tokens import GRID_PX

USUAL_LETTERS, USUAL_LINES, LIST_LETTERS = 120, 40, 26
LINE_PERCENT = 125
# Command, keys, what it does. [%]
COLUMN_SHARES = (32, 22, 46)
TITLE = "Guide – Counterpoise"
NONE = "No chapter holds these words."


class GuideWindow(QWidget):
    """Shows chapters; Escape or the usual key closes it. ``closed`` tells that it was."""

    closed = Signal()

    def __init__(self, chapters: tuple[Chapter, ...], parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self._chapters = chapters
        self.setWindowTitle(TITLE)
        self.search = QLineEdit()
        self.search.setPlaceholderText("Search the guide")
        self.search.setAccessibleName("search the guide")
        self.search.setClearButtonEnabled(True)
        self.headings = ChosenList()
        self.headings.setAccessibleName("chapters")
        self.headings.setFrameShape(QFrame.Shape.NoFrame)
        self.headings.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.page = QTextBrowser()
        self.page.setAccessibleName("chapter")
        self.page.setFrameShape(QFrame.Shape.NoFrame)
        # Nothing is fetched, and no chapter leads anywhere.
        self.page.setOpenLinks(False)
        self.page.document().setDocumentMargin(2 * GRID_PX)
        self.headings.setSpacing(2)
        side = QVBoxLayout()
        side.addWidget(self.search)
        side.addWidget(self.headings, 1)
        line = QHBoxLayout(self)
        line.setContentsMargins(GRID_PX, GRID_PX, GRID_PX, GRID_PX)
        line.addLayout(side)
        line.addWidget(self.page, 1)
        self.headings.currentItemChanged.connect(self._on_chosen)
        self.search.textChanged.connect(self._on_searched)
        self.search.returnPressed.connect(self.page.setFocus)
        close = QAction("Close", self)
        close.setShortcuts(
            [QKeySequence(Qt.Key.Key_Escape), QKeySequence(QKeySequence.StandardKey.Close)]
        )
        close.triggered.connect(self.close)
        self.addAction(close)
        self._list(chapters)

    def show_chapters(self, chapters: tuple[Chapter, ...]) -> None:
        """Show the same chapters in other words; what is searched and chosen stays."""
        row, self._chapters = self.headings.currentRow(), chapters
        self._on_searched(self.search.text())
        if row >= 0:
            self.headings.setCurrentRow(row)

    def open_at(self, title: str) -> None:
        """Show a chapter, with the keyboard in the headings."""
        self.search.clear()
        row = next((at for at, each in enumerate(self._chapters) if each.title == title), 0)
        self.headings.setCurrentRow(row)
        self.show()
        self.raise_()
        self.activateWindow()
        self.headings.setFocus()

    def place(self, kept: QByteArray, main: QRect, room: QRect) -> None:
        """Stand where it stood before, else over the left of the main window."""
        metrics = self.fontMetrics()
        self.headings.setFixedWidth(metrics.averageCharWidth() * LIST_LETTERS)
        self.search.setFixedWidth(self.headings.width())
        if not kept.isEmpty() and self.restoreGeometry(kept):
            return
        wanted = QSize(metrics.averageCharWidth() * USUAL_LETTERS, metrics.height() * USUAL_LINES)
        size = wanted.boundedTo(room.size() - QSize(6 * GRID_PX, 8 * GRID_PX))
        left = max(min(main.left() + 4 * GRID_PX, room.right() - size.width()), room.left())
        top = max(min(main.top() + 6 * GRID_PX, room.bottom() - size.height()), room.top())
        self.setGeometry(QRect(left, top, size.width(), size.height()))

    def titles(self) -> list[str]:
        """Return the headings that are listed."""
        return [self.headings.item(row).text() for row in range(self.headings.count())]

    def _list(self, found: tuple[Chapter, ...]) -> None:
        self.headings.clear()
        for chapter in found:
            item = QListWidgetItem(chapter.title)
            item.setData(Qt.ItemDataRole.UserRole, chapter)
            self.headings.addItem(item)

    def _on_searched(self, words: str) -> None:
        found = tuple(each for each in self._chapters if each.holds(words))
        self._list(found)
        if found:
            self.headings.setCurrentRow(0)
        else:
            self.page.setPlainText(NONE)

    def _on_chosen(self, item: QListWidgetItem | None, _before: QListWidgetItem | None) -> None:
        if item is not None:
            chapter: Chapter = item.data(Qt.ItemDataRole.UserRole)
            self.page.setMarkdown(chapter.shown)
            _dress(self.page.document())

    def closeEvent(self, event: QCloseEvent) -> None:
        event.accept()
        self.closed.emit()


def _dress(document: QTextDocument) -> None:
    """Give lines, headings and tables of a chapter some room, and tables no rules."""
    cursor = QTextCursor(document)
    block = document.begin()
    while block.isValid():
        is_heading = bool(block.blockFormat().headingLevel())
        cursor.setPosition(block.position())
        in_table = cursor.currentTable() is not None
        room = QTextBlockFormat()
        room.setLineHeight(LINE_PERCENT, QTextBlockFormat.LineHeightTypes.ProportionalHeight.value)
        room.setTopMargin(2 * GRID_PX if is_heading and block.position() else 0)
        room.setBottomMargin(0 if in_table else GRID_PX)
        cursor.mergeBlockFormat(room)
        block = block.next()
    for frame in document.rootFrame().childFrames():
        if isinstance(frame, QTextTable):
            shape = frame.format()
            shape.setBorder(0)
            shape.setCellPadding(2)
            shape.setColumnWidthConstraints(
                [QTextLength(QTextLength.Type.PercentageLength, share) for share in COLUMN_SHARES]
            )
            frame.setFormat(shape)
