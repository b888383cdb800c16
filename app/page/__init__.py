"""The kit page: one side of paper a station, for the window, the printer and the command line."""

from app.page.booklet import pages_of, write_pages, write_pdf
from app.page.paint import paint_page
from app.page.station_page import PageError

__all__ = ["PageError", "pages_of", "paint_page", "write_pages", "write_pdf"]
