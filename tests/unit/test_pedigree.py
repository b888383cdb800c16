"""The share of a run's Ah that rests on guesses."""

from __future__ import annotations

from datetime import date

import pytest

from model.engine.comparison import simulate
from model.engine.run import StationRun
from model.results.provenance import bases, guess_share, guessed_ah
from model.scenario.declare import Source
from model.scenario.scenario import Block, Day, Scenario, Site
from model.scenario.station import (
    Amplifier,
    Battery,
    Controller,
    Extra,
    Laptop,
    Part,
    Radio,
    Station,
    Tuner,
)

MEASURED = Source.model_validate({"from": "measured"})
PLAN = (
    Block(start="00:00", end="12:00", activity="watch"),
    Block(start="12:00", end="13:00", activity="fm", rf_w=25.0, transmit_share=0.5),
    Block(start="13:00", end="14:00", activity="slots", rf_w=4.0, transmit_share=0.25),
)


def with_measured(part: Part, *fields: str) -> Part:
    return part.model_copy(update={"sources": tuple((field, MEASURED) for field in fields)})


def kit(**changes: object) -> Station:
    parts = {
        "radio": Radio(receive_a=0.2, off_a=0.01, key_down=((1.0, 1.0), (4.0, 1.5))),
        "amplifier": Amplifier(key_down=((4.0, 3.0), (25.0, 6.0)), standby_a=0.05, operate_a=0.3,
                               in_session="operate", out_of_session="standby"),
        "tuner": Tuner(idle_a=0.01, tuning_a=0.5, tuning_s=6.0),
        "laptop": Laptop(power_w=10.0, sleep_w=1.0, converter_efficiency=0.9, runs="data"),
        "battery": Battery(chemistry="LFP", capacity_ah=100.0),
        "controller": Controller(kind="mppt", own_a=0.02),
        "extras": (Extra(name="light", power_w=2.0), Extra(name="meter", current_a=0.01)),
    }  # fmt: skip
    return Station(name="A", **(parts | changes))


def run(station: Station) -> StationRun:
    scenario = Scenario(
        site=Site(name="here", latitude_deg=45.0, longitude_deg=0.0),
        day=Day(date=date(2027, 3, 1)),
        plan=PLAN,
        stations=(station,),
    )
    [done] = simulate(scenario).runs
    assert done is not None
    return done


def test_every_ah_has_exactly_one_basis() -> None:
    done = run(kit())
    rows = bases(done)
    assert sum(row.ah for row in rows) == pytest.approx(done.sums.load_ah, rel=1e-9)
    for use, ah in done.sums.by_use_ah.items():
        assert sum(row.ah for row in rows if row.use == use) == pytest.approx(ah, abs=1e-8)
    assert [row.ah for row in rows] == sorted((row.ah for row in rows), reverse=True)


def test_all_guesses_are_the_whole_and_none_are_nothing() -> None:
    assert guess_share(run(kit())) == pytest.approx(1.0)
    station = kit()
    everything = {
        "radio": with_measured(station.radio, "receive_a", "off_a", "key_down"),
        "amplifier": with_measured(station.amplifier, "key_down", "standby_a", "operate_a"),
        "tuner": with_measured(station.tuner, "idle_a", "tuning_a", "tuning_s"),
        "laptop": with_measured(station.laptop, "power_w", "sleep_w", "converter_efficiency",
                                "converter_idle_a"),
        "controller": with_measured(station.controller, "own_a"),
        "extras": (with_measured(station.extras[0], "power_w"),
                   with_measured(station.extras[1], "current_a")),
    }  # fmt: skip
    assert guess_share(run(kit(**everything))) == 0.0


def test_a_measured_receive_current_takes_its_own_ah_off_the_guesses() -> None:
    # Listening: 12 h of watch, half of the hour of fm, three quarters of the hour of slots.
    receive_ah = 0.2 * (12 + 0.5 + 0.75)
    done = run(kit(radio=with_measured(kit().radio, "receive_a")))
    assert guessed_ah(done)["receive"] == 0.0
    expected = 1 - receive_ah / done.sums.load_ah
    assert guess_share(done) == pytest.approx(expected, rel=1e-6)


def test_an_amplifier_at_rest_rests_on_the_state_it_was_left_in() -> None:
    # Operate between transmissions of its own hour; standby in 13 more; unplanned hours are off.
    rows = {row.paths: row.ah for row in bases(run(kit()))}
    assert rows[("amplifier.operate_a",)] == pytest.approx(0.3 * 0.5, rel=1e-6)
    assert rows[("amplifier.standby_a",)] == pytest.approx(0.05 * 13, rel=1e-6)


def test_sending_rests_on_the_laws_of_radio_and_amplifier() -> None:
    # fm sends without pause. In the hour at 25 W through 10 dB the radio works at 2.5 W; its law
    # through (1, 1.0) and (4, 1.5) is 0.5 + 0.5*sqrt(P). In the hour at 4 W it works alone, slots
    # being sent without pause too.
    rows = {row.paths: row.ah for row in bases(run(kit()))}
    alone_ah = 0.25 * (0.5 + 0.5 * 2.0)
    driving_ah = 0.5 * (0.5 + 0.5 * 2.5**0.5)
    assert rows[("radio.key_down",)] == pytest.approx(driving_ah + alone_ah, rel=1e-6)
    assert rows[("amplifier.key_down",)] == pytest.approx(0.5 * 6.0, rel=1e-6)


def test_one_guess_makes_a_product_a_guess() -> None:
    laptop = with_measured(kit().laptop, "power_w", "sleep_w", "converter_idle_a")
    assert guessed_ah(run(kit(laptop=laptop)))["laptop"] > 0


def test_a_datasheet_is_no_guess() -> None:
    sheet = Source.model_validate({"from": "datasheet"})
    radio = kit().radio.model_copy(update={"sources": (("receive_a", sheet),)})
    row = next(row for row in bases(run(kit(radio=radio))) if row.use == "receive")
    assert row.origin == "datasheet"


def test_a_station_that_draws_nothing_rests_on_nothing() -> None:
    nothing = kit(radio=Radio(receive_a=0.0), amplifier=None, tuner=None, laptop=None,
                  controller=None, extras=())  # fmt: skip
    assert guess_share(run(nothing)) == 0.0
