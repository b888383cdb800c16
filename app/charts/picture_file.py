"""Drawings as files: made whole in memory first, so that a failed one leaves the old file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QRect, QSize
from PySide6.QtGui import QImage, QImageWriter, QPainter
from PySide6.QtSvg import QSvgGenerator

from app.work.disk import write_data
from model.files.atomic_write import SaveError, shown_name


def save_pixels(image: QImage, path: Path) -> None:
    """Save an image as PNG; raise SaveError, which says why, where it cannot be saved."""
    made = QBuffer()
    made.open(QIODevice.OpenModeFlag.WriteOnly)
    # Whatever the name ends in: the format must not hang on it.
    if not QImageWriter(made, QByteArray(b"png")).write(image):
        raise SaveError(f"{shown_name(path)}: there is no room to draw the picture")
    write_data(bytes(made.data().data()), path)


def save_lines(
    paint: Callable[[QPainter], None], size: QSize, path: Path, title: str, description: str = ""
) -> None:
    """Save a drawing as SVG; raise SaveError, which says why, where it cannot be saved."""
    drawn = QBuffer()
    drawn.open(QIODevice.OpenModeFlag.WriteOnly)
    sheet = QSvgGenerator()
    sheet.setOutputDevice(drawn)
    sheet.setSize(size)
    sheet.setViewBox(QRect(0, 0, size.width(), size.height()))
    sheet.setTitle(title)
    sheet.setDescription(description)
    with QPainter(sheet) as painter:
        paint(painter)
    write_data(bytes(drawn.data().data()), path)
