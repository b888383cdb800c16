"""What conductors bear and which fuses there are, against law and standard."""

from __future__ import annotations

import pytest

from model.scenario.station import Lead
from model.station.fuses import (
    BLADE_RATINGS_A,
    CONTINUOUS_SHARE,
    INSULATIONS_C,
    bears_a,
    fitting_fuse_a,
)

# Amperes by insulation, 60 to 200 °C: 33 CFR 183.425, table 5.
BOAT_LAW = {
    18: (10, 10, 15, 20, 20, 25, 25),
    16: (15, 15, 20, 25, 25, 30, 35),
    14: (20, 20, 25, 30, 35, 40, 45),
    12: (25, 25, 35, 40, 45, 50, 55),
    10: (40, 40, 50, 55, 60, 70, 70),
    8: (55, 65, 70, 70, 80, 90, 100),
    6: (80, 95, 100, 100, 120, 125, 135),
    4: (105, 125, 130, 135, 160, 170, 180),
}
# Not more than three conductors in a raceway at 60, 75 and 90 °C: NFPA 70, table 310.16.
BUILDING_CODE = {
    14: (15, 20, 25), 12: (20, 25, 30), 10: (30, 35, 40), 8: (40, 50, 55), 6: (55, 65, 75),
    4: (70, 85, 95),
}  # fmt: skip


def lead(awg: int, insulation_c: int) -> Lead:
    return Lead.model_validate(
        {"for": "radio", "awg": awg, "one_way_m": 1.0, "insulation_c": insulation_c}
    )


@pytest.mark.parametrize("awg", BOAT_LAW)
def test_amperes_of_the_boat_law(awg: int) -> None:
    assert tuple(bears_a(lead(awg, c)) for c in INSULATIONS_C) == BOAT_LAW[awg]


@pytest.mark.parametrize("awg", BUILDING_CODE)
def test_conductors_in_free_air_bear_at_least_those_in_a_raceway(awg: int) -> None:
    for insulation_c, amperes in zip((60, 75, 90), BUILDING_CODE[awg], strict=True):
        assert bears_a(lead(awg, insulation_c)) >= amperes


@pytest.mark.parametrize(("conductors", "factor"), [(2, 1.0), (3, 0.7), (5, 0.6), (8, 0.5)])
def test_bundled_conductors_bear_less(conductors: int, factor: float) -> None:
    # Note 2 to the same table.
    assert bears_a(lead(10, 105), live_conductors=conductors) == pytest.approx(60 * factor)


def test_blade_fuses_of_the_standard() -> None:
    # ISO 8820-3.
    assert BLADE_RATINGS_A == (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40)


def test_a_fuse_is_loaded_to_what_makers_allow() -> None:
    # Fuse makers' guides: 75 to 80 % of the rating for long. From memory.
    assert 0.75 <= CONTINUOUS_SHARE <= 0.80


@pytest.mark.parametrize(
    ("carries_a", "bears", "expected"),
    [
        (20.0, 40.0, (30.0, True)),
        (22.5, 40.0, (30.0, True)),
        (22.6, 40.0, (40.0, True)),
        (20.0, 25.0, (25.0, False)),
        (20.0, 15.0, (None, False)),
        (2.0, 10.0, (3.0, True)),
    ],
)
def test_the_fuse_for_a_current_and_a_conductor(
    carries_a: float, bears: float, expected: tuple[float | None, bool]
) -> None:
    assert fitting_fuse_a(carries_a, bears) == expected
