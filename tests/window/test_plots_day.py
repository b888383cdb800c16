"""The day as a person meets it: what is read out, drawn, told, zoomed and saved."""

from __future__ import annotations

import itertools
from datetime import date, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QPalette, QWheelEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.charts.ink import Ink
from app.plots.day import FADE_MS, FADE_STEPS, SETTLED_MS, DayView
from app.widgets.tokens import dark_palette
from model.engine.comparison import Comparison, simulate
from model.support.figures import told
from model.verdict.table import is_guessed
from tests.window.day_scenes import four_stations, scene, station

SCENES = {
    "two": scene,
    "four": lambda: scene(*four_stations(), day={"days": 3}),
    "fourteen": lambda: scene(*four_stations(), day={"days": 14, "sky": 0.72}),
    "cold": lambda: scene(day={"date": date(2025, 1, 10), "low_c": -18.0, "high_c": -5.0}),
    "dark": lambda: scene(
        station("without a panel", panel=None, controller=None),
        station("with one"),
        site={"latitude_deg": 78.0, "longitude_deg": 16.0, "timezone": "Arctic/Longyearbyen"},
        day={"date": date(2025, 12, 20), "low_c": -20.0, "high_c": -12.0},
    ),
    "autumn": lambda: scene(day={"date": date(2025, 10, 25), "days": 2}),
    "spring": lambda: scene(day={"date": date(2025, 3, 29), "days": 2}),
}


@lru_cache
def comparison(name: str) -> Comparison:
    return simulate(SCENES[name]())


@pytest.fixture
def view(qtbot: QtBot) -> DayView:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    return view


def label_boxes(view: DayView) -> list[tuple[QRectF, str]]:
    chart = view.chart
    found = []
    for margin, places in (
        (chart.lanes, chart.lanes.places()),
        (chart.end_labels, chart.end_labels.places()),
        (chart.ruler, chart.ruler.hour_labels() + chart.ruler.day_labels()),
    ):
        found += [(margin.mapRectToScene(box), text) for box, text in places]
    return found


def test_the_read_out_shows_the_numbers_of_the_run(view: DayView) -> None:
    shown = comparison("two")
    view.show_comparison(shown)
    for minute in (0, 800, shown.clock.steps - 1):
        view.move_cursor(minute)
        for row, run in zip(view.read_out.texts(), shown.runs, strict=True):
            assert run is not None
            flow = run.flow
            assert row[:8] == [
                run.station.name,
                f"{run.fraction[minute] * 100:.0f} %",
                f"{run.usable_ah[minute]:.1f} Ah",
                f"{flow.battery_v[minute]:.2f} V",
                f"{flow.radio_v[minute]:.2f} V",
                f"{flow.load_a[minute]:.2f} A",
                f"{run.inputs.irradiance_w_m2[minute]:.0f} W/m²",
                f"{flow.panel_a[minute] * flow.bus_v[minute]:.0f}"
                f"/{flow.panel_able_a[minute] * flow.bus_v[minute]:.0f} W",
            ]
            for use, words in (("receive", "receiving"), ("transmit", "transmitting")):
                ampere = flow.use_a[use][minute]
                assert (f"{words} {ampere:.2f}" in row[8]) == (ampere >= 0.005)
    assert view.read_out.time_text == "Sun 15 Jun 05:59, UTC+2"


def test_the_curves_hold_every_minute_of_the_run(view: DayView) -> None:
    shown = comparison("four")
    view.show_comparison(shown)
    for index, run in enumerate(shown.runs):
        assert run is not None
        x, y = view.chart.curve(index).points
        assert np.array_equal(y, run.fraction * 100)
        assert (x[0], x[-1], x.size) == (0.0, 3 * 1440.0, 3 * 1440 + 1)


def test_what_is_drawn_lies_on_the_curve_and_keeps_its_extremes(view: DayView) -> None:
    view.show_comparison(comparison("four"))
    for index in range(4):
        x, y = view.chart.curve(index).points
        drawn_x, drawn_y = view.chart.curve(index).drawn
        assert 2 < len(drawn_x) < 700
        pixel = 106.0 / view.chart.charge.view.height()
        assert np.abs(np.interp(x, drawn_x, drawn_y) - y).max() < 1.5 * pixel
        assert drawn_y.min() == pytest.approx(y.min(), abs=pixel)
        assert (drawn_x[0], drawn_x[-1]) == (x[0], x[-1])


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize("size", [(700, 560), (900, 620), (1500, 900)])
def test_no_label_covers_another_or_leaves_the_plot(
    view: DayView, name: str, size: tuple[int, int]
) -> None:
    view.resize(*size)
    view.show_comparison(comparison(name))
    boxes = label_boxes(view)
    assert len(boxes) >= 6
    for (first, one), (second, other) in itertools.combinations(boxes, 2):
        assert not first.adjusted(0.5, 0.5, -0.5, -0.5).intersects(second), (one, other)
    whole = QRectF(view.chart.rect()).adjusted(-1, -1, 1, 1)
    assert [text for box, text in boxes if not whole.contains(box)] == []


@pytest.mark.parametrize("name", SCENES)
def test_every_first_failure_is_marked_and_told_in_words(view: DayView, name: str) -> None:
    view.resize(1500, 900)
    view.show_comparison(comparison(name))
    lanes = [text for _, text in view.chart.lanes.places()]
    spoken = view.chart.accessibleDescription()
    for run in comparison(name).runs:
        assert run is not None
        mine = " ".join(text for text in lanes if text)
        clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
        ends = {clock.until for clock in clocks if clock.until is not None}
        for end in (told(end, about=is_guessed(run)) for end in ends):
            assert f"{end:%H:%M}" in mine
            assert f"{end:%H:%M}" in spoken
        if not ends:
            assert f"{run.station.name}: lasts to the end" in mine


def test_two_stations_that_fail_in_one_minute_are_both_named(view: DayView) -> None:
    view.resize(1500, 900)
    view.show_comparison(comparison("four"))
    third, fourth = comparison("four").runs[2:]
    assert third is not None
    assert fourth is not None
    assert third.clocks.receive.until == fourth.clocks.receive.until is not None
    words = " ".join(text for _, text in view.chart.lanes.places())
    assert "one box, no panel: " in words
    assert "its twin, no panel: " in words


def test_every_day_of_a_fortnight_is_named_where_names_have_no_room(view: DayView) -> None:
    view.resize(660, 620)
    view.show_comparison(comparison("fourteen"))
    begun = comparison("fourteen").scenario.day.date
    named = [text for _, text in view.chart.ruler.day_labels()]
    assert [str((begun + timedelta(days=each)).day) for each in range(1, 14)] == named[-13:]


def test_where_a_name_leaves_no_room_for_its_ends_the_letter_stands_for_it(
    view: DayView,
) -> None:
    name = "a station with a name as long as anybody could wish for it"
    long = scene(*(station(name, reserve_fraction=0.9, panel=None) for _ in range(2)),
                 day={"days": 14})  # fmt: skip
    begins = {}
    for width in (900, 640, 520):
        view.resize(width, 620)
        view.show_comparison(simulate(long))
        words = [text for _, text in view.chart.lanes.places()]
        assert [text for text in words if text.endswith(", battery empty")] == words
        begins[width] = words[0].partition(":")[0]
    assert begins == {900: name, 640: "a station …", 520: "A"}


def test_names_that_look_like_markup_stay_text(view: DayView) -> None:
    name = "<b>A & B</b>"
    view.show_comparison(simulate(scene(station(name), station(""), day={"days": 1})))
    assert view.read_out.texts()[0][0] == name
    assert view.read_out.texts()[1][0] == "Station B"
    assert any(text.startswith(name) for _, text in view.chart.lanes.places())
    for label in view.findChildren(QLabel):
        assert label.textFormat() == Qt.TextFormat.PlainText


def test_the_axis_follows_the_wall_clock_over_an_hour_that_comes_twice(view: DayView) -> None:
    # 26 October 2025 in Rome: 03:00 summer time becomes 02:00 (tz database).
    view.show_comparison(comparison("autumn"))
    midnight = datetime(2025, 10, 26, 0, 0, tzinfo=ZoneInfo("Europe/Rome"))
    start = comparison("autumn").clock.start
    to_midnight = (midnight.timestamp() - start.timestamp()) / 60
    view.chart.show_stretch(to_midnight, to_midnight + 600)
    hours = [text for _, text in view.chart.ruler.hour_labels()]
    assert hours[:6] == ["00:00", "01:00", "02:00", "02:00", "03:00", "04:00"]
    view.move_cursor(round(to_midnight + 150))
    assert view.read_out.time_text == "Sun 26 Oct 02:30, UTC+2"
    view.move_cursor(round(to_midnight + 210))
    assert view.read_out.time_text == "Sun 26 Oct 02:30, UTC+1"


def test_the_axis_leaves_out_an_hour_that_the_clock_skips(view: DayView) -> None:
    view.show_comparison(comparison("spring"))
    view.chart.show_stretch(840.0, 1440.0)
    hours = [text for _, text in view.chart.ruler.hour_labels()]
    assert hours == [
        "20:00", "21:00", "22:00", "23:00", "00:00", "01:00", "03:00", "04:00", "05:00", "06:00",
        "07:00",
    ]  # fmt: skip
    days = [text for _, text in view.chart.ruler.day_labels()]
    assert days == ["Sat 29 Mar", "Sun 30 Mar"]


def test_a_polar_night_is_dark_throughout_and_gives_no_sun(view: DayView) -> None:
    view.show_comparison(comparison("dark"))
    image, span = view.chart.picture(), view.chart.span
    above_the_curves = round(view.chart.charge.height_at(102.5) * 2)
    for share in (0.03, 0.3, 0.62, 0.97):
        x = round((span.left_px + share * span.width_px) * 2)
        assert image.pixelColor(x, above_the_curves) == Ink.of(view.palette()).night
    for index in range(2):
        assert view.chart.sun_curve(index).points[1].max() == 0.0
    assert "panel 0 W" in view.chart.accessibleDescription()


def test_the_keys_walk_the_cursor_and_the_description_follows(view: DayView, qtbot: QtBot) -> None:
    view.show_comparison(comparison("two"))
    keys = Qt.Key
    for key, held, minute in (
        (keys.Key_Right, Qt.KeyboardModifier.NoModifier, 1),
        (keys.Key_Right, Qt.KeyboardModifier.ControlModifier, 11),
        (keys.Key_PageDown, Qt.KeyboardModifier.NoModifier, 71),
        (keys.Key_Left, Qt.KeyboardModifier.ControlModifier, 61),
        (keys.Key_PageUp, Qt.KeyboardModifier.NoModifier, 1),
        (keys.Key_End, Qt.KeyboardModifier.NoModifier, 2879),
        (keys.Key_Right, Qt.KeyboardModifier.NoModifier, 2879),
        (keys.Key_Home, Qt.KeyboardModifier.NoModifier, 0),
    ):
        qtbot.keyClick(view.chart, key, held)
        assert view.cursor_minute == minute
        at = comparison("two").clock.at(minute)
        assert f"{at:%H:%M}, UTC+2" in view.chart.accessibleDescription()
    assert view.chart.accessibleName()


def test_the_pointer_reads_out_the_minute_under_it(view: DayView, qtbot: QtBot) -> None:
    view.show_comparison(comparison("two"))
    span = view.chart.span
    place = QPoint(round(span.left_px + span.width_px / 2), 200)
    qtbot.mouseMove(view.chart.viewport(), place)
    assert view.cursor_minute == pytest.approx(1440, abs=5)


def turn_wheel(view: DayView, x: float, notches: int) -> None:
    event = QWheelEvent(
        QPointF(x, 200), QPointF(x, 200), QPoint(), QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase,
        False,
    )  # fmt: skip
    QApplication.sendEvent(view.chart.viewport(), event)


def test_nobody_gets_lost_by_zooming(view: DayView, qtbot: QtBot) -> None:
    view.show_comparison(comparison("two"))
    span = view.chart.span
    x = span.left_px + span.width_px * 0.25
    before = view.chart.minute_at(x)
    turn_wheel(view, x, 3)
    assert span.high - span.low < 2880
    assert view.chart.minute_at(x) == pytest.approx(before, abs=1)
    turn_wheel(view, x, 100)
    assert span.high - span.low == pytest.approx(30)
    view.chart.pan(-1000)
    assert (span.low, span.high) == (0, 30)
    view.chart.pan(+1000)
    assert span.high == pytest.approx(2880)
    turn_wheel(view, x, -1)
    assert view.whole_button.isEnabled()
    qtbot.mouseClick(view.whole_button, Qt.MouseButton.LeftButton)
    assert (span.low, span.high) == (0, 2880)
    assert not view.whole_button.isEnabled()


def test_a_drag_shows_the_stretch_and_a_double_click_the_whole(view: DayView, qtbot: QtBot) -> None:
    view.show_comparison(comparison("two"))
    span, port = view.chart.span, view.chart.viewport()
    left, right = (QPoint(round(span.left_px + span.width_px * s), 150) for s in (0.25, 0.5))
    qtbot.mousePress(port, Qt.MouseButton.LeftButton, pos=left)
    qtbot.mouseMove(port, right)
    qtbot.mouseRelease(port, Qt.MouseButton.LeftButton, pos=right)
    assert (span.low, span.high) == (pytest.approx(720, abs=5), pytest.approx(1440, abs=5))
    qtbot.mouseDClick(port, Qt.MouseButton.LeftButton, pos=left)
    assert span.is_whole


def test_the_zoom_stays_through_a_change_and_the_cursor_walks_into_view(
    view: DayView, qtbot: QtBot
) -> None:
    view.show_comparison(comparison("two"))
    view.chart.show_stretch(600, 900)
    view.show_comparison(comparison("cold"))
    assert (view.chart.span.low, view.chart.span.high) == (600, 900)
    view.move_cursor(900)
    qtbot.keyClick(view.chart, Qt.Key.Key_PageDown)
    assert view.chart.span.low <= view.cursor_minute <= view.chart.span.high


def test_the_ghost_is_what_stood_before_the_first_change_and_fades(
    view: DayView, qtbot: QtBot
) -> None:
    first = comparison("two")
    view.show_comparison(first)
    for capacity in (19.0, 18.0):
        battery = {"chemistry": "LFP", "capacity_ah": capacity}
        changed = simulate(scene(station("a", battery=battery), station("b")))
        view.show_comparison(changed, ghost=True)
        run = first.runs[0]
        assert run is not None
        assert np.array_equal(view.chart.ghost(0).points[1], run.fraction * 100)
    assert view.has_ghost
    qtbot.waitUntil(
        lambda: not view.has_ghost, timeout=4 * (SETTLED_MS + (FADE_STEPS + 2) * FADE_MS)
    )
    assert view.chart.ghost(0).points[0].size == 0


def test_another_day_leaves_no_ghost(view: DayView) -> None:
    view.show_comparison(comparison("two"))
    view.show_comparison(comparison("cold"), ghost=True)
    assert not view.has_ghost
    assert view.chart.ghost(0).points[0].size == 0


def test_a_station_that_was_not_run_is_said_to_be_so(view: DayView) -> None:
    shown = comparison("two")
    view.show_comparison(Comparison(shown.scenario, (None, shown.runs[1])))
    assert view.read_out.texts()[0][1] == "not run"
    assert "not run, because of an error" in view.chart.accessibleDescription()
    assert view.chart.curve(0).points[0].size == 0
    view.show_comparison(Comparison(shown.scenario, (None, None)))
    assert view.read_out.time_text == ""


def test_the_load_is_shown_in_watts_on_request(view: DayView, qtbot: QtBot) -> None:
    view.show_comparison(comparison("two"))
    run = comparison("two").runs[0]
    assert run is not None
    assert np.array_equal(view.chart.load_curve(0).points[1], run.flow.load_a)
    qtbot.mouseClick(view.unit_button, Qt.MouseButton.LeftButton)
    assert np.allclose(view.chart.load_curve(0).points[1], run.flow.load_a * run.flow.bus_v)
    assert view.chart.load.title == "Load, W"


def test_dark_and_light_both_colour_the_ground_and_the_lines(view: DayView) -> None:
    view.show_comparison(comparison("two"))
    light = view.chart.picture()
    view.setPalette(dark_palette())
    dark = view.chart.picture()
    ground = dark_palette().color(QPalette.ColorRole.Base)
    assert dark.pixelColor(2, 2) == ground
    assert light.pixelColor(2, 2).lightness() > 200


def test_pictures_are_saved_and_copied(view: DayView, tmp_path: Path) -> None:
    view.show_comparison(comparison("four"))
    view.save_png(tmp_path / "day.png")
    image = QImage(str(tmp_path / "day.png"))
    assert image.width() == 2 * view.chart.width()
    view.save_svg(tmp_path / "day.svg")
    text = (tmp_path / "day.svg").read_text(encoding="utf-8")
    assert "one box" in text
    assert QSvgRenderer(str(tmp_path / "day.svg")).isValid()
    view.copy_image()
    assert QGuiApplication.clipboard().image().width() == 2 * view.chart.width()
