"""Signals beside one another, and what the louder one costs."""

from __future__ import annotations

import pytest

from model.engine.comparison import Comparison, simulate
from model.results.budget import power_budget
from model.results.signal_levels import Price, heard, prices
from model.scenario.station import Station
from tests.plain import plain
from tests.unit.scenario_maker import AMPLIFIER, NET, RADIO, SMALL_RADIO, WATCH, scenario


def of_stations(*parts: dict[str, object], rf_w: float = 10.0) -> Comparison:
    plan = (WATCH, NET | {"rf_w": rf_w})
    stations: tuple[Station, ...] = tuple(
        scenario(station=each, plan=plan).stations[0] for each in parts
    )
    return simulate(scenario(plan=plan).model_copy(update={"stations": stations}))


def test_five_against_ten_watts_is_half_an_s_unit() -> None:
    (block,) = heard(of_stations({"radio": SMALL_RADIO}, {"radio": RADIO}))
    small, large = block.signals
    assert (small.rf_w, large.rf_w) == (5.0, 10.0)
    assert large.over_first_db == pytest.approx(3.01, abs=0.01)
    assert large.over_first_s_units == pytest.approx(0.5, abs=0.01)
    assert small.over_first_db == 0.0


def test_amperes_per_watt_are_those_of_the_key_down_current() -> None:
    (block,) = heard(of_stations({"radio": SMALL_RADIO, "amplifier": AMPLIFIER}, rf_w=50.0))
    (signal,) = block.signals
    # 1.69 A for 5 W of drive and 10.3 A in the amplifier.
    assert signal.key_down_a == pytest.approx(11.99)
    assert signal.per_watt_a == pytest.approx(11.99 / 50)


def test_losses_before_the_antenna_take_power_and_gain_gives_signal() -> None:
    lossy = {"tuner": {"loss_db": 1.0}, "antenna": {"feed_loss_db": 2.0, "gain_dbi": 8.15}}
    (block,) = heard(of_stations({}, lossy))
    plain, aimed = block.signals
    assert plain.antenna_w == pytest.approx(10.0)
    assert aimed.antenna_w == pytest.approx(10 / 10**0.3)
    assert aimed.over_first_db == pytest.approx(3.0)


def test_a_receiver_is_not_compared() -> None:
    (block,) = heard(of_stations({"radio": {"receive_a": 0.1}}, {}))
    silent, sends = block.signals
    assert silent.rf_w == silent.per_watt_a == 0.0
    assert sends.over_first_db is None


def test_watch_blocks_are_not_heard() -> None:
    assert heard(simulate(scenario(plan=(WATCH,)))) == ()


def test_the_price_of_a_signal_is_night_ah_and_kilograms() -> None:
    comparison = of_stations(
        {"radio": SMALL_RADIO | {"mass_kg": 0.6}}, {"radio": RADIO | {"mass_kg": 1.5}}
    )
    (price,) = prices(comparison)
    night_ah = [power_budget(run).night_ah for run in comparison.runs if run]
    assert (price.stronger, price.weaker) == (1, 0)
    assert price.night_ah == pytest.approx(night_ah[1] - night_ah[0])
    assert price.more_kg == pytest.approx(0.9)
    assert price.sentence.startswith("3\N{NO-BREAK SPACE}dB, half an S-unit, stronger; ")
    assert price.sentence.endswith(
        " Ah a night on average, 0.9\N{NO-BREAK SPACE}kg more of what has been weighed."
    )


def test_what_nobody_has_weighed_is_not_said_to_weigh_the_same() -> None:
    (price,) = prices(of_stations({"radio": SMALL_RADIO}, {"radio": RADIO}))
    assert price.sentence.endswith("; not all has been weighed.")


def test_the_price_is_told_of_the_stronger_whichever_comes_first() -> None:
    one = {"radio": SMALL_RADIO | {"mass_kg": 0.6}}
    two = {"radio": RADIO | {"mass_kg": 1.5}}
    (forth,), (back,) = prices(of_stations(one, two)), prices(of_stations(two, one))
    assert (back.stronger, back.weaker) == (0, 1)
    assert back.sentence == forth.sentence


def test_words_of_a_price() -> None:
    assert plain(Price(1, 0, 3.0, 2.1, 0.9).sentence) == (
        "3 dB, half an S-unit, stronger; 2.1 Ah more a night on average, 0.9 kg more."
    )
    assert plain(Price(1, 0, 13.0, -1.0, 0.0).sentence) == (
        "13 dB, 2.2 S-units, stronger; 1 Ah less a night on average, the same kg."
    )
