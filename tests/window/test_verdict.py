"""What the window says: the verdict, the table, the sums behind it, the findings, the advice."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from user import User

from app.pages.results.results_table import CELL_MARGIN_PX, without_weekday
from model.engine.comparison import simulate
from model.odds.odds import USUAL_TRIPS
from model.verdict.results import results
from model.verdict.table import verdict
from tests.plain import plain


def cell_of(user: User, label: str, station: int) -> QModelIndex:
    """Return the place of a figure among the results; stations count from 0."""
    model = user.window.verdict.results.model()
    for row in range(model.rowCount()):
        if model.index(row, 0).data() == label:
            return model.index(row, station + 1)
    raise AssertionError(f"no row {label!r}")


def open_figure(user: User, label: str, station: int) -> None:
    table, index = user.window.verdict.results, cell_of(user, label, station)
    QTest.mouseClick(
        table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center()
    )
    user.settle()


def result(user: User, label: str, station: int) -> str:
    return plain(str(cell_of(user, label, station).data()))


def figure(user: User, label: str, column: int) -> str:
    """Return a figure of the whole table."""
    model = user.window.verdict.all_figures.table.model()
    for row in range(model.rowCount()):
        if str(model.headerData(row, Qt.Orientation.Vertical)).split(",")[0] == label:
            return str(model.index(row, column).data())
    raise AssertionError(f"no row {label!r}")


def choose_figure(user: User, label: str, column: int) -> None:
    """Choose a figure of the whole table."""
    table = user.window.verdict.all_figures.table
    model = table.model()
    row = next(
        row
        for row in range(model.rowCount())
        if str(model.headerData(row, Qt.Orientation.Vertical)).split(",")[0] == label
    )
    table.activated.emit(model.index(row, column))
    user.settle()


def test_the_verdict_stands_on_the_window_in_words(user: User) -> None:
    said = verdict(simulate(user.window.document.scenario))
    user.click("In words")
    for sentence in said.sentences:
        assert user.sees(sentence)
    for line in said.lines:
        assert user.sees(line.short[1:])
    user.press(Qt.Key.Key_Escape)
    assert not user.sees(said.sentences[0])


def test_the_results_are_those_of_the_model(user: User) -> None:
    rows = results(simulate(user.window.document.scenario))
    assert [plain(figure.text) for row in rows for figure in row.figures] == [
        result(user, row.label, station) for row in rows for station in range(len(row.figures))
    ]
    assert result(user, "Receive until", 1) == "Sun 04:11"


def test_a_result_says_station_figure_and_value(user: User) -> None:
    index = cell_of(user, "Lowest charge", 1)
    said = plain(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))
    assert said.startswith("B, One box, 100 W: Lowest charge, and when: 7 %, Mon 04:04")
    assert "7 %" in plain(str(index.data(Qt.ItemDataRole.ToolTipRole)))


def test_results_of_an_earlier_scenario_are_marked(user: User) -> None:
    table = user.window.verdict.results
    assert not table.is_outdated
    user.window.document.edit("stations.1.battery.capacity_ah", 30.0)
    user.window.session._run.forget()
    user.wait_for(lambda: table.is_outdated)
    said = str(cell_of(user, "Receive until", 1).data(Qt.ItemDataRole.AccessibleTextRole))
    assert said.endswith("out of date")
    user.window.session.run_now()
    user.settle()
    assert not table.is_outdated
    assert result(user, "Receive until", 1) != "Sun 04:11"


def test_results_follow_a_run_before_its_words(user: User) -> None:
    user.window.document.edit("stations.1.radio.receive_a", 0.3)
    user.wait_for(lambda: result(user, "Receive until", 1) == "to Mon 08:00")
    assert user.window.session.is_waiting_for_words


def test_odds_follow_the_advice_and_grow_old_with_a_change(user: User) -> None:
    assert result(user, "Odds of receive", 0) == "…"
    user.settle_all()
    user.wait_for(lambda: result(user, "Odds of receive", 0) != "…")
    # Trial trips are a sample: none or all of ten is never said.
    assert result(user, "Odds of receive", 0) == ">9 in 10"
    assert result(user, "Odds of receive", 1) == "<1 in 10"
    user.window.document.edit("stations.1.radio.receive_a", 0.3)
    user.settle()
    said = str(cell_of(user, "Odds of receive", 1).data(Qt.ItemDataRole.AccessibleTextRole))
    assert said.endswith("out of date")
    open_figure(user, "Odds of receive", 1)
    assert "before the last change" in user.window.verdict.sum.accessibleName()
    user.settle_all()
    user.wait_for(lambda: result(user, "Odds of receive", 1) != "<1 in 10")
    assert "before the last change" not in user.window.verdict.sum.accessibleName()


def test_odds_of_the_lens_stand_among_the_results(user: User) -> None:
    user.window.lenses.look_at("odds")
    work = user.window.results
    user.wait_for(lambda: work._odds is not None and work._odds.trips == USUAL_TRIPS)
    known = work._odds
    # The lens is looked at: nothing else works them out.
    user.settle_all()
    assert work.is_settled
    user.window.lenses.look_at("day")
    assert work.is_settled
    assert work._odds is known


def test_odds_that_fail_are_told(user: User, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_args: object, **_kwargs: object) -> Iterator[None]:
        yield
        raise ZeroDivisionError("planted")

    monkeypatch.setattr("app.pages.frame.results_work.search_odds", broken)
    user.settle_all()
    user.wait_for(lambda: result(user, "Odds of reserve", 0) == "not known")
    open_figure(user, "Odds of reserve", 0)
    assert "planted" in user.window.verdict.sum.accessibleName()


@pytest.mark.parametrize("station_count", [2, 4])
def test_results_share_the_columns_that_they_are_told(user: User, station_count: int) -> None:
    while len(user.window.document.scenario.stations) < station_count:
        user.window.commands["station.duplicate"].trigger()
    user.settle()
    table = user.window.verdict.results
    user.window.verdict.set_columns(112, [92] * station_count)
    header = table.horizontalHeader()
    assert header.isHidden()
    widths = [header.sectionSize(column) for column in range(station_count + 1)]
    assert widths == [112] + [92] * station_count
    # No label is cut at the narrowest that the window is laid out for.
    room_px = 112 - 2 * CELL_MARGIN_PX
    labels = [str(table.model().index(row, 0).data()) for row in range(table.model().rowCount())]
    assert [text for text in labels if table.fontMetrics().horizontalAdvance(text) > room_px] == []


def test_all_results_are_in_sight_without_scrolling(user: User) -> None:
    area = user.window.left.area
    assert area.verticalScrollBar().maximum() == 0
    table = user.window.verdict.results
    assert table.verticalScrollBar().maximum() == 0
    assert table.verticalHeader().length() <= table.viewport().height(), "none is cut"


def test_results_stand_right_under_the_parts_while_there_is_room(user: User) -> None:
    sheet, area = user.window.sheet, user.window.left.area
    user.window.resize(1366, 1000)
    user.let_appear()
    assert area.geometry().top() == sheet.geometry().bottom() + 1
    assert sheet.verticalScrollBar().maximum() == 0
    before = area.y()
    user.open(1, "Radio")
    user.let_appear()
    assert area.y() > before
    user.open(1, "Panel")
    user.window.resize(1366, 620)
    user.let_appear()
    # Without room for all, the parts scroll and the results stay.
    assert sheet.verticalScrollBar().maximum() > 0
    assert area.geometry().bottom() <= user.window.left.height()
    assert area.verticalScrollBar().maximum() == 0


def test_results_go_on_from_a_reading_as_the_headline_does(user: User) -> None:
    comparison = user.window.session.comparison
    assert comparison is not None
    before = result(user, "Receive until", 1)
    user.window.now.form.wanted.emit(1, comparison.clock.at(14 * 60), 6.0)
    user.settle()
    headline = user.window.head.headline
    assert headline is not None
    assert result(user, "Receive until", 1) != before
    assert result(user, "Receive until", 1) in plain(headline.text)
    assert user.sees("Results from a reading on")
    assert result(user, "Odds of receive", 1) == "–"
    open_figure(user, "Odds of receive", 1)
    assert "begin with the plan" in user.window.verdict.sum.accessibleName()
    open_figure(user, "Lowest charge", 1)
    assert "6.00 Ah" in plain(user.window.verdict.sum.accessibleName())
    user.click("In words")
    assert user.sees("In words, as planned, not from the reading")
    user.window.now.forget()
    user.settle()
    assert result(user, "Receive until", 1) == before
    assert not user.sees("Results from a reading on")


def test_results_are_copied_as_text_and_as_csv(user: User, qapp: QApplication) -> None:
    table = user.window.verdict.results
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = plain(qapp.clipboard().text()).splitlines()
    assert lines[0].split("\t") == ["Result", "A, Low power and amplifier", "B, One box, 100 W"]
    assert "Receive until\tto Mon 08:00\tSun 04:11" in lines
    table.copy_wanted.emit(True)
    rows = list(csv.reader(io.StringIO(qapp.clipboard().text())))
    assert ["Receive until", "to Mon 08:00", "Sun 04:11"] in rows


def test_all_figures_are_copied_as_numbers(user: User, qapp: QApplication) -> None:
    user.click("All figures")
    user.click("Copy as CSV")
    rows = list(csv.reader(io.StringIO(qapp.clipboard().text())))
    assert rows[0][:2] == ["Figure", "Unit"]
    found = next(row for row in rows if row[0] == "Drawn in total")
    assert found[1] == "Ah"
    assert float(found[4]) == pytest.approx(float(found[3]) - float(found[2]), abs=0.051)
    user.click("Copy as text")
    assert "Drawn in total\tAh" in qapp.clipboard().text()


def test_the_three_clocks_of_each_station_stand_among_the_words(user: User) -> None:
    user.click("In words")
    assert user.sees("Receive throughout")
    assert user.sees("Receive until Sun 04:11")


def test_the_caution_is_always_in_sight(user: User) -> None:
    assert user.sees("A prediction, not a guarantee")


def test_differences_are_against_the_first_station(user: User) -> None:
    first, second = figure(user, "Drawn in total", 0), figure(user, "Drawn in total", 1)
    difference = figure(user, "Drawn in total", 2)
    assert float(difference) == pytest.approx(float(second) - float(first), abs=0.11)
    assert difference.startswith("+")


@pytest.mark.parametrize("label", ["Drawn in total", "Receiving"])
def test_a_figure_opens_a_sum_that_comes_to_it(user: User, label: str) -> None:
    user.click("All figures")
    choose_figure(user, label, 1)
    words = user.window.verdict.all_figures.sum.accessibleName()
    amounts = [float(text) for text in re.findall(r"([\d.]+) Ah", plain(words))]
    assert sum(amounts[:-1]) == pytest.approx(amounts[-1], abs=0.01 * len(amounts))
    assert amounts[-1] == pytest.approx(float(figure(user, label, 1)), abs=0.06)
    assert "mean " in words or "datasheet" in words


def test_every_figure_of_the_table_can_be_opened_and_follows_changes(user: User) -> None:
    user.click("All figures")
    figures = user.window.verdict.all_figures
    for row in range(figures.table.model().rowCount()):
        for column in range(figures.table.model().columnCount()):
            figures.table.activated.emit(figures.table.model().index(row, column))
            assert figures.sum.accessibleName()
    choose_figure(user, "Drawn in total", 0)
    before = figures.sum.accessibleName()
    user.window.document.edit("stations.0.radio.receive_a", 0.9)
    user.settle()
    assert figures.sum.accessibleName() != before


def test_every_result_opens_its_sum(user: User) -> None:
    user.settle_all()
    panel = user.window.verdict
    for row in range(panel.results.model().rowCount()):
        for station in range(2):
            panel.results.activated.emit(panel.results.model().index(row, station + 1))
            assert panel.is_sum_open
            letter = "AB"[station]
            assert panel.sum.accessibleName().startswith(f"{letter}: ")


def test_a_sum_stays_while_parts_are_changed_and_follows_them(user: User) -> None:
    open_figure(user, "Drawn a night", 0)
    panel = user.window.verdict
    before = panel.sum.accessibleName()
    user.open(1, "Radio")
    user.fill("station 1, radio, receive current", "0.9")
    assert panel.is_sum_open
    assert panel.sum.accessibleName() != before
    user.click(next(t for t in user.visible_texts() if t.startswith("Close: A: Low power")))
    assert not panel.is_sum_open


def test_return_opens_the_sum_arrows_pass_it_on_and_escape_closes_it(user: User) -> None:
    user.choose("Go", "Results")
    panel = user.window.verdict
    user.press(Qt.Key.Key_Right)
    user.press(Qt.Key.Key_Return)
    assert panel.is_sum_open
    before = panel.sum.accessibleName()
    user.press(Qt.Key.Key_Down)
    assert panel.sum.accessibleName() != before
    user.press(Qt.Key.Key_Escape)
    assert not panel.is_sum_open


def test_a_sum_closes_with_its_station(user: User) -> None:
    open_figure(user, "Carried", 1)
    user.window.commands["station.remove"].trigger()
    open_figure(user, "Carried", 0)
    assert user.window.verdict.is_sum_open


def test_a_finding_leads_to_its_field(user: User) -> None:
    user.open(2, "Leads")
    user.open(2, "Lead 1")
    user.fill("station 2, lead 1, fuse", "500")
    user.choose("Go", "Findings")
    listed = next(t for t in user.visible_texts() if t.startswith("✕ error – station B, lead 1"))
    user.press(Qt.Key.Key_Escape)
    assert listed not in user.visible_texts()
    assert "The fuse of 500 A is above" in plain(user.note_under("station 2, lead 1, fuse"))
    assert "The fuse of 500 A is above" in user.line(2, "Leads")
    user.open(2, "Lead 1")
    user.choose("Go", "Place and day")
    user.choose("Go", "Findings")
    user.click(listed)
    user.wait_for(lambda: user.window.focusWidget() is not None)
    assert user.chosen() == "station 2, lead 1, fuse"


def test_a_finding_opens_what_its_field_lies_in(user: User) -> None:
    user.window.ways.jump_to("stations.0.leads.1.fuse_a")
    user.settle()
    assert user.chosen() == "station 1, lead 2, fuse"
    user.window.ways.jump_to("site.timezone")
    user.settle()
    focused = user.window.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "site, time zone"


def test_an_error_withholds_one_station_and_says_so(user: User) -> None:
    user.open(1, "Radio")
    plan = user.window.document.scenario.plan
    slotted = next(i for i, block in enumerate(plan) if block.activity == "slots")
    user.window.document.edit(f"plan.{slotted}.transmit_share", 0.9)
    user.settle()
    user.click("In words")
    assert user.sees("No station can be calculated")
    assert user.sees("Not run: see its findings.")
    user.choose("Go", "Findings")
    assert user.sees("✕ error")
    user.window.document.undo_stack.undo()
    user.settle()
    assert not user.sees("✕ error")


def test_advice_names_the_cure_and_both_skies(user: User) -> None:
    user.click("In words")
    user.settle_all()
    assert user.sees("What helps B most")
    assert user.sees("clear sky:")
    assert user.sees("Overcast:")


def test_a_failing_worker_is_told_and_the_next_run_works(
    user: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    user.click("In words")

    def broken(*_args: object, **_kwargs: object) -> Iterator[None]:
        yield
        raise ZeroDivisionError("planted")

    with monkeypatch.context() as patch:
        patch.setattr("app.state.session.search_counsel", broken)
        user.open(1, "Radio")
        user.fill("station 1, radio, receive current", "0.3")
        user.settle_all()
        assert user.sees("could not be worked out: ZeroDivisionError: planted")
    user.fill("station 1, radio, receive current", "0.32")
    user.settle_all()
    assert user.sees("clear sky:")


def test_closing_while_advice_is_being_worked_out_leaves_nothing(user: User) -> None:
    user.window.session.advise_now()
    assert user.window.jobs.is_running
    assert user.window.close()
    assert not user.window.jobs.is_running


def test_us_units_change_what_is_shown_and_not_what_is_kept(user: User) -> None:
    before = user.window.document.scenario
    assert figure(user, "Carried", 0) == "17.60"
    assert result(user, "Carried", 0) == "17.6 kg"
    user.choose("View", "US units")
    # 1 lb is 0.45359237 kg by definition (international yard and pound agreement, 1959).
    assert figure(user, "Carried", 0) == f"{17.60 / 0.45359237:.2f}"
    assert result(user, "Carried", 0) == f"{17.60 / 0.45359237:.1f} lb"
    assert user.reads("day, low") == "37 39"
    assert user.window.document.scenario is before
    user.open(1, "Radio")
    user.fill("station 1, radio, mass", "2")
    kept = user.window.document.scenario.stations[0].radio.mass_kg
    assert kept == pytest.approx(0.90718474)
    user.choose("View", "US units")
    assert float(user.reads("station 1, radio, mass")) == pytest.approx(0.907, abs=0.0005)


def test_a_finding_of_the_plan_leads_to_its_block(user: User) -> None:
    plan = user.window.document.scenario.plan
    slotted = next(i for i, block in enumerate(plan) if block.activity == "slots")
    user.window.ways.jump_to(f"plan.{slotted}.transmit_share")
    user.settle()
    focused = user.window.focusWidget()
    assert focused is not None
    assert user.window.plan.editor.isAncestorOf(focused)


def test_a_finding_of_a_block_that_went_a_moment_ago_leads_to_the_plan(user: User) -> None:
    gone = len(user.window.document.scenario.plan)
    user.window.ways.jump_to(f"plan.{gone}.rf_w")
    assert user.window.plan.canvas.chosen is None
    assert not user.window.plan.popover.isVisible()


def test_old_advice_does_not_stand_beside_a_new_verdict(user: User) -> None:
    user.click("In words")
    user.settle_all()
    assert user.sees("clear sky:")
    user.open(2, "Radio")
    user.fill("station 2, radio, receive current", "0.8")
    assert not user.sees("clear sky:")
    assert user.sees("Working out what would help most")
    user.settle_all()
    assert user.sees("clear sky:")


@pytest.mark.parametrize(
    ("text", "short"),
    [
        ("to Sat 1 May 08:00", "to 1 May 08:00"),
        ("≈ Sun 18 Apr 04:10", "≈ 18 Apr 04:10"),
        ("Sun 04:11", "Sun 04:11"),
        ("never", "never"),
    ],
)
def test_a_time_without_room_leaves_out_the_weekday_of_a_date(text: str, short: str) -> None:
    assert without_weekday(text) == short


def test_of_a_scenario_just_begun_nothing_is_said_until_it_is_worked_out(user: User) -> None:
    window = user.window
    table, chips = window.verdict.results, window.head.offers
    user.wait_for(lambda: any(chip.isVisible() for chip in chips.chips))
    before = window.head.text.text()
    assert "…" not in result(user, "Receive until", 1)
    window.files.new()
    assert not window.session.is_current
    assert window.head.text.text() != before
    assert plain(window.head.text.text()) == "Being worked out …"
    assert window.head.cause.text() == ""
    assert not any(chip.isVisible() for chip in chips.chips)
    assert chips.more.isHidden()
    assert {figure.text for row in table.rows for figure in row.figures} == {"…"}
    assert window.foot.findings.text() == "… findings"
    user.settle()
    assert "…" not in result(user, "Receive until", 1)
    assert window.head.headline is not None
    user.wait_for(lambda: any(chip.isVisible() for chip in chips.chips))
