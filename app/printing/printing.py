"""Send pages to a printer that somebody has chosen."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtPrintSupport import QPrinter

from app.printing.document import CREATOR, PageError, paint_document
from app.printing.marks import UNITS_PER_INCH, Page


def print_pages(pages: Sequence[Page], printer: QPrinter, title: str) -> None:
    """Print pages, each on a sheet of its own size; raises PageError where the printer will not.

    A printer that was asked for some pages only, or for several copies, gives those.
    """
    wanted = pages[_first(printer) : _last(printer, len(pages))]
    if not wanted:
        raise PageError(f"there are {len(pages)} pages: none of those asked for")
    printer.setDocName(title)
    printer.setCreator(CREATOR)
    printer.setFullPage(True)
    printer.setResolution(round(UNITS_PER_INCH))
    if not paint_document(printer, wanted):
        raise PageError("the printer took no pages")


def _first(printer: QPrinter) -> int:
    return max(printer.fromPage() - 1, 0)


def _last(printer: QPrinter, count: int) -> int:
    return printer.toPage() or count
