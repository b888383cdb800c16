"""The odds: the sentences follow the trial trips, and those follow the scenario."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.sizing.sureness import DRIVERS_TOLD, SurenessView
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.odds.odds import odds
from model.odds.sentences import (
    COUNTS_TRIPS,
    basis_words,
    driver_words,
    end_words,
    outlasts_words,
    receive_words,
    reserve_words,
)
from model.scenario.scenario import Scenario
from tests.laws.sample_kits import one_box, question, small_kit

WORKED_MS = 120_000


@pytest.fixture(scope="module")
def weak() -> Scenario:
    given = question(small_kit(), one_box(), days=2)
    for index, size in enumerate((8.0, 14.0)):
        given = with_value(given, f"stations.{index}.battery.capacity_ah", size)
        given = with_value(given, f"stations.{index}.panel", None)
    return given


@pytest.fixture
def view(qtbot: QtBot) -> Iterator[SurenessView]:
    shown = SurenessView()
    qtbot.addWidget(shown)
    shown.show()
    yield shown
    shown.stop()


def show(view: SurenessView, qtbot: QtBot, scenario: Scenario) -> None:
    view.show_comparison(simulate(scenario))
    qtbot.waitUntil(lambda: view.is_settled, timeout=WORKED_MS)


def test_rows_ends_and_drivers_are_those_of_the_trips(
    view: SurenessView, qtbot: QtBot, weak: Scenario
) -> None:
    show(view, qtbot, weak)
    found = odds(weak)
    assert view.basis.text() == f"{basis_words(found)} {COUNTS_TRIPS}"
    assert view.receive.text().splitlines() == [receive_words(found, at) for at in (0, 1)]
    assert view.reserve.text().splitlines() == [reserve_words(found, at) for at in (0, 1)]
    assert f"small: {end_words(found, 0)[-1]}." in view.ends.text().splitlines()
    assert view.odds.text() == outlasts_words(found, 0, 1)
    ranking = view.ranking.text().splitlines()
    first = found.stations[0]
    assert first is not None
    assert ranking[0] == f"A, 1: {driver_words(found, first.drivers[0])}."
    assert len(ranking) <= 2 * DRIVERS_TOLD


def test_kits_that_last_are_said_to_last(view: SurenessView, qtbot: QtBot) -> None:
    strong = with_value(question(small_kit()), "stations.0.battery.capacity_ah", 200.0)
    show(view, qtbot, strong)
    assert "no limit is reached in nearly every trial trip" in view.ends.text()
    assert not view.odds.isVisible()


def test_long_draws_tell_how_far_they_are_and_can_be_stopped(
    view: SurenessView, qtbot: QtBot, weak: Scenario
) -> None:
    long = with_value(weak, "day.days", 14)
    shares: list[float] = []
    view._jobs.progressed.connect(lambda _number, share: shares.append(share))
    view.show_comparison(simulate(long))
    qtbot.waitUntil(lambda: view.bar.cancel.isVisible() and len(shares) > 8, timeout=WORKED_MS)
    assert shares == sorted(shares)
    assert 0.0 < shares[-1] < 1.0
    assert view.bar.progress.value() > 0
    view.bar.cancel.click()
    assert view.is_settled
    assert view.bar.says.text() == "Stopped."
    assert not view.ends.isVisible()
    view.bar.again.click()
    qtbot.waitUntil(lambda: view.is_settled, timeout=WORKED_MS)
    assert "receive ends" in view.ends.text()
