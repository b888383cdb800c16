"""Offers: each is what its own rerun shows, and none is dangerous."""

from __future__ import annotations

from pathlib import Path

import pytest
import tomli_w

from model.advice.offers import Offer, is_safe, offers
from model.editing.paths import with_value
from model.engine.comparison import Comparison, simulate
from model.files.scenario_file import parse_scenario, read_scenario
from model.library.catalogue import Library
from model.scenario.scenario import Scenario
from model.scenario.station import Panel
from model.verdict.headline import headline
from model.verdict.order import is_guessed
from model.verdict.sentences import said_moment
from model.verdict.table import verdict
from tests.unit.made_kits import made_kit
from tests.unit.scenario_maker import BATTERY, scenario

RIDGE = Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml"
LIBRARY = Library((Panel(name="small", rated_w=30.0, vmp_v=18.0, voc_v=22.0),))


def check(comparison: Comparison, offer: Offer) -> None:
    index = headline(comparison).station
    assert index is not None
    run = simulate(offer.changed).runs[index]
    assert run is not None
    ends = [
        clock.until
        for clock in (run.clocks.full_power, run.clocks.reduced_power, run.clocks.receive)
        if clock.until is not None
    ]
    assert offer.lasts == (not ends)
    assert offer.until == min(ends, default=None)
    # The chip, the table and the headline say one event with one time.
    outcome = "lasts" if not ends else f"until {said_moment(run, min(ends))}"
    assert offer.outcome == outcome


def test_the_ridge_is_offered_its_cure_with_its_price() -> None:
    comparison = simulate(read_scenario(RIDGE))
    found = offers(comparison)
    first = found[0]
    assert (first.group, first.key, first.lasts) == ("fix", "short_watch", True)
    assert first.words == "All: watch 5 min an hour"
    assert first.price == "calls in 55 of 60 min missed"
    assert first.told == "All: watch 5 min an hour, lasts; calls in 55 of 60 min missed"
    for offer in found:
        check(comparison, offer)
    # Ten watts end later, at 04:51, and fix nothing; after the end of B at Sunday 04:11 rain on
    # that day changes nothing, on the day before it does.
    assert all(offer.lasts for offer in found if offer.group == "fix")
    [rain] = [offer for offer in found if offer.key == "rain"]
    assert (rain.words, rain.outcome != "until Sun 04:11") == ("Rain on Sat 17", True)


def test_the_time_of_a_guessed_kit_is_about_and_as_in_the_table() -> None:
    # Everything is a guess and it dies in its first night, whatever the sky of the last day.
    given = scenario(
        day={"days": 2, "start_hour": 18.0},
        plan=({"start": "00:00", "end": "24:00", "activity": "watch"},),
        station={"start_fraction": 1.0, "battery": BATTERY | {"capacity_ah": 6.0}},
    )
    [rain] = [offer for offer in offers(simulate(given)) if offer.key == "rain"]
    assert rain.until is not None
    changed = simulate(rain.changed)
    assert is_guessed(changed.runs[0])
    [row] = [row for row in verdict(changed).rows if row.label == "Receive until"]
    [shown] = row.texts
    assert shown.startswith("≈ ")
    assert rain.outcome == f"until about {shown.removeprefix('≈ ')}"
    # To ten minutes, counted by hand from the minute of the run.
    assert int(shown[-2:]) % 10 == 0
    assert f"{rain.until:%H:%M}" != shown[-5:]


@pytest.mark.parametrize("seed", range(12))
def test_offers_of_made_kits_are_proved_and_safe(seed: int) -> None:
    comparison = simulate(parse_scenario(tomli_w.dumps(made_kit(seed)).encode()))
    before = comparison.scenario
    for offer in offers(comparison, LIBRARY):
        check(comparison, offer)
        for old, new in zip(before.stations, offer.changed.stations, strict=True):
            assert new.reserve_fraction == old.reserve_fraction
            assert new.start_fraction == old.start_fraction
            assert [lead.fuse_a for lead in new.leads] == [lead.fuse_a for lead in old.leads]
            for limit in ("charge_limit_a", "discharge_limit_a", "cutoff_v", "charge_min_c"):
                assert getattr(new.battery, limit) == getattr(old.battery, limit)
            assert (new.controller is None) == (old.controller is None)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("reserve_fraction", 0.1),
        ("start_fraction", 0.99),
        ("leads.0.fuse_a", 40.0),
        ("battery.discharge_limit_a", 60.0),
        ("battery.charge_min_c", -20.0),
        ("battery.cutoff_v", 9.0),
        ("controller", None),
    ],
)
def test_a_dangerous_change_is_not_safe(path: str, value: object) -> None:
    given = with_value(scenario(), "stations.0.start_fraction", 0.9)
    assert is_safe(given, given)
    assert not is_safe(given, with_value(given, f"stations.0.{path}", value))


def keys(given: Scenario) -> set[str]:
    return {offer.key for offer in offers(simulate(given), LIBRARY)}


def test_what_ifs_are_of_what_is_there() -> None:
    assert {"rain", "smaller_panel"} <= keys(scenario())
    bare = keys(scenario(station={"panel": None, "controller": None}))
    assert not bare & {"rain", "smaller_panel", "amplifier_operate"}
