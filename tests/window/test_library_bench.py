"""The bench sheet on paper and the form that takes its readings."""

from __future__ import annotations

import io
from datetime import date
from pathlib import Path

import pypdfium2
import pytest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.pages.field.bench.form import BenchForm
from app.pages.field.bench.sheet import sheet_pages, write_sheet
from app.printing import PageError
from app.resources import resource
from app.state.display import Display
from app.state.document import Document
from app.state.edit_context import Desk
from app.state.settings import Settings
from model.editing.edit_stations import with_part
from model.library.catalogue import Library
from model.library.new_station import new_station
from model.library.store import load
from model.scenario.scenario import Day, Scenario, Site
from tests.plain import plain


@pytest.fixture
def scenario() -> Scenario:
    library: Library = load(resource("assets/parts"))
    station = new_station("Light kit", "Compact all-mode, 10 W", "LFP 15 Ah", library)
    for kind, name in (
        ("amplifier", "Field amplifier, 50 W"), ("laptop", "Tablet"), ("extra", "Light"),
    ):  # fmt: skip
        station = with_part(station, library.find(kind, name))
    return Scenario(
        site=Site(latitude_deg=46.0, longitude_deg=11.0),
        day=Day(date=date(2027, 3, 1)),
        stations=(station,),
    )


@pytest.fixture
def form(scenario: Scenario, qtbot: QtBot) -> BenchForm:
    made = BenchForm(Desk(Document(scenario), Display(Settings())), 0)
    qtbot.addWidget(made)
    made.resize(800, 900)
    made.show()
    qtbot.waitExposed(made)
    return made


def entry(form: BenchForm, name: str, text: str) -> None:
    form._lines[name].setText(text)


def key_down(form: BenchForm, slot: str, *rows: tuple[str, ...]) -> None:
    for row, texts in enumerate(rows):
        for line, text in zip(form._tables[slot]._rows[row], texts, strict=False):
            line.setText(text)


def words_on(form: BenchForm) -> str:
    QApplication.processEvents()
    return "\n".join(each.text() for each in form.findChildren(QLabel) if each.isVisible())


def text_of(data: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(data)
    pages = [page.get_textpage().get_text_range() for page in document]
    document.close()
    return pages


@pytest.mark.parametrize(
    ("paper", "width_pt", "height_pt"),
    # ISO 216: A4 is 210 mm x 297 mm; ANSI Letter is 8.5 in x 11 in. A point is 1/72 in.
    [("a4", 210 / 25.4 * 72, 297 / 25.4 * 72), ("letter", 612.0, 792.0)],
)
@pytest.mark.usefixtures("qapp")
def test_the_sheet_prints_each_guess_with_room_to_write(
    scenario: Scenario, paper: str, width_pt: float, height_pt: float
) -> None:
    out = io.BytesIO()
    write_sheet(scenario.stations[0], out, paper=paper)  # type: ignore[arg-type]
    document = pypdfium2.PdfDocument(out.getvalue())
    assert document[0].get_size() == pytest.approx((width_pt, height_pt), abs=1)
    document.close()
    text = "\n".join(text_of(out.getvalue()))
    for words in (
        "Bench sheet: Light kit", "Receive current", "0.16 A (guess)", "Key down", "2.25 A",
        "Value now", "V at the battery", "on another day", "Date", "dummy load",
        f"{scenario.stations[0].radio.mass_kg * 1000:.0f} g",
    ):  # fmt: skip
        assert words in text, words


@pytest.mark.usefixtures("qapp")
def test_a_sheet_in_us_units_asks_for_pounds(scenario: Scenario) -> None:
    out = io.BytesIO()
    write_sheet(scenario.stations[0], out, units="us")
    assert "lb" in "\n".join(text_of(out.getvalue()))


@pytest.mark.usefixtures("qapp")
def test_nothing_stands_outside_the_paper_or_is_cut(scenario: Scenario) -> None:
    for page in sheet_pages(scenario.stations[0], paper="letter"):
        for mark in page.marks:
            if hasattr(mark, "text"):
                assert mark.x >= 0
                assert mark.x + mark.width <= page.width
                assert 0 < mark.y < page.height


@pytest.mark.usefixtures("qapp")
def test_a_sheet_that_cannot_be_written_says_so(scenario: Scenario, tmp_path: Path) -> None:
    with pytest.raises(PageError, match=r"sheet\.pdf"):
        write_sheet(scenario.stations[0], tmp_path / "nowhere" / "sheet.pdf")


def test_readings_go_into_the_station_as_one_step(form: BenchForm, qtbot: QtBot) -> None:
    document = form._desk.document
    before = document.scenario
    form._date.setText("2027-02-20")
    entry(form, "radio.receive_a", "190 mA")
    entry(form, "radio.mass_kg", "640")
    key_down(form, "radio", ("1", "1.0"), ("4", "1.5"), ("9 W", "2,0 A"))
    said = plain(words_on(form))
    assert "190 mA is 0.19 A." in said
    assert "9 W: the law gives 2 A, as measured." in said
    assert "Receive current 0.16 A → 0.19 A" in said
    with qtbot.waitSignal(form.applied):
        form.apply_button.click()
    radio = document.scenario.stations[0].radio
    assert radio.receive_a == pytest.approx(0.19)
    assert radio.mass_kg == pytest.approx(0.64)
    assert radio.key_down == ((1.0, 1.0), (4.0, 1.5), (9.0, 2.0))
    assert radio.source_of("receive_a").on == date(2027, 2, 20)
    assert "radio.receive_a" not in form._lines
    document.undo_stack.undo()
    assert document.scenario == before


def test_a_point_that_the_law_misses_is_shown(form: BenchForm) -> None:
    key_down(form, "radio", ("1", "1"), ("4", "2"), ("9", "2"))
    assert "4 W: the law gives 1.67 A, 17 % less than measured." in plain(words_on(form))


def test_two_loads_and_a_discharge_are_worked_out(form: BenchForm) -> None:
    for key, text in (
        ("light_a", "0.5"), ("light_v", "13.2"), ("heavy_a", "10.5 A"), ("heavy_v", "12.8"),
        ("load_a", "2"), ("hours_h", "6"),
    ):  # fmt: skip
        entry(form, key, text)
    form._room.setText("25")
    form.apply_button.click()
    battery = form._desk.document.scenario.stations[0].battery
    # 0.4 V over 10 A; 12 Ah of 15.
    assert battery.resistance_ohm == pytest.approx(0.04)
    assert battery.tested_fraction == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"radio.receive_a": "lots"}, "is not understood"),
        ({"light_a": "0.5"}, "Two loads: enter both"),
        ({"load_a": "2"}, "Enter load and hours"),
        ({"radio.receive_a": "-1"}, "must be at least 0"),
    ],
)
def test_what_cannot_be_right_is_said_and_nothing_can_be_put_in(
    form: BenchForm, typed: dict[str, str], words: str
) -> None:
    assert not form.apply_button.isEnabled()
    for name, text in typed.items():
        entry(form, name, text)
    assert words in words_on(form)
    assert not form.apply_button.isEnabled()


def test_a_half_filled_row_and_a_date_that_is_none_are_said(form: BenchForm) -> None:
    key_down(form, "radio", ("5",))
    assert "row 1: enter power and current" in words_on(form)
    key_down(form, "radio", ("",))
    form._date.setText("yesterday")
    assert "A date reads 2027-03-01." in words_on(form)


def test_the_sheet_is_asked_for_by_a_signal(form: BenchForm, qtbot: QtBot) -> None:
    with qtbot.waitSignal(form.sheet_wanted) as wanted:
        form.sheet_button.click()
    assert wanted.args == [0]


def test_the_form_shows_cautions(form: BenchForm) -> None:
    said = plain(words_on(form))
    assert "dummy load" in said
    assert "A shorted lithium pack burns" in said
