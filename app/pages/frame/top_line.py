"""The line at the top: the menus, place and day, and the sky; in two lines where it must be."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QHBoxLayout, QMenuBar, QSizePolicy, QWidget

from app.widgets.flow import FlowLayout


class TopLine(QWidget):
    """Menus at the left, then what it is given."""

    def __init__(self, *beside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.menus = QMenuBar()
        self.menus.setNativeMenuBar(False)
        self.menus.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        inside = QWidget()
        line = FlowLayout(inside)
        for widget in (self.menus, *beside):
            line.addWidget(widget)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(8, 4, 8, 4)
        whole.addWidget(inside)

    def minimumSizeHint(self) -> QSize:
        return QSize(320, super().minimumSizeHint().height())
