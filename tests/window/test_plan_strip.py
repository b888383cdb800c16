"""The plan on its strip: dragged, painted, walked by key and typed, with no holes."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.charts.span import Span
from app.editors.plan_strip.occurrences import occurrences, wall_minute
from app.editors.plan_strip.paint import hatch_spacing_px
from app.editors.plan_strip.strip import PlanStrip
from app.editors.plan_strip.words import first_lines
from app.widgets.tokens import dark_palette
from model.editing.paths import with_value
from model.scenario.scenario import Block, Scenario
from model.sky.timeline import timeline
from tests.plain import plain
from tests.window.day_scenes import block, scene

LEFT = Qt.MouseButton.LeftButton
NO, CTRL, SHIFT, ALT = (
    Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.AltModifier,
)  # fmt: skip
from model.support.figures import NBSP

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
def owner(qtbot: QtBot, fusion: None) -> Owner:
    return owner_of(
        qtbot,
        block(*MORNING),
        block(*EVENING, "voice", rf_w=50.0, transmit_share=0.25, frequency_mhz=3.7),
    )


@pytest.fixture
def full(qtbot: QtBot, fusion: None) -> Owner:
    """An owner whose day has no free time."""
    return owner_of(
        qtbot,
        block("06:00", "12:00", note="calling channel"),
        block("12:00", "13:00", "voice", rf_w=100.0, transmit_share=0.25, note="Net"),
        block("13:00", "18:00"),
        block("18:00", "19:00", "voice", rf_w=50.0, transmit_share=0.25),
        block("19:00", "06:00"),
    )


def owner_of(qtbot: QtBot, *plan: Block) -> Owner:
    span = Span(low=0.0, high=1440.0, total=1440.0, left_px=50.0, width_px=1200.0)
    strip = PlanStrip(span)
    qtbot.addWidget(strip)
    strip.resize(1400, strip.sizeHint().height())
    strip.show()
    # The run begins at midnight: the strip shows one day, from the left edge on.
    return Owner(strip, scene(plan=plan, day={"start_hour": 0.0, "days": 1}))


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


def test_a_block_stops_at_one_that_sends_and_says_so(owner: Owner, qtbot: QtBot) -> None:
    said: list[str] = []
    owner.strip.dragged.connect(said.append)
    drag(owner, qtbot, at(owner, 7), at(owner, 12), at(owner, 22))
    assert owner.times == [("16:00", "18:00"), EVENING]
    assert "the block from 18:00 to 20:00 is in the way" in said[-2]
    assert said[-1] == ""


def test_a_dragged_net_pushes_the_watch_aside_and_pulls_it_along(full: Owner, qtbot: QtBot) -> None:
    drag(full, qtbot, at(full, 12.5), at(full, 14), at(full, 15.5))
    assert full.times[:3] == [("06:00", "15:00"), ("15:00", "16:00"), ("16:00", "18:00")]
    assert full.scenario.plan[0].note == "calling channel"
    assert taken(full.scenario.plan) == [1] * 1440


def test_what_a_drag_swallows_comes_back_when_it_goes_back(full: Owner, qtbot: QtBot) -> None:
    before = full.scenario.plan
    drag(full, qtbot, at(full, 12.5), at(full, 17.5), at(full, 12.5))
    assert full.scenario.plan == before


def test_an_edge_that_two_blocks_share_moves_both(full: Owner, qtbot: QtBot) -> None:
    drag(full, qtbot, at(full, 13), at(full, 14))
    assert full.times[1:3] == [("12:00", "14:00"), ("14:00", "18:00")]
    drag(full, qtbot, at(full, 18, 1), at(full, 17))
    assert full.times[2:4] == [("14:00", "17:00"), ("17:00", "19:00")]
    assert len(set(full.keys)) == 2


def test_a_new_block_is_painted_into_free_time(owner: Owner, qtbot: QtBot) -> None:
    drag(owner, qtbot, at(owner, 10), at(owner, 11), at(owner, 12.5))
    assert owner.times[2] == ("10:00", "12:30")
    painted = owner.scenario.plan[2]
    assert (painted.activity, painted.rf_w, painted.transmit_share) == ("voice", 50.0, 0.25)
    assert owner.strip.canvas.chosen == 2
    drag(owner, qtbot, at(owner, 13), at(owner, 19))
    assert owner.times[3] == ("13:00", "18:00")


def test_a_click_on_free_time_makes_a_block_and_opens_its_editor(
    owner: Owner, qtbot: QtBot
) -> None:
    qtbot.mouseClick(owner.strip.canvas, LEFT, NO, at(owner, 10.1))
    assert owner.times[2] == ("10:00", "10:30")
    assert owner.strip.canvas.chosen == 2
    assert owner.strip.popover.isVisible()
    assert owner.strip.editor.cell("start").edit.text() == "10:00"


def test_a_click_on_a_block_opens_its_editor_and_escape_closes_it(
    owner: Owner, qtbot: QtBot
) -> None:
    qtbot.mouseClick(owner.strip.canvas, LEFT, NO, at(owner, 19))
    popover = owner.strip.popover
    assert popover.isVisible()
    assert owner.strip.editor.cell("rf_w").edit.text() == "50"
    qtbot.keyClick(popover, Qt.Key.Key_Escape)
    assert not popover.isVisible()


def test_the_menu_splits_where_it_was_opened_and_copies(full: Owner, qtbot: QtBot) -> None:
    menu = full.strip.menu
    full.strip.canvas.choose(1)
    menu.show_for(12 * 60 + 20, has_block=True)
    menu.block_actions["split"].trigger()
    assert full.times[1:3] == [("12:00", "12:20"), ("12:20", "13:00")]
    menu.block_actions["copy"].trigger()
    assert full.times[-1] == ("13:00", "13:20")
    assert taken(full.scenario.plan) == [1] * 1440
    menu.block_actions["delete"].trigger()
    assert sum(taken(full.scenario.plan)) == 1440 - 20


def test_the_menu_puts_a_new_block_of_any_kind_into_the_watch(full: Owner) -> None:
    menu = full.strip.menu
    menu.show_for(14 * 60 + 10, has_block=False)
    entries = {action.data(): action for action in menu.new_menu.actions()}
    entries["slots"].trigger()
    assert ("14:00", "14:30") in full.times
    assert full.scenario.plan[-1].activity == "slots"
    assert taken(full.scenario.plan) == [1] * 1440
    menu.show_for(12 * 60 + 10, has_block=False)
    said: list[str] = []
    full.strip.said.connect(said.append)
    entries["morse"].trigger()
    assert "meets the block from 12:00 to 13:00" in said[-1]


def test_a_block_dragged_over_midnight_stands_at_both_ends(owner: Owner, qtbot: QtBot) -> None:
    drag(owner, qtbot, at(owner, 19), at(owner, 22))
    drag(owner, qtbot, at(owner, 22), at(owner, 23.5))
    assert owner.times[1] == ("22:30", "00:30")
    pieces = owner.strip.canvas.pieces(1)
    assert len(pieces) == 2
    assert pieces[0].left() == owner.strip.canvas.x_of(0)


def test_without_an_owner_that_agrees_nothing_changes(owner: Owner, qtbot: QtBot) -> None:
    strip = PlanStrip(Span(left_px=50.0, width_px=1200.0))
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
    said = plain(canvas.accessibleDescription())
    assert "voice (SSB), 50 W, transmitting 25 % of the time" in said
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
    assert owner.strip.popover.isVisible()


def test_every_field_of_the_chosen_block_is_typed(owner: Owner, qtbot: QtBot) -> None:
    owner.strip.choose(1)
    owner.strip.edit()
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
        qtbot.keyClick(edit, Qt.Key.Key_Return)
        assert getattr(owner.scenario.plan[1], name) == value
        assert owner.keys[-1] == f"plan.1.{name}"
    qtbot.mouseClick(owner.strip.editor.cell("processed").edit, LEFT)
    assert owner.scenario.plan[1].processed
    activity = owner.strip.editor.cell("activity").edit
    activity.activated.emit(activity.findData("fm"))
    assert owner.scenario.plan[1].activity == "fm"
    assert not owner.strip.editor.cell("processed").isEnabled()


@pytest.mark.parametrize(
    ("name", "text", "times"),
    [("start", "20:30", ("20:30", "22:30")), ("end", "17:00", ("15:00", "17:00"))],
)
def test_a_time_typed_past_the_other_end_takes_the_block_along(
    owner: Owner, qtbot: QtBot, name: str, text: str, times: tuple[str, str]
) -> None:
    assert owner.times[1] == ("18:00", "20:00")
    owner.strip.choose(1)
    edit = owner.strip.editor.cell(name).edit
    edit.selectAll()
    qtbot.keyClicks(edit, text)
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert owner.times[1] == times
    assert not edit.is_marked


def test_typed_text_that_cannot_be_used_stays_and_says_why(owner: Owner, qtbot: QtBot) -> None:
    owner.strip.choose(0)
    editor = owner.strip.editor
    end = editor.cell("end").edit
    for text, words in (
        ("19:00", "the block from 18:00 to 20:00 is in the way"),
        ("25:00", "A time reads 18:30"),
    ):
        end.selectAll()
        qtbot.keyClicks(end, text)
        qtbot.keyClick(end, Qt.Key.Key_Return)
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
    assert f"at most 100{NBSP}%" in editor.fault_text
    assert owner.scenario.plan[1].transmit_share == 0.12


def taken(plan: tuple[Block, ...]) -> list[int]:
    """Return how many blocks cover each minute of the day."""
    count = [0] * 1440
    for each in plan:
        for minute in range(*each.minutes):
            count[minute % 1440] += 1
    return count


def test_patterns_fill_the_time_in_which_nothing_is_sent(owner: Owner, qtbot: QtBot) -> None:
    for action in owner.strip.patterns.actions():
        if action.data() is not None:
            action.trigger()
            watch = [each for each in owner.scenario.plan if each.activity == "watch"]
            assert {each.listen_share for each in watch} == {action.data()}
            assert set(taken(owner.scenario.plan)) == {1}
            assert [each.activity for each in owner.scenario.plan].count("voice") == 1


def test_a_pattern_that_is_pointed_at_is_only_looked_at(owner: Owner) -> None:
    seen: list[object] = []
    owner.strip.previewed.connect(seen.append)
    before = owner.scenario.plan
    pattern = owner.strip.patterns.actions()[1]
    owner.strip.patterns.hovered.emit(pattern)
    assert owner.scenario.plan == before
    assert owner.strip.canvas.plan == seen[-1] != before
    owner.strip.patterns.preview_ended.emit()
    assert owner.strip.canvas.plan == before
    assert seen[-1] is None


def test_nets_are_set_at_typed_times(owner: Owner, qtbot: QtBot) -> None:
    strip, nets = owner.strip, owner.strip.nets
    strip.patterns.nets.trigger()
    assert strip.nets_popover.isVisible()
    nets.times.setText("7:30, 13")
    nets.minutes.setValue(20)
    assert [each.activity for each in strip.canvas.plan].count("voice") == 3
    assert len(owner.scenario.plan) == 2
    qtbot.mouseClick(nets.place, LEFT)
    made = [each for each in owner.scenario.plan if each.activity == "voice"]
    assert ("07:30", "07:50") in [(each.start, each.end) for each in made]
    assert ("13:00", "13:20") in [(each.start, each.end) for each in made]
    assert not strip.nets_popover.isVisible()
    strip.patterns.nets.trigger()
    nets.times.setText("19:00")
    qtbot.mouseClick(nets.place, LEFT)
    assert "meets the block from 18:00 to 20:00" in nets.note.text()
    nets.times.setText("noon")
    qtbot.mouseClick(nets.place, LEFT)
    assert nets.times.is_marked


def test_the_hatch_is_closer_the_more_is_sent() -> None:
    spacings = [hatch_spacing_px(share) for share in (0.02, 0.1, 0.2, 0.4, 0.5, 1.0)]
    assert spacings == sorted(spacings, reverse=True)
    assert len(set(spacings)) >= 5


def test_blocks_lie_in_the_run_by_the_wall_clock() -> None:
    # Rome leaves out 02:00 to 03:00 on the last Sunday of March (tz database).
    run = scene(day={"date": date(2025, 3, 29), "start_hour": 20.0, "days": 2})
    clock = timeline(run.site, run.day)
    night, morning = block("22:00", "04:00"), block("06:00", "07:00")
    # By hand: 22:00 is two hours in; the night is five hours long; the second one six.
    assert occurrences(clock, night) == ((120.0, 360.0), (360.0, 420.0), (1500.0, 1860.0))
    assert occurrences(clock, morning) == ((540.0, 600.0), (1980.0, 2040.0))
    assert wall_minute(clock, 359.0) == 119.0
    assert wall_minute(clock, 361.0) == 181.0


def test_every_day_of_the_run_shows_the_plan(owner: Owner) -> None:
    strip = owner.strip
    strip._span.set_total(2880.0)
    strip.show_scenario(scene(plan=owner.scenario.plan, day={"start_hour": 0.0, "days": 2}))
    pieces = strip.canvas.pieces(1)
    assert len(pieces) == 2
    assert pieces[1].left() - pieces[0].left() == pytest.approx(600.0)


def test_a_block_is_named_by_its_note_and_its_power() -> None:
    net = block("18:00", "19:00", "voice", rf_w=100.0, transmit_share=0.2, note="Net")
    assert first_lines(net)[0] == f"Net 100{NBSP}W"
    assert first_lines(net)[-1] == f"100{NBSP}W"
    assert first_lines(block("06:00", "07:00")) == ("listening watch", "watch")


def test_everything_on_the_strip_has_a_name_and_plain_text(owner: Owner) -> None:
    owner.strip.choose(1)
    owner.strip.edit()
    names = [
        widget.accessibleName() or getattr(widget, "text", str)()
        for widget in owner.strip.window().findChildren(QWidget)
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
    assert owner.strip.canvas.sizeHint().height() > before + 10


def test_what_was_not_done_is_said_without_a_block_chosen(qtbot: QtBot, fusion: None) -> None:
    busy = owner_of(
        qtbot,
        block("06:00", "18:00", "voice", rf_w=100.0, transmit_share=0.25),
        block("18:00", "06:00", "voice", rf_w=50.0, transmit_share=0.25),
    )
    said: list[str] = []
    busy.strip.said.connect(said.append)
    qtbot.keyClick(busy.strip.canvas, Qt.Key.Key_N)
    assert said == [
        "Not done: the day has no free time and no watch; right click where it is to be."
    ]


def test_a_new_block_of_a_full_day_takes_the_middle_of_the_longest_watch(
    full: Owner, qtbot: QtBot
) -> None:
    before = len(full.scenario.plan)
    qtbot.keyClick(full.strip.canvas, Qt.Key.Key_N)
    new = full.scenario.plan[-1]
    # The watch from 19:00 to 06:00 is cut in two around its middle, half past midnight.
    assert (new.start, new.end, len(full.scenario.plan)) == ("00:15", "00:45", before + 2)
    assert full.strip.popover.isVisible()


def test_the_cautions_of_sending_stand_in_the_editor(owner: Owner) -> None:
    owner.strip.choose(1)
    owner.strip.edit()
    words = [label.text() for label in owner.strip.editor.findChildren(QLabel) if label.isVisible()]
    (caution,) = [text for text in words if text.startswith("⚠")]
    assert "licence" in caution
    assert "exposure evaluation" in caution


def test_escape_takes_back_what_was_typed_of_a_block(owner: Owner, qtbot: QtBot) -> None:
    owner.strip.choose(1)
    before = owner.scenario.plan
    owner.strip.edit("rf_w")
    edit = owner.strip.editor.cell("rf_w").edit
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
    nets = owner.strip.nets
    owner.strip.patterns.nets.trigger()
    nets.times.setText("noon")
    qtbot.mouseClick(nets.place, LEFT)
    assert "such as 08:00 13:00 18:00" in nets.note.text()
    qtbot.keyClick(nets.times, Qt.Key.Key_Escape)
    assert not nets.note.isVisible()
    assert nets.times.text() == "08:00 13:00 18:00"
