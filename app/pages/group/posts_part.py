"""The posts: what each one's kit comes to, its day, and the fields of its row."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.pages.group.columns import POSTS, Column, end_words
from app.pages.group.editing_part import EditingPart
from app.pages.group.posts_model import PostsModel
from app.pages.group.records_table import RecordsTable
from app.state.display import Display
from app.state.group_document import GroupDocument
from app.widgets.flow import FlowLayout
from app.widgets.labels import sentence_label
from model.group.edit_group import with_post_like, without_post
from model.group.group_run import GroupResult


class PostsPart(EditingPart):
    """A table of posts with buttons for its rows. ``said`` carries remarks for the foot."""

    kit_wanted = Signal(int)

    def __init__(
        self,
        name: str,
        document: GroupDocument,
        display: Display,
        columns: Sequence[Column] = POSTS,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(document, parent)
        self._display = display
        self.model = PostsModel(document, display, columns, self)
        self.table = RecordsTable(name, self.model)
        self.says = sentence_label()
        self.open_button = self.button(
            "&Open the kit", "Open the file that holds it (Ctrl+Return)", self._on_open
        )
        self.add_button = self.button(
            "&Add a post", "One more post, like the one that is chosen", self._on_add
        )
        self.remove_button = self.button(
            "Re&move the post", "Its kit's file stays as it is", self._on_remove
        )
        buttons = QWidget()
        line = FlowLayout(buttons)
        for button in (self.open_button, self.add_button, self.remove_button):
            line.addWidget(button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.says)
        whole.addWidget(buttons)
        self.setFocusProxy(self.table)
        self.table.opened.connect(self.kit_wanted)
        self.table.row_changed.connect(self._tell)
        self.model.dataChanged.connect(self._tell)
        self.table.choose(0)

    def follow(self) -> None:
        """Show what the document holds."""
        self.model.follow()
        self.remove_button.setEnabled(len(self._document.group.posts) > 1)

    def show_rows(self, result: GroupResult) -> None:
        """Show other results."""
        self.model.show_rows(result)

    def _tell(self) -> None:
        """Say under the table what is refused, or what becomes of the post that is chosen."""
        if self.model.refusals:
            self.says.setText("\n".join(self.model.refusals))
            return
        row = self.model.result(self.table.row)
        if row is None:
            self.says.setText("")
        else:
            lines = [end_words(row)]
            lines += [end_words(row, is_bad=True)] if row.planned is not None else []
            self.says.setText(self._display.sentence(" ".join(lines)))

    def _on_open(self) -> None:
        self.kit_wanted.emit(self.table.row)

    def _on_add(self) -> None:
        at = self.table.row
        if self.change("new post", lambda group: with_post_like(group, at)):
            self.table.choose(at + 1)
            self.table.setFocus()

    def _on_remove(self) -> None:
        at = self.table.row
        kit = self._document.group.posts[at].kit
        if self.change(f"removal of post {kit}", lambda group: without_post(group, at)):
            self.table.choose(min(at, len(self._document.group.posts) - 1))
            self.said.emit(f"Post {kit} is removed; undo brings it back")
