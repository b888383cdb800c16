"""The kit page from the window: where to write it, and what went wrong if it was not."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QMainWindow

from app import dialogs
from app.document import Document
from app.page.booklet import write_pdf
from app.page.station_page import PageError


def write_page(window: QMainWindow, document: Document, *, us: bool) -> Path | None:
    """Ask where, and write the kit pages of all stations; return where they are."""
    beside = document.path.with_suffix(".pdf") if document.path else "kit.pdf"
    path = dialogs.ask_for_page_to_write(window, str(beside))
    if path is None:
        return None
    try:
        write_pdf(document.scenario, path, paper="letter" if us else "a4",
                  units="us" if us else "metric")
    except PageError as error:
        dialogs.tell(window, "The kit page was not written", str(error))
        return None
    return path
