"""The odds lens: first a quick answer, then the full one, then what follows for one station."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from beside import leave, opened, press, scenario_of
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot
from user import User

from app.charts.ink import Ink
from app.pages.odds import work
from app.pages.odds.answers_part import AnswersPart
from app.pages.odds.chances import LEAST_PITCH_PX, TRIPS, ChanceDots, chance_words
from app.pages.odds.ends_chart import EndsChart
from app.pages.odds.page import NO_YEAR, OddsPage
from app.pages.odds.year_chart import YearChart, half_words
from app.state.display import Display
from app.state.settings import Settings
from app.widgets.tokens import GRID_PX
from model.editing.paths import with_value
from model.odds import answers as asking
from model.odds import half_months
from model.odds.answer_sentences import frontier_rows
from model.odds.answers import Answers, search_answers, search_with_sizes
from model.odds.end_spread import end_spread, spread_words
from model.odds.odds import odds
from model.odds.reaching import reaching_words
from model.odds.rows import Rows, headline_words, search_rows
from model.odds.sentences import odds_text
from model.odds.shares import Share
from model.scenario.scenario import Scenario
from model.support.progress import finish
from tests.laws.sample_kits import one_box, question, small_kit
from tests.laws.test_batch_season import ALPINE
from tests.plain import plain

FIRST, FULL = 10, 25
WORKED_MS = 240_000


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    given = question(small_kit(), one_box(), days=2, date=date(2027, 11, 20))
    return with_value(given, "climate", ALPINE)


@pytest.fixture(scope="module")
def rows(scenario: Scenario) -> Iterator[Rows]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(half_months, "TRIPS_EACH", 10)
        months = finish(half_months.search_half_months(scenario, 0))
        yield finish(search_rows(scenario, 40)).with_year(months)


@pytest.fixture
def few_trips(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "FIRST_TRIPS", FIRST)
    monkeypatch.setattr(work, "USUAL_TRIPS", FULL)
    monkeypatch.setattr(half_months, "TRIPS_EACH", 2)
    monkeypatch.setattr(asking, "ASKED_TRIPS", 5)


def page_of(user: User, scenario: Scenario) -> OddsPage:
    user.window.document.replace("other kits", scenario)
    user.settle()
    view = opened(user, "odds").view
    assert isinstance(view, OddsPage)
    return view


@pytest.fixture
def page(user: User, scenario: Scenario, few_trips: None) -> OddsPage:
    """The lens of a window with the forecast alone, as a year takes as long with few trips."""
    weak = with_value(scenario, "stations.1.battery.capacity_ah", 14.0)
    return page_of(user, with_value(weak, "climate", None))


@pytest.fixture
def year_page(user: User, scenario: Scenario, few_trips: None) -> OddsPage:
    """The lens of a window that knows the months of the year too."""
    return page_of(user, scenario)


def settled(user: User, page: OddsPage) -> None:
    user.qtbot.waitUntil(lambda: page.work.is_settled, timeout=WORKED_MS)


def told(page: OddsPage) -> str:
    return plain(page.answers.raise_section.head.text())


def test_rows_are_of_season_and_forecast_and_say_their_bounds(qtbot: QtBot, rows: Rows) -> None:
    dots = ChanceDots()
    qtbot.addWidget(dots)
    dots.show_rows(rows)
    # Two questions, two bases, two stations.
    assert len(dots.chances) == 8
    assert {chance.row for chance in dots.chances} == {
        "any mid-November weekend", "if the forecast holds",
    }  # fmt: skip
    season = rows.season
    assert season is not None
    first = season.stations[0]
    assert first is not None
    assert chance_words(dots.chances[0]) == odds_text(first.receive)
    assert chance_words(dots.chances[4]) == odds_text(first.reserve)
    assert odds_text(first.receive) in dots.accessibleDescription()
    assert headline_words(season).startswith("Any mid-November weekend: ")


def test_without_a_climate_there_is_the_forecast_alone(scenario: Scenario) -> None:
    found = finish(search_rows(with_value(scenario, "climate", None), 10))
    assert found.season is None
    assert found.first is found.forecast
    assert found.with_year(()) is found
    assert headline_words(found.first).startswith("If the forecast holds: ")


def test_the_year_is_read_out_by_the_keyboard(qtbot: QtBot, rows: Rows) -> None:
    chart, said = YearChart(), []
    qtbot.addWidget(chart)
    chart.pointed.connect(said.append)
    found = rows.first
    chart.show_odds(found)
    # The trip begins on 20 November: in the half-month that begins on the 16th.
    assert said == [half_words(found, 21)]
    assert said[0].startswith("From 16 Nov: A ")
    QTest.keyClick(chart, Qt.Key.Key_Right)
    assert said[-1].startswith("From 1 Dec: A ")
    share = found.half_months[22].receive[1]
    assert share is not None
    assert f"B {odds_text(share)}" in said[-1]
    assert len(chart.accessibleDescription().splitlines()) == 24


def test_the_line_of_enough_trips_is_moved_by_key_and_by_hand(qtbot: QtBot, rows: Rows) -> None:
    chart, moved = YearChart(), []
    qtbot.addWidget(chart)
    chart.resize(600, 240)
    chart.show_odds(rows.first)
    chart.of_ten_changed.connect(moved.append)
    QTest.keyClick(chart, Qt.Key.Key_Down)
    assert (moved, chart.of_ten) == ([8], 8)
    field = chart._field(QRectF(chart.rect()))
    x = round(field.center().x())
    at, to = (round(field.bottom() - field.height() * tenths / 10) for tenths in (8, 3))
    QTest.mousePress(chart, Qt.MouseButton.LeftButton, pos=QPoint(x, at))
    QTest.mouseMove(chart, QPoint(x, to))
    QTest.mouseRelease(chart, Qt.MouseButton.LeftButton, pos=QPoint(x, to))
    assert moved[-1] == 3


@pytest.mark.parametrize("of_ten", [1, 5, 9])
def test_the_starts_with_enough_trips_are_those_of_the_curve(rows: Rows, of_ten: int) -> None:
    found = rows.first
    said = reaching_words(found, of_ten)
    assert said.startswith(f"{of_ten} of 10 or more: A from ")
    shares = [half.receive[1] for half in found.half_months]
    enough = [share is not None and share.value >= of_ten / 10 for share in shares]
    told = said.rstrip(".").split("; B from ")[1]
    if all(enough) or not any(enough):
        assert told == ("starts all year" if all(enough) else "no start")
        return
    # Each half-month that begins a stretch, and no other, stands before a "to".
    begins = [
        half.start
        for half, now, before in zip(found.half_months, enough, enough[-1:] + enough, strict=False)
        if now and not before
    ]
    assert sorted(re.findall(r"(\d+ \w+) to", told)) == sorted(f"{d.day} {d:%b}" for d in begins)


def test_the_spread_of_ends_counts_every_trip_once(scenario: Scenario) -> None:
    weak = with_value(scenario, "stations.1.battery.capacity_ah", 14.0)
    found = odds(weak, 120)
    spread, station = end_spread(found, 1), found.stations[1]
    assert spread is not None
    assert station is not None
    assert spread.share.sum() + spread.lasts_share == pytest.approx(1.0)
    ends_h = station.receive_end_h
    assert spread.low_h is not None
    assert spread.high_h is not None
    # Ends fall on steps of ten minutes, several on one.
    inside = ((ends_h >= spread.low_h) & (ends_h <= spread.high_h)).sum()
    assert inside / (120 * (1.0 - spread.lasts_share)) == pytest.approx(0.8, abs=0.1)
    for begin_h, share in zip(spread.begin_h, spread.share, strict=True):
        within = (ends_h >= begin_h) & (ends_h < begin_h + spread.width_h)
        # The last bar holds its own end as well.
        assert within.sum() / 120 == pytest.approx(share, abs=1e-9) or begin_h == spread.begin_h[-1]
    assert "8 in 10" in spread_words(found, spread)


def test_a_kit_that_always_lasts_has_no_ends(qtbot: QtBot, scenario: Scenario) -> None:
    strong = with_value(scenario, "stations.0.battery.capacity_ah", 400.0)
    found = odds(strong, 10)
    spread = end_spread(found, 0)
    assert spread is not None
    assert (spread.lasts_share, spread.low_h) == (1.0, None)
    assert spread_words(found, spread) == "Receives to the end in every trial trip that was run."
    chart = EndsChart()
    qtbot.addWidget(chart)
    chart.show_spread(found, 0, spread)
    assert not chart.picture().isNull()


def test_a_quick_answer_comes_first_and_the_full_one_and_the_year_follow(
    user: User, year_page: OddsPage, scenario: Scenario
) -> None:
    page = year_page
    seen: list[int] = []
    page.work.rows_found.connect(lambda rows: seen.append(rows.first.trips))
    page.work.year_found.connect(lambda rows: seen.append(len(rows.first.half_months)))
    page.work.begin()
    settled(user, page)
    assert seen == [FIRST, FULL, 24]
    assert plain(page.basis.text()).startswith(f"{FULL} trial trips")
    assert user.sees(page.headline.text())
    assert page.year.isVisible()
    # Asked about the one that receives least often, until another is chosen.
    assert told(page).startswith("What would raise the odds that ")
    assert page.answers.size_section.isVisible()
    assert user.sees("Meets the plan: no limit is reached")
    # Without months the year says what it needs.
    user.window.document.replace("no climate", with_value(scenario, "climate", None))
    user.qtbot.waitUntil(page.no_year.isVisible, timeout=WORKED_MS)
    assert not page.year.isVisible()
    assert user.sees(NO_YEAR)
    settled(user, page)
    assert user.sees("More years of weather change nothing here")


def test_another_question_leaves_the_odds_as_they_are(user: User, page: OddsPage) -> None:
    settled(user, page)
    seen: list[object] = []
    page.work.rows_found.connect(seen.append)
    other = 1 - page.station.currentIndex()
    page.station.setCurrentIndex(other)
    page.station.activated.emit(other)
    assert plain(page.end_section.head.text()) == f"When {'AB'[other]} goes off the air"
    page.goal.setCurrentIndex(1)
    page.goal.activated.emit(1)
    settled(user, page)
    assert told(page) == f"What would raise the odds that {'AB'[other]} meets the plan"
    answered: list[Answers] = []
    page.work.answers_found.connect(answered.append)
    page.answers.of_ten.setValue(5)
    settled(user, page)
    assert seen == []
    # Sizes alone were asked for again.
    assert len(answered) == 1
    assert user.sees("in 5 of 10 trial trips")


def test_work_can_be_stopped_and_is_kept_while_one_looks_elsewhere(
    user: User, page: OddsPage
) -> None:
    settled(user, page)
    begun: list[str] = []
    page.work.began.connect(begun.append)
    leave(user)
    opened(user, "odds")
    settled(user, page)
    assert begun == []
    page.work.begin()
    page.bar.cancel_wanted.emit()
    assert page.work.is_settled
    assert plain(page.bar.says.text()) == "Stopped. Out of date."
    press(user.window, "Work it out")
    user.qtbot.waitUntil(lambda: begun == [work.Stage.FIRST.value], timeout=WORKED_MS)
    leave(user)
    assert page.work.is_settled
    # What was left half done is begun again.
    opened(user, "odds")
    settled(user, page)
    assert begun[1] == work.Stage.FIRST.value
    assert page.headline.isEnabled()
    assert not page.bar.says.isVisible()


def test_a_change_that_raises_the_odds_is_applied_in_one_step_and_worked_out(
    user: User, page: OddsPage
) -> None:
    settled(user, page)
    raises = page.answers._found.raises  # type: ignore[union-attr]
    assert raises
    before, headline = scenario_of(user), page.headline.text()
    page.answers.raises.choose(len(raises[:5]) - 1)
    chosen = raises[:5][-1]
    assert plain(page.answers.price.text()).startswith(plain(chosen.words))
    press(user.window, "Apply")
    assert scenario_of(user) == chosen.changed
    # Until then it is said to be out of date.
    user.qtbot.waitUntil(lambda: not page.headline.isEnabled(), timeout=WORKED_MS)
    assert page.bar.says.text() in ("Out of date.", work.Stage.FIRST.value)
    assert not page.answers.apply.isEnabled()
    settled(user, page)
    assert page.headline.isEnabled()
    assert page.headline.text() != headline
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == before


def test_answers_with_sizes_keep_the_rest(
    scenario: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asking, "ASKED_TRIPS", 5)
    found = finish(search_answers(scenario, 0, trips=8))
    assert found is not None
    assert found.sizes is None
    sized = finish(search_with_sizes(found, 0.5))
    assert sized.raises is found.raises
    assert sized.sizes is not None
    assert sized.sizes.wanted_share == 0.5


def test_masses_and_prices_of_the_answers_follow_the_units(
    qtbot: QtBot, scenario: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asking, "ASKED_TRIPS", 5)
    found = finish(search_answers(scenario, 0, trips=8))
    assert found is not None
    display = Display(Settings())
    part = AnswersPart(display)
    qtbot.addWidget(part)
    sized = finish(search_with_sizes(found, 0.5))
    part.show_answers(sized)
    assert sized.sizes is not None
    masses = [row[2] for row in frontier_rows(sized.sizes) if row[2]]
    table = part.frontier.model()
    shown = [table.index(row, 2).data() for row in range(table.rowCount())]
    assert masses
    assert [each for each in shown if each] == masses
    display.set_us(True)
    shown = [table.index(row, 2).data() for row in range(table.rowCount())]
    for metric, us in zip(masses, [each for each in shown if each], strict=True):
        (kg, _), (lb, unit) = plain(metric).split(), plain(us).split()
        assert unit == "lb"
        # 1 lb is 0.45359237 kg by definition (international yard and pound agreement, 1959).
        assert float(lb) == pytest.approx(float(kg) / 0.45359237, rel=0.01)


def test_trips_are_filled_as_far_as_the_odds_go(qtbot: QtBot, rows: Rows) -> None:
    """A share of a half fills the first five of ten marks; the sixth is empty."""
    dots = ChanceDots()
    qtbot.addWidget(dots)
    dots.resize(900, 400)
    image = QImage(900, 60, QImage.Format.Format_RGB32)
    ink = Ink.of(dots.palette())
    image.fill(ink.ground)
    painter = QPainter(image)
    dots._paint_trips(painter, QRectF(0, 0, 250, 17), 0, Share(0.5, 0.3, 0.7), ink)
    painter.end()
    colour = ink.station(0).rgb()
    filled = [image.pixel(round(25 * (trip + 0.5)), 9) == colour for trip in range(10)]
    assert filled == [True] * 5 + [False] * 5
    # Under them the line goes from three trips to seven.
    rows_below = range(18, 40)
    dark = {x for x in range(250) for y in rows_below if image.pixelColor(x, y).lightness() < 110}
    assert (min(dark), max(dark)) == (pytest.approx(75, abs=2), pytest.approx(175, abs=2))


@pytest.mark.parametrize(("value", "filled"), [(0.0, 0.5), (1.0, 9.5)])
def test_neither_none_nor_all_of_the_trips_are_filled(
    qtbot: QtBot, value: float, filled: float
) -> None:
    dots = ChanceDots()
    qtbot.addWidget(dots)
    image = QImage(900, 60, QImage.Format.Format_RGB32)
    ink = Ink.of(dots.palette())
    image.fill(ink.ground)
    painter = QPainter(image)
    # Squares: the second station's marker.
    dots._paint_trips(painter, QRectF(0, 0, 250, 17), 1, Share(value, 0.3, 0.7), ink)
    painter.end()
    colour = ink.station(1).rgb()
    for trip in (0, 9):
        for part in (0.4, 0.6):
            at = trip + part
            assert (image.pixel(round(25 * at), 9) == colour) == (at < filled)


def test_larger_text_takes_the_questions_apart_sooner(qtbot: QtBot, rows: Rows) -> None:
    dots = ChanceDots()
    qtbot.addWidget(dots)
    dots.show_rows(rows)
    usual, width = dots.heightForWidth(1300), 1300
    font = dots.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    dots.setFont(font)
    # Twice as large, and one over the other instead of side by side.
    assert dots.heightForWidth(width) > 2.5 * usual


def test_no_words_of_the_odds_are_cut_off_in_a_low_window(
    qtbot: QtBot, rows: Rows, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As wide as the lens in a window of 1024 pixels, with the longest words there are."""
    dots = ChanceDots()
    qtbot.addWidget(dots)
    dots.show_rows(rows)
    few = Share(0.02, 0.0, 0.2)
    dots.chances = tuple(
        replace(each, row="any mid-September trip of 14 days", share=few) for each in dots.chances
    )
    cut: list[str] = []
    put = ChanceDots.put_words

    def put_words(
        sheet: ChanceDots, painter: QPainter, room: QRectF, words: str, side: Any
    ) -> None:
        if sheet.words_px(words) > room.width():
            cut.append(words)
        put(sheet, painter, room, words, side)

    monkeypatch.setattr(ChanceDots, "put_words", put_words)
    # Marks and words, the names broken beside them: in letters, as fonts differ.
    others_px = dots.words_px("D mid-September") + TRIPS * LEAST_PITCH_PX + 8 * GRID_PX
    width = round(dots.words_px(chance_words(dots.chances[0])) + others_px)
    dots.resize(width, dots.heightForWidth(width))
    dots.grab()
    assert cut == []
