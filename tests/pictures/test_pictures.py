"""Pictures of the window in many states; none may show cut text or things on one another.

The pictures are kept in ``tests/pictures/out`` to be looked at.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

sys.path.insert(0, str(Path(__file__).parent))
from looking import cut_buttons, cut_labels, cut_numbers, overlaps, ragged_numbers

from app.main_window import MainWindow
from app.resources import resource
from app.state.settings import Settings
from app.state.starting import starter_library
from app.station.changes import with_station_duplicated
from app.widgets.tokens import dark_palette
from model.editing.paths import with_value
from model.files.scenario_file import read_scenario
from model.scenario.scenario import Scenario

OUT = Path(__file__).parent / "out"
SMALL, LARGE = (1280, 800), (1920, 1080)
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


@dataclass(frozen=True)
class View:
    """One state of the window."""

    name: str
    size: tuple[int, int] = SMALL
    dark: bool = False
    percent: int = 100
    us: bool = False
    scenario: Callable[[], Scenario] = ridge
    opened: tuple[tuple[int, str], ...] = ()
    with_place: bool = False
    figure: str = ""
    scrolled: int = 0
    slot_scroll: int = 0
    with_advice: bool = False


VIEWS = (
    View("plain"),
    View("large", LARGE, with_advice=True),
    View("dark", dark=True),
    View("large-dark-150", LARGE, dark=True, percent=150),
    View("150", percent=150),
    View("80", percent=80),
    View("200", percent=200),
    View("large-200", LARGE, percent=200),
    View("us", us=True, opened=((0, "radio"), (1, "leads")), with_place=True),
    View("radio-battery", opened=((0, "radio"), (1, "battery"))),
    View("radio-battery-150", LARGE, percent=150, opened=((0, "radio"), (1, "battery"))),
    View("amplifier-empty", opened=((0, "amplifier"), (1, "amplifier"))),
    View("panel-leads", opened=((0, "panel"), (1, "leads")), slot_scroll=200),
    View("extras-chargers", opened=((0, "extras"), (1, "chargers")), slot_scroll=400),
    View("place", with_place=True),
    View("place-150", LARGE, percent=150, with_place=True),
    View("sum", figure="load_ah", scrolled=10_000),
    View("sum-charge-large", LARGE, figure="receive", scrolled=10_000),
    View("four-fortnight", scenario=four_for_a_fortnight),
    View("four-fortnight-large", LARGE, scenario=four_for_a_fortnight, opened=((0, "radio"),)),
    View("table", scrolled=420),
)


@pytest.fixture
def colours(qapp: QApplication) -> Iterator[QApplication]:
    font, palette = qapp.font(), qapp.palette()
    qapp.setStyle("Fusion")
    yield qapp
    qapp.setFont(font)
    qapp.setPalette(palette)


def shown(view: View, qtbot: QtBot, application: QApplication) -> MainWindow:
    application.setPalette(dark_palette() if view.dark else application.style().standardPalette())
    settings = Settings()
    settings.text_percent, settings.is_us = view.percent, view.us
    window = MainWindow(view.scenario(), starter_library(), settings)
    qtbot.addWidget(window)
    window.resize(*view.size)
    window.show()
    for index, slot in view.opened:
        column = window.stations.columns[index]
        fold = next(fold for fold in column.folds if fold.path.endswith(slot))
        fold.set_open(True)
        for entry in getattr(fold, "_entries", [])[:1]:
            entry.set_open(True)
    if view.with_place:
        window.place.open_more()
    if view.figure:
        window.verdict.sum.open_figure(view.figure, 1)
    session = window.session
    qtbot.waitUntil(
        lambda: session.is_settled if view.with_advice else not session.is_waiting_for_words,
        timeout=60_000,
    )
    for _ in range(5):
        QCoreApplication.processEvents()
    window.side.verticalScrollBar().setValue(view.scrolled)
    window.stations.verticalScrollBar().setValue(view.slot_scroll)
    QCoreApplication.processEvents()
    return window


@pytest.mark.parametrize("view", VIEWS, ids=[view.name for view in VIEWS])
def test_nothing_is_cut_and_nothing_lies_on_another(
    view: View, qtbot: QtBot, colours: QApplication
) -> None:
    window = shown(view, qtbot, colours)
    OUT.mkdir(exist_ok=True)
    assert window.grab().save(str(OUT / f"{view.name}.png"))
    faults = {
        "cut labels": cut_labels(window),
        "cut buttons": cut_buttons(window),
        "cut numbers": cut_numbers(window),
        "overlaps": overlaps(window),
        "ragged numbers": ragged_numbers(window),
        "size": [] if (window.width(), window.height()) == view.size else [str(window.size())],
    }
    assert {kind: found for kind, found in faults.items() if found} == {}
