"""The posts as a table: fields that can be typed, and what the runs say."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QColor

from app.pages.group.columns import NONE, Column, end_words
from app.state.display import Display
from app.state.group_document import GroupDocument
from app.widgets.tokens import tints
from model.editing.faults import ScenarioError
from model.group.edit_group import text_of, with_text
from model.group.group import Post
from model.group.group_run import GroupResult, PostRun

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()


class PostsModel(QAbstractTableModel):
    """A row for each post. A text that is refused stays in its cell, marked, until it is mended."""

    def __init__(
        self,
        document: GroupDocument,
        display: Display,
        columns: Sequence[Column],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._display = document, display
        self.columns = tuple(columns)
        self._posts = document.group.posts
        self._rows: dict[str, PostRun] = {}
        self._is_current = False
        self._refused: dict[tuple[str, str], tuple[str, str]] = {}

    @property
    def refusals(self) -> list[str]:
        """What is refused at present, a sentence for each."""
        return [fault for _, fault in self._refused.values()]

    def follow(self) -> None:
        """Show what the document holds; results stay in sight, grey, until new ones come."""
        posts = self._document.group.posts
        self._is_current = False
        if [post.kit for post in posts] != [post.kit for post in self._posts]:
            self.beginResetModel()
            self._posts = posts
            self.endResetModel()
        else:
            self._posts = posts
            self.refresh()

    def show_rows(self, result: GroupResult) -> None:
        """Show other results."""
        self._rows = {row.kit.post.kit: row for row in result.posts}
        self._is_current = True
        self.refresh()

    def refresh(self) -> None:
        """Show all cells anew."""
        last = self.index(len(self._posts) - 1, len(self.columns) - 1)
        self.dataChanged.emit(self.index(0, 0), last)

    def row_of(self, row: int) -> PostRun | None:
        """Return the runs of a post; None until they are there."""
        return self._rows.get(self._posts[row].kit) if row < len(self._posts) else None

    def post(self, row: int) -> Post:
        """Return the post of a row."""
        return self._posts[row]

    @property
    def is_current(self) -> bool:
        """Whether the results are of the group as it is."""
        return self._is_current

    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return how many posts there are."""
        return 0 if parent.isValid() else len(self._posts)

    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return how many columns there are."""
        return 0 if parent.isValid() else len(self.columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that a cell can be chosen, and whether it can be typed in."""
        usual = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled
        if index.isValid() and self.columns[index.column()].key:
            return usual | Qt.ItemFlag.ItemIsEditable
        return usual

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, what it says aloud, and how it looks."""
        column, post = self.columns[index.column()], self._posts[index.row()]
        refused = self._refused.get((post.kit, column.key)) if column.key else None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return refused[0] if refused else self._text(column, post)
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.is_figure else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.BackgroundRole and refused:
            return QColor(tints().refused)
        if role == Qt.ItemDataRole.ForegroundRole and not column.key and not self._is_current:
            return QColor(tints().quiet_text)
        if role == Qt.ItemDataRole.ToolTipRole:
            return refused[1] if refused else self._tip(column, post)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            text = refused[1] if refused else self._text(column, post)
            return f"post {post.kit}, {column.head}: {text or 'empty'}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return the head of a column and what it is."""
        if orientation == Qt.Orientation.Vertical:
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.head
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.tip
        if role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if column.is_figure else Qt.AlignmentFlag.AlignLeft
            return side | Qt.AlignmentFlag.AlignVCenter
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a typed text over as one undo step, or keep it in its cell with what is wrong."""
        if role != Qt.ItemDataRole.EditRole or not self.columns[index.column()].key:
            return False
        column, post = self.columns[index.column()], self._posts[index.row()]
        spot = (post.kit, column.key)
        text = str(value)
        self._refused.pop(spot, None)
        if text == self._text(column, post):
            self.dataChanged.emit(index, index)
            return True
        try:
            group = with_text(self._document.group, "posts", index.row(), column.key, text)
            self._document.put(f"change of {column.head.lower()} of post {post.kit}", group)
        except ScenarioError as error:
            words = error.faults[0].message
            self._refused[spot] = (text, f"Post {post.kit}, {column.head.lower()}: {words}")
            self.dataChanged.emit(index, index)
            return False
        return True

    def _text(self, column: Column, post: Post) -> str:
        if column.key:
            return text_of(post, column.key)
        row = self._rows.get(post.kit)
        if row is None or column.text is None:
            return NONE
        return column.text(row, self._display.is_us)

    def _tip(self, column: Column, post: Post) -> str:
        row = self._rows.get(post.kit)
        if column.head == "First end" and row is not None:
            return end_words(row, row.first_end, is_run=row.planned is not None)
        if column.head == "In bad sky" and row is not None:
            return end_words(row, row.bad_first_end, is_run=row.bad is not None)
        return column.tip
