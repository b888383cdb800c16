"""The day as a person meets it: what is read out, drawn, told, zoomed and saved."""

from __future__ import annotations

import itertools
from datetime import date, datetime, timedelta
from functools import lru_cache
from math import ceil
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QPalette, QWheelEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.charts.day.day_marks import NOT_RUN, marks
from app.charts.day.ghost import FADE_MS, FADE_STEPS, SETTLED_MS
from app.charts.ink import Ink
from app.charts.thinning import COLUMN_PX
from app.pages.day_view import DayView
from app.resources import resource
from app.widgets.tokens import dark_palette
from model import read
from model.engine.comparison import Comparison, simulate
from model.support.figures import told
from model.verdict.headline import headline
from model.verdict.stretches import lasting_return
from model.verdict.table import is_guessed
from tests.plain import plain
from tests.window.day_scenes import BIG_RADIO, four_stations, scene, station
from tests.window.told import told_of

CTRL = Qt.KeyboardModifier.ControlModifier
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
def view(qtbot: QtBot, fusion: None) -> DayView:
    view = DayView()
    qtbot.addWidget(view)
    view.resize(900, 620)
    view.show()
    return view


def show(view: DayView, shown: Comparison, *, ghost: bool = False) -> None:
    view.plan.show_scenario(shown.scenario)
    view.show_comparison(shown, ghost=ghost)
    told_of(view)


def label_boxes(view: DayView) -> list[tuple[QRectF, str]]:
    """Return every word on the day with its place in the view."""
    chart, canvas = view.chart, view.plan.canvas
    found = [(margin.mapRectToScene(box), text) for margin in (chart.lanes, chart.end_labels)
             for box, text in margin.places()]  # fmt: skip
    for pane in chart.panes:
        found += pane.labels.places()
    corner = QPointF(chart.span.left_px, canvas.mapTo(view, canvas.ruler_corner()).y())
    for box, text in canvas.ruler.hour_labels() + canvas.ruler.day_labels():
        found.append((box.translated(corner), text))
    return found


def test_the_card_shows_the_numbers_of_the_run(view: DayView) -> None:
    shown = comparison("two")
    show(view, shown)
    for minute in (0, 800, shown.clock.steps - 1):
        view.move_cursor(minute)
        for row, run in zip(view.card.rows, shown.runs, strict=True):
            assert run is not None
            flow = run.flow
            assert tuple(plain(cell) for cell in row.cells) == (
                f"{run.fraction[minute] * 100:.0f} %",
                f"{run.usable_ah[minute]:.1f} Ah",
                f"{flow.battery_v[minute]:.2f} V",
                f"{flow.radio_v[minute]:.2f} V",
                f"{flow.load_a[minute]:.2f} A",
                f"{flow.panel_a[minute] * flow.bus_v[minute]:.0f}"
                f"/{flow.panel_able_a[minute] * flow.bus_v[minute]:.0f} W",
            )
    assert view.card.time_text == "Sun 15 Jun 05:59, UTC+2"
    spoken = told_of(view)
    for run in shown.runs:
        assert run is not None
        for use, words in (("receive", "receiving"), ("transmit", "transmitting")):
            ampere = run.flow.use_a[use][-1]
            assert (f"{words} {ampere:.2f}" in spoken) == (ampere >= 0.005)


def test_the_curves_hold_every_minute_of_the_run(view: DayView) -> None:
    shown = comparison("four")
    show(view, shown)
    for index, run in enumerate(shown.runs):
        assert run is not None
        x, y = view.chart.curve(index).points
        assert np.array_equal(y, run.fraction * 100)
        assert (x[0], x[-1], x.size) == (0.0, 3 * 1440.0, 3 * 1440 + 1)


def test_what_is_drawn_lies_on_the_curve_and_keeps_its_extremes(view: DayView) -> None:
    show(view, comparison("four"))
    for index in range(4):
        x, y = view.chart.curve(index).points
        drawn_x, drawn_y = view.chart.curve(index).drawn
        assert 2 < len(drawn_x) < 700
        pixel = 106.0 / view.chart.charge.place.height()
        # Where it is steep, a line may stand a column of pixels to the side of where it is.
        beside = ceil(COLUMN_PX * x[-1] / view.chart.span.width_px)
        near = np.lib.stride_tricks.sliding_window_view(
            np.pad(y, beside, mode="edge"), 2 * beside + 1
        )
        drawn = np.interp(x, drawn_x, drawn_y)
        assert np.all(drawn < near.max(axis=1) + pixel)
        assert np.all(drawn > near.min(axis=1) - pixel)
        assert drawn_y.min() == pytest.approx(y.min(), abs=pixel)
        assert (drawn_x[0], drawn_x[-1]) == (x[0], x[-1])


@pytest.mark.parametrize("name", SCENES)
@pytest.mark.parametrize("size", [(700, 560), (900, 620), (1500, 900)])
def test_no_label_covers_another_or_leaves_the_plot(
    view: DayView, name: str, size: tuple[int, int]
) -> None:
    view.resize(*size)
    show(view, comparison(name))
    boxes = label_boxes(view)
    assert len(boxes) >= 6
    for (first, one), (second, other) in itertools.combinations(boxes, 2):
        assert not first.adjusted(0.5, 0.5, -0.5, -0.5).intersects(second), (one, other)
    whole = QRectF(view.rect()).adjusted(-1, -1, 1, 1)
    assert [text for box, text in boxes if not whole.contains(box)] == []


@pytest.mark.parametrize("name", SCENES)
def test_every_first_failure_is_marked_and_told_in_words(view: DayView, name: str) -> None:
    view.resize(1500, 900)
    show(view, comparison(name))
    marked = [text for _, text in view.chart.charge.labels.places()]
    spoken = told_of(view)
    for index, run in enumerate(comparison(name).runs):
        assert run is not None
        clocks = (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
        ends = {clock.until for clock in clocks if clock.until is not None}
        letter = "ABCD"[index]
        for end in (told(end, about=is_guessed(run)) for end in ends):
            assert any(text.startswith(letter) and f"{end:%H:%M}" in text for text in marked)
            assert f"{end:%H:%M}" in spoken


def test_two_stations_that_fail_in_one_minute_are_both_named(view: DayView) -> None:
    view.resize(1500, 900)
    show(view, comparison("four"))
    third, fourth = comparison("four").runs[2:]
    assert third is not None
    assert fourth is not None
    assert third.clocks.receive.until == fourth.clocks.receive.until is not None
    marked = {text for _, text in view.chart.charge.labels.places()}
    at = f"{told(third.clocks.receive.until, about=is_guessed(third)):%H:%M}"
    assert any(text.startswith("C off") and at in text for text in marked)
    assert any(text.startswith("D off") and at in text for text in marked)


def test_every_day_of_a_fortnight_is_named_where_names_have_no_room(view: DayView) -> None:
    view.resize(500, 620)
    show(view, comparison("fourteen"))
    begun = comparison("fourteen").scenario.day.date
    named = [text for _, text in view.plan.canvas.ruler.day_labels()]
    assert [str((begun + timedelta(days=each)).day) for each in range(1, 14)] == named[-13:]


def test_the_lanes_say_when_a_station_is_back(view: DayView) -> None:
    view.resize(1500, 900)
    battery = {"chemistry": "LFP", "capacity_ah": 5.0}
    shown = simulate(scene(station("big"), station("small", radio=BIG_RADIO, battery=battery)))
    show(view, shown)
    run = shown.runs[1]
    assert run is not None
    # The longest time off the air is one that it comes back from for good, after some minutes.
    able = run.abilities.receive
    edges = np.flatnonzero(np.diff(np.concatenate([[1], able, [1]]).astype(int)))
    begin, end = max(zip(edges[::2], edges[1::2], strict=True), key=lambda gap: gap[1] - gap[0])
    assert end - begin > 300
    lasting = lasting_return(run)
    assert lasting is not None
    assert lasting > run.clock.at(int(end))
    back = told(lasting, about=is_guessed(run))
    texts = [text for _, text in view.chart.lanes.places()]
    assert texts[0] == "A"
    assert any(text.startswith("off the air, back") and f"{back:%H:%M}" in text for text in texts)


def test_the_lanes_and_the_headline_name_the_same_return(view: DayView) -> None:
    """The shipped example comes back for minutes before it does so for good."""
    shown = simulate(read(resource("scenarios/ridge-weekend.toml")))
    view.resize(1500, 900)
    show(view, shown)
    run = shown.runs[1]
    assert run is not None
    back = lasting_return(run)
    assert back is not None
    assert back > run.clock.at(np.flatnonzero(~run.abilities.receive)[0])
    assert f"back {back:%H:%M}" in headline(shown).text
    lane = marks(shown, Ink.of(QPalette())).lanes[1]
    first = next(piece for piece in lane.pieces if piece.words)
    assert first.words[0] == f"off the air, back {back:%H:%M}"


def test_names_that_look_like_markup_stay_text(view: DayView) -> None:
    name = "<b>A & B</b>"
    show(view, simulate(scene(station(name), station(""), day={"days": 1})))
    assert f"{name}: " in told_of(view)
    assert "Station B: " in told_of(view)
    view.menu.table.trigger()
    table = QGuiApplication.clipboard().text().splitlines()
    assert table[0].split("\t")[1] == f"{name}, charge %"
    assert len(table) == 1 + 24 * 4
    for label in view.findChildren(QLabel):
        assert label.textFormat() == Qt.TextFormat.PlainText or name not in label.text()


def test_the_axis_follows_the_wall_clock_over_an_hour_that_comes_twice(view: DayView) -> None:
    # 26 October 2025 in Rome: 03:00 summer time becomes 02:00 (tz database).
    show(view, comparison("autumn"))
    midnight = datetime(2025, 10, 26, 0, 0, tzinfo=ZoneInfo("Europe/Rome"))
    start = comparison("autumn").clock.start
    to_midnight = (midnight.timestamp() - start.timestamp()) / 60
    view.chart.show_stretch(to_midnight, to_midnight + 600)
    hours = [text for _, text in view.plan.canvas.ruler.hour_labels()]
    assert hours[:6] == ["00:00", "01:00", "02:00", "02:00", "03:00", "04:00"]
    view.move_cursor(round(to_midnight + 150))
    assert view.card.time_text == "Sun 26 Oct 02:30, UTC+2"
    view.move_cursor(round(to_midnight + 210))
    assert view.card.time_text == "Sun 26 Oct 02:30, UTC+1"


def test_the_axis_leaves_out_an_hour_that_the_clock_skips(view: DayView) -> None:
    show(view, comparison("spring"))
    view.chart.show_stretch(840.0, 1440.0)
    hours = [text for _, text in view.plan.canvas.ruler.hour_labels()]
    assert hours == [
        "20:00", "21:00", "22:00", "23:00", "00:00", "01:00", "03:00", "04:00", "05:00", "06:00",
        "07:00",
    ]  # fmt: skip
    days = [text for _, text in view.plan.canvas.ruler.day_labels()]
    assert days == ["Sat 29 Mar", "Sun 30 Mar"]


def test_a_polar_night_is_dark_throughout_and_gives_no_sun(view: DayView) -> None:
    show(view, comparison("dark"))
    image, span = view.picture(), view.chart.span
    above_the_curves = round(view.chart.charge.height_at(102.5) * 2)
    for share in (0.03, 0.3, 0.62, 0.97):
        x = round((span.left_px + share * span.width_px) * 2)
        assert image.pixelColor(x, above_the_curves) == Ink.of(view.palette()).night
    for index in range(2):
        assert view.chart.sun_curve(index).points[1].max() == 0.0
    assert "panel 0 W" in plain(told_of(view))


def test_the_keys_walk_the_cursor_and_the_description_follows(view: DayView, qtbot: QtBot) -> None:
    show(view, comparison("two"))
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
        assert f"{at:%H:%M}, UTC+2" in told_of(view)
    assert view.chart.accessibleName()


def test_the_pointer_reads_out_the_minute_under_it(view: DayView, qtbot: QtBot) -> None:
    show(view, comparison("two"))
    span = view.chart.span
    place = QPoint(round(span.left_px + span.width_px / 2), 200)
    qtbot.mouseMove(view.chart.viewport(), place)
    assert view.cursor_minute == pytest.approx(1440, abs=5)


def turn_wheel(view: DayView, x: float, notches: int, held: object = CTRL) -> None:
    event = QWheelEvent(
        QPointF(x, 200), QPointF(x, 200), QPoint(), QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton, held, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(view.chart.viewport(), event)


def test_nobody_gets_lost_by_zooming(view: DayView, qtbot: QtBot) -> None:
    show(view, comparison("two"))
    span = view.chart.span
    x = span.left_px + span.width_px * 0.25
    before = view.chart.minute_at(x)
    turn_wheel(view, x, 3, Qt.KeyboardModifier.NoModifier)
    assert span.is_whole
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
    assert view.whole_button.isVisible()
    qtbot.mouseClick(view.whole_button, Qt.MouseButton.LeftButton)
    assert (span.low, span.high) == (0, 2880)
    assert not view.whole_button.isVisible()


def test_a_drag_shows_the_stretch_and_a_double_click_the_whole(view: DayView, qtbot: QtBot) -> None:
    show(view, comparison("two"))
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
    show(view, comparison("two"))
    view.chart.show_stretch(600, 900)
    show(view, comparison("cold"))
    assert (view.chart.span.low, view.chart.span.high) == (600, 900)
    view.move_cursor(900)
    qtbot.keyClick(view.chart, Qt.Key.Key_PageDown)
    assert view.chart.span.low <= view.cursor_minute <= view.chart.span.high


def test_the_ghost_is_what_stood_before_the_first_change_and_fades(
    view: DayView, qtbot: QtBot
) -> None:
    first = comparison("two")
    show(view, first)
    for capacity in (19.0, 18.0):
        battery = {"chemistry": "LFP", "capacity_ah": capacity}
        changed = simulate(scene(station("a", battery=battery), station("b")))
        show(view, changed, ghost=True)
        run = first.runs[0]
        assert run is not None
        assert np.array_equal(view.chart.ghost(0).points[1], run.fraction * 100)
    assert view.has_ghost
    qtbot.waitUntil(
        lambda: not view.has_ghost, timeout=4 * (SETTLED_MS + (FADE_STEPS + 2) * FADE_MS)
    )
    assert view.chart.ghost(0).points[0].size == 0


def test_another_day_leaves_no_ghost(view: DayView) -> None:
    show(view, comparison("two"))
    show(view, comparison("cold"), ghost=True)
    assert not view.has_ghost
    assert view.chart.ghost(0).points[0].size == 0


def test_a_station_that_was_not_run_is_said_to_be_so(view: DayView) -> None:
    shown = comparison("two")
    show(view, Comparison(shown.scenario, (None, shown.runs[1])))
    assert view.card.rows[0].cells[0] == "not run"
    assert NOT_RUN in [text for _, text in view.chart.lanes.places()]
    assert "not run, because of an error" in told_of(view)
    assert view.chart.curve(0).points[0].size == 0
    show(view, Comparison(shown.scenario, (None, None)))
    assert view.card.time_text == ""


def test_the_load_is_shown_in_watts_on_request(view: DayView, qtbot: QtBot) -> None:
    show(view, comparison("two"))
    run = comparison("two").runs[0]
    assert run is not None
    assert np.array_equal(view.chart.load_curve(0).points[1], run.flow.load_a)
    view.menu.in_w.trigger()
    assert np.allclose(view.chart.load_curve(0).points[1], run.flow.load_a * run.flow.bus_v)
    assert view.chart.load.title == "Load, W"


def test_dark_and_light_both_colour_the_ground_and_the_lines(view: DayView) -> None:
    show(view, comparison("two"))
    light = view.picture()
    view.setPalette(dark_palette())
    dark = view.picture()
    ground = dark_palette().color(QPalette.ColorRole.Base)
    assert dark.pixelColor(2, 2) == ground
    assert light.pixelColor(2, 2).lightness() > 200


def test_pictures_are_saved_and_copied(view: DayView, tmp_path: Path) -> None:
    show(view, comparison("four"))
    view.save_png(tmp_path / "day.png")
    image = QImage(str(tmp_path / "day.png"))
    assert image.width() == 2 * view.chart.width()
    view.save_svg(tmp_path / "day.svg")
    text = (tmp_path / "day.svg").read_text(encoding="utf-8")
    assert "Charge, %" in text
    assert "Plan" in text
    assert QSvgRenderer(str(tmp_path / "day.svg")).isValid()
    view.copy_image()
    assert QGuiApplication.clipboard().image().width() == 2 * view.chart.width()


def test_held_curves_stay_in_grey_until_they_are_let_go(view: DayView) -> None:
    first, second = comparison("two"), comparison("cold")
    show(view, first)
    view.ghost.hold(True)
    battery = {"chemistry": "LFP", "capacity_ah": 19.0}
    changed = simulate(scene(station("a", battery=battery), station("b")))
    show(view, changed, ghost=True)
    run = first.runs[0]
    assert run is not None
    assert np.array_equal(view.chart.ghost(0).points[1], run.fraction * 100)
    assert not view.has_ghost
    released: list[bool] = []
    view.ghost.released.connect(lambda: released.append(True))
    # Another date is another night: there is nothing to compare minute by minute.
    show(view, second, ghost=True)
    assert released == [True]
    assert view.chart.ghost(0).points[0].size == 0


def test_start_charge_and_reserve_are_dragged_at_their_handles(view: DayView, qtbot: QtBot) -> None:
    show(view, comparison("two"))
    view.chart.select_station(1)
    moved: list[tuple[str, float]] = []
    view.chart.handle_moved.connect(lambda field, value: moved.append((field, value)))
    port, pane = view.chart.viewport(), view.chart.charge
    for place, field in (
        (view.chart.end_labels.handle_place().center(), "reserve_fraction"),
        (view.chart.handle.grip.center(), "start_fraction"),
    ):
        qtbot.mousePress(port, Qt.MouseButton.LeftButton, pos=place.toPoint())
        to = QPoint(place.toPoint().x(), round(pane.height_at(50.0)))
        qtbot.mouseMove(port, to)
        qtbot.mouseRelease(port, Qt.MouseButton.LeftButton, pos=to)
        assert moved[-1] == (field, pytest.approx(0.5, abs=0.011))
    assert view.chart.span.is_whole


def test_panel_and_load_fold_away_and_come_back(view: DayView) -> None:
    show(view, comparison("two"))
    before = view.chart.charge.place.height()
    view.toggle_fold()
    assert view.chart.charge.place.height() > before + 60
    assert not view.chart.load.is_shown
    view.toggle_fold()
    assert view.chart.charge.place.height() == pytest.approx(before, abs=1)


def test_what_the_panel_could_give_lies_behind_what_is_used(view: DayView) -> None:
    show(view, comparison("two"))
    run = comparison("two").runs[0]
    assert run is not None
    able, used = view.chart.able_curve(0).points[1], view.chart.sun_curve(0).points[1]
    assert np.allclose(able, run.flow.panel_able_a * run.flow.bus_v)
    assert np.all(able >= used - 1e-6)
    # Both stations have the same panel: it is filled once.
    assert view.chart.able_curve(1).points[1].size == 0


def test_the_key_tells_every_mark_in_words(view: DayView) -> None:
    show(view, comparison("two"))
    view.key_button.click()
    assert view.key.isVisible()
    words = [label.text() for label in view.key.findChildren(QLabel)]
    for mark in ("full power", "reduced power", "receive only", "no bar: off the air", "night"):
        assert mark in words
    view.key.cross.click()
    assert not view.key.isVisible()
