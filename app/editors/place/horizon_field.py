"""The horizon as a line of text, beside the sketch."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QSizePolicy, QWidget

from app.editors.fields.typed import TypedEditor
from app.state.edit_context import Desk
from model.editing.edit_horizon import horizon_text, read_horizon
from model.sky.horizon import HorizonPoints


class HorizonField(TypedEditor):
    """Pairs of bearing and height, such as ``0 3, 60 6, 90 9``; empty is level all round."""

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent)
        self.edit.setPlaceholderText("level all round; or 0 3, 60 6, 90 9")
        self.label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self.edit.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.line.setStretchFactor(self.label, 0)
        self.line.setStretchFactor(self.edit, 1)

    def read(self, text: str) -> HorizonPoints:
        return read_horizon(text)

    def text_of(self, value: Any) -> str:
        return horizon_text(value)
