"""Posts, spares, places or ways as a table: fields that are typed, and what is said of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QObject

from app.pages.group.columns import NONE, Column
from app.state.group_document import GroupDocument
from app.widgets.typed_table import TypedTable
from model.editing.faults import ScenarioError
from model.group.edit_group import with_text
from model.group.group import Group, Post, Route
from model.group.typed_fields import List, Record, text_of
from model.scenario.scenario import Site


class ColumnsModel(TypedTable):
    """A table with fixed columns; what is typed is one undo step of the group."""

    def __init__(
        self, document: GroupDocument, columns: Sequence[Column], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.columns = tuple(columns)
        self._heads = tuple(column.head for column in columns)
        self._shown = self.held()

    def held(self) -> tuple[Any, ...]:
        """Return what the document holds, a row each."""
        raise NotImplementedError

    @staticmethod
    def key_of(row: Any) -> str:
        """Return what a row is known by: while it stays, the row that is chosen stays."""
        return str(row)

    def follow(self) -> None:
        """Show what the document holds."""
        before, now = self._shown, self.held()
        if list(map(self.key_of, before)) == list(map(self.key_of, now)):
            self._shown = now
            self.refresh()
        else:
            self.beginResetModel()
            self._shown = now
            self.endResetModel()

    def count(self) -> int:
        """Return how many rows there are."""
        return len(self._shown)

    def name_of(self, row: int) -> str:
        """Return how sentences call a row."""
        return self.key_of(self._shown[row])

    def heads(self) -> tuple[str, ...]:
        """Return what stands over the columns."""
        return self._heads

    def is_typed(self, _row: int, column: int) -> bool:
        """Whether a column is that of a field."""
        return bool(self.columns[column].key)

    def is_figure(self, column: int) -> bool:
        """Whether a column leans right."""
        return self.columns[column].is_figure

    def tip(self, _row: int, column: int) -> str:
        """Return what a cell is."""
        return self.columns[column].tip

    def head_tip(self, column: int) -> str:
        """Return what a column is."""
        return self.columns[column].tip

    def changed(self, row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field; raises ScenarioError where it is refused."""
        raise NotImplementedError

    def take(self, row: int, column: int, text: str) -> str:
        """Put a text into its field."""
        of, name = self.columns[column], self.name_of(row)
        try:
            group = self.changed(row, of.key, text)
            self.document.put(f"change of {of.head.lower()} of {name}", group)
        except ScenarioError as error:
            return f"{name}, {of.head.lower()}: {error.faults[0].message}"
        return ""


class RecordsModel(ColumnsModel):
    """A row for each record of one list of the group."""

    where: List = "posts"

    def held(self) -> tuple[Record, ...]:
        """Return the records of the list."""
        records: tuple[Record, ...] = getattr(self.document.group, self.where)
        return records

    def result(self, row: int) -> Any:
        """Return what the other columns are told of; None until it is there."""
        raise NotImplementedError

    @property
    def is_us(self) -> bool:
        """Whether US customary units are shown."""
        return False

    @property
    def is_current(self) -> bool:
        """Whether the results are of the group as it is."""
        return True

    @staticmethod
    def key_of(row: Record) -> str:
        """Return the kit number, the name, the two ends or the kind of part."""
        if isinstance(row, Post):
            return row.kit
        if isinstance(row, Site):
            return row.name
        return " ".join(row.between) if isinstance(row, Route) else row.slot

    def is_grey(self, _row: int, column: int) -> bool:
        """Whether a result is that of the group before a change."""
        return not self.columns[column].key and not self.is_current

    def text(self, row: int, column: int) -> str:
        """Return a field as it is typed, or a result."""
        of = self.columns[column]
        if of.key:
            return text_of(self._shown[row], of.key)
        result = self.result(row)
        return NONE if result is None or of.text is None else of.text(result, self.is_us)

    def changed(self, row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field of a record."""
        return with_text(self.document.group, self.where, row, key, text)
