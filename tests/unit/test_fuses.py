"""Fuse advice for leads, and what replacing the table changes."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from model.scenario.station import Lead
from model.station.fuses import BOATS, FuseAdvice, advise, bears_a
from tests.plain import plain
from tests.unit.scenario_maker import BATTERY_LEAD, NET, RADIO_LEAD, WATCH, scenario


def advice_for(**lead: object) -> FuseAdvice:
    given = scenario(station={"leads": (BATTERY_LEAD, RADIO_LEAD | lead)}, plan=(WATCH, NET))
    return advise(given.stations[0], given.plan)[1]


def test_a_fuse_holds_the_key_down_current_with_room() -> None:
    advice = advice_for()
    # 14.5 A at 50 W; 15 A would be loaded to 97 %.
    assert advice.carries_a == pytest.approx(14.5, abs=0.05)
    assert (advice.fuse_a, advice.holds_continuously) == (20.0, True)
    assert advice.fault == ""


def test_a_fuse_never_exceeds_what_the_conductor_bears() -> None:
    advice = advice_for(awg=16)
    assert (advice.fuse_a, advice.holds_continuously) == (15.0, False)
    assert "full-duty" in advice.sentence


def test_a_lead_too_thin_for_any_fuse_is_called_so() -> None:
    advice = advice_for(awg=18)
    assert advice.fuse_a is None
    assert "thicker" in advice.sentence


def test_a_fuse_above_its_lead_is_a_fault() -> None:
    assert "25 A is above the 20 A" in plain(advice_for(awg=14, fuse_a=25.0).fault)
    assert advice_for(awg=14, fuse_a=20.0).fault == ""


def test_a_lead_without_a_size_is_not_judged() -> None:
    assert advice_for(awg=None, fuse_a=25.0).bears_a == inf


def test_the_advised_fuse_lies_between_current_and_conductor() -> None:
    for awg in (18, 16, 14, 12, 10, 8, 6):
        advice = advice_for(awg=awg)
        if advice.fuse_a is not None:
            assert advice.carries_a <= advice.fuse_a <= advice.bears_a


@pytest.mark.parametrize(
    ("size_mm2", "amperes"), [(0.75, 9.1), (1.0, 10), (1.5, 15), (2.5, 20), (3.3, 25), (4.0, 25)]
)
def test_metric_sizes_count_as_the_smaller_row(size_mm2: float, amperes: float) -> None:
    lead = Lead.model_validate({"for": "radio", "size_mm2": size_mm2, "one_way_m": 1.0})
    assert bears_a(lead) == pytest.approx(amperes, abs=0.02)


def test_another_law_can_take_the_tables_place() -> None:
    halved = replace(
        BOATS,
        rows=tuple((awg, tuple(a / 2 for a in amperes)) for awg, amperes in BOATS.rows),
    )
    given = scenario()
    boats, others = (advise(given.stations[0], given.plan, table) for table in (BOATS, halved))
    assert [o.bears_a for o in others] == [b.bears_a / 2 for b in boats]


def test_the_battery_lead_carries_everything() -> None:
    given = scenario(station={"extras": ({"current_a": 2.0},)})
    battery, radio = advise(given.stations[0], given.plan)
    assert battery.carries_a == pytest.approx(radio.carries_a + 2.0 + 0.015)


def test_charging_may_be_the_most_a_battery_lead_carries() -> None:
    given = scenario(station={"chargers": ({"current_a": 40.0},), "panel": None}, plan=(WATCH,))
    assert advise(given.stations[0], given.plan)[0].carries_a == pytest.approx(40.0)
