"""Signals and distances as a person reads them, and adds an antenna that was assumed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from beside import find, follow, opened, press, scenario_of, words_on
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QTableView
from pytestqt.qtbot import QtBot
from user import User

from app.pages.signal.figure_table import TEXT_COLUMNS
from app.pages.signal.view import SignalsView
from app.state.display import Display
from app.state.settings import Settings
from app.widgets.tokens import dark_palette
from model.editing.edit_stations import with_station_moved, with_station_removed
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from model.results.signal_levels import heard, prices
from model.scenario.scenario import Scenario
from model.scenario.station import Antenna
from model.station.rf_exposure import exposures
from model.support.figures import amount
from tests.plain import plain as spaced

RIDGE = Path(__file__).resolve().parents[2] / "scenarios" / "ridge-weekend.toml"
# What a cell leaves free at both sides, in this style.
CELL_MARGINS_PX = 8
VHF = {
    "start": "07:00", "end": "08:00", "activity": "fm", "rf_w": 50.0, "transmit_share": 1.0,
    "frequency_mhz": 146.0,
}  # fmt: skip


def ridge(**edits: object) -> Scenario:
    """Return the ridge, with other values at dotted paths written with double underscores."""
    given = read_scenario(RIDGE)
    for path, value in edits.items():
        given = with_value(given, path.replace("__", "."), value)
    return given


@pytest.fixture
def display() -> Display:
    return Display(Settings())


@pytest.fixture
def view(qtbot: QtBot, fusion: None, display: Display) -> SignalsView:
    shown = SignalsView(display)
    qtbot.addWidget(shown)
    shown.resize(720, 900)
    shown.show()
    return shown


def show(view: SignalsView, scenario: Scenario) -> None:
    view.show_comparison(simulate(scenario))


def cells(table: QTableView, row: int) -> list[str]:
    model = table.model()
    return [spaced(str(model.index(row, column).data())) for column in range(model.columnCount())]


def test_half_the_power_is_half_an_s_unit(view: SignalsView) -> None:
    # 10 log10(2) = 3.01 dB; 6 dB to an S-unit: IARU Region 1, Recommendation R.1.
    show(view, ridge(stations__0__amplifier=None, plan__0__rf_w=10.0, plan__4__rf_w=20.0))
    rows = [cells(view.heard, row) for row in range(view.heard.model().rowCount())]
    assert rows[0][:2] == ["07:00–07:30 voice, 10 W, 7.1 MHz", "A"]
    assert rows[1][:5] == ["", "B", rows[0][2], "0.0 dB", "0.0"]
    assert rows[5][3:5] == ["+3.0 dB", "+0.5"]
    assert "B is stronger than A" in view.prices.text()
    assert "by 3 dB, half an S-unit; " in spaced(view.prices.text())


def test_power_at_the_antenna_and_amperes_per_watt(view: SignalsView) -> None:
    show(view, ridge(stations__1__antenna__feed_loss_db=3.0, stations__1__tuner=None))
    # 100 W less 3 dB is 50 W; the measured key-down current at 100 W stands in the file.
    scenario = ridge()
    (at_100_w,) = [amps for watts, amps in scenario.stations[1].radio.key_down if watts == 100.0]
    shown = cells(view.heard, 1)
    assert shown[2] == "50.1 W"
    assert float(shown[5].removesuffix(" A")) == pytest.approx(at_100_w / 100, rel=0.02)


def test_what_it_says_is_what_the_model_found(view: SignalsView) -> None:
    comparison = simulate(ridge(stations__0__amplifier=None))
    view.show_comparison(comparison)
    (price,) = prices(comparison)
    assert view.prices.text().endswith(f"{price.step}; {price.cost()}.")
    found = exposures(comparison.scenario.stations[1], comparison.scenario.plan)
    view.clear.setCurrentIndex(view.clear.model().index(1, 0))
    for each in found[:2]:
        assert f"mean of {amount(each.mean_eirp_w, 'W')} EIRP" in view.clear_detail.text()
    signal = heard(comparison)[0].signals[1]
    view.heard.setCurrentIndex(view.heard.model().index(1, 0))
    assert f"{amount(signal.eirp_w, 'W')} EIRP" in view.heard_detail.text()


def test_a_distance_beyond_the_near_field_is_a_number(view: SignalsView) -> None:
    show(view, ridge(plan=[VHF], stations__1__antenna=None, stations__1__tuner=None))
    # 50 W all the time into a dipole, 2 and 10 W/m² (47 CFR 1.1310): R = sqrt(0.64 EIRP / (pi S)),
    # 0.64 from FCC OET Bulletin 65, worked by hand.
    assert cells(view.clear, 1)[2:] == ["at least 2.9 m", "at least 1.3 m"]
    detail = spaced(view.clear.rows[1].detail)
    assert "The public: at least 2.9 m from the antenna (mean of 82 W EIRP: 100 % of" in detail
    assert "100 % of 30 min; limit 2 W/m²" in detail


def test_within_the_near_field_no_small_number_stands_alone(view: SignalsView) -> None:
    show(view, ridge())
    # 299.79 / 7.1 / (2 pi) = 6.72 m: never less is shown.
    both = ["this method cannot judge nearer than 6.8 m", "as for the public"]
    assert cells(view.clear, 0)[2:] == both
    assert "this method cannot judge nearer than 6.8 m. Keep at least that far" in spaced(
        view.clear_detail.text()
    )
    assert "never within reach of the wire" in spaced(view.clear_detail.text())
    words = words_on(view)
    for named in ("47 CFR 1.1310", "Indicative: local rules decide", "wire or its ends"):
        assert named in words


def test_the_cautions_of_sending_stand_beside(view: SignalsView) -> None:
    show(view, ridge())
    text = view.cautions.text()
    assert all(
        each in text for each in ("licence", "low-pass filter", "out of reach of the antenna")
    )
    assert len(set(text.splitlines())) == len(text.splitlines())
    show(view, ridge(stations__0__amplifier=None))
    assert "low-pass filter" not in view.cautions.text()
    assert "licence" in view.cautions.text()


def test_distances_and_masses_follow_the_units(view: SignalsView, display: Display) -> None:
    show(view, ridge(stations__0__amplifier=None))
    assert " kg more." in spaced(view.prices.text())
    display.set_us(True)
    # 6.7202 m / 0.3048 = 22.048.
    assert spaced(cells(view.clear, 0)[2]) == "this method cannot judge nearer than 22.1 ft"
    assert "nearer than 22.1 ft" in spaced(view.clear_detail.text())
    assert " lb" in spaced(view.prices.text())
    assert " kg" not in spaced(view.prices.text())
    assert " m " not in spaced(view.farthest.text())
    display.set_us(False)
    assert cells(view.clear, 0)[2] == "this method cannot judge nearer than 6.8 m"


def test_a_block_without_a_frequency_says_what_would_give_a_distance(view: SignalsView) -> None:
    show(view, ridge(plan__0__frequency_mhz=None))
    assert cells(view.clear, 0)[2:] == ["no frequency"] * 2
    assert "enter that of the block in the plan" in spaced(view.clear_detail.text())
    assert "over the blocks whose limits are known" in view.farthest.text()
    show(view, ridge(plan__0__frequency_mhz=0.137))
    assert cells(view.clear, 0)[2:] == ["not in the table"] * 2


def test_a_station_that_cannot_send_says_so(view: SignalsView) -> None:
    receiver = {"receive_a": 0.1}
    show(view, ridge(stations__1__radio=receiver, stations__1__amplifier=None))
    assert cells(view.heard, 1)[2:] == ["does not transmit", "–", "–", "–"]
    assert cells(view.clear, 1)[2:] == ["does not transmit"] * 2
    assert "B, over" not in view.farthest.text()


def test_a_plan_that_sends_nothing_says_so(view: SignalsView) -> None:
    show(view, ridge(plan=[]))
    assert view.silent.isVisible()
    assert not view.heard.isVisible()
    assert view.in_words() == view.silent.text()
    show(view, ridge())
    assert view.heard.isVisible()


def test_a_withheld_station_leaves_its_price_open(view: SignalsView) -> None:
    comparison = simulate(ridge())
    withheld = type(comparison)(comparison.scenario, (comparison.runs[0], None))
    view.show_comparison(withheld)
    assert "B is not run" in view.prices.text()
    assert "see its findings" in view.prices.text()


def test_the_keyboard_goes_through_the_rows(view: SignalsView, qtbot: QtBot) -> None:
    show(view, ridge())
    view.activateWindow()
    view.clear.setFocus()
    first = spaced(view.clear_detail.text())
    QTest.keyClick(view.clear, Qt.Key.Key_Down)
    QTest.keyClick(view.clear, Qt.Key.Key_Down)
    assert spaced(view.clear_detail.text()) != first
    assert spaced(view.clear_detail.text()).startswith("12:00 to 12:30 weak-signal data")
    QTest.keyClick(view.clear, Qt.Key.Key_Tab)
    assert not view.clear.hasFocus()


def test_all_is_told_in_words(view: SignalsView) -> None:
    show(view, ridge())
    said = spaced(view.heard.accessibleDescription()).splitlines()
    assert len(said) == view.heard.model().rowCount() == 6
    assert said[1].startswith("07:00 to 07:30 voice, 100 W, 7.1 MHz, B: 100 W RF output")
    assert "this method cannot judge nearer than 13.1 m" in spaced(
        view.area.accessibleDescription()
    )
    spoken = view.clear.model().index(1, 2).data(Qt.ItemDataRole.AccessibleTextRole)
    said_of = ", B: Public, this method cannot judge nearer than 6.8 m"
    assert spaced(spoken).endswith(said_of)
    assert view.heard.accessibleName() != view.clear.accessibleName() != ""


def test_a_name_is_never_markup(view: SignalsView) -> None:
    show(view, ridge(stations__1__name="<b>bold</b>", stations__1__antenna=None))
    labels = view.findChildren(QLabel)
    assert labels
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in labels)


def cut_off(view: SignalsView) -> list[str]:
    labels = [label for label in view.findChildren(QLabel) if label.isVisible()]
    assert len(labels) > 8
    return [each.text() for each in labels if each.height() < each.heightForWidth(each.width())]


def cells_cut_off(table: QTableView) -> list[str]:
    """Return heads and cells that stand in less room than their lines take."""
    metrics, flags = table.fontMetrics(), Qt.TextFlag.TextWordWrap.value
    cut, model, header = [], table.model(), table.horizontalHeader()
    for column in range(model.columnCount()):
        width = table.columnWidth(column)
        head = str(model.headerData(column, Qt.Orientation.Horizontal))
        if (
            metrics.size(0, head).width() > width
            or metrics.size(0, head).height() > header.height()
        ):
            cut.append(head)
        for row in range(model.rowCount()):
            text = str(model.index(row, column).data())
            needed = metrics.boundingRect(0, 0, width - CELL_MARGINS_PX, 10_000, flags, text)
            if needed.width() > width or needed.height() > table.rowHeight(row):
                cut.append(text)
    return cut


@pytest.mark.parametrize("size", [(1256, 720, 150), (528, 430, 100), (1320, 500, 200)])
@pytest.mark.parametrize("dark", [False, True])
def test_nothing_is_cut_off(
    view: SignalsView, display: Display, qtbot: QtBot, size: tuple[int, int, int], dark: bool
) -> None:
    width, height, percent = size
    display.set_us(True)
    display.set_text_percent(percent)
    if dark:
        QApplication.setPalette(dark_palette())
    view.resize(width, height)
    one, other = ridge(stations__1__antenna=None).stations
    show(view, ridge(stations=(one, other, one, other)))
    tables = (view.heard, view.clear)
    qtbot.waitUntil(
        lambda: cut_off(view) == [] and not any(map(cells_cut_off, tables)), timeout=20_000
    )
    assert view.area.horizontalScrollBar().maximum() == 0
    for table in tables:
        assert table.model().rowCount() == 12
        assert table.horizontalScrollBar().maximum() == 0
        assert table.verticalScrollBar().maximum() == 0
        assert sum(table.columnWidth(column) for column in range(TEXT_COLUMNS)) < width
    display.restore_text_size()


def test_a_long_plan_scrolls_within_its_table(view: SignalsView) -> None:
    blocks = [
        VHF | {"start": f"{hour:02d}:{minute:02d}", "end": f"{hour:02d}:{minute + 10:02d}"}
        for hour in range(20)
        for minute in (0, 20)
    ]
    show(view, ridge(plan=blocks))
    assert view.heard.model().rowCount() == 80
    assert view.heard.height() < 400
    view.heard.setFocus()
    QTest.keyClick(view.heard, Qt.Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    assert spaced(view.heard_detail.text()).startswith("19:20 to 19:30 FM")


def test_an_antenna_that_was_assumed_is_added_as_one_step(open_window: Callable[..., User]) -> None:
    user = open_window(ridge(stations__1__antenna=None))
    before = scenario_of(user)
    window = opened(user, "signals")
    assert "B has no antenna: a half-wave dipole of 2.15 dBi" in spaced(words_on(window))
    shown = cells(window.view.signals.heard, 1)  # type: ignore[attr-defined]
    press(window, "Add this dipole to B")
    follow(user, window)
    assert scenario_of(user).stations[1].antenna == Antenna(name="half-wave dipole", gain_dbi=2.15)
    assert "has no antenna" not in words_on(window)
    assert cells(window.view.signals.heard, 1) == shown  # type: ignore[attr-defined]
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == before
    follow(user, window)
    user.wait_for(lambda: "has no antenna" in words_on(window))


def test_a_station_that_went_or_moved_meanwhile_gets_no_antenna(
    open_window: Callable[..., User],
) -> None:
    user = open_window(ridge(stations__1__antenna=None))
    window = opened(user, "signals")
    button = find(window, "Add this dipole to B", QAbstractButton)
    for change in (with_station_removed(ridge(), 1), with_station_moved(ridge(), 1, 0)):
        # The lens shows what there is a moment late, and the button is still there.
        user.window.document.replace("change", change)
        before = scenario_of(user)
        button.click()
        assert scenario_of(user) == before
        assert "the scenario has changed meanwhile" in words_on(window)
        user.window.document.undo_stack.undo()
        follow(user, window)


def test_figures_follow_an_edit_in_the_main_window(open_window: Callable[..., User]) -> None:
    user = open_window(ridge())
    window = opened(user, "signals")
    signals = window.view.signals  # type: ignore[attr-defined]
    before = cells(signals.heard, 1)
    user.open(2, "Antenna")
    user.fill("station 2, antenna, feed line loss", "6.8")
    follow(user, window)
    user.wait_for(lambda: cells(signals.heard, 1) != before)
    assert cells(signals.heard, 1)[3:5] == ["−6.0 dB", "−1.0"]
