"""What the window says: the verdict, the table, the sums behind it, the findings, the advice."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from user import User

from model.engine.comparison import simulate
from model.verdict.table import verdict
from tests.plain import plain


def open_figure(user: User, label: str, column: int) -> None:
    table = user.window.verdict.table
    model = table.model()
    row = next(
        row
        for row in range(model.rowCount())
        if str(model.headerData(row, Qt.Orientation.Vertical)).split(",")[0] == label
    )
    index = model.index(row, column)
    table.scrollTo(index)
    QTest.mouseClick(
        table.viewport(), Qt.MouseButton.LeftButton, pos=table.visualRect(index).center()
    )
    user.settle()


def figure(user: User, label: str, column: int) -> str:
    model = user.window.verdict.table.model()
    for row in range(model.rowCount()):
        if str(model.headerData(row, Qt.Orientation.Vertical)).split(",")[0] == label:
            return str(model.index(row, column).data())
    raise AssertionError(f"no row {label!r}")


def test_the_verdict_stands_on_the_window(user: User) -> None:
    said = verdict(simulate(user.window.document.scenario))
    for sentence in said.sentences:
        assert user.sees(sentence)
    for line in said.lines:
        assert user.sees(line.short[1:])


def test_the_three_clocks_stand_under_each_name(user: User) -> None:
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
    open_figure(user, label, 1)
    words = user.window.verdict.sum.accessibleName()
    amounts = [float(text) for text in re.findall(r"([\d.]+) Ah", plain(words))]
    assert sum(amounts[:-1]) == pytest.approx(amounts[-1], abs=0.01 * len(amounts))
    assert amounts[-1] == pytest.approx(float(figure(user, label, 1)), abs=0.06)
    assert "mean " in words or "datasheet" in words


def test_every_figure_can_be_opened_and_follows_changes(user: User) -> None:
    table = user.window.verdict.table
    for row in range(table.model().rowCount()):
        for column in range(table.model().columnCount()):
            table.activated.emit(table.model().index(row, column))
            assert user.window.verdict.sum.accessibleName()
    open_figure(user, "Drawn in total", 0)
    before = user.window.verdict.sum.accessibleName()
    user.open(1, "Radio")
    user.fill("station 1, radio, receive current", "0.9")
    assert user.window.verdict.sum.accessibleName() != before
    user.click("close the sum")
    assert not user.window.verdict.sum.isVisible()


def test_return_opens_the_sum_and_escape_closes_it(user: User) -> None:
    user.choose("Go", "Comparison table")
    user.press(Qt.Key.Key_Down)
    user.press(Qt.Key.Key_Return)
    panel = user.window.verdict.sum
    assert panel.isVisible()
    panel.setFocus()
    user.press(Qt.Key.Key_Escape)
    assert not panel.isVisible()


def test_a_finding_leads_to_its_field(user: User) -> None:
    user.open(2, "Leads")
    user.open(2, "Lead 1")
    user.fill("station 2, lead 1, fuse", "500")
    listed = next(t for t in user.visible_texts() if t.startswith("✕ error – station B, lead 1"))
    assert "The fuse of 500 A is above" in plain(user.note_under("station 2, lead 1, fuse"))
    assert "has a finding: error" in user.line(2, "Leads")
    user.open(2, "Lead 1")
    user.choose("Go", "Place and day")
    user.click(listed)
    user.wait_for(lambda: user.window.focusWidget() is not None)
    focused = user.window.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "station 2, lead 1, fuse"


def test_a_finding_opens_what_its_field_lies_in(user: User) -> None:
    user.window.ways.jump_to("stations.0.leads.1.fuse_a")
    user.settle()
    focused = user.window.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == "station 1, lead 2, fuse"
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
    assert user.sees("No station can be calculated")
    assert user.sees("Not run: see its findings.")
    assert user.sees("✕ error")
    user.window.document.undo_stack.undo()
    user.settle()
    assert not user.sees("✕ error")


def test_advice_names_the_cure_and_both_skies(user: User) -> None:
    user.settle_all()
    assert user.sees("What helps B most")
    assert user.sees("clear sky:")
    assert user.sees("Overcast:")


def test_a_failing_worker_is_told_and_the_next_run_works(
    user: User, monkeypatch: pytest.MonkeyPatch
) -> None:
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
    user.choose("View", "US units")
    # 1 lb is 0.45359237 kg by definition (international yard and pound agreement, 1959).
    assert figure(user, "Carried", 0) == f"{17.60 / 0.45359237:.2f}"
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


def test_old_advice_does_not_stand_beside_a_new_verdict(user: User) -> None:
    user.settle_all()
    assert user.sees("clear sky:")
    user.open(2, "Radio")
    user.fill("station 2, radio, receive current", "0.8")
    assert not user.sees("clear sky:")
    assert user.sees("Working out what would help most")
    user.settle_all()
    assert user.sees("clear sky:")
