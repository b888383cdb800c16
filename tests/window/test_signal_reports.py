"""Reports in the signal lens: read from a file, drawn against power, said beside the price."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from beside import follow, opened, pick, press, scenario_of
from conftest import Answers
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from user import User

from app.pages.kit_page import page as kit_page
from app.pages.signal.reports_part import ReportsPart
from app.resources import resource
from app.state.settings import Settings
from model.engine.comparison import simulate
from model.reception.sentences import cell_sentences, price_sentence
from model.reception.station_answers import station_answers
from model.reception.table_reading import read_reports
from tests.plain import plain

EXAMPLE = resource("scenarios/reports-example.csv")
READ = "Read reports …"


@pytest.fixture
def lens(user: User):
    return opened(user, "signals")


@pytest.fixture
def part(lens) -> ReportsPart:
    return lens.view.reports


def wait(user: User, part: ReportsPart) -> None:
    user.qtbot.waitUntil(lambda: part.work.is_settled and part.answers is not None, timeout=20_000)
    user.let_appear()


def read(user: User, lens, answers: Answers, path: Path = EXAMPLE) -> None:
    answers.open = path
    press(lens, READ)
    part = lens.view.reports
    user.qtbot.waitUntil(
        lambda: part.work.is_settled and (part.answers is not None or bool(part.faults.text())),
        timeout=20_000,
    )
    user.let_appear()


def test_the_window_says_what_the_model_says(user: User, lens, part, answers: Answers) -> None:
    # Before a file is read nothing is said.
    assert "A row without SNR is an attempt" in part.file.text()
    assert not any(
        each.isVisible() for each in (part.chart, part.said, part.price, part.cell, part.means)
    )
    read(user, lens, answers)
    scenario = scenario_of(user)
    found = station_answers(read_reports(EXAMPLE, scenario.site.timezone), simulate(scenario), 0)
    assert part.cell.currentText().startswith("80 m at 21:00: ")
    (one,) = [each for each in found.cells if each.cell.hour == 21]
    assert part.said.text() == "\n".join(cell_sentences(one))
    assert part.price.text() == price_sentence(found)
    said = plain(part.said.text())
    assert "at 21:00, about 3 in 10 (2 to 4) would have read voice with 10 W" in said
    assert "8 evenings and 80 reports are missing" in part.few.text()
    assert "predict no propagation" in part.means.text()


def test_another_hour_and_another_station_can_be_chosen(
    user: User, lens, part, answers: Answers
) -> None:
    read(user, lens, answers)
    before = part.said.text()
    pick(lens, "band and hour of the reports", "20:00")
    assert part.said.text() != before
    assert "at 20:00" in part.said.text()
    pick(lens, "station for the reports", "One box")
    wait(user, part)
    assert plain(part.price.text()) == "B has no amplifier."
    # The hour that was looked at stays.
    assert "at 20:00" in part.said.text()
    assert "10 W" not in plain(part.said.text()).replace("100 W", "")


def test_the_picture_reads_out_a_power(user: User, lens, part, answers: Answers) -> None:
    read(user, lens, answers)
    chart = part.chart
    assert chart.power_at_cursor_w == 10.0
    assert plain(part.at_power.text()).startswith("10 W: voice about 3 in 10 (2 to 4); Morse more")
    assert part.at_power.text().endswith("FT8 not known.")
    assert "100 W: voice about 7 in 10 (6 to 8)" in plain(chart.accessibleDescription())
    chart.setFocus()
    QTest.keyClick(chart, Qt.Key.Key_Right)
    assert chart.power_at_cursor_w > 10.0
    lens.view.signals.area.ensureWidgetVisible(chart)
    user.let_appear()
    QTest.mouseMove(chart, QPoint(chart.width() - 12, chart.height() // 2))
    assert chart.power_at_cursor_w > 800.0
    for _ in range(3):
        QTest.keyClick(chart, Qt.Key.Key_Right)
    assert chart.power_at_cursor_w == pytest.approx(1000.0)
    # Each mode is drawn as far as it is known.
    voice, morse, slots = chart.curves
    assert all(answer.share is not None for answer in voice)
    assert morse[0].share is not None
    assert morse[-1].share is None
    assert max(answer.power_w for answer in slots if answer.share is not None) == 8.0
    image = chart.picture()
    colours = {image.pixelColor(x, image.height() // 2).name() for x in range(image.width())}
    assert len(colours) > 3


def test_a_change_of_the_kit_is_followed(user: User, lens, part, answers: Answers) -> None:
    read(user, lens, answers)
    user.window.display.set_us(True)
    assert " lb to carry" in plain(part.price.text())
    user.window.display.set_us(False)
    assert " kg to carry" in plain(part.price.text())
    before = part.price.text()
    user.window.document.edit("stations.0.amplifier.operate_a", 2.0)
    follow(user, lens)
    wait(user, part)
    assert part.price.text() != before
    user.window.document.edit("stations.0.amplifier", None)
    follow(user, lens)
    wait(user, part)
    assert plain(part.price.text()) == "A has no amplifier."


REFUSED = {
    b"": "is empty",
    b"\0\1\2\3": "is no text",
    b"a,b,c\n1,2,3\n": 'has no column for time, such as "time"',
    b"time,snr,power,mode\n2027-01-01,nan,5,FT8\n": "line 2: snr_db: must be a number",
}


def test_what_is_no_table_is_said_in_a_line(
    user: User, lens, part, answers: Answers, tmp_path: Path
) -> None:
    file = tmp_path / "x.csv"
    for content, said in REFUSED.items():
        read(user, lens, answers)
        assert not part.faults.isVisible()
        file.write_bytes(content)
        read(user, lens, answers, file)
        assert part.faults.text().startswith(f"✕ x.csv: {said}")
        assert "\n" not in part.faults.text()
        assert not part.said.isVisible()
        assert not part.price.isVisible()


def test_columns_are_chosen_once_and_remembered(
    user: User, lens, part, answers: Answers, tmp_path: Path
) -> None:
    mine = tmp_path / "mine.csv"
    mine.write_text(
        EXAMPLE.read_text(encoding="utf-8")
        .replace("time_utc", "when")
        .replace("snr_db", "how loud")
        .replace("power_w", "with")
    )
    read(user, lens, answers, mine)
    assert 'has no column for time, such as "time"' in part.faults.text()
    press(lens, "Columns …")
    for name, heading in (("Time", "when"), ("SNR, dB", "how loud"), ("Transmit power", "with")):
        pick(lens, f"column of {name}", heading)
    wait(user, part)
    assert not part.faults.isVisible()
    assert "at 21:00, about 3 in 10" in plain(part.said.text())
    kept = {"time": "when", "snr_db": "how loud", "power": "with"}
    assert part._settings.report_columns == kept
    # Another log has its own headings; this one is read at once the next time.
    read(user, lens, answers)
    assert part.answers is not None
    read(user, lens, answers, mine)
    assert part.answers is not None
    assert part.columns.mapping == kept
    assert Settings().report_columns == kept


def test_a_disk_that_does_not_answer_is_said(
    user: User, lens, part, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(_call: Callable[[], object]) -> object:
        class Never:
            is_done = False

        return Never()

    monkeypatch.setattr("app.pages.signal.reports_work.disk.ask", never)
    part.work._patience.setInterval(20)
    answers.open = EXAMPLE
    press(lens, READ)
    user.qtbot.waitUntil(lambda: bool(part.faults.text()), timeout=5000)
    assert "the disk does not answer" in part.faults.text()


def test_left_and_looked_at_again_it_says_the_same(
    user: User, lens, part, answers: Answers
) -> None:
    read(user, lens, answers)
    before = part.said.text()
    # A dialog that is waved away changes nothing.
    answers.open = None
    press(lens, READ)
    assert part.said.text() == before
    user.choose("Go", "Day")
    opened(user, "signals")
    wait(user, part)
    assert part.said.text() == before


def test_the_page_prints_what_this_lens_has_read(
    user: User, lens, part, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    read(user, lens, answers)
    held = user.window.lenses._around.reports
    assert held.reports is not None
    given: list[object] = []
    laid_out = kit_page.search_pages

    def search_pages(*sources, **options):
        given.append(options["reports"])
        return laid_out(*sources, **options)

    monkeypatch.setattr(kit_page, "search_pages", search_pages)
    page = opened(user, "kit_page").view
    user.qtbot.waitUntil(lambda: bool(given), timeout=60_000)
    assert given[-1] is held.reports
    held.hold(None)
    assert given[-1] is None
    assert page.isVisible()
