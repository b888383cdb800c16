"""The sheet as a new user would try it: few clicks, nothing to scroll, differences seen."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication
from user import User

from app.editors.popovers.part_table import PartTable
from app.editors.sheet.rows import facts_of, fields_of
from app.resources import resource
from app.widgets.fitting import fit_in
from model.editing.edit_stations import with_station_duplicated
from model.editing.paths import with_values
from model.files.scenario_file import read_scenario
from model.library.catalogue import Library
from model.scenario.kinds import KINDS
from model.scenario.scenario import Scenario
from model.scenario.station import Amplifier, Laptop, Station
from tests.plain import plain

# A menu that opens grabs the keyboard, which the offscreen platform cannot.
pytestmark = pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
LEFT, SHIFT = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier
CAPACITY = "station 1, battery, rated capacity"


def stations(user: User) -> tuple[Station, ...]:
    return user.window.document.scenario.stations


def middle(user: User, key: str, station: int) -> QPoint:
    """Return the middle of a cell; stations count from 1."""
    view = user.window.sheet
    return view.visualRect(view.sheet.index(view.sheet.place_of(key), station - 1)).center()


def arrow(user: User, key: str, station: int) -> QPoint:
    """Return the arrow of a cell."""
    view = user.window.sheet
    rect = view.visualRect(view.sheet.index(view.sheet.place_of(key), station - 1))
    return QPoint(rect.right() - 10, rect.center().y())


def click(user: User, at: QPoint, modifier: Qt.KeyboardModifier | None = None) -> None:
    port = user.window.sheet.viewport()
    QTest.mouseClick(port, LEFT, modifier or Qt.KeyboardModifier.NoModifier, at)
    user.settle()


def drag(user: User, at: QPoint, by: int, modifier: Qt.KeyboardModifier | None = None) -> None:
    held, port = modifier or Qt.KeyboardModifier.NoModifier, user.window.sheet.viewport()
    QTest.mousePress(port, LEFT, held, at)
    for step in range(1, abs(by) + 1):
        to = QPointF(at + QPoint(step if by > 0 else -step, 0))
        event = QMouseEvent(
            QEvent.Type.MouseMove, to, port.mapToGlobal(to), Qt.MouseButton.NoButton, LEFT, held
        )
        QApplication.sendEvent(port, event)
    QTest.mouseRelease(port, LEFT, held, at + QPoint(by, 0))
    user.settle()


OUTSIDE, IN_NETS = "amplifier.out_of_session", "amplifier.in_session"


def amplifier(user: User, station: int = 1) -> Amplifier:
    found = stations(user)[station - 1].amplifier
    assert found is not None
    return found


def state_at(user: User, key: str, state: str, station: int = 1) -> QPoint:
    """Return where a state of a setting of the amplifier stands."""
    view = user.window.sheet
    rect = view.visualRect(view.sheet.index(view.sheet.place_of("amplifier"), station - 1))
    lines = view.painting.states_at(rect, "amplifier")
    return next(
        each.place.center()
        for line in lines
        for each in line
        if (each.key, each.state) == (key, state)
    )


@pytest.mark.parametrize(
    ("key", "state"),
    [
        (OUTSIDE, "standby"), (OUTSIDE, "operate"), (OUTSIDE, "off"), (IN_NETS, "standby"),
        (IN_NETS, "operate"),
    ],
)  # fmt: skip
def test_a_state_of_the_amplifier_is_one_click(user: User, key: str, state: str) -> None:
    other = next(each for each in facts_of(key).choices if each != state)
    user.window.document.edit(f"stations.0.{key}", other)
    user.window.document.end_burst()
    before = amplifier(user)
    click(user, state_at(user, key, state))
    name = key.partition(".")[2]
    assert amplifier(user) == before.model_copy(update={name: state})
    user.window.document.undo_stack.undo()
    assert amplifier(user) == before, "one undo step"


def test_both_settings_of_the_amplifier_stand_in_its_row(user: User) -> None:
    sheet = user.window.sheet.sheet
    keys = {row.key for row in sheet.rows}
    user.open(1, "Amplifier")
    assert not {OUTSIDE, IN_NETS} & (keys | {row.key for row in sheet.rows})
    user.window.document.edit(f"stations.0.{OUTSIDE}", "standby")
    place = sheet.place_of("amplifier")
    assert sheet.cell(place, 0).text == "standby outside nets, operate in nets"
    name = amplifier(user).name
    spoken = user.line(1, "Amplifier")
    assert f"Amplifier, {name}, standby outside nets, operate in nets" in spoken
    assert "Operate in nets: Ready" in sheet.index(place, 0).data(Qt.ItemDataRole.ToolTipRole)


def test_shift_gives_a_state_to_every_amplifier(open_window: Callable[..., User]) -> None:
    scenario = with_station_duplicated(read_scenario(resource("scenarios/ridge-weekend.toml")), 0)
    user = open_window(scenario)
    click(user, state_at(user, OUTSIDE, "operate", station=2), SHIFT)
    assert [amplifier(user, each).out_of_session for each in (1, 2)] == ["operate", "operate"]
    assert stations(user)[2].amplifier is None
    user.window.document.undo_stack.undo()
    assert [amplifier(user, each).out_of_session for each in (1, 2)] == ["off", "off"]


def test_the_keyboard_reaches_each_state_of_the_amplifier(user: User) -> None:
    view, menu = user.window.sheet, user.window.sheet.doing.menu
    view.choose("stations.0.amplifier")
    view.setFocus()
    QTest.keyClick(view, Qt.Key.Key_Return)
    texts = [action.text() for action in menu.actions() if action.text()]
    assert texts == [
        "Off outside nets", "Standby outside nets", "Operate outside nets", "Standby in nets",
        "Operate in nets",
    ]  # fmt: skip
    checked = [action.text() for action in menu.actions() if action.isChecked()]
    assert checked == ["Off outside nets", "Operate in nets"]
    assert menu.activeAction().text() == "Off outside nets", "arrows go on from what is"
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    user.settle()
    assert amplifier(user).out_of_session == "standby"
    QTest.keyClick(view, Qt.Key.Key_Return)
    for _ in range(2):
        QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    user.settle()
    assert amplifier(user).in_session == "standby"


def test_held_settings_of_the_amplifier_are_told(user: User) -> None:
    user.window.head.held.click()
    click(user, state_at(user, OUTSIDE, "operate"))
    cell = user.window.sheet.sheet.cell(user.window.sheet.sheet.place_of("amplifier"), 0)
    assert [setting.was for setting in cell.settings] == ["off", ""]
    assert "was off outside nets, operate in nets" in user.line(1, "Amplifier")


def test_a_finding_at_a_setting_of_the_amplifier_stands_under_its_row(user: User) -> None:
    user.window.document.edit(f"stations.0.{OUTSIDE}", "operate")
    user.settle()
    user.open(1, "Amplifier")
    sheet = user.window.sheet.sheet
    place = sheet.place_of(f"{OUTSIDE} note")
    assert place == sheet.place_of("amplifier") + 1
    assert "Ah a day" in plain(sheet.words_of(place)[1])


def test_rows_are_as_high_as_their_texts_whatever_stood_there(user: User) -> None:
    view, document = user.window.sheet, user.window.document
    name, part = view.sheet.place_of("name"), view.sheet.place_of("amplifier")
    line_px = view.rowHeight(view.sheet.place_of("tuner"))
    assert view.rowHeight(name) > line_px
    assert view.rowHeight(part) == 2 * line_px
    left_px = view.height()
    for index in (0, 1):
        document.edit(f"stations.{index}.name", "short")
    document.edit("stations.0.amplifier", None)
    user.settle()
    assert [view.rowHeight(name), view.rowHeight(part)] == [line_px, line_px]
    assert view.height() < left_px, "the results follow"
    for _ in range(3):
        document.undo_stack.undo()
    assert [view.rowHeight(name) > line_px, view.rowHeight(part)] == [True, 2 * line_px]


def test_a_closed_slot_counts_its_guesses_wherever_the_keyboard_was(user: User) -> None:
    """A cell that is asked for while rows go must not be made from what its row was."""
    view = user.window.sheet
    user.open(1, "Battery")
    view.setFocus()
    for key in [row.key for row in view.sheet.rows if row.key.startswith("battery.")]:
        view.sheet.set_open("battery", True)
        view.setCurrentIndex(view.sheet.index(view.sheet.place_of(key), 0))
        view.sheet.set_open("battery", False)
        for column in (0, 1):
            assert "guesses" in view.sheet.cell(view.sheet.place_of("battery"), column).aside, key


def test_the_frame_of_the_keyboard_goes_with_its_cell(user: User) -> None:
    view = user.window.sheet
    view.choose("stations.0.battery")
    view.setFocus()

    def is_framed(key: str) -> bool:
        rect = view.visualRect(view.sheet.index(view.sheet.place_of(key), 0))
        seen = view.viewport().grab().toImage()
        return seen.pixelColor(rect.topLeft() + QPoint(1, 1)) == view.painting.own.accent

    assert is_framed("battery")
    user.click_label(view.sheet.place_of("radio"))
    assert is_framed("battery")
    framed = [row.key for row in view.sheet.rows if is_framed(row.key)]
    assert framed == ["battery"], "rows came above it"
    view.clearFocus()
    assert not is_framed("battery")


def test_cautions_are_those_of_the_chemistry_that_is_chosen(user: User) -> None:
    view, document = user.window.sheet, user.window.document
    user.open(1, "Battery")
    view.sheet.set_open("battery caution", True)
    told: list[str] = []
    view.sheet.dataChanged.connect(
        lambda first, _last, _roles: told.append(view.sheet.rows[first.row()].key)
    )
    # The last two have as many cautions as each other: no row changes but its sentences do.
    for chemistry in ("Li-ion", "AGM", "NiMH"):
        told.clear()
        paths = [f"stations.{index}.battery.chemistry" for index in (0, 1)]
        scenario = with_values(document.scenario, dict.fromkeys(paths, chemistry))
        document.replace("another chemistry", scenario)
        place = view.sheet.place_of("battery caution")
        usual_px = view.rowHeight(view.sheet.place_of("tuner"))
        assert view.rowHeight(place) == view.painting.words_height(place, usual_px)
    assert "battery caution" in told


def test_shift_and_escape_close_the_line_too(user: User) -> None:
    view = user.window.sheet
    index = view.choose("stations.0.battery.capacity_ah")
    view.setFocus()
    QTest.keyClicks(view, "3")
    assert view.indexWidget(index) is not None
    QTest.keyClick(view.indexWidget(index), Qt.Key.Key_Escape, SHIFT)
    assert view.indexWidget(index) is None
    assert stations(user)[0].battery.capacity_ah == 15.0


def test_sixty_watts_on_both_is_a_click_and_a_number(user: User) -> None:
    click(user, middle(user, "panel", 1))
    QTest.keyClicks(user.window.focusWidget(), "60")
    user.press(Qt.Key.Key_Return, SHIFT)
    assert [station.panel.rated_w for station in stations(user) if station.panel] == [60.0, 60.0]
    user.window.document.undo_stack.undo()
    assert [station.panel.rated_w for station in stations(user) if station.panel] == [80.0, 80.0]
    assert not user.window.document.undo_stack.canUndo(), "one undo step"


def test_another_radio_is_two_clicks(user: User, library: Library) -> None:
    radio = library.of("radio")[-1]
    click(user, arrow(user, "radio", 2))
    (table,) = [each for each in user.window.findChildren(PartTable) if each.isVisible()]
    model = table.model()
    row = next(row for row in range(model.rowCount()) if model.index(row, 0).data() == radio.name)
    at = table.visualRect(model.index(row, 0)).center()
    QTest.mouseClick(table.viewport(), LEFT, pos=at)
    assert stations(user)[1].radio == radio


def test_a_battery_is_copied_to_all_with_two_clicks(open_window: Callable[..., User]) -> None:
    scenario = with_station_duplicated(read_scenario(resource("scenarios/ridge-weekend.toml")), 1)
    user = open_window(scenario)
    user.window.document.edit("stations.0.battery.capacity_ah", 22.0)
    user.cell_menu(1, "Battery", "Copy battery to all stations")
    assert {station.battery.capacity_ah for station in stations(user)} == {22.0}


@pytest.mark.parametrize("slot", [kind.slot for kind in KINDS])
def test_nothing_needs_scrolling_with_one_slot_open(user: User, slot: str) -> None:
    view = user.window.sheet
    # Of 1366 by 768 a frame and a title leave so much.
    screen = QRect(0, 0, 1366, 768)
    fit_in(user.window, screen)
    assert (user.window.width(), user.window.height()) == (1350, 724)
    user.let_appear()
    user.click_label(view.sheet.place_of(slot))
    user.let_appear()
    assert view.sheet.opened == {slot}
    assert view.verticalScrollBar().maximum() == 0
    assert view.horizontalScrollBar().maximum() == 0
    assert user.window.left.area.verticalScrollBar().maximum() == 0


@pytest.mark.parametrize("percent", [100, 110])
def test_four_stations_stand_side_by_side(open_window: Callable[..., User], percent: int) -> None:
    scenario = read_scenario(resource("scenarios/ridge-weekend.toml"))
    for index in (0, 1):
        scenario = with_station_duplicated(scenario, index)
    user = open_window(scenario)
    user.window.display.set_text_percent(percent)
    user.let_appear()
    view = user.window.sheet
    assert view.horizontalScrollBar().maximum() == 0
    assert view.columnWidth(3) >= 92
    user.window.display.set_text_percent(100)


def test_labels_stay_in_sight_however_far_the_columns_are_scrolled(
    open_window: Callable[..., User],
) -> None:
    scenario = read_scenario(resource("scenarios/ridge-weekend.toml"))
    for index in (0, 1):
        scenario = with_station_duplicated(scenario, index)
    user = open_window(scenario)
    view = user.window.sheet
    before = view.verticalHeader().grab().toImage()
    user.window.sides.dragged_share = 0.25
    user.window.resize(1365, 768)
    user.let_appear()
    bar = view.horizontalScrollBar()
    assert bar.maximum() > 0
    bar.setValue(bar.maximum())
    user.let_appear()
    assert view.visualRect(view.sheet.index(0, 3)).right() <= view.viewport().width()
    labels = view.verticalHeader()
    assert labels.mapTo(view, QPoint(0, 0)).x() == 0
    assert labels.grab(QRect(0, 0, 80, 80)).toImage() == before.copy(0, 0, 80, 80)


def test_a_part_opened_at_the_lower_edge_scrolls_its_rows_into_sight(user: User) -> None:
    view = user.window.sheet
    user.window.resize(1366, 470)
    user.let_appear()
    seen = view.viewport().height()
    place = max(
        at for at, row in enumerate(view.sheet.rows)
        if row.is_open is not None and view.visualRect(view.sheet.index(at, 0)).bottom() < seen
    )  # fmt: skip
    key = view.sheet.rows[place].key
    view.setCurrentIndex(view.sheet.index(place, 0))
    QTest.keyClick(view, Qt.Key.Key_Space)
    user.let_appear()
    within = [at for at, row in enumerate(view.sheet.rows) if row.key.startswith(f"{key}.")]
    assert len(within) > 3
    last = view.visualRect(view.sheet.index(within[-1], 0))
    first = view.visualRect(view.sheet.index(place, 0))
    assert first.top() >= 0
    assert last.bottom() <= seen or first.top() < first.height()


def test_dragging_a_number_makes_it_larger_after_four_pixels(user: User) -> None:
    user.open(1, "Battery")
    at = middle(user, "battery.capacity_ah", 1)
    drag(user, at, 3)
    assert stations(user)[0].battery.capacity_ah == 15.0
    drag(user, at, 24)
    assert stations(user)[0].battery.capacity_ah == pytest.approx(19.0)
    assert stations(user)[1].battery.capacity_ah == 15.0
    drag(user, at, -12)
    assert stations(user)[0].battery.capacity_ah == pytest.approx(17.0)
    user.window.document.undo_stack.undo()
    assert stations(user)[0].battery.capacity_ah == pytest.approx(19.0), "a drag is one step"


def test_dragging_with_shift_changes_every_station(user: User) -> None:
    drag(user, middle(user, "panel", 2), -24, SHIFT)
    assert [station.panel.rated_w for station in stations(user) if station.panel] == [76.0, 76.0]


def test_a_drag_stops_at_the_bound_of_the_field(user: User) -> None:
    drag(user, middle(user, "start_fraction", 1), 300)
    assert stations(user)[0].start_fraction == 1.0
    assert user.note_under("station 1, charge at the start") == ""


def wheel(user: User, at: QPoint) -> None:
    port = user.window.focusWidget() or user.window.sheet.viewport()
    place = QPointF(port.mapFromGlobal(user.window.sheet.viewport().mapToGlobal(at)))
    event = QWheelEvent(
        place, port.mapToGlobal(place), QPoint(), QPoint(0, 120), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(port, event)
    user.settle()


def test_the_wheel_and_the_arrows_change_a_number_only_while_it_is_typed(user: User) -> None:
    user.open(1, "Battery")
    user.find(CAPACITY).setFocus()
    at = middle(user, "battery.capacity_ah", 1)
    wheel(user, at)
    assert stations(user)[0].battery.capacity_ah == 15.0
    user.press(Qt.Key.Key_Down)
    user.press(Qt.Key.Key_Up)
    assert stations(user)[0].battery.capacity_ah == 15.0
    assert user.chosen() == CAPACITY
    user.press(Qt.Key.Key_Return)
    wheel(user, at)
    assert stations(user)[0].battery.capacity_ah == 16.0
    user.press(Qt.Key.Key_Up)
    assert stations(user)[0].battery.capacity_ah == 17.0
    user.press(Qt.Key.Key_Up, SHIFT)
    assert [station.battery.capacity_ah for station in stations(user)] == [18.0, 18.0]


def test_only_cells_whose_text_changed_are_told_of(user: User) -> None:
    sheet = user.window.sheet.sheet
    user.open(2, "Battery")
    told: list[tuple[str, int, int]] = []
    sheet.dataChanged.connect(
        lambda first, last, _roles: told.append(
            (sheet.rows[first.row()].key, first.column(), last.column())
        )
    )
    user.window.document.edit("stations.1.battery.capacity_ah", 16.0)
    # The first change also makes the stations differ, which the whole row shows.
    assert set(told) == {("battery", 0, 1), ("battery.capacity_ah", 0, 1)}
    told.clear()
    user.window.document.edit("stations.1.battery.capacity_ah", 17.0)
    assert set(told) == {("battery", 1, 1), ("battery.capacity_ah", 1, 1)}


def test_a_line_closes_where_its_part_is_taken_away(user: User) -> None:
    view, document = user.window.sheet, user.window.document
    view.reveal("stations.1.laptop.power_w")
    assert view.begin() is not None
    without = with_values(document.scenario, {"stations.1.laptop": None})
    document.replace("no computer", without)
    assert view.state() != QAbstractItemView.State.EditingState
    assert view.indexWidget(view.currentIndex()) is None
    # The keyboard is back with the sheet; what is typed now meets an empty cell.
    QTest.keyClicks(view, "n")
    user.settle()
    assert document.scenario == without
    document.replace(
        "a computer again", with_values(without, {"stations.1.laptop": Laptop(power_w=20.0)})
    )
    line = view.begin("30")
    assert line is not None
    assert stations(user)[1].laptop == Laptop(power_w=30.0)


def test_what_differs_is_marked(user: User) -> None:
    sheet = user.window.sheet.sheet
    assert sheet.is_differing("radio")
    assert not sheet.is_differing("battery")
    user.window.document.edit("stations.1.battery.own_a", 0.01)
    assert sheet.is_differing("battery"), "a closed slot tells of all its fields"
    user.window.document.undo_stack.undo()
    assert not sheet.is_differing("battery")


def test_a_closed_slot_counts_its_guesses(user: User) -> None:
    before = user.line(1, "Radio")
    assert ", 4 guesses" in before
    user.open(1, "Radio")
    assert "guesses" not in user.line(1, "Radio")
    spoken = [
        plain(str(user.window.sheet.sheet.index(place, 0).data(Qt.ItemDataRole.AccessibleTextRole)))
        for place, row in enumerate(user.window.sheet.sheet.rows)
        if row.key.removeprefix("radio.") in KINDS[0].varied and row.kind == "field"
    ]
    assert sum(", a guess" in each for each in spoken) == 4


def test_held_curves_show_what_was_in_the_cells(user: User) -> None:
    user.window.head.held.click()
    user.window.document.edit("stations.1.battery.capacity_ah", 30.0)
    user.window.document.edit("stations.1.panel", None)
    assert "was 15 Ah" in user.line(2, "Battery")
    assert "was 80 W" in user.line(2, "Panel")
    assert "was" not in user.line(1, "Battery")
    user.window.head.held.click()
    assert "was" not in user.line(2, "Battery")


@pytest.mark.parametrize(
    ("typed", "key", "value"),
    [
        ("850 mA", "radio.receive_a", 0.85),
        ("11 W at 12.8 V", "radio.receive_a", 11 / 12.8),
        ("128 Wh", "battery.capacity_ah", 10.0),
        ("2 lb", "radio.mass_kg", 0.90718474),
        ("8 oz", "radio.mass_kg", 0.22679619),
        ("750 g", "radio.mass_kg", 0.75),
    ],
)
def test_every_unit_at_hand_is_read(user: User, typed: str, key: str, value: float) -> None:
    user.open(1, "Radio")
    user.open(1, "Battery")
    user.window.sheet.choose(f"stations.0.{key}")
    user.window.sheet.setFocus()
    QTest.keyClicks(user.window.sheet, typed[:1])
    QTest.keyClicks(user.window.focusWidget(), typed[1:])
    user.press(Qt.Key.Key_Return)
    part, name = key.split(".")
    assert getattr(getattr(stations(user)[0], part), name) == pytest.approx(value)


def test_the_table_is_copied_as_text_and_as_csv(user: User, qapp: QApplication) -> None:
    user.cell_menu(1, "Battery", "Copy the table as text")
    lines = qapp.clipboard().text().splitlines()
    assert lines[0].split("\t")[1:] == ["A: Low power and amplifier", "B: One box, 100 W"]
    assert [plain(each) for each in lines if each.startswith("Battery")] == [
        "Battery\t15 Ah\t15 Ah"
    ]
    user.cell_menu(1, "Battery", "Copy the table as CSV")
    rows = list(csv.reader(io.StringIO(qapp.clipboard().text())))
    assert [plain(cell) for cell in next(row for row in rows if row[0] == "Panel")] == [
        "Panel", "80 W", "80 W",
    ]  # fmt: skip


def test_a_sentence_of_all_stations_is_said_once(open_window: Callable[..., User]) -> None:
    user = open_window(read_scenario(resource("scenarios/ridge-weekend.toml")))
    user.open(1, "Battery")
    notes = [row for row in user.window.sheet.sheet.rows if row.kind == "note"]
    assert notes
    words = [
        user.window.sheet.sheet.words_of(user.window.sheet.sheet.place_of(n.key))[1] for n in notes
    ]
    assert any(each.startswith("• A, B: ") for each in words)


def test_many_cautions_open_and_the_first_is_seen(user: User) -> None:
    view = user.window.sheet
    user.click_label(view.sheet.place_of("battery"))
    place = view.sheet.place_of("battery caution")
    assert view.sheet.words_of(place)[1].startswith("⚠ Fuse at the battery")
    view.setFocus()
    view.setCurrentIndex(view.sheet.index(place, 0))
    height_px = view.rowHeight(place)
    user.press(Qt.Key.Key_Space)
    assert view.rowHeight(place) > 4 * height_px
    words = view.sheet.words_of(view.sheet.place_of("battery caution"))[1]
    assert "Never bypass a protection that has tripped." in words


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_field_of_a_part_has_a_row(kind: object) -> None:
    first, rest = fields_of(kind.slot)  # type: ignore[attr-defined]
    declared = {
        info.alias or name
        for name, info in kind.part.model_fields.items()  # type: ignore[attr-defined]
    }
    assert {*first, *rest} == declared - {"sources"}
    assert len(first) + len(rest) == len({*first, *rest})


def test_an_empty_cell_offers_what_its_menu_says(user: User) -> None:
    """Nothing of a part that a station has not got can be copied or removed."""
    view = user.window.sheet
    index = view.sheet.index(view.sheet.place_of("amplifier"), 1)
    row, cell = view.sheet.rows[index.row()], view.sheet.cell(index.row(), 1)
    view.doing.offer_all(row, 1, cell, QPoint(0, 0))
    texts = [action.text() for action in view.doing.menu.actions() if action.text()]
    view.doing.menu.close()
    assert texts == ["Choose from the library…", "Copy the table as text", "Copy the table as CSV"]


def test_rows_of_a_list_are_as_many_as_the_longest(open_window: Callable[..., User]) -> None:
    scenario: Scenario = read_scenario(resource("scenarios/ridge-weekend.toml"))
    user = open_window(scenario)
    user.open(1, "Leads")
    entries = [row.key for row in user.window.sheet.sheet.rows if row.kind == "entry"]
    assert len(entries) == max(len(station.leads) for station in scenario.stations)
