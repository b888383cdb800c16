"""The plan on its strip: dragged, painted, walked by key and typed, never with an overlap."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.plan_strip.clock_map import day_sky, utc_text
from app.plan_strip.paint import hatch_spacing_px
from app.plan_strip.strip import PlanStrip
from app.plan_strip.tools import NETS
from app.widgets.tokens import dark_palette
from model.editing.paths import with_value
from model.scenario.scenario import Block, Scenario
from tests.window.day_scenes import block, scene

LEFT = Qt.MouseButton.LeftButton
NO, CTRL, SHIFT, ALT = (
    Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier,
)  # fmt: skip
MORNING, EVENING = ("06:00", "08:00"), ("18:00", "20:00")


class Owner:
    """Holds the scenario as the window's document does: takes each plan and shows it again."""

    def __init__(self, strip: PlanStrip, scenario: Scenario) -> None:
        self.strip, self.scenario = strip, scenario
        self.keys: list[str] = []
        strip.plan_changed.connect(self.take)
        strip.show_scenario(scenario)

    def take(self, plan: tuple[Block, ...], key: str, text: str) -> None:
        assert text
        self.keys.append(key)
        self.scenario = with_value(self.scenario, "plan", plan)
        self.strip.show_scenario(self.scenario)

    @property
    def times(self) -> list[tuple[str, str]]:
        return [(each.start, each.end) for each in self.scenario.plan]


@pytest.fixture
def owner(qtbot: QtBot) -> Owner:
    strip = PlanStrip()
    qtbot.addWidget(strip)
    strip.resize(1300, strip.sizeHint().height())
    strip.show()
    plan = (
        block(*MORNING),
        block(*EVENING, "voice", rf_w=50.0, transmit_share=0.25, frequency_mhz=3.7),
    )
    return Owner(strip, scene(plan=plan))


def at(owner: Owner, hours: float, shift_px: int = 0) -> QPoint:
    return QPoint(round(owner.strip.canvas.x_of(hours * 60)) + shift_px, 25)


def drag(owner: Owner, qtbot: QtBot, start: QPoint, *stops: QPoint, held: object = NO) -> None:
    canvas = owner.strip.canvas
    qtbot.mousePress(canvas, LEFT, held, start)
    for stop in stops:
        qtbot.mouseMove(canvas, stop)
    qtbot.mouseRelease(canvas, LEFT, held, stops[-1])


def test_a_block_is_moved_on_a_grid_of_five_minutes(owner: Owner, qtbot: QtBot) -> None:
    drag(owner, qtbot, at(owner, 7), at(owner, 8), at(owner, 9.52))
    assert owner.times == [("08:30", "10:30"), EVENING]
    assert len(set(owner.keys)) == 1


def test_a_block_pushed_at_its_neighbour_stops_there(owner: Owner, qtbot: QtBot) -> None:
    drag(owner, qtbot, at(owner, 7), at(owner, 12), at(owner, 22))
    assert owner.times == [("16:00", "18:00"), EVENING]


def test_edges_are_dragged_each_by_itself(owner: Owner, qtbot: QtBot) -> None:
    drag(owner, qtbot, at(owner, 8), at(owner, 9))
    assert owner.times[0] == ("06:00", "09:00")
    drag(owner, qtbot, at(owner, 18, 1), at(owner, 8))
    assert owner.times == [("06:00", "09:00"), ("09:00", "20:00")]
    drag(owner, qtbot, at(owner, 9, 2), at(owner, 12))
    assert owner.times == [("06:00", "09:00"), ("12:00", "20:00")]
    assert len(set(owner.keys)) == 3


def test_a_new_block_is_painted_with_the_chosen_activity(owner: Owner, qtbot: QtBot) -> None:
    tools = owner.strip.tools
    tools.activity.setCurrentIndex(tools.activity.findData("voice"))
    tools.activity.activated.emit(tools.activity.currentIndex())
    drag(owner, qtbot, at(owner, 10), at(owner, 11), at(owner, 12.5))
    assert owner.times[2] == ("10:00", "12:30")
    painted = owner.scenario.plan[2]
    assert (painted.activity, painted.rf_w, painted.transmit_share) == ("voice", 50.0, 0.25)
    assert owner.strip.canvas.chosen == 2
    drag(owner, qtbot, at(owner, 13), at(owner, 19))
    assert owner.times[3] == ("13:00", "18:00")


def test_a_block_dragged_over_midnight_stands_at_both_ends(owner: Owner, qtbot: QtBot) -> None:
    drag(owner, qtbot, at(owner, 19), at(owner, 22))
    drag(owner, qtbot, at(owner, 22), at(owner, 23.5))
    assert owner.times[1] == ("22:30", "00:30")
    pieces = owner.strip.canvas.pieces(1)
    assert len(pieces) == 2
    assert pieces[1].left() == owner.strip.canvas.x_of(0)


def test_without_an_owner_that_agrees_nothing_changes(owner: Owner, qtbot: QtBot) -> None:
    strip = PlanStrip()
    qtbot.addWidget(strip)
    strip.resize(1300, 200)
    strip.show_scenario(owner.scenario)
    lone = strip.canvas
    qtbot.mousePress(lone, LEFT, NO, QPoint(round(lone.x_of(420)), 25))
    qtbot.mouseMove(lone, QPoint(round(lone.x_of(600)), 25))
    qtbot.mouseRelease(lone, LEFT, NO, QPoint(round(lone.x_of(600)), 25))
    assert [(each.start, each.end) for each in lone.plan] == [MORNING, EVENING]


def test_keys_choose_move_resize_and_delete(owner: Owner, qtbot: QtBot) -> None:
    canvas = owner.strip.canvas
    key = Qt.Key
    qtbot.keyClick(canvas, key.Key_Right)
    assert canvas.chosen == 0
    qtbot.keyClick(canvas, key.Key_Right, CTRL)
    assert owner.times[0] == ("06:05", "08:05")
    qtbot.keyClick(canvas, key.Key_Left, CTRL | ALT)
    assert owner.times[0] == ("06:04", "08:04")
    qtbot.keyClick(canvas, key.Key_Left, SHIFT)
    assert owner.times[0] == ("06:04", "07:59")
    qtbot.keyClick(canvas, key.Key_Up, SHIFT)
    assert owner.times[0] == ("05:59", "07:59")
    qtbot.keyClick(canvas, key.Key_Tab)
    assert canvas.chosen == 1
    assert "voice (SSB), 50 W, transmitting 25 % of the time" in canvas.accessibleDescription()
    qtbot.keyClick(canvas, key.Key_S)
    assert owner.times == [("05:59", "07:59"), ("18:00", "19:00"), ("19:00", "20:00")]
    qtbot.keyClick(canvas, key.Key_D, CTRL)
    assert owner.times[-1] == ("20:00", "21:00")
    assert canvas.chosen == 3
    qtbot.keyClick(canvas, key.Key_Delete)
    qtbot.keyClick(canvas, key.Key_Delete)
    assert owner.times == [("05:59", "07:59"), ("18:00", "19:00")]
    qtbot.keyClick(canvas, key.Key_N)
    assert owner.times[-1] == ("07:59", "08:29")


def test_every_field_of_the_chosen_block_is_typed(owner: Owner, qtbot: QtBot) -> None:
    owner.strip.choose(1)
    for name, text, value in (
        ("start", "17:47", "17:47"),
        ("end", "2012", "20:12"),
        ("rf_w", "20", 20.0),
        ("transmit_share", "12,5", 0.125),
        ("listen_share", "50", 0.5),
        ("frequency_mhz", "7.1", 7.1),
        ("note", "<i>net</i>", "<i>net</i>"),
    ):
        edit = owner.strip.editor.cell(name).edit
        edit.selectAll()
        qtbot.keyClicks(edit, text)
        assert getattr(owner.scenario.plan[1], name) == value
        assert owner.keys[-1] == f"plan.1.{name}"
    qtbot.mouseClick(owner.strip.editor.cell("processed").edit, LEFT)
    assert owner.scenario.plan[1].processed
    activity = owner.strip.editor.cell("activity").edit
    activity.activated.emit(activity.findData("fm"))
    assert owner.scenario.plan[1].activity == "fm"
    assert not owner.strip.editor.cell("processed").isEnabled()


def test_typed_text_that_cannot_be_used_stays_and_says_why(owner: Owner, qtbot: QtBot) -> None:
    owner.strip.choose(0)
    editor = owner.strip.editor
    end = editor.cell("end").edit
    for text, words in (
        ("19:00", "06:00 to 19:00 meets the block from 18:00 to 20:00"),
        ("25:00", "A time reads 18:30"),
    ):
        end.selectAll()
        qtbot.keyClicks(end, text)
        assert words in editor.fault_text
        assert end.is_marked
        # The window shows the scenario again after every run; a text being typed survives that.
        owner.strip.show_scenario(owner.scenario)
        assert end.text() == text
    owner.strip.choose(1)
    assert (end.text(), editor.fault_text, end.is_marked) == ("20:00", "", False)
    share = editor.cell("transmit_share").edit
    share.selectAll()
    qtbot.keyClicks(share, "120")
    assert "at most 100 %" in editor.fault_text
    assert owner.scenario.plan[1].transmit_share == 0.12


def taken(plan: tuple[Block, ...]) -> list[int]:
    """Return how many blocks cover each minute of the day."""
    count = [0] * 1440
    for each in plan:
        for minute in range(*each.minutes):
            count[minute % 1440] += 1
    return count


def test_patterns_fill_the_time_in_which_nothing_is_sent(owner: Owner, qtbot: QtBot) -> None:
    for action in owner.strip.tools.menu.actions():
        if action.data() is not None:
            action.trigger()
            watch = [each for each in owner.scenario.plan if each.activity == "watch"]
            assert {each.listen_share for each in watch} == {action.data()}
            assert set(taken(owner.scenario.plan)) == {1}
            assert [each.activity for each in owner.scenario.plan].count("voice") == 1


def test_nets_are_set_at_typed_times(owner: Owner, qtbot: QtBot) -> None:
    tools = owner.strip.tools
    next(action for action in tools.menu.actions() if action.text() == NETS).trigger()
    assert tools.nets.isVisible()
    tools.nets.times.setText("7:30, 13")
    tools.nets.minutes.setValue(20)
    qtbot.mouseClick(tools.nets.place, LEFT)
    nets = [each for each in owner.scenario.plan if each.activity == "voice"]
    assert ("07:30", "07:50") in [(each.start, each.end) for each in nets]
    assert ("13:00", "13:20") in [(each.start, each.end) for each in nets]
    tools.nets.times.setText("19:00")
    qtbot.mouseClick(tools.nets.place, LEFT)
    assert "meets the block from 18:00 to 20:00" in owner.strip.editor.fault_text
    tools.nets.times.setText("noon")
    qtbot.mouseClick(tools.nets.place, LEFT)
    assert tools.nets.times.is_marked


def test_the_hatch_is_closer_the_more_is_sent() -> None:
    spacings = [hatch_spacing_px(share) for share in (0.02, 0.1, 0.2, 0.4, 0.5, 1.0)]
    assert spacings == sorted(spacings, reverse=True)
    assert len(set(spacings)) >= 5


def test_utc_and_night_follow_the_place_and_the_date() -> None:
    # Rome keeps UTC+1 until 01:00 UTC on the last Sunday of March, then UTC+2 (tz database).
    asked = scene(day={"date": date(2025, 3, 30)})
    assert utc_text(asked.site, asked.day, 60) == "00:00"
    assert utc_text(asked.site, asked.day, 12 * 60) == "10:00"
    india = scene(site={"timezone": "Asia/Kolkata"})
    assert utc_text(india.site, india.day, 0) == "18:30"
    june = scene()
    sky = day_sky(june.site, june.day)
    assert len(sky.nights) == 2
    assert sky.nights[0][0] == 0.0
    assert sky.nights[-1][1] == 1440.0
    polar = scene(site={"latitude_deg": 80.0}, day={"date": date(2025, 12, 21)})
    assert day_sky(polar.site, polar.day).nights == ((0.0, 1440.0),)


def test_everything_on_the_strip_has_a_name_and_plain_text(owner: Owner) -> None:
    owner.strip.choose(1)
    names = [
        widget.accessibleName() or getattr(widget, "text", str)()
        for widget in owner.strip.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible()
    ]
    assert names
    assert all(names)
    assert owner.strip.canvas.accessibleName() == "24-hour plan"
    for label in owner.strip.findChildren(QLabel):
        assert label.textFormat() == Qt.TextFormat.PlainText or not label.text().startswith("<")


def test_it_is_drawn_in_the_dark_and_with_large_text(owner: Owner) -> None:
    light = owner.strip.canvas.grab().toImage()
    owner.strip.setPalette(dark_palette())
    dark = owner.strip.canvas.grab().toImage()
    assert light.pixelColor(1, 30).lightness() > 200 > dark.pixelColor(1, 30).lightness()
    before = owner.strip.canvas.sizeHint().height()
    font = owner.strip.font()
    font.setPointSizeF(font.pointSizeF() * 1.5)
    owner.strip.setFont(font)
    assert owner.strip.canvas.sizeHint().height() > before * 1.2


def test_the_fields_of_a_block_take_room_only_with_a_block_chosen(owner: Owner) -> None:
    strip = owner.strip
    without = strip.heightForWidth(1300)
    strip.resize(1300, without)
    top = strip.canvas.y()
    assert not strip.editor.isVisible()
    strip.choose(0)
    assert strip.editor.cell("start").isVisible()
    assert strip.heightForWidth(1300) > without + 30
    strip.resize(1300, strip.heightForWidth(1300))
    assert strip.canvas.y() == top
    strip.choose(None)
    assert strip.heightForWidth(1300) == without


def test_what_was_not_done_is_said_without_a_block_chosen(owner: Owner, qtbot: QtBot) -> None:
    owner.scenario = with_value(owner.scenario, "plan", (block("00:00", "24:00"),))
    owner.strip.show_scenario(owner.scenario)
    qtbot.mouseClick(owner.strip.tools.buttons["add"], LEFT)
    assert owner.strip.editor.isVisible()
    assert owner.strip.editor.fault_text == "Not done: the day has no free time."
    assert not owner.strip.editor.cell("start").isVisible()


def test_the_cautions_of_sending_always_stand_under_the_strip(owner: Owner) -> None:
    words = [label.text() for label in owner.strip.findChildren(QLabel) if label.isVisible()]
    (caution,) = [text for text in words if text.startswith("⚠")]
    assert "licence" in caution
    assert "exposure evaluation" in caution


def test_a_hint_says_how_a_block_is_chosen_until_one_is(owner: Owner, qtbot: QtBot) -> None:
    pointer = owner.strip.tools.pointer
    assert pointer.text().startswith("Choose a block to edit it")
    qtbot.mouseMove(owner.strip.canvas, at(owner, 12))
    assert pointer.text() == "12:00 local, 10:00 UTC"
    owner.strip.choose(0)
    owner.strip.canvas.pointed.emit(-1)
    assert pointer.text() == ""


def test_escape_takes_back_what_was_typed_of_a_block(owner: Owner, qtbot: QtBot) -> None:
    owner.strip.choose(1)
    before = owner.scenario.plan
    edit = owner.strip.editor.cell("rf_w").edit
    edit.setFocus()
    for typed in ("20", "2x"):
        edit.selectAll()
        qtbot.keyClicks(edit, typed)
        qtbot.keyClick(edit, Qt.Key.Key_Escape)
        assert owner.scenario.plan == before
        assert edit.text() == "50"
        assert owner.strip.editor.fault_text == ""


def test_net_times_that_cannot_be_read_are_told_what_would_be_right(
    owner: Owner, qtbot: QtBot
) -> None:
    nets = owner.strip.tools.nets
    next(action for action in owner.strip.tools.menu.actions() if action.text() == NETS).trigger()
    nets.times.setText("noon")
    qtbot.mouseClick(nets.place, LEFT)
    assert "such as 08:00 13:00 18:00" in nets.note.text()
    qtbot.keyClick(nets.times, Qt.Key.Key_Escape)
    assert not nets.note.isVisible()
    assert nets.times.text() == "08:00 13:00 18:00"
