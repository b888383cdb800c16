"""The posts as a table, with what their runs say."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject

from app.pages.group.columns import BAD_END, FIRST_END, Column, end_words
from app.pages.group.records_model import RecordsModel
from app.state.display import Display
from app.state.group_document import GroupDocument
from model.group.group_run import GroupResult, PostRun


class PostsModel(RecordsModel):
    """Results stay in sight, grey, until those of a change come."""

    where = "posts"

    def __init__(
        self,
        document: GroupDocument,
        display: Display,
        columns: Sequence[Column],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(document, display, columns, parent)
        self._rows: dict[str, PostRun] = {}
        self._is_current = False

    @property
    def is_current(self) -> bool:
        """Whether the results are of the group as it is."""
        return self._is_current

    def follow(self) -> None:
        """Show what the document holds; its results are still to come."""
        self._is_current = False
        super().follow()

    def show_rows(self, result: GroupResult) -> None:
        """Show other results."""
        self._rows = {row.kit.post.kit: row for row in result.posts}
        self._is_current = True
        self.refresh()

    def name_of(self, row: int) -> str:
        """Return how sentences call a post."""
        return f"post {self.document.group.posts[row].kit}"

    def result(self, row: int) -> PostRun | None:
        """Return the runs of a post; None until they are there."""
        posts = self.document.group.posts
        return self._rows.get(posts[row].kit) if row < len(posts) else None

    def tip(self, row: int, column: int) -> str:
        """Return what ends and why under its time, else what the column is."""
        found, of = self.result(row), self.columns[column]
        if found is not None and of in (FIRST_END, BAD_END):
            return self.display.sentence(end_words(found, is_bad=of is BAD_END))
        return of.tip
