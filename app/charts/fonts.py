"""The fonts of the drawings, from the program's own and its scale of sizes."""

from __future__ import annotations

from PySide6.QtGui import QFont, QGuiApplication

from app.widgets.tokens import NOTES


def bold_font() -> QFont:
    """Return the program's font in bold."""
    font = QGuiApplication.font()
    font.setBold(True)
    return font


def note_font() -> QFont:
    """Return the program's font in the size of notes."""
    font = QGuiApplication.font()
    font.setPointSizeF(font.pointSizeF() * NOTES)
    return font
