"""The kit page: one side of paper a station, for the window, the printer and the command line."""

from app.printing.booklet import pages_of, write_pages, write_pdf
from app.printing.document import PageError
from app.printing.paint import paint_page

__all__ = ["PageError", "pages_of", "paint_page", "write_pages", "write_pdf"]
