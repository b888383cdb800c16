"""A number with all that is known of it: value, unit, source, date, spread and a note."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.editors.fields.number import NumberEditor
from app.editors.fields.source_form import SourceForm
from app.editors.popovers.field_popover import Sheet
from app.state.edit_context import Desk


class SourceSheet(Sheet):
    """The value, and under it where it comes from."""

    def __init__(self, desk: Desk, path: str) -> None:
        super().__init__(desk, path, path.rpartition(".")[0])
        self.value = NumberEditor(desk, path, with_source=False)
        self.value.label.setText("Value")
        self.source = SourceForm(desk, path)
        self.whole.addWidget(self.value)
        self.whole.addWidget(self.source)

    def is_there(self) -> bool:
        return self.value.is_there()

    def refresh(self) -> None:
        self.value.refresh()
        self.source.refresh()
        self.listen()

    def first(self) -> QWidget:
        return self.value
