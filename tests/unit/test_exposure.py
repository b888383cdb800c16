"""Keep-out distances of stations and blocks."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import pytest

from model.scenario.scenario import Block
from model.station.rf_exposure import (
    UNITED_STATES,
    Exposure,
    exposures,
    net_gain_dbi,
    sending_share,
)
from tests.unit.scenario_maker import NET, RADIO, WATCH, scenario

VHF = NET | {"frequency_mhz": 146.0, "activity": "fm", "transmit_share": 1.0}


def of_block(block: dict[str, object], **parts: object) -> tuple[Exposure, ...]:
    given = scenario(station=parts, plan=(WATCH, block))
    return exposures(given.stations[0], given.plan)


def test_fifty_watts_of_fm_worked_by_hand() -> None:
    public, operator = of_block(VHF)
    # 50 W into a dipole, all the time: EIRP 82.0 W; 2 and 10 W/m².
    eirp_w = 50 * 10**0.215
    assert public.mean_eirp_w == pytest.approx(eirp_w)
    assert public.distance_m == pytest.approx(sqrt(0.64 * eirp_w / (2 * pi)))
    assert operator.distance_m == pytest.approx(sqrt(0.64 * eirp_w / (10 * pi)))


def test_nearer_than_the_near_field_range_no_smaller_number_is_shown() -> None:
    public, operator = of_block(NET)
    for found in (public, operator):
        assert found.is_near_field
        assert found.distance_m == found.near_field_m == pytest.approx(13.25, abs=0.01)


def test_losses_and_gain_count_in_decibels() -> None:
    plain, _ = of_block(VHF)
    lossy, _ = of_block(
        VHF, tuner={"loss_db": 1.0}, antenna={"gain_dbi": 5.15, "feed_loss_db": 2.0}
    )
    assert lossy.mean_eirp_w == pytest.approx(plain.mean_eirp_w)


def test_a_station_without_an_antenna_counts_as_a_dipole() -> None:
    assert net_gain_dbi(scenario().stations[0]) == pytest.approx(2.15)


@pytest.mark.parametrize(
    ("activity", "duty"), [("voice", 0.2), ("morse", 0.44), ("fm", 1.0), ("arq", 1.0)]
)
def test_the_duty_factor_of_the_emission_counts(activity: str, duty: float) -> None:
    public, _ = of_block(VHF | {"activity": activity})
    full, _ = of_block(VHF)
    assert public.mean_eirp_w == pytest.approx(duty * full.mean_eirp_w)


@pytest.mark.parametrize(
    ("share", "minutes", "averaging_min", "expected"),
    [
        (0.2, 60, 30.0, 0.4),  # 12 minutes, perhaps in one go
        (0.2, 60, 6.0, 1.0),
        (0.1, 30, 6.0, 0.5),
        (0.1, 30, 30.0, 0.1),
        (1.0, 5, 30.0, 1 / 6),
    ],
)
def test_all_that_a_block_sends_may_come_in_one_go(
    share: float, minutes: int, averaging_min: float, expected: float
) -> None:
    end = f"{20 + minutes // 60}:{minutes % 60:02d}"
    block = Block.model_validate(NET | {"end": end, "transmit_share": share})
    assert sending_share(block, averaging_min) == pytest.approx(expected)


def test_slots_cannot_come_in_one_go() -> None:
    block = Block.model_validate(NET | {"activity": "slots", "transmit_share": 0.4})
    assert sending_share(block, 6.0) == pytest.approx(0.4213, abs=5e-5)


def test_a_station_that_gives_less_than_asked_counts_what_it_gives() -> None:
    public, _ = of_block(VHF | {"rf_w": 500.0}, radio=RADIO)
    assert public.rf_w == 100.0


def test_blocks_without_frequency_or_sending_have_no_distance() -> None:
    assert of_block(VHF | {"frequency_mhz": None}) == ()
    assert of_block(VHF | {"transmit_share": 0.0}) == ()


def test_other_limits_can_take_the_place_of_the_law() -> None:
    stricter = replace(UNITED_STATES, public=((0.3, 0.5, 0),))
    given = scenario(plan=(WATCH, VHF))
    usual, strict = (exposures(given.stations[0], given.plan, law)[0]
                     for law in (UNITED_STATES, stricter))  # fmt: skip
    assert strict.distance_m == pytest.approx(2 * usual.distance_m)
