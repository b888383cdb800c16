"""The odds: the sentences follow the trial trips, and those follow the scenario."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from numpy.random import default_rng
from pytestqt.qtbot import QtBot

from app.sizing.sureness import RANKED, SEED, SurenessView
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.odds.monte_carlo import spread
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


def test_bands_odds_and_ranking_are_those_of_the_draws(
    view: SurenessView, qtbot: QtBot, weak: Scenario
) -> None:
    show(view, qtbot, weak)
    found = spread(weak, default_rng(SEED))
    assert f"small: {found.until_words(0, 'receive')}." in view.ends.text().splitlines()
    odds = found.odds(0, 1)
    assert odds is not None
    assert view.odds.text() == odds.words("A", "B")
    first = found.measure_next()
    assert first is not None
    ranking = view.ranking.text().splitlines()
    assert 1 <= len(ranking) <= RANKED
    owner = weak.stations[int(first.path.split(".")[1])].name
    assert ranking[0].startswith("1. ")
    assert owner in ranking[0]


def test_a_number_that_was_measured_is_not_asked_for_again(
    view: SurenessView, qtbot: QtBot, weak: Scenario
) -> None:
    show(view, qtbot, weak)
    before = view.ranking.text().splitlines()[0][3:]
    found = spread(weak, default_rng(SEED)).measure_next()
    assert found is not None
    part, _, field = found.path.rpartition(".")
    source = {"from": "measured", "on": date(2027, 3, 1), "spread": 0.02}
    measured = with_value(weak, f"{part}.sources.{field}", source)
    show(view, qtbot, measured)
    assert view.ranking.text()
    assert before not in view.ranking.text()


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
