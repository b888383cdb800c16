"""Pictures of the window in many states; none may show cut text or things on one another.

The pictures are kept in ``tests/pictures/out`` to be looked at.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import cycle, product
from pathlib import Path
from time import monotonic

import pytest
from PySide6.QtCore import QCoreApplication, QPoint
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

sys.path.insert(0, str(Path(__file__).parent))
from looking import (
    cut_buttons,
    cut_cells,
    cut_labels,
    cut_numbers,
    out_of_reach,
    overlaps,
    sticking_out,
)
from looking_day import faint_words, words_on_words

from app.main_window import MainWindow
from app.pages.day.lens import charge_height_px
from app.resources import resource
from app.state.settings import Settings
from app.state.starting import starter_library
from app.work.jobs import Jobs
from model.editing.edit_stations import with_station_duplicated
from model.editing.paths import with_value
from model.files.scenario_file import read_scenario
from model.scenario.scenario import Scenario

OUT = Path(__file__).parent / "out"
LONGEST = "Wide and wonderful station with a name as long as anybody could wish for it"


def ridge() -> Scenario:
    return read_scenario(resource("scenarios/ridge-weekend.toml"))


def four_for_a_fortnight() -> Scenario:
    """Four stations with the longest names for fourteen days."""
    scenario = ridge()
    day = scenario.day.model_copy(
        update={"days": 14, "sky": ("mixed",), "low_c": (-12.5,), "high_c": (3.0,)}
    )
    scenario = with_value(scenario, "day", day)
    scenario = with_station_duplicated(with_station_duplicated(scenario, 0), 1)
    for index in range(4):
        scenario = with_value(scenario, f"stations.{index}.name", f"{LONGEST} {index + 1}")
        scenario = with_value(scenario, f"stations.{index}.radio.name", LONGEST)
    return with_value(scenario, "site.name", LONGEST)


def nothing(_window: MainWindow) -> None:
    """Leave the window as it is."""


def edit_a_block(window: MainWindow) -> None:
    window.plan.choose(1)
    window.plan.edit()


def point(window: MainWindow) -> None:
    span, chart = window.day.chart.span, window.day.chart
    place = QPoint(round(span.left_px + 0.3 * span.width_px), chart.height() // 3)
    QTest.mouseMove(chart.viewport(), place)


def ask_now(window: MainWindow) -> None:
    window.head.now.click()


def hold(window: MainWindow) -> None:
    window.head.held.click()
    window.document.edit("stations.1.battery.capacity_ah", 30.0)
    window.session.run_now()


def zoom(window: MainWindow) -> None:
    window.day.chart.show_stretch(600.0, 1500.0)


def tell_marks(window: MainWindow) -> None:
    window.day.show_key()


def read_reports(window: MainWindow) -> None:
    page = window.lenses.made["signals"].view
    page.reports.work.open(resource("scenarios/reports-example.csv"), {})
    wait_until(lambda: page.reports.answers is not None)
    QCoreApplication.processEvents()
    page.signals.area.ensureWidgetVisible(page.reports.said)


def wait_until(is_done: Callable[[], bool]) -> None:
    until = monotonic() + 60.0
    while not is_done() and monotonic() < until:
        QCoreApplication.processEvents()
    assert is_done()


@dataclass(frozen=True)
class State:
    """What is done at the window before it is looked at."""

    lens: str = "day"
    us: bool = False
    scenario: Callable[[], Scenario] = ridge
    opened: tuple[str, ...] = ()
    with_place: bool = False
    figure: str = ""
    slot_scroll: int = 0
    lens_scroll: int = 0
    with_advice: bool = False
    with_work: bool = False
    deed: Callable[[MainWindow], object] = nothing


SIZES = ((1024, 600), (1366, 768), (1920, 1080), (2560, 1440))
PERCENTS = (100, 150, 200)
STATES = {
    "plain": State(),
    "advice": State(with_advice=True),
    "radio-battery": State(opened=("radio", "battery")),
    "place": State(with_place=True, us=True),
    "amplifier": State(opened=("amplifier", "leads"), slot_scroll=150),
    "sum": State(figure="night_ah"),
    "four": State(scenario=four_for_a_fortnight),
    "plan": State(lens_scroll=10_000, deed=edit_a_block),
    "card": State(deed=point),
    "now": State(deed=ask_now),
    "held": State(deed=hold),
    "zoomed": State(deed=zoom),
    "key": State(deed=tell_marks),
    "odds": State("odds", with_work=True),
    "size": State("size"),
    "wiring": State("wiring", with_work=True),
    "signal": State("signal"),
    "reports": State("signal", deed=read_reports),
    "page": State("page", with_work=True),
    "field": State("field"),
    "parts": State("parts"),
    "us": State(us=True, opened=("panel", "chargers")),
}


@dataclass(frozen=True)
class View:
    """One picture: a state in a size, in colours and at a size of text."""

    state: str
    size: tuple[int, int]
    dark: bool
    percent: int

    @property
    def name(self) -> str:
        colours = "dark" if self.dark else "light"
        return f"{self.state}-{self.size[0]}-{colours}-{self.percent}"


def views() -> Iterator[View]:
    """Yield each size, colours and size of text together once, the states dealt out over them.

    A state comes at most twice, the day as it first opens at every size, light and dark.
    """
    names = cycle(STATES)
    for size, dark, percent in product(SIZES, (False, True), PERCENTS):
        yield View(next(names), size, dark, percent)
    for size, dark in product(SIZES, (False, True)):
        yield View("day", size, dark, 100)


@pytest.fixture
def colours(qapp: QApplication) -> Iterator[QApplication]:
    font, palette = qapp.font(), qapp.palette()
    qapp.setStyle("Fusion")
    yield qapp
    qapp.setFont(font)
    qapp.setPalette(palette)


def shown(view: View, qtbot: QtBot) -> MainWindow:
    state = STATES.get(view.state, STATES["plain"])
    settings = Settings()
    settings.theme = "dark" if view.dark else "light"
    settings.text_percent, settings.is_us = view.percent, state.us
    window = MainWindow(state.scenario(), starter_library(), settings)
    # Nobody is asked about what was changed for a picture.
    qtbot.addWidget(window, before_close_func=lambda each: each.document.undo_stack.setClean())
    window.resize(*view.size)
    window.show()
    QCoreApplication.processEvents()
    window.lenses.look_at(state.lens)
    for slot in state.opened:
        for key in (slot, f"{slot}.0"):
            window.sheet.sheet.set_open(key, True)
    if state.opened or state.figure:
        window.sides.open_drawer()
    if state.with_place:
        window.place_sheet.open_sheet()
    settle(window, state, qtbot)
    if state.figure:
        table = window.verdict.results
        row = [found.key for found in table.rows].index(state.figure)
        table.activated.emit(table.model().index(row, 2))
    state.deed(window)
    window.sheet.verticalScrollBar().setValue(state.slot_scroll)
    window.day_lens.area.verticalScrollBar().setValue(state.lens_scroll)
    QCoreApplication.processEvents()
    return window


def settle(window: MainWindow, state: State, qtbot: QtBot) -> None:
    session = window.session
    qtbot.waitUntil(
        lambda: session.is_settled if state.with_advice else not session.is_waiting_for_words,
        timeout=60_000,
    )
    for lens in window.lenses.made.values():
        qtbot.waitUntil(lambda each=lens: not each._feed.is_waiting, timeout=60_000)
        if state.with_work:
            jobs = lens.findChildren(Jobs)
            qtbot.waitUntil(lambda all_=jobs: not any(e.is_running for e in all_), timeout=90_000)
    for _ in range(5):
        QCoreApplication.processEvents()


VIEWS = tuple(views())


@pytest.mark.parametrize("view", VIEWS, ids=[view.name for view in VIEWS])
def test_nothing_is_cut_and_nothing_lies_on_another(
    view: View, qtbot: QtBot, colours: QApplication
) -> None:
    window = shown(view, qtbot)
    OUT.mkdir(exist_ok=True)
    assert window.grab().save(str(OUT / f"{view.name}.png"))
    faults = {
        "cut labels": cut_labels(window),
        "cut buttons": cut_buttons(window),
        "cut numbers": cut_numbers(window),
        "overlaps": overlaps(window),
        "sticking out": sticking_out(window),
        "out of reach": out_of_reach(window),
        "cut cells": cut_cells(window),
        "size": larger_than_its_screen(window, view.size),
        "charge": low_charge(window, view),
        "words on words": words_on_words(window) if window.lenses.current == "day" else [],
        "faint words": faint_words(window),
    }
    assert {kind: found for kind, found in faults.items() if found} == {}


def larger_than_its_screen(window: MainWindow, size: tuple[int, int]) -> list[str]:
    """Say so where the window does not keep to the size of its screen."""
    least = window.minimumSizeHint()
    fits = (window.width(), window.height()) == size
    return [] if fits and least.width() <= size[0] and least.height() <= size[1] else [str(least)]


def low_charge(window: MainWindow, view: View) -> list[str]:
    """Say so where the pane of the charge is lower than its share of the window."""
    if window.lenses.current != "day":
        return []
    least_px = charge_height_px(window.size(), view.percent / 100)
    height_px = window.day.chart.charge.place.height()
    return [] if height_px >= least_px else [f"{height_px} instead of {least_px} px"]
