"""Four stations over fourteen days, the largest text, small screens, the keyboard alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from day_scenes import four_stations, scene
from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QSize, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QTableView,
    QVBoxLayout,
    QWidget,
)
from pytestqt.qtbot import QtBot
from user import User

from app.classroom.window import ClassroomWindow
from app.pages.kit_page.page import KitPage
from app.state.display import Display
from app.state.settings import Settings
from app.widgets.fitting import FRAME_PX, TITLE_PX, fit_in
from app.widgets.flow import FlowLayout
from app.widgets.in_sight import InSight
from model.scenario.scenario import Scenario

# What a screen of 1366 x 768 leaves for a window with its title and frame. [px]
INSIDE = (1350, 724)
BACK = (Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)


def long_trip() -> Scenario:
    """Return four stations over fourteen days."""
    two_days = scene(*four_stations())
    day = two_days.day.model_copy(update={"days": 14})
    return two_days.model_copy(update={"day": day})


@pytest.fixture
def large(open_window: Callable[..., User]) -> User:
    """A person before four stations over fourteen days, in the largest text."""
    user = open_window(long_trip())
    user.window.display.set_text_percent(200)
    user.window.resize(*INSIDE)
    # What the foot says of it goes by itself.
    user.window.foot.say("")
    user.let_appear()
    return user


def in_sight(widget: QWidget, place: QRect | None = None) -> bool:
    """Whether a place in a widget, or all of it, is seen in every area around it."""
    shown = QRect(place or widget.rect())
    around: QWidget | None = widget
    while around is not None and not around.isWindow():
        if not around.isVisible() or not around.rect().contains(shown):
            return False
        shown.translate(around.pos())
        around = around.parentWidget()
    return around is not None and around.rect().contains(shown)


def cell_in_sight(table: QTableView) -> bool:
    return in_sight(table.viewport(), table.visualRect(table.currentIndex()))


def test_the_dates_under_the_plan_are_in_sight_and_each_is_told_apart(large: User) -> None:
    canvas = large.window.plan.canvas
    labels = canvas.ruler.day_labels()
    texts = [text for _, text in labels]
    assert len(texts) >= 14
    assert len(set(texts)) == len(texts)
    low = max(box.bottom() for box, _ in labels)
    corner = canvas.height() - canvas.ruler.height_px()
    dates = QRect(0, round(corner), canvas.width(), round(low))
    assert in_sight(canvas, dates)
    assert large.window.day.chart.charge.place.height() >= 200


def test_the_open_drawer_shows_more_parts_than_results_need(large: User) -> None:
    large.choose("Go", "Stations")
    left = large.window.left
    row_px = large.window.sheet.verticalHeader().defaultSectionSize()
    assert large.window.sheet.height() >= 9 * row_px
    assert left.area.height() >= 0.39 * left.height()


def test_the_results_and_the_plan_come_into_sight_with_the_keyboard(large: User) -> None:
    large.choose("Go", "Results")
    results = large.window.verdict.results
    for _ in range(len(results.rows)):
        QTest.keyClick(results, Qt.Key.Key_Down)
        assert cell_in_sight(results)
    assert results.currentIndex().row() == len(results.rows) - 1
    # What the drawer covers cannot have the keyboard.
    large.choose("Go", "Plan")
    assert large.window.plan.canvas.hasFocus()
    assert not large.window.sides.is_left_seen


def passed(first: QWidget, key: Qt.Key, modifier: Qt.KeyboardModifier) -> set[QWidget]:
    """Return what a key passes until it comes round."""
    first.setFocus()
    found: set[QWidget] = set()
    for _ in range(120):
        focused = QApplication.focusWidget()
        assert focused is not None
        QTest.keyClick(focused, key, modifier)
        new = QApplication.focusWidget()
        assert new is not None
        assert isinstance(new, QTableView | QPlainTextEdit | QScrollArea) or in_sight(new)
        if new is first:
            break
        found.add(new)
    return found


def test_tab_passes_everything_that_back_passes_and_all_of_it_in_sight(large: User) -> None:
    tab = (Qt.Key.Key_Tab, Qt.KeyboardModifier.NoModifier)
    head, lenses = large.window.head, large.window.lenses
    lenses.class_button.setFocus()
    QTest.keyClick(lenses.class_button, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is head.now
    for key in ("wiring", "page"):
        large.window.commands[f"lens.{key}"].trigger()
        large.settle()
        on, back = passed(lenses.class_button, *tab), passed(lenses.class_button, *BACK)
        assert on == back
    page = lenses.made["kit_page"].view
    assert isinstance(page, KitPage)
    assert {page.station, page.paper, page.results, page.log, page.cover} <= on


class Windows(QObject):
    """Counts windows that come of their own."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget):
            self.seen += [type(watched).__name__] if watched.isWindow() else []
        return False


def test_a_lens_that_is_first_seen_opens_no_window_and_has_the_keyboard(
    user: User, qapp: QApplication
) -> None:
    windows = Windows()
    qapp.installEventFilter(windows)
    for key in ("odds", "size", "wiring", "signal", "page", "field"):
        user.window.commands[f"lens.{key}"].trigger()
        QApplication.processEvents()
        focused = QApplication.focusWidget()
        assert focused is not None
        assert user.window.lenses.isAncestorOf(focused)
    qapp.removeEventFilter(windows)
    assert windows.seen == []


def test_a_fourth_station_comes_into_sight_with_its_results(
    open_window: Callable[..., User],
) -> None:
    user = open_window(scene(*four_stations()))
    user.window.resize(1024, 600)
    user.let_appear()
    sheet, results = user.window.sheet, user.window.verdict.results
    across, below = sheet.horizontalScrollBar(), results.horizontalScrollBar()
    assert across.maximum() > 0
    user.choose("Go", "Results")
    for _ in range(4):
        QTest.keyClick(results, Qt.Key.Key_Right)
    assert across.value() == below.value() == across.maximum()
    assert cell_in_sight(results)
    under = results.visualRect(results.currentIndex()).x()
    over = sheet.columnViewportPosition(3) + sheet.viewport().x()
    assert under == over
    # The labels stay, and no figure is hidden under them.
    labels = results.childAt(QPoint(4, 4))
    assert labels is not None
    assert labels is not results.viewport()
    QTest.keyClick(results, Qt.Key.Key_Left)
    QTest.keyClick(results, Qt.Key.Key_Left)
    assert results.visualRect(results.currentIndex()).x() >= labels.width()
    user.choose("Go", "Stations")
    for _ in range(4):
        QTest.keyClick(sheet, Qt.Key.Key_Left)
    assert across.value() == below.value() == 0


def test_an_area_scrolls_to_what_the_keyboard_enters_from_outside(qtbot: QtBot) -> None:
    window, inside = QWidget(), QWidget()
    watch = InSight(window)
    column, lines = QVBoxLayout(window), QVBoxLayout(inside)
    button, last, area = QPushButton("out"), QLineEdit(), QScrollArea()
    for _ in range(30):
        lines.addWidget(QPushButton("in"))
    lines.addWidget(last)
    area.setWidget(inside)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    column.addWidget(button)
    column.addWidget(area)
    window.resize(200, 200)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    button.setFocus()
    assert not in_sight(last)
    QTest.keyClick(button, *BACK)
    assert QApplication.focusWidget() is last
    assert in_sight(last)
    assert watch.parent() is window


@pytest.mark.parametrize(("width", "lines"), [(500, 1), (350, 1), (300, 2)])
def test_what_may_be_narrower_stays_in_its_line(qtbot: QtBot, width: int, lines: int) -> None:
    row = QWidget()
    qtbot.addWidget(row)
    flow = FlowLayout(row)
    for wide in (100, 300):
        box = _Wide(wide)
        flow.addWidget(box)
    assert flow.heightForWidth(width) == 20 * lines + 4 * (lines - 1)


class _Wide(QWidget):
    """Wants a width, and takes less."""

    def __init__(self, wide: int) -> None:
        super().__init__()
        self._wide = wide
        policy = self.sizePolicy()
        policy.setHorizontalPolicy(policy.Policy.Maximum)
        self.setSizePolicy(policy)

    def sizeHint(self) -> QSize:
        return QSize(self._wide, 20)


def test_the_class_fits_a_small_screen(qtbot: QtBot, fusion: None) -> None:
    window = ClassroomWindow(Display(Settings()))
    qtbot.addWidget(window)
    window.show()
    window.resize(1008, 540)
    assert window.size().toTuple() == (1008, 540)
    assert all(in_sight(button) for button in window.list_page.buttons.values())
    window.show_my_kit()
    QApplication.processEvents()
    for label in window.kit_page.labels:
        assert label.height() >= label.heightForWidth(label.width())
    window.show_list()
    window.resize(700, 420)
    QApplication.processEvents()
    assert all(in_sight(button) for button in window.list_page.buttons.values())


@pytest.mark.parametrize("size", [(1280, 760), (900, 500)])
def test_a_window_fits_a_small_screen_with_its_frame_and_title(
    qtbot: QtBot, size: tuple[int, int]
) -> None:
    window, free = QWidget(), QRect(0, 0, 1024, 600)
    qtbot.addWidget(window)
    window.resize(*size)
    window.move(40, 300)
    fit_in(window, free)
    # It is moved by the corner of its frame, whose title is above it.
    assert free.contains(QRect(window.pos(), window.size() + QSize(2 * FRAME_PX, TITLE_PX)))
