"""``counterpoise weather`` as a person types it: what is kept, said and refused."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from math import acos, cos, isnan, radians, sin
from pathlib import Path

import pytest

from app.__main__ import main
from model.editing.faults import ScenarioError
from model.files import weather_import
from model.files.scenario_file import read_scenario, write_scenario
from model.files.weather_import import import_weather
from model.files.weather_words import import_lines
from model.scenario.scenario import Site
from model.sky.cloud_words import index_of, is_scaled
from tests.unit import weather_makers as make

ROOT = Path(__file__).parents[2]
SITE = Site(
    name="ridge", latitude_deg=47.1, longitude_deg=9.5, elevation_m=1300.0, timezone="Europe/Berlin"
)
HALF = make.share_of(make.RIDGE, 0.5)


@pytest.fixture(scope="module")
def year_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A whole year of half the light."""
    path = tmp_path_factory.mktemp("weather") / "2019.csv"
    path.write_text(make.pvgis_hourly_csv(make.RIDGE, date(2019, 1, 1), 365, HALF))
    return path


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """A scenario on that ridge, without a climate."""
    path = tmp_path / "ridge.toml"
    shutil.copy(ROOT / "scenarios" / "ridge-weekend.toml", path)
    plain = read_scenario(path).model_copy(update={"climate": None, "site": SITE})
    write_scenario(plain, path)
    return path


def month_file(tmp_path: Path, first: date, share: float) -> Path:
    path = tmp_path / f"{first.isoformat()}.epw"
    days = ((first + timedelta(days=32)).replace(day=1) - first).days
    path.write_text(make.epw(make.RIDGE, first, days, make.share_of(make.RIDGE, share)))
    return path


def test_a_year_fills_months_and_days_and_the_file_stays_beside_it(
    scenario: Path, year_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = scenario.read_bytes()
    assert main(["weather", str(year_file), "--into", str(scenario)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    climate = read_scenario(scenario).climate
    assert climate is not None
    assert climate.clearness == pytest.approx([0.5] * 12, abs=0.003)
    assert climate.low_c == pytest.approx([5.0] * 12, abs=0.1)
    assert climate.high_c == pytest.approx([15.0] * 12, abs=0.1)
    assert not is_scaled(climate)
    (year,) = climate.years
    assert (year.start, len(year.clearness), year.typical) == (date(2019, 1, 1), 365, False)
    assert climate.source == "PVGIS hourly INVENTED-SAT"
    assert (scenario.parent / "ridge.toml.backup").read_bytes() == before
    # By hand: a tenth of a degree of latitude is 11.1 km; 1300 m less 900 m.
    assert (
        "PVGIS hourly (47.00° N 9.50° E, 900 m), 1 file: 11 km from the site, 400 m lower." in said
    )
    assert "it lies 400 m lower than the site, which is then some 3 °C colder" in said
    assert "2019: 365 days from 2019-01-01, no gap." in said
    assert "With these files the scenario holds 365 days of weather, of 1 year." in said
    assert said.endswith("Written to ridge.toml; as it was: ridge.toml.backup")


def test_imports_add_up_and_replace_forgets(
    tmp_path: Path, scenario: Path, year_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    july = month_file(tmp_path, date(2020, 7, 1), 0.7)
    again = month_file(tmp_path, date(2019, 7, 1), 0.6)
    for file in (year_file, july, again):
        assert main(["weather", str(file), "--into", str(scenario)]) == 0
    climate = read_scenario(scenario).climate
    assert climate is not None
    assert [year.start for year in climate.years] == [date(2019, 1, 1), date(2020, 7, 1)]
    assert climate.clearness[6] == pytest.approx(0.65, abs=0.003)
    assert climate.clearness[5] == pytest.approx(0.5, abs=0.003)
    said = capsys.readouterr().out
    assert "Too few days" not in said
    assert main(["weather", str(july), "--into", str(scenario), "--replace"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Too few days of Jan, Feb, Mar, Apr, May, Jun, Aug, Sep, Oct, Nov, Dec" in said
    climate = read_scenario(scenario).climate
    assert climate is not None
    assert [year.start for year in climate.years] == [date(2020, 7, 1)]
    assert climate.clearness[6] == pytest.approx(0.7, abs=0.003)
    assert climate.clearness[5] == pytest.approx(0.5, abs=0.003)


def test_a_part_of_a_year_makes_no_climate_of_its_own(
    tmp_path: Path, scenario: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = scenario.read_bytes()
    assert main(["weather", str(month_file(tmp_path, date(2020, 7, 1), 0.7)), "--into",
                 str(scenario)]) == 2  # fmt: skip
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("climate: needs all twelve months")
    assert "Jan, Feb" in line
    assert scenario.read_bytes() == before
    assert not (scenario.parent / "ridge.toml.backup").exists()


def test_every_file_that_cannot_be_read_has_its_line_and_nothing_is_written(
    tmp_path: Path, scenario: Path, year_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = scenario.read_bytes()
    empty, noise = tmp_path / "empty.epw", tmp_path / "noise.dat"
    empty.write_bytes(b"")
    noise.write_bytes(bytes(range(256)))
    files = [str(path) for path in (empty, year_file, noise, scenario)]
    assert main(["weather", *files, "--into", str(scenario)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert [line.partition(":")[0] for line in lines] == ["empty.epw", "noise.dat", "ridge.toml"]
    assert scenario.read_bytes() == before


@pytest.mark.parametrize("into", ["-", "none.toml"])
def test_what_is_changed_is_a_file_that_is_there(
    year_file: Path, into: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["weather", str(year_file), "--into", into]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_a_place_far_off_and_a_clock_that_is_wrong_are_named(
    tmp_path: Path, scenario: Path, year_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["weather", str(year_file), "--into", str(scenario)]) == 0
    far = tmp_path / "far.epw"
    far.write_text(
        make.epw(make.DESERT, date(2020, 7, 1), 9, make.share_of(make.DESERT, 0.5)).replace(
            "-112.0,-7.0", "-112.0,-8.0"
        )
    )
    capsys.readouterr()
    assert main(["weather", str(far), "--into", str(scenario)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    # Spherical law of cosines.
    here, there, turn = radians(47.1), radians(33.5), radians(112.0 + 9.5)
    way = 6371.0 * acos(sin(here) * sin(there) + cos(here) * cos(there) * cos(turn))
    assert f"Warning: {way:.0f} km away, this may be the weather of another climate." in said
    assert "Warning: its light comes 60 min later than the sun stands there: mornings are" in said


def test_light_in_the_dark_is_a_file_that_does_not_know_its_place(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.epw"
    text = make.epw(make.DESERT, date(2020, 7, 1), 9, make.share_of(make.DESERT, 0.5))
    wrong.write_text(text.replace("-112.0", "68.0"))
    with pytest.raises(ScenarioError, match=r"wrong\.epw: has light while the sun is down"):
        import_weather(SITE, None, [wrong])


def test_more_years_than_a_scenario_holds_are_refused(
    tmp_path: Path, year_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(weather_import, "YEARS_LIMIT", 1)
    more = month_file(tmp_path, date(2020, 7, 1), 0.5)
    assert len(import_weather(SITE, None, [year_file]).climate.years) == 1
    with pytest.raises(ScenarioError, match="would hold 2 years; at most 1"):
        import_weather(SITE, None, [year_file, more])


def test_months_of_cover_scale_the_words(tmp_path: Path, year_file: Path) -> None:
    covered = tmp_path / "covered.epw"
    covered.write_text(make.epw(make.RIDGE, date(2018, 4, 1), 70, HALF, tenths=5))
    found = import_weather(SITE, None, [year_file, covered])
    assert found.scales is not None
    # Half of what falls above the air is some .66 of the clear sky at 900 m, where the table of
    # words has .84: nearer by clear days and by losses, and no day differs from the next.
    climate = found.climate
    scales = climate.clear_scale, climate.loss_scale, climate.spread_scale
    assert scales == pytest.approx(found.scales[:3], abs=0.001)
    assert index_of("mixed", climate) == pytest.approx(0.66, abs=0.03)
    assert climate.clear_scale < 1.0 < climate.loss_scale
    said = "\n".join(import_lines(found))
    assert f"clear days here have {climate.clear_scale:.2f} of the light that the word" in said
    assert "The words for a sky are scaled so at this site." in said


def test_scales_that_no_scenario_may_state_are_said_and_not_taken(
    tmp_path: Path, year_file: Path
) -> None:
    covered = tmp_path / "covered.epw"
    # A tenth of the light under half a sky of cloud: no place has that.
    dark = make.share_of(make.RIDGE, 0.05)
    covered.write_text(make.epw(make.RIDGE, date(2018, 4, 1), 70, dark, tenths=5))
    found = import_weather(SITE, None, [year_file, covered])
    assert found.scales is not None
    assert found.scales.clear_ratio < 0.7
    assert not is_scaled(found.climate)
    assert "That is beyond 0.7 to 1.15, 0.2 to 3, 0.3 to 3: the words" in "\n".join(
        import_lines(found)
    )


def test_days_of_minutes_from_many_files_are_one_year(tmp_path: Path, year_file: Path) -> None:
    files = []
    for day in range(3):
        at = date(2020, 7, 1) + timedelta(days=day)
        path = tmp_path / f"now{at:%y%j}.dat"
        path.write_text(make.surfrad(make.DESERT, at, make.share_of(make.DESERT, 0.5)))
        files.append(path)
    before = import_weather(SITE, None, [year_file]).climate
    found = import_weather(SITE, before, files)
    (year,) = found.years
    assert (year.start, len(year.clearness)) == (date(2020, 7, 1), 3)
    # The last file ends at 17:00 local time: nine tenths of the sun's light, but not its night.
    assert [isnan(low_c) for low_c in year.low_c] == [False, False, True]
    (place,) = found.places
    assert (place.kind, place.files) == ("SURFRAD", 3)
    assert found.repeated_days == 0
