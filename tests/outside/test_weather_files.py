"""Weather years reduced to days, against what the same files say beside their light.

Three typical years of the US National Renewable Energy Laboratory as the solar library installs
them (TMY2 of Miami, Marion and Urban 1995; TMY3 of Sand Point and Greensboro, Wilcox and Marion
2008). Each gives the hourly light above the atmosphere beside that on the ground: a day's clearness
follows from their sums alone, by another sun and another constant than the program's.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pvlib
import pytest

from model.files.weather_file import read_weather_file
from model.sky.daily_weather import TYPICAL_YEAR, DaySums, day_sums, light_lag_min

DATA = Path(pvlib.__file__).parent / "data"
# Kind, latitude, longitude, elevation as printed in the first line of each.
YEARS = {
    "703165TY.csv": ("TMY3", 55.317, -160.517, 7.0),
    "723170TYA.CSV": ("TMY3", 36.1, -79.95, 273.0),
    "12839.tm2": ("TMY2", 25.8, -80.267, 2.0),
}


@pytest.fixture(scope="module", params=list(YEARS))
def year(request: pytest.FixtureRequest) -> tuple[str, dict[date, DaySums]]:
    return request.param, day_sums(read_weather_file(DATA / request.param))


def hours_of(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return light, light above the air and air temperature of each hour, shape (365, 24)."""
    if name.endswith("tm2"):
        lines = (DATA / name).read_text(encoding="ascii").splitlines()[1:]
        # Columns 10 to 13, 18 to 21 and 68 to 71 of table 3-2 of the manual.
        cuts = ((17, 21), (9, 13), (67, 71))
        columns = [[float(line[low:high]) for line in lines] for low, high in cuts]
        columns[2] = [tenths / 10.0 for tenths in columns[2]]
    else:
        rows = [line.split(",") for line in (DATA / name).read_text().splitlines()[2:]]
        columns = [[float(row[at]) for row in rows] for at in (4, 2, 31)]
    light, above, air = (np.array(column).reshape(365, 24) for column in columns)
    return light, above, air


def test_each_day_of_a_year_is_there(year: tuple[str, dict[date, DaySums]]) -> None:
    _, days = year
    assert list(days) == [date(TYPICAL_YEAR, 1, 1) + timedelta(days=day) for day in range(365)]
    assert not any(np.isnan(day.clearness) for day in days.values())


def test_clearness_is_that_of_the_file_s_own_light_above_the_air(
    year: tuple[str, dict[date, DaySums]],
) -> None:
    name, days = year
    light, above, _ = hours_of(name)
    own = light.sum(axis=1) / above.sum(axis=1)
    found = np.array([day.clearness for day in days.values()])
    # The files count with 1367 W/m2, round each hour to the watt-hour, and take the sun of an
    # hour in which it rises or sets higher: in winter up to 2.5 % of a day.
    assert found == pytest.approx(own, rel=0.03, abs=0.004)
    total = sum(day.ghi_w_m2 for day in days.values()) / sum(day.sun_w_m2 for day in days.values())
    assert total == pytest.approx(light.sum() / above.sum(), rel=0.012)


def test_no_light_is_lost_and_the_hours_are_the_sun_s(
    year: tuple[str, dict[date, DaySums]],
) -> None:
    name, days = year
    light, _, _ = hours_of(name)
    assert sum(day.ghi_w_m2 for day in days.values()) * 24 == pytest.approx(light.sum(), rel=0.001)
    assert light_lag_min(days) == pytest.approx(0.0, abs=5.0)


def test_lows_and_highs_are_those_of_the_hours(year: tuple[str, dict[date, DaySums]]) -> None:
    name, days = year
    _, _, air = hours_of(name)
    # The file's hour 24 is the next day's midnight.
    of_days = np.roll(air.ravel(), 1).reshape(365, 24)
    found = list(days.values())
    assert [day.low_c for day in found][1:] == pytest.approx(of_days.min(axis=1)[1:])
    assert [day.high_c for day in found][1:] == pytest.approx(of_days.max(axis=1)[1:])


@pytest.mark.parametrize(("name", "facts"), YEARS.items(), ids=YEARS)
def test_place_is_that_of_the_first_line(name: str, facts: tuple[str, float, float, float]) -> None:
    record = read_weather_file(DATA / name)
    assert record.kind == facts[0]
    assert tuple(record.spot) == pytest.approx(facts[1:], abs=0.001)
    assert record.typical
