"""The kit page: what is to be printed, as it will be on paper."""

from __future__ import annotations

import logging
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QLabel, QVBoxLayout, QWidget

from app.editors.station_choice import StationChoice
from app.pages.view import Around, View
from app.printing.booklet import search_pages, title_of
from app.printing.marks import Page
from app.printing.paper_choice import PaperChoice
from app.printing.say import Variant
from app.printing.sheets import Sheets
from app.widgets.flow import FlowLayout
from app.widgets.labelled import labelled
from app.work.jobs import Jobs
from app.work.turns import Turns
from model.engine.comparison import Comparison
from model.export.kit_page import Kit, kit_of
from model.support.progress import Search

ALL = "All stations and the comparison"
RESULTS: dict[str, Variant] = {
    "printed": "plain", "left blank to be guessed": "class", "as the answers of a class": "answers",
}  # fmt: skip
_log = logging.getLogger("counterpoise")
LOOKING = "Working out the pages of the scenario as it is now …"


def _kits(comparison: Comparison) -> Search[list[Kit]]:
    """Work out all that the pages say; to lay it out afterwards takes a turn for each kit."""
    kits = []
    for index in range(len(comparison.scenario.stations)):
        yield index / len(comparison.scenario.stations)
        kits.append(kit_of(comparison, index))
    return kits


class KitPage(View):
    """Station, paper, sides and blanks are chosen here; the pages follow, and every edit too."""

    title = "Kit page"
    scrolls = True
    # What the pages say takes some hundred runs.
    wait_ms = 600

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self._comparison: Comparison | None = None
        self._coming: Comparison | None = None
        self._jobs = Jobs(self)
        self._jobs.finished.connect(self._on_worked_out)
        self._jobs.failed.connect(self._on_failed)
        self._laying_out = Turns(self)
        self._laying_out.found.connect(self._on_laid_out)
        self._laying_out.failed.connect(self._on_not_laid_out)
        self._said = QLabel()
        self._said.setTextFormat(Qt.TextFormat.PlainText)
        self._said.setWordWrap(True)
        self._said.hide()
        self.station = StationChoice("stations on the pages", ALL)
        self.station.show_stations(around.document.scenario)
        self.paper = PaperChoice(around.desk.display)
        self.results = QComboBox()
        self.results.addItems(list(RESULTS))
        self.results.setAccessibleName("results on the pages")
        self.log = QCheckBox("Field &log")
        self.log.setToolTip("A sheet to write readings on, for each station")
        self.cover = QCheckBox("&Cover")
        self.cover.setToolTip("A first sheet with every kit, what becomes of it, and a tick")
        self.sheets = Sheets()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._choices())
        whole.addWidget(self._said)
        whole.addWidget(self.sheets, 1)
        self.first = self.sheets
        self.sheets.said.connect(around.say)
        for box in (self.station, self.paper, self.results):
            box.currentIndexChanged.connect(self._on_changed)
        for check in (self.log, self.cover):
            check.toggled.connect(self._on_changed)
        around.desk.display.units_changed.connect(self._on_units_changed)
        around.reports.changed.connect(self._on_units_changed)

    def _choices(self) -> QWidget:
        row = QWidget()
        line = FlowLayout(row)
        for words, box in (
            ("S&tations", self.station), ("P&aper", self.paper), ("&Results", self.results),
        ):  # fmt: skip
            line.addWidget(labelled(words, box))
        line.addWidget(self.log)
        line.addWidget(self.cover)
        return row

    @property
    def is_settled(self) -> bool:
        """Whether the pages are those of what was asked for last."""
        return not self._jobs.is_running and not self._laying_out.is_at_work

    def show_comparison(self, comparison: Comparison) -> None:
        comparison = self.around.from_now(comparison)
        self._coming = comparison
        self._say(LOOKING)
        self.sheets.forbid_paper()
        self._laying_out.drop()
        if comparison.is_whole:
            self._jobs.start(_kits(comparison))
        else:
            # A hand moves: pages are of the whole run that follows.
            self._jobs.cancel()

    def rest(self) -> None:
        self._jobs.cancel()
        self._laying_out.drop()

    def stop(self) -> None:
        self._jobs.close()

    def _on_worked_out(self, _number: int, _kits: object) -> None:
        self._say("")
        self._comparison = self._coming
        if self._comparison is not None:
            self.station.show_stations(self._comparison.scenario)
        self._show()

    def _on_failed(self, _number: int, fault: str) -> None:
        self._say(f"The pages could not be worked out: {fault}")

    def _say(self, words: str) -> None:
        self._said.setText(words)
        self._said.setVisible(bool(words))

    def _show(self) -> None:
        if self._comparison is None:
            return
        index = self.station.station
        self.sheets.forbid_paper()
        search = search_pages(
            self._comparison,
            paper=self.paper.paper,
            station=None if index is None else index + 1,
            units=self.units,
            variant=RESULTS[self.results.currentText()],
            cover=self.cover.isChecked(),
            log=self.log.isChecked(),
            reports=self.around.reports.reports,
        )
        self._laying_out.begin(search)

    def _on_laid_out(self, pages: list[Page]) -> None:
        assert self._comparison is not None
        path = self.around.document.path
        beside = path.with_suffix(".pdf") if path else Path("kit.pdf")
        self.sheets.show_pages(pages, title_of(self._comparison), beside)

    def _on_not_laid_out(self, error: Exception) -> None:
        _log.error("the pages could not be laid out", exc_info=error)
        self._say(f"The pages could not be laid out: {error}")

    def _on_changed(self, _choice: object) -> None:
        self._show()

    def _on_units_changed(self) -> None:
        if self.isVisible():
            self._show()
