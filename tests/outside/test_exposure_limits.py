"""Keep-out distances against the law and the published examples of its method."""

from __future__ import annotations

import pytest

from model.station.rf_exposure import UNITED_STATES, far_field_distance_m, near_field_m

M_PER_FT = 0.3048
W_M2_PER_MW_CM2 = 10.0


# 47 CFR 1.1310, table 1: controlled and uncontrolled limits at three amateur frequencies [mW/cm²].
@pytest.mark.parametrize(
    ("mhz", "operator", "public"),
    [(7.1, 17.85, 3.571), (14.1, 4.527, 0.905), (28.3, 1.124, 0.225), (146.0, 1.0, 0.2),
     (1.0, 100.0, 100.0), (1.9, 100.0, 49.86), (440.0, 440 / 300, 440 / 1500),
     (2400.0, 5.0, 1.0)],
)  # fmt: skip
def test_limits_of_the_law(mhz: float, operator: float, public: float) -> None:
    for group, limit in (("operator", operator), ("public", public)):
        found = UNITED_STATES.density_w_m2(mhz, group)
        assert found == pytest.approx(limit * W_M2_PER_MW_CM2, rel=2e-3)


def test_outside_the_table_there_is_no_limit() -> None:
    assert UNITED_STATES.density_w_m2(0.136, "public") is None
    assert UNITED_STATES.density_w_m2(150_000.0, "public") is None


def test_averaging_times_of_the_law() -> None:
    assert UNITED_STATES.averaging_min("operator") == 6.0
    assert UNITED_STATES.averaging_min("public") == 30.0


# FCC OET Bulletin 65, Supplement B: an array of 24 dBi for communication by way of the moon at
# 144 MHz, with ground reflection; distances for controlled and uncontrolled places [ft].
@pytest.mark.parametrize(
    ("watts", "group", "feet"),
    [(500.0, "operator", 166.0), (1500.0, "operator", 287.0), (1500.0, "public", 642.0)],
)
def test_distances_of_the_bulletins_large_array(watts: float, group: str, feet: float) -> None:
    limit = UNITED_STATES.density_w_m2(144.0, group)
    found = far_field_distance_m(watts * 10**2.4, limit)
    assert found / M_PER_FT == pytest.approx(feet, rel=0.01)


# Worked example in a published note on an exposure calculator: 2.0 W mean into 0 dBd.
@pytest.mark.parametrize(("limit_mw_cm2", "metres"), [(0.2, 0.58), (1.0, 0.26)])
def test_distances_of_a_hand_held_set(limit_mw_cm2: float, metres: float) -> None:
    eirp_w = 2.0 * 10 ** (2.15 / 10)
    found = far_field_distance_m(eirp_w, limit_mw_cm2 * W_M2_PER_MW_CM2)
    assert found == pytest.approx(metres, abs=0.01)


def test_the_power_density_is_that_of_equation_6() -> None:
    # S = 2.56 EIRP / (4 pi R²), FCC OET Bulletin 65.
    distance = far_field_distance_m(100.0, 9.0)
    assert 2.56 * 100.0 / (4 * 3.141592653589793 * distance**2) == pytest.approx(9.0)


def test_where_the_far_field_formulas_of_the_exemption_begin() -> None:
    # 47 CFR 1.1307(b)(3)(i)(C): a wavelength over 2 pi, 3.386 m at 14.1 MHz.
    assert near_field_m(14.1) == pytest.approx(3.386, abs=0.005)
