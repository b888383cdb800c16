"""Weather files into the place by its dialog: read, shown with their years, applied in one step."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from beside import press, scenario_of
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget
from user import User

from app.editors.place import weather_reading
from app.editors.place.climate import WEATHER
from app.editors.place.weather_dialog import WeatherDialog
from app.widgets import dialogs
from app.work.disk import NO_ANSWER
from model.files.weather_import import import_weather
from model.files.years_held import years_words
from tests.plain import plain
from tests.unit import weather_makers as make

WORKED_MS = 60_000


def year_file(folder: Path, year: int, share: float = 0.5) -> Path:
    path = folder / f"{year}.epw"
    light = make.share_of(make.RIDGE, share)
    path.write_text(make.epw(make.RIDGE, date(year, 1, 1), 365, light), encoding="ascii")
    return path


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("weather")
    for year in (2018, 2019):
        year_file(made, year)
    (made / "notes.txt").write_text("nothing of the kind", encoding="ascii")
    cut = (made / "2018.epw").read_text(encoding="ascii").split("\n")
    (made / "cut.epw").write_text("\n".join([*cut[:8], "2018,x"]), encoding="ascii")
    typical = make.pvgis_tmy_csv(make.RIDGE, make.share_of(make.RIDGE, 0.4))
    (made / "typical.csv").write_text(typical, encoding="ascii")
    gap = [line for line in cut if not line.startswith("2018,5,12,")]
    gap = [line.replace("2018,", "2017,", 1) if line.startswith("2018,") else line for line in gap]
    (made / "gap.epw").write_text("\n".join(gap), encoding="ascii")
    return made


@pytest.fixture
def dialog(user: User) -> WeatherDialog:
    user.window.place_sheet.open_sheet()
    user.window.place_sheet.open_sheet()
    user.settle()
    press(user.window, WEATHER)
    shown = user.window.place.climate.dialog
    assert isinstance(shown, WeatherDialog)
    assert shown.isVisible()
    return shown


def add(user: User, dialog: WeatherDialog, monkeypatch: pytest.MonkeyPatch, *paths: Path) -> None:
    monkeypatch.setattr(dialogs, "ask_for_weather_files", lambda *_: list(paths))
    press(dialog, "Add files …")
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)


def lines(listed: QListWidget) -> list[str]:
    return [plain(listed.item(row).text()) for row in range(listed.count())]


def test_several_files_become_years_and_one_step_that_can_be_undone(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = scenario_of(user)
    steps = user.window.document.undo_stack.count()
    assert plain(dialog.held.text()) == "The scenario holds no years of weather yet."
    add(user, dialog, monkeypatch, folder / "2018.epw", folder / "2019.epw")
    assert [line.split(":")[0] for line in lines(dialog.files)] == ["2018.epw", "2019.epw"]
    assert all("365 days" in line for line in lines(dialog.files))
    assert lines(dialog.years) == [
        "2018: 365 days from 2018-01-01, no gap.", "2019: 365 days from 2019-01-01, no gap.",
    ]  # fmt: skip
    press(dialog, "Apply")
    paths = [folder / "2018.epw", folder / "2019.epw"]
    expected = import_weather(before.site, before.climate, paths)
    assert scenario_of(user).climate == expected.climate
    assert user.window.document.undo_stack.count() == steps + 1
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)
    # It is in the scenario now: there is nothing left to apply.
    assert not dialog.apply.isEnabled()
    assert plain(dialog.held.text()) == "The scenario holds: weather of 2018 and 2019."
    user.settle()
    assert user.sees("Weather of 2018 and 2019")
    user.window.document.undo_stack.undo()
    assert scenario_of(user) == before
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)
    assert dialog.apply.isEnabled()


def test_a_damaged_file_has_a_line_and_the_others_are_read(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = [folder / name for name in ("notes.txt", "cut.epw", "missing.epw")]
    add(user, dialog, monkeypatch, bad[0], folder / "2018.epw", bad[1], bad[2])
    told = lines(dialog.files)
    assert len(told) == 4
    assert told[0].startswith("Not read: notes.txt: is no weather file of a known kind")
    assert told[1].startswith("2018.epw: EPW")
    assert told[2].startswith("Not read: cut.epw: ")
    assert told[3].startswith("Not read: missing.epw: ")
    assert dialog.apply.isEnabled()
    assert dialog.years.count() == 1


def test_typical_years_and_gaps_are_marked(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(user, dialog, monkeypatch, folder / "typical.csv", folder / "gap.epw")
    assert any(", typical" in line for line in lines(dialog.files))
    told = "\n".join(lines(dialog.years))
    assert "Typical year: 365 days, no gap." in told
    assert "2017: 365 days from 2017-01-01, 1 without light and 1 without temperatures." in told
    assert "bad years are worse" in dialog.words.toPlainText()


def test_a_year_that_is_not_wanted_is_left_out(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(user, dialog, monkeypatch, folder / "2018.epw", folder / "2019.epw")
    dialog.years.item(0).setCheckState(Qt.CheckState.Unchecked)
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)
    assert dialog.years.item(0).checkState() is Qt.CheckState.Unchecked
    press(dialog, "Apply")
    climate = scenario_of(user).climate
    assert climate is not None
    assert years_words(climate.years) == "Weather of 2019"


def test_the_years_there_were_can_be_forgotten(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not dialog.replace.isVisible()
    add(user, dialog, monkeypatch, folder / "2018.epw")
    press(dialog, "Apply")
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)
    assert dialog.replace.isVisible()
    add(user, dialog, monkeypatch, folder / "2019.epw")
    dialog.years.item(0).setCheckState(Qt.CheckState.Unchecked)
    dialog.replace.setChecked(True)
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)
    press(dialog, "Apply")
    climate = scenario_of(user).climate
    assert climate is not None
    assert years_words(climate.years) == "Weather of 2019"


def test_reading_tells_how_far_it_is_and_can_be_stopped(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[int, int]] = []
    dialog.reading.advanced.connect(lambda done, of: told.append((done, of)))
    many = [folder / "2018.epw"] * 30
    monkeypatch.setattr(dialogs, "ask_for_weather_files", lambda *_: many)
    press(dialog, "Add files …")
    user.qtbot.waitUntil(lambda: len(told) > 3, timeout=WORKED_MS)
    assert told[:3] == [(0, 30), (1, 30), (2, 30)]
    assert dialog.progress.isVisible()
    assert dialog.progress.maximum() == 30
    press(dialog, "Stop")
    user.qtbot.waitUntil(lambda: dialog.is_settled, timeout=WORKED_MS)
    assert not dialog.progress.isVisible()
    assert 2 <= dialog.files.count() < 30
    # What was read is there to be applied.
    assert dialog.apply.isEnabled()


def test_a_disk_that_does_not_answer_is_said(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = weather_reading.disk.ask

    def hanging(call):
        # The first call never comes back as far as this dialog is concerned.
        monkeypatch.setattr(weather_reading.disk, "ask", asked)
        return type("Asked", (), {"is_done": False})()

    monkeypatch.setattr(weather_reading.disk, "ask", hanging)
    dialog.reading._patience.setInterval(50)
    add(user, dialog, monkeypatch, folder / "2018.epw", folder / "2019.epw")
    told = lines(dialog.files)
    assert told[0] == f"Not read: 2018.epw: {NO_ANSWER}"
    assert told[-1].startswith(("2019.epw: EPW", f"Not read: 2019.epw: {NO_ANSWER}"))


def test_too_few_months_are_said_and_nothing_can_be_applied(
    user: User, dialog: WeatherDialog, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    user.window.document.edit("climate", None)
    light = make.share_of(make.RIDGE, 0.5)
    path = tmp_path / "spring.epw"
    path.write_text(make.epw(make.RIDGE, date(2019, 3, 1), 60, light), encoding="ascii")
    add(user, dialog, monkeypatch, path)
    assert "needs all twelve months" in dialog.faults.text()
    assert dialog.faults.isVisible()
    assert not dialog.apply.isEnabled()


def test_the_months_follow_the_units(
    user: User, dialog: WeatherDialog, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(user, dialog, monkeypatch, folder / "2018.epw")
    before = months_of(dialog)
    # The same light is so much, whatever degrees are read beside it.
    assert set(before) >= {"clearness", "low °C", "high °C", "low °C, was"}
    assert " km from the site" in plain(dialog.words.toPlainText())
    user.window.display.set_us(True)
    after = months_of(dialog)
    assert "°C" not in dialog.words.toPlainText()
    assert after["clearness"] == before["clearness"]
    for row in ("low", "high"):
        for us, metric in zip(after[f"{row} °F"], before[f"{row} °C"], strict=True):
            # Both are rounded to a tenth.
            assert us == pytest.approx(metric * 1.8 + 32, abs=0.05 * 1.8 + 0.05)
    # A mile is 1.609344 km (international yard and pound agreement, 1959).
    assert " mi from the site" in plain(dialog.words.toPlainText())
    user.window.display.set_us(False)
    assert months_of(dialog) == before


def months_of(dialog: WeatherDialog) -> dict[str, list[float]]:
    """Return the rows under the names of the months."""
    text = dialog.words.toPlainText()
    rows = text[text.index("Jan") :].splitlines()[1:]
    return {row[:15].strip(): [float(each) for each in row[15:].split()] for row in rows}


def test_nothing_chosen_changes_nothing(
    user: User, dialog: WeatherDialog, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = scenario_of(user)
    add(user, dialog, monkeypatch)
    assert dialog.files.count() == 0
    assert not dialog.apply.isEnabled()
    assert scenario_of(user) == before
    press(dialog, "Close")
    assert not dialog.isVisible()


def test_the_dialog_goes_with_the_window(user: User, dialog: WeatherDialog) -> None:
    user.window.close()
    assert not dialog.isVisible()
