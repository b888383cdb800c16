"""The results beside the parts: each figure is that of the run, and its sum comes to it.

Sums are arithmetic, not facts of the trade. The night is the one that the headline counts from: the
sun 6 degrees down or more, the civil twilight of almanacs.
"""

from __future__ import annotations

from datetime import UTC, date, timedelta

import numpy as np
import pytest

from app.resources import resource
from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.engine.now import comparison_from_now
from model.files.scenario_file import read_scenario
from model.odds.odds import Odds, odds
from model.odds.odds_results import odds_sum, with_odds
from model.scenario.scenario import Scenario
from model.support.figures import duration
from model.verdict.explain_figure import figure_sum
from model.verdict.results import NOTHING, UNKNOWN, Result, results
from model.verdict.stretches import longest_draw, off_air
from model.verdict.table import verdict
from tests.plain import plain

SCENARIOS = sorted(resource("scenarios").glob("*.toml"))
KEYS = (
    "rf_w", "full_power", "receive", "off_air", "lowest_fraction", "night_ah",
    "transmit_volts.lowest", "mass_kg", "guess_share",
)  # fmt: skip


@pytest.fixture(scope="module", params=SCENARIOS, ids=lambda path: path.stem)
def comparison(request: pytest.FixtureRequest) -> Comparison:
    return simulate(read_scenario(request.param))


@pytest.fixture(scope="module")
def ridge() -> Scenario:
    return read_scenario(resource("scenarios/ridge-weekend.toml"))


@pytest.fixture(scope="module")
def ridge_odds(ridge: Scenario) -> Odds:
    return odds(ridge, 60)


def row_of(rows: tuple[Result, ...], key: str) -> Result:
    return next(row for row in rows if row.key == key)


def texts(rows: tuple[Result, ...], key: str) -> list[str]:
    return [plain(figure.text) for figure in row_of(rows, key).figures]


def test_the_rows_stand_in_their_order_with_a_figure_for_each_station(
    comparison: Comparison,
) -> None:
    rows = results(comparison)
    assert tuple(row.key for row in rows) == KEYS
    assert {len(row.figures) for row in rows} == {len(comparison.runs)}


def test_labels_are_short_enough_for_a_narrow_column(comparison: Comparison) -> None:
    rows = with_odds(results(comparison), None, comparison.scenario, UNKNOWN)
    assert [row.label for row in rows if len(row.label) > 16] == []


def test_an_end_reads_as_in_the_comparison_table(comparison: Comparison) -> None:
    table = {row.key: row for row in verdict(comparison).rows}
    for key in ("full_power", "receive"):
        for figure, text in zip(
            row_of(results(comparison), key).figures, table[key].texts, strict=True
        ):
            if figure.is_end:
                assert plain(figure.text) == plain(text)
            elif text == "lasts":
                assert figure.text.startswith("to ")
            else:
                assert figure.text == text


def test_time_off_the_air_is_the_steps_without_the_receiver(comparison: Comparison) -> None:
    for run, text in zip(comparison.runs, texts(results(comparison), "off_air"), strict=True):
        assert run is not None
        off_h = float(np.count_nonzero(~run.abilities.receive)) * run.clock.step_h
        spans = off_air(run, about=False)
        assert sum(span.hours for span in spans) == pytest.approx(off_h, abs=1e-9)
        assert (text == "never") == (off_h == 0.0)
        if spans:
            assert spans[0].begin == run.clocks.receive.until
            assert text.startswith("≈") or text == plain(duration(off_h))


def test_a_night_is_dark_and_its_uses_add_up(comparison: Comparison) -> None:
    for index, run in enumerate(comparison.runs):
        assert run is not None
        night = longest_draw(run)
        assert night is not None
        drawn = run.flow.load_a[night.first_step : night.end_step]
        assert night.ah == pytest.approx(float(drawn.sum()) * run.clock.step_h, rel=1e-9)
        # The panel's light ends before the sun is 6 degrees down.
        assert not run.inputs.irradiance_w_m2[night.first_step + 1 : night.end_step - 1].any()
        assert night.by_use_ah[0][1] == max(ah for _, ah in night.by_use_ah)
        found = figure_sum(comparison, index, "night_ah")
        assert found.total is not None
        assert found.total.ah == pytest.approx(night.ah, rel=1e-9)
        assert sum(line.ah or 0.0 for line in found.lines) == pytest.approx(night.ah, rel=1e-9)


def test_the_stretches_off_the_air_add_up_to_their_sum(comparison: Comparison) -> None:
    for index, text in enumerate(texts(results(comparison), "off_air")):
        found = figure_sum(comparison, index, "off_air")
        assert (found.total is None) == (text == "never")
        if found.total is not None:
            assert plain(found.total.factors) == text.removeprefix("≈ ")


def test_a_clock_that_is_put_forward_makes_no_hour_off_the_air() -> None:
    # Central Europe, last Sunday of March 2027: 02:00 is followed by 03:00 (EU directive 2000/84).
    scenario = read_scenario(resource("scenarios/ridge-weekend.toml"))
    scenario = with_value(scenario, "site.timezone", "Europe/Berlin")
    scenario = with_value(scenario, "day.date", date(2027, 3, 27))
    comparison = simulate(scenario)
    run = comparison.runs[1]
    assert run is not None
    spans = off_air(run, about=False)
    assert spans
    for span in spans:
        elapsed = span.end.astimezone(UTC) - span.begin.astimezone(UTC)
        assert span.hours == elapsed / timedelta(hours=1)
    night = longest_draw(run)
    assert night is not None
    steps = night.end_step - night.first_step
    assert night.night.hours == pytest.approx(steps * run.clock.step_h, abs=2 / 60)
    found = figure_sum(comparison, 1, "lowest_fraction")
    assert found.total is not None
    assert found.total.ah == pytest.approx(run.lowest.value * run.inputs.bounds.full_ah)


def test_from_a_reading_on_the_charge_is_followed_from_what_was_read(ridge: Scenario) -> None:
    planned = simulate(ridge)
    at = planned.clock.at(14 * 60)
    read = comparison_from_now(planned, 1, at, 6.0)
    run = read.runs[1]
    assert run is not None
    found = figure_sum(read, 1, "lowest_fraction")
    assert found.lines[0].ah == pytest.approx(6.0)
    assert found.total is not None
    full_ah = run.inputs.bounds.full_ah
    assert sum(line.ah or 0.0 for line in found.lines) == pytest.approx(
        found.total.ah, abs=1e-7 * full_ah
    )
    night = longest_draw(run)
    assert night is not None
    assert night.night.begin >= at
    assert texts(results(read), "receive")[1] != texts(results(planned), "receive")[1]


def test_unequal_power_is_said_in_decibels(ridge: Scenario) -> None:
    # 10 log10(100/10) = 10 dB by the definition of the decibel (IEC 60027-3).
    assert {figure.note for figure in row_of(results(simulate(ridge)), "rf_w").figures} == {""}
    changed = with_value(ridge, "stations.0.radio.rf_max_w", 10.0)
    changed = with_value(changed, "stations.0.amplifier", None)
    figures = row_of(results(simulate(changed)), "rf_w").figures
    assert [plain(figure.words) for figure in figures] == ["10 W", "100 W, +10 dB"]


def test_a_station_that_is_not_run_has_no_figures_but_its_mass(ridge: Scenario) -> None:
    rows = with_odds(
        results(Comparison(ridge, (None, simulate(ridge).runs[1]))), None, ridge, NOTHING
    )
    given = {row.key for row in rows if row.figures[0].text != NOTHING}
    assert given == {"rf_w", "mass_kg"}


def test_odds_stand_after_the_charge_and_are_those_of_the_trips(
    ridge: Scenario, ridge_odds: Odds
) -> None:
    rows = with_odds(results(simulate(ridge)), ridge_odds, ridge, UNKNOWN)
    keys = [row.key for row in rows]
    assert keys[keys.index("lowest_fraction") :][1:3] == ["odds.receive", "odds.reserve"]
    assert len(rows) == len(KEYS) + 2
    row = row_of(rows, "odds.receive")
    for index, (figure, station) in enumerate(zip(row.figures, ridge_odds.stations, strict=True)):
        assert station is not None
        kept = int(np.isinf(station.receive_end_h).sum())
        assert odds_sum(ridge_odds, ridge, index, row.key).lines[0].factors == f"{kept} of 60"
        assert not figure.is_old
        # Ten of ten and none of ten are never said.
        assert figure.text.removesuffix(" in 10") not in ("0", "10")


def test_odds_that_are_not_known_are_not_made_up(ridge: Scenario, ridge_odds: Odds) -> None:
    comparison = simulate(ridge)
    assert set(texts(with_odds(results(comparison), None, ridge, UNKNOWN), "odds.reserve")) == {
        UNKNOWN
    }
    assert odds_sum(None, ridge, 0, "odds.reserve").lines == ()
    other = with_value(ridge, "stations.0.battery.capacity_ah", 30.0)
    old = row_of(with_odds(results(simulate(other)), ridge_odds, other, UNKNOWN), "odds.receive")
    assert all(figure.is_old for figure in old.figures)
    assert "before the last change" in odds_sum(ridge_odds, other, 0, "odds.receive").title
    one = ridge.model_copy(update={"stations": ridge.stations[:1]})
    fewer = with_odds(results(simulate(one)), ridge_odds, one, UNKNOWN)
    assert texts(fewer, "odds.receive") == [UNKNOWN]
