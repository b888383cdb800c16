"""Rows of a field as a table: key-down points, hours, shade."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.editors.fields.build import editor_for
from app.editors.fields.number import can_have_source
from app.editors.fields.rows import RowsEditor
from app.editors.fields.source_form import SourceForm
from app.editors.popovers.field_popover import Sheet
from app.state.edit_context import Desk
from app.widgets.labels import sentence_label
from model.editing.field_facts import field_at


class RowsSheet(Sheet):
    """The rows, each with a way to take it away and one to add more; then where they come from."""

    def __init__(self, desk: Desk, path: str) -> None:
        has_source = can_have_source(path)
        super().__init__(desk, path, path.rpartition(".")[0] if has_source else "")
        editor = editor_for(desk, path)
        assert isinstance(editor, RowsEditor)
        self.rows = editor
        self.rows.be_a_table(_heads(path, self.rows))
        self.whole.addWidget(self.rows)
        if self.rows.facts.help:
            self.whole.addWidget(sentence_label(self.rows.facts.help))
        self.source = SourceForm(desk, path) if has_source else None
        if self.source is not None:
            self.whole.addWidget(self.source)
            # All that its button says stands in the form.
            for each in self.rows.beside():
                each.hide()
        self.setMinimumWidth(self.fontMetrics().horizontalAdvance("0") * 40)

    def is_there(self) -> bool:
        return self.rows.is_there()

    def refresh(self) -> None:
        self.rows.refresh()
        if self.source is not None:
            self.source.refresh()
        self.listen()

    def first(self) -> QWidget:
        cells = self.rows.first_row()
        return cells[0] if cells else self.rows


def _heads(path: str, rows: RowsEditor) -> list[str]:
    if rows.facts.columns:
        return list(rows.facts.columns)
    return [field_at(f"{path}.0.{column}").label for column in range(rows.columns)]
