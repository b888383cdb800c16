"""Whole documents of pages, written to a PDF file or sent to a printer."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import BinaryIO

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSizeF
from PySide6.QtGui import QGuiApplication, QPagedPaintDevice, QPageLayout, QPageSize, QPdfWriter

from app.printing.marks import UNITS_PER_INCH, Page
from app.printing.paint import paint_page, painting
from app.work.disk import write_data
from model.files.atomic_write import SaveError

CREATOR = "Counterpoise"


class PageError(Exception):
    """A document that could not be made; says why in one line."""


def ensure_application() -> None:
    """Set up drawing without a screen where the program has no window."""
    if QGuiApplication.instance() is None:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _kept.append(QGuiApplication([CREATOR.lower()]))


_kept: list[QGuiApplication] = []


def pdf_bytes(pages: Sequence[Page], title: str) -> bytes:
    """Return a PDF file of pages, with fonts embedded and text that can be selected."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(round(UNITS_PER_INCH))
    writer.setTitle(title)
    writer.setCreator(CREATOR)
    if not paint_document(writer, pages):
        raise PageError("the pages could not be drawn")
    buffer.close()
    return bytes(buffer.data().data())


def paint_document(device: QPagedPaintDevice, pages: Sequence[Page]) -> bool:
    """Paint pages on a file or a printer, each on a sheet of its own size.

    Return whether the device took them.
    """
    _fit_sheet(device, pages[0])
    with painting(device) as painter:
        for number, page in enumerate(pages):
            if number:
                _fit_sheet(device, page)
                if not device.newPage():
                    return False
            across, down = device.logicalDpiX(), device.logicalDpiY()
            wide, high = page.width * across / UNITS_PER_INCH, page.height * down / UNITS_PER_INCH
            paint_page(painter, page, QRectF(0, 0, wide, high))
            if not painter.isActive():
                return False
    return True


def _fit_sheet(device: QPagedPaintDevice, page: Page) -> None:
    size = QSizeF(page.width / UNITS_PER_INCH * 72, page.height / UNITS_PER_INCH * 72)
    sheet = QPageSize(size, QPageSize.Unit.Point, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
    layout = QPageLayout(
        sheet, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Point
    )
    layout.setMode(QPageLayout.Mode.FullPageMode)
    device.setPageLayout(layout)


def save(data: bytes, target: str | os.PathLike[str] | BinaryIO) -> None:
    """Write a file, or to a stream that is open.

    Raises PageError where it cannot be written; the file that stood there before is whole then.
    """
    if hasattr(target, "write"):
        target.write(data)
        return
    try:
        write_data(data, target)
    except SaveError as error:
        raise PageError(str(error)) from error
