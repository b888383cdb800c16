"""Reports on the comparison page: what the model found, its price, and nothing in a guess."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import pytest

from app.__main__ import main
from model.engine.comparison import Comparison, simulate
from model.reception.sentences import price_sentence, share_words
from model.reception.station_answers import station_answers
from model.reception.table_reading import read_reports, reports_in

sys.path.insert(0, str(Path(__file__).parent))
from awkward_kits import ridge
from page_reading import pdf_of, sheets

from tests.plain import plain

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = str(ROOT / "scenarios" / "reports-example.csv")
RIDGE = str(ROOT / "scenarios" / "ridge-weekend.toml")
TITLE = "Is the amplifier needed? From reception reports"
ZONE = "Europe/Berlin"

pytestmark = pytest.mark.usefixtures("qapp")


@cache
def compared() -> Comparison:
    return simulate(ridge())


def told(**options) -> str:
    """Return the text of all sides of the comparison."""
    pages = [plain(sheet.flat) for sheet in sheets(pdf_of(compared(), **options))]
    return " ".join(page for page in pages if "comparison · input" in page)


def test_the_comparison_says_what_the_model_found():
    reports = read_reports(EXAMPLE, ZONE)
    said = told(reports=reports)
    part = said[said.index(TITLE) :]
    assert "Of the paths that heard the slots with 8 W on 80 m at 21:00, so many would" in part
    assert "FT8 with 8 W: 164 reports on 16 evenings" in part
    assert "Mode A, 10 W A, 100 W B, 100 W" in part
    for index in (0, 1):
        found = station_answers(reports, compared(), index)
        assert plain(price_sentence(found)) in part
        one = found.cells[found.first_row]
        (voice,) = [
            answer for answer in one.answers
            if answer.mode.key == "voice" and answer.power_w == 100.0
        ]  # fmt: skip
        assert part.count(plain(share_words(voice.share))) == 2
    assert "predict no propagation" in part
    # What keeps people safe gives way to nothing.
    assert "Lithium below 0 °C: unplug the panel" in said


def test_without_reports_or_by_another_clock_nothing_is_said():
    assert TITLE not in told()
    assert TITLE not in told(reports=read_reports(EXAMPLE, "UTC"))


def test_the_copy_for_guessing_tells_no_share():
    guess = told(reports=read_reports(EXAMPLE, ZONE), variant="class")
    assert f"{TITLE} Left out to be guessed." in guess
    assert "in 10" not in guess[guess.index(TITLE) :]


def test_too_few_reports_say_what_is_missing():
    few = b"time,snr,power,mode\n2027-04-01 19:00,-3,8,FT8\n"
    assert "11 evenings and 99 reports are missing" in told(reports=reports_in(few, "x", ZONE))


def test_the_command_takes_reports(tmp_path, capsys):
    out = tmp_path / "kit.pdf"
    assert main(["page", RIDGE, "--pdf", str(out), "--reports", EXAMPLE]) == 0
    assert any(TITLE in sheet.flat for sheet in sheets(out.read_bytes()))
    for files, more in (([RIDGE], ["--station", "1"]), ([RIDGE, RIDGE], [])):
        assert main(["page", *files, "--pdf", str(out), "--reports", EXAMPLE, *more]) == 2
        assert "stands on the comparison of the stations of one scenario" in capsys.readouterr().err
    broken = tmp_path / "x.csv"
    broken.write_bytes(b"")
    assert main(["page", RIDGE, "--pdf", str(out), "--reports", str(broken)]) == 2
    assert capsys.readouterr().err == "x.csv: is empty\n"
    assert main(["page", RIDGE, "--pdf", EXAMPLE, "--reports", EXAMPLE]) == 2
    assert "is read here and must not be replaced" in capsys.readouterr().err


def test_masses_are_in_the_units_of_the_page():
    us = told(reports=read_reports(EXAMPLE, ZONE), units="us")
    assert "lb to carry" in us[us.index(TITLE) :]
