"""Posts, spares, places or ways as a table: fields that are typed, and what is said of each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QObject, Qt

from app.pages.group.columns import NONE, Column
from app.state.display import Display
from app.state.group_document import GroupDocument
from app.widgets.number_text import NumberTextError
from app.widgets.typed_table import TypedTable
from model.editing.faults import ScenarioError
from model.editing.field_facts import FieldFacts, in_sentence
from model.group.edit_group import with_text
from model.group.group import Group, Post, Route
from model.group.typed_fields import List, Record, text_of
from model.scenario.scenario import Site


class ColumnsModel(TypedTable):
    """A table with fixed columns; what is typed is one undo step of the group."""

    def __init__(
        self,
        document: GroupDocument,
        display: Display,
        columns: Sequence[Column],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.document, self.display = document, display
        self.columns = tuple(columns)
        self._heads = self._heads_now()
        self._shown = self.held()
        display.units_changed.connect(self._on_units_changed)

    def _heads_now(self) -> tuple[str, ...]:
        return tuple(
            f"{of.head}, {self.display.unit(of.facts)}" if of.facts is not None else of.head
            for of in self.columns
        )

    def _on_units_changed(self) -> None:
        """Show numbers in other units; what was refused in the ones before is let go."""
        before, self._heads = self._heads, self._heads_now()
        heads = enumerate(zip(before, self._heads, strict=True))
        self.forget_refusals(at for at, (old, new) in heads if old != new)
        self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(self.columns) - 1)
        self.refresh()

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

    def text(self, row: int, column: int) -> str:
        """Return what stands in a cell, in the units shown."""
        text, facts = self.held_text(row, column), self._other_unit(column)
        return self.display.text(float(text), facts) if text and facts is not None else text

    def _other_unit(self, column: int) -> FieldFacts | None:
        """Return the facts of a column whose numbers are shown in another unit than is held."""
        facts = self.columns[column].facts
        is_other = facts is not None and self.display.unit(facts) != facts.unit
        return facts if is_other else None

    def held_text(self, row: int, column: int) -> str:
        """Return a field as the document's own units have it, or what else a cell says."""
        raise NotImplementedError

    def changed(self, row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field; raises ScenarioError where it is refused."""
        raise NotImplementedError

    def take(self, row: int, column: int, text: str) -> str:
        """Put a text into its field."""
        of, name, facts = self.columns[column], self.name_of(row), self._other_unit(column)
        try:
            if facts is not None:
                text = repr(self.display.read(text, facts))
            group = self.changed(row, of.key, text)
            self.document.put(f"change of {of.head.lower()} of {name}", group)
        except ScenarioError as error:
            return f"{name}, {of.head.lower()}: {error.faults[0].message}"
        except NumberTextError as error:
            return f"{name}, {of.head.lower()}: {in_sentence(str(error))}"
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

    def held_text(self, row: int, column: int) -> str:
        """Return a field as it is typed, or a result."""
        of = self.columns[column]
        if of.key:
            return text_of(self._shown[row], of.key)
        result = self.result(row)
        return NONE if result is None or of.text is None else of.text(result, self.display.is_us)

    def changed(self, row: int, key: str, text: str) -> Group:
        """Return the group with a text in a field of a record."""
        return with_text(self.document.group, self.where, row, key, text)
