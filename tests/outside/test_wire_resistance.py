"""Copper leads against published tables, an examination question and two reported cases."""

from __future__ import annotations

import pytest

from model.results.two_load_test import LoadReading, resistance_of
from model.scenario.station import Lead
from model.station.conductors import awg_diameter_mm, awg_mm2, copper_ohm_per_m, lead_ohm

M_PER_KFT = 304.8
NEC_TABLE_C = 75.0

# AWG, diameter [mm], cross-section [mm²]: ASTM B258.
ASTM_B258 = [
    (18, 1.024, 0.823), (16, 1.291, 1.309), (14, 1.628, 2.081), (12, 2.053, 3.309),
    (10, 2.588, 5.261), (8, 3.264, 8.366), (6, 4.115, 13.30), (4, 5.189, 21.15),
]  # fmt: skip
# AWG, ohm per 1000 ft at 20 °C, solid: Floyd, Electric Circuit Fundamentals.
OHM_KFT_AT_20_C = [
    (18, 6.385), (16, 4.016), (14, 2.525), (12, 1.588), (10, 0.9989), (8, 0.6282), (6, 0.3951),
    (4, 0.2485),
]  # fmt: skip
# AWG, ohm per 1000 ft at 75 °C, uncoated copper: NFPA 70, chapter 9, table 8.
NEC_STRANDED = [(14, 3.14), (12, 1.98), (10, 1.24), (8, 0.778), (6, 0.491), (4, 0.308)]
NEC_SOLID = [(14, 3.07), (12, 1.93), (10, 1.21), (8, 0.764)]


@pytest.mark.parametrize(("awg", "diameter_mm", "size_mm2"), ASTM_B258)
def test_sizes_of_awg_numbers(awg: int, diameter_mm: float, size_mm2: float) -> None:
    assert awg_diameter_mm(awg) == pytest.approx(diameter_mm, rel=1e-3)
    assert awg_mm2(awg) == pytest.approx(size_mm2, rel=1e-3)


@pytest.mark.parametrize(("awg", "ohm"), OHM_KFT_AT_20_C)
def test_resistance_at_20_c(awg: int, ohm: float) -> None:
    assert copper_ohm_per_m(awg_mm2(awg)) * M_PER_KFT == pytest.approx(ohm, rel=2e-3)


@pytest.mark.parametrize(("awg", "ohm"), NEC_STRANDED)
def test_resistance_of_stranded_wire_at_75_c(awg: int, ohm: float) -> None:
    # The table's strands are twisted, about 2 % longer than the wire.
    per_kft = copper_ohm_per_m(awg_mm2(awg), NEC_TABLE_C) * M_PER_KFT
    assert per_kft == pytest.approx(ohm, rel=0.03)


@pytest.mark.parametrize(("awg", "ohm"), NEC_SOLID)
def test_resistance_of_solid_wire_at_75_c(awg: int, ohm: float) -> None:
    per_kft = copper_ohm_per_m(awg_mm2(awg), NEC_TABLE_C) * M_PER_KFT
    assert per_kft == pytest.approx(ohm, rel=0.005)


# Question B-003-017-009 of the Canadian basic amateur question bank: 22 A, a battery 3 m away, at
# most 0.5 V lost. Given are the volts lost on each metre of conductor; number 10 is the answer.
@pytest.mark.parametrize(
    ("awg", "given_v_per_m", "is_enough"),
    [(8, 0.05, True), (10, 0.07, True), (12, 0.11, False), (14, 0.19, False)],
)
def test_examination_question_on_a_mobile_radios_lead(
    awg: int, given_v_per_m: float, is_enough: bool
) -> None:
    lead = Lead.model_validate({"for": "radio", "awg": awg, "one_way_m": 3.0})
    lost_v = 22.0 * lead_ohm(lead)
    # Both conductors count: 6 m. The question rounds to 0.01 V a metre.
    assert lost_v == pytest.approx(6.0 * given_v_per_m, abs=6.0 * 0.01)
    assert (lost_v <= 0.5) is is_enough


def test_ten_feet_of_10_awg_at_20_a() -> None:
    # 20 ft of 0.9989 ohm per 1000 ft at 20 A; 1.24 ohm stranded at 75 °C. Sources as above.
    lead = Lead.model_validate({"for": "radio", "awg": 10, "one_way_m": 3.048})
    assert 20.0 * lead_ohm(lead) == pytest.approx(0.400, rel=0.005)
    assert 20.0 * lead_ohm(lead, NEC_TABLE_C) == pytest.approx(0.496, rel=0.03)


def test_a_spring_clamp_measured_in_the_field() -> None:
    # Reported by a portable operator: 0.5 V lost at 6 A in clamps; hence 1.7 V at 20 A.
    clamps = resistance_of(LoadReading(12.8, 0.0), LoadReading(12.3, 6.0))
    assert 1000 * clamps.resistance_ohm == pytest.approx(83.0, abs=0.5)
    assert clamps.lost_v(20.0) == pytest.approx(1.7, abs=0.05)
