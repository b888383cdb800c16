"""The odds: how many trips of ten each station lasts, when it ends else, and what follows."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.pages.odds.answers_part import AnswersPart
from app.pages.odds.chances import ChanceDots
from app.pages.odds.ends_chart import EndsChart
from app.pages.odds.work import Asked, OddsWork, Stage
from app.pages.odds.year_chart import YearChart
from app.pages.view import Around, View, put
from app.widgets.labels import sentence_label
from app.widgets.sections import Section, SideBySide
from app.widgets.tokens import GRID_PX, HEADLINE
from app.widgets.work_bar import WorkBar
from app.widgets.worked_part import OUTDATED, STOPPED
from model.engine.comparison import Comparison
from model.odds.answers import Answers
from model.odds.end_spread import end_spread, spread_words
from model.odds.odds import Odds
from model.odds.reaching import reaching_words
from model.odds.rows import Rows, headline_words
from model.odds.sentences import (
    COUNTS_TRIPS,
    OUTLASTS_MEANS,
    basis_words,
    ends_note,
    outlasts_words,
    year_note,
)
from model.odds.station_trips import Goal
from model.results.wording import called, heading_at

GOALS: dict[str, Goal] = {"receives to the end": "receive", "meets the plan": "plan"}
NO_YEAR = "The year needs the months of a climate, or weather files: see the place."
YEAR_TITLE = "The year: trips of ten that receive to the end, by start"
EACH_PX = 320


class OddsPage(View):
    """Odds first, then the year and the ends, then what follows for one station."""

    title = "Odds"
    scrolls = True
    # Its work beside the window ends soon after a change, and begins only when the hand rests.
    wait_ms, longest_wait_ms = 30, 200

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self.work = OddsWork(self)
        self._rows: Rows | None = None
        self._has_chosen = False
        self.headline, self.basis, self.outlasts = QLabel(), sentence_label(), sentence_label()
        self.headline.setTextFormat(Qt.TextFormat.PlainText)
        self.headline.setWordWrap(True)
        self.basis.setAccessibleName("What the odds are of")
        self.outlasts.setAccessibleName("Which lasts longer")
        self.bar = WorkBar()
        self.chances, self.year, self.ends = ChanceDots(), YearChart(), EndsChart()
        self.half, self.no_year = sentence_label(), sentence_label(NO_YEAR)
        self.reaching = sentence_label()
        self.reaching.setAccessibleName("when enough trips receive to the end")
        self.half.setAccessibleName("half-month read out")
        self.spread = sentence_label()
        self.spread.setAccessibleName("When it ends")
        self.station, self.goal = QComboBox(), QComboBox()
        self.station.setAccessibleName("station asked about")
        self.goal.setAccessibleName("odds asked about")
        self.goal.addItems(list(GOALS))
        self.answers = AnswersPart(around.desk.display)
        self._lay_out()
        self._wire()
        self._dress()
        self._show_body(False)

    def _lay_out(self) -> None:
        self.body = QWidget()
        year = Section(YEAR_TITLE, self.year, self.reaching, self.half, self.no_year)
        self.end_section = Section("When it goes off the air", self.ends, self.spread)
        choice = QHBoxLayout()
        for words, box in (("About", self.station), ("and whether it", self.goal)):
            choice.addWidget(QLabel(words))
            choice.addWidget(box)
        choice.addStretch(1)
        inside = QVBoxLayout(self.body)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(2 * GRID_PX)
        inside.addWidget(self.chances)
        inside.addWidget(self.outlasts)
        inside.addWidget(SideBySide(year, self.end_section, each_px=EACH_PX, shares=(3, 2)))
        inside.addLayout(choice)
        inside.addWidget(self.answers)
        sheet = QWidget()
        column = QVBoxLayout(sheet)
        column.setContentsMargins(GRID_PX, GRID_PX // 2, GRID_PX, GRID_PX)
        column.setSpacing(GRID_PX)
        for widget in (self.headline, self.basis, self.bar, self.body):
            column.addWidget(widget)
        column.addStretch(1)
        self.area = QScrollArea()
        self.area.setWidget(sheet)
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.area.setAccessibleName(self.title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.area)
        self.first = self.area

    def _wire(self) -> None:
        work = self.work
        work.rows_found.connect(self._on_rows)
        work.year_found.connect(self._on_year)
        work.answers_found.connect(self._on_answers)
        work.began.connect(self.bar.show_working)
        work.advanced.connect(self.bar.advance)
        work.outdated.connect(self._on_outdated)
        work.finished.connect(self.bar.show_idle)
        work.failed.connect(self._on_failed)
        self.bar.cancel_wanted.connect(self._on_cancel)
        self.bar.again_wanted.connect(self._on_again)
        self.year.pointed.connect(self.half.setText)
        self.station.activated.connect(self._on_station)
        self.goal.activated.connect(self._on_goal)
        self.answers.of_ten_changed.connect(self._on_of_ten)
        self.year.of_ten_changed.connect(self.answers.of_ten.setValue)
        self.answers.applied.connect(self._on_applied)

    def show_comparison(self, comparison: Comparison) -> None:
        self.work.show_scenario(comparison.scenario)

    def rest(self) -> None:
        self.work.rest()

    def stop(self) -> None:
        self.work.stop()

    # What the work tells.

    def _on_outdated(self, stage: Stage) -> None:
        is_odds = stage in (Stage.FIRST, Stage.FULL)
        if is_odds:
            for sheet in (self.chances, self.year, self.ends):
                sheet.show_outdated(True)
            for label in (self.headline, self.basis, self.outlasts, self.half, self.reaching,
                          self.spread):  # fmt: skip
                label.setEnabled(False)
            self.bar.show_idle(OUTDATED if self._rows is not None else "")
        self.answers.show_outdated(drivers=is_odds)

    def _on_rows(self, rows: Rows) -> None:
        self._rows = rows
        found = rows.first
        for label in (self.headline, self.basis, self.outlasts, self.spread):
            label.setEnabled(True)
        self.headline.setText(headline_words(found))
        self.basis.setText(f"{basis_words(found)} {COUNTS_TRIPS}")
        stations = range(len(found.stations))
        pairs = [(one, other) for one in stations for other in stations[one + 1 :]]
        told = [words for words in (outlasts_words(found, *pair) for pair in pairs) if words]
        self.outlasts.setText(" ".join([*told, OUTLASTS_MEANS] if told else []))
        self.outlasts.setVisible(bool(told))
        self.chances.show_outdated(False)
        self.chances.show_rows(rows)
        self._show_year(found)
        self._fill_stations(found)
        self._show_body(True)
        self._show_station()

    def _show_reaching(self) -> None:
        found = self._rows.first if self._rows is not None else None
        told = (reaching_words(found, self.year.of_ten), year_note(found)) if found else ()
        self.reaching.setText(" ".join(filter(None, told)))
        self.reaching.setVisible(bool(self.reaching.text()))

    def _show_year(self, found: Odds) -> None:
        self.no_year.setVisible(found.basis == "forecast")
        self.year.setVisible(found.basis != "forecast")
        self.half.setVisible(found.basis != "forecast")

    def _on_year(self, rows: Rows) -> None:
        """Show the year, which follows the odds; until then the one of before stays, faded."""
        self._rows = rows
        self.year.show_outdated(False)
        self.year.show_odds(rows.first)
        self._show_reaching()
        for label in (self.half, self.reaching):
            label.setEnabled(True)

    def _fill_stations(self, found: Odds) -> None:
        names = [heading_at(found.scenario, index) for index in range(len(found.stations))]
        held = [self.station.itemText(at) for at in range(self.station.count())]
        if len(names) != len(held):
            self._has_chosen = False
        at = self.station.currentIndex() if self._has_chosen else _worst(found)
        if names != held:
            self.station.clear()
            self.station.addItems(names)
        self.station.setCurrentIndex(at)
        self._ask()

    def _show_station(self) -> None:
        """Show the ends and the drivers of the station that is asked about."""
        rows, index = self._rows, self.station.currentIndex()
        if rows is None or index < 0:
            return
        found = rows.first
        spread = end_spread(found, index)
        self.end_section.setVisible(spread is not None)
        self.end_section.head.setText(f"When {called(found.scenario, index)} goes off the air")
        self.ends.show_outdated(False)
        self.ends.show_spread(found, index, spread)
        told = [spread_words(found, spread)] if spread is not None else []
        self.spread.setText(" ".join([*told, ends_note(found)]).strip())
        self.answers.show_drivers(found, index)

    def _on_answers(self, found: Answers | None) -> None:
        self.answers.show_answers(found)

    def _on_failed(self, fault: str) -> None:
        self.bar.show_offer(f"It could not be worked out: {fault}")

    # What a person does.

    def _ask(self) -> None:
        goal = GOALS[self.goal.currentText()]
        self.work.ask(Asked(self.station.currentIndex(), goal, self.answers.of_ten.value()))

    def _on_station(self, _at: int) -> None:
        self._has_chosen = True
        self._show_station()
        self._ask()

    def _on_goal(self, _at: int) -> None:
        self._ask()

    def _on_of_ten(self, value: int) -> None:
        self.year.put_of_ten(value)
        self._show_reaching()
        self._ask()

    def _on_cancel(self) -> None:
        self.work.cancel()
        self.bar.show_offer(f"{STOPPED} {OUTDATED}" if self._rows is not None else STOPPED)

    def _on_again(self) -> None:
        self.work.begin()

    def _on_applied(self, text: str, seen: object, wanted: object) -> None:
        for words in put(self.around.document, text, seen, wanted):  # type: ignore[arg-type]
            self.around.say(words)

    # How it looks.

    def _show_body(self, is_there: bool) -> None:
        self.body.setVisible(is_there)
        self.headline.setVisible(is_there)
        self.basis.setVisible(is_there)

    def _dress(self) -> None:
        font = self.font()
        font.setPointSizeF(font.pointSizeF() * HEADLINE)
        if self.headline.font() != font:
            self.headline.setFont(font)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._dress()


def _worst(found: Odds) -> int:
    """Return the station that receives to the end least often: the one to be asked about."""
    told = [
        (one.receive.value, index) for index, one in enumerate(found.stations) if one is not None
    ]
    return min(told)[1] if told else 0
