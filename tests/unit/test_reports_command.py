"""``counterpoise reports``: text, JSON, table, and what is refused in one line."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from app.__main__ import main
from model.editing.paths import with_value
from model.engine.comparison import simulate
from model.export.reception_data import as_data
from model.files.scenario_file import read_scenario
from model.reception.amplifier_price import amplifier_price, kit_powers_w
from model.reception.requests import readable
from model.reception.sentences import (
    cell_sentences,
    cell_words,
    few_sentence,
    missing_sentences,
    other_modes_sentence,
    price_sentence,
    repeats_sentence,
    share_words,
)
from model.reception.shares import Share
from model.reception.station_answers import station_answers
from model.reception.table_reading import read_reports, reports_in
from tests.plain import plain

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = str(ROOT / "scenarios" / "reports-example.csv")
RIDGE = str(ROOT / "scenarios" / "ridge-weekend.toml")


def found(capsys) -> str:
    return " ".join(plain(capsys.readouterr().out).split())


@pytest.fixture(scope="module")
def ridge():
    return simulate(read_scenario(RIDGE))


def test_the_text_says_what_the_model_found(capsys, ridge):
    assert main(["reports", EXAMPLE, "--scenario", RIDGE]) == 0
    said = found(capsys)
    assert said.startswith("A: Low power and amplifier: 10 W alone, 100 W with the amplifier")
    assert (
        "Of the paths that heard the slots with 8 W on 80 m at 21:00, about 3 in 10 (2 to 4) would"
        " have read voice with 10 W; with 100 W, about 7 in 10 (6 to 8)." in said
    )
    assert "Morse with 100 W: not known: every path that heard would read it" in said
    assert "FT8 with 10 W and 100 W: not known" in said
    assert (
        "FT8 with 8 W on 40 m at 07:00: 20 reports on 4 evenings: 8 evenings and 80 reports are"
        " missing before a share can be named." in said
    )
    price = amplifier_price(ridge, 0)
    assert f"takes {price.more_ah:.1f} Ah more in 2 days than the radio alone" in said
    assert f"and {price.more_kg:.0f} kg to carry" in said
    assert "predict no propagation" in said


def test_the_price_is_the_difference_of_two_runs(ridge):
    price = amplifier_price(ridge, 0)
    bare = ridge.scenario
    for path in ("stations.0.amplifier",):
        bare = with_value(bare, path, None)
    leads = tuple(lead for lead in bare.stations[0].leads if lead.feeds != "amplifier")
    other = simulate(with_value(bare, "stations.0.leads", leads))
    assert price.more_ah == pytest.approx(
        ridge.runs[0].sums.load_ah - other.runs[0].sums.load_ah, abs=1e-9
    )
    gone = sum(lead.mass_kg for lead in ridge.scenario.stations[0].leads) - sum(
        lead.mass_kg for lead in leads
    )
    amplifier = ridge.scenario.stations[0].amplifier
    assert price.more_kg == pytest.approx(amplifier.mass_kg + gone)
    assert price.is_whole
    assert amplifier_price(ridge, 1) is None


def test_powers_are_those_the_plan_asks_for(ridge):
    assert kit_powers_w(ridge.scenario, 0) == (10.0, 100.0)
    assert kit_powers_w(ridge.scenario, 1) == (100.0,)
    lower = with_value(ridge.scenario, "plan", ridge.scenario.plan[1:3])
    assert kit_powers_w(lower, 0) == (10.0,)


def test_a_station_without_an_amplifier_says_so(capsys):
    assert main(["reports", EXAMPLE, "--scenario", RIDGE, "--station", "2"]) == 0
    said = found(capsys)
    assert said.startswith("B: One box, 100 W: 100 W ")
    assert "B has no amplifier." in said


def test_json_and_table_hold_the_same_answers(tmp_path, capsys):
    out, table = tmp_path / "o.json", tmp_path / "o.csv"
    given = ["reports", EXAMPLE, "--scenario", RIDGE, "--json", str(out), "--csv", str(table)]
    assert main(given) == 0
    assert found(capsys).startswith("A: ")
    data = json.loads(out.read_text(encoding="utf-8"))
    rows = list(csv.DictReader(io.StringIO(table.read_text(encoding="utf-8-sig"))))
    answers = [(cell, answer) for cell in data["cells"] for answer in cell["answers"]]
    assert len(rows) == len(answers) == 2 * 7 * 2
    for row, (cell, answer) in zip(rows, answers, strict=True):
        assert (int(row["hour"]), row["mode"]) == (cell["hour"], answer["mode"])
        assert row["not_known"] == answer["not_known"]
        assert (row["share"] == "") == (answer["share"] is None)
        if answer["share"] is not None:
            assert float(row["share"]) == pytest.approx(answer["share"], abs=1e-6)
            assert answer["share_low"] <= answer["share"] <= answer["share_high"]
    assert data["powers_w"] == [10.0, 100.0]
    assert data["too_few"][0]["reports"] == 20
    assert data["amplifier"]["days"] == 2


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"\0\1\2", "is no text"),
        (b"a,b\n1,2\n", 'has no column for time, such as "time"'),
        (b"time,snr,power,mode\n2027-01-01,nan,5,FT8\n", 'line 2: snr_db: must be a number,'),
    ],
)  # fmt: skip
def test_what_is_no_table_gives_one_line_and_code_2(tmp_path, capsys, content, said):
    file = tmp_path / "x.csv"
    file.write_bytes(content)
    assert main(["reports", str(file), "--scenario", RIDGE]) == 2
    error = capsys.readouterr().err
    assert error.startswith(f"x.csv: {said}")
    assert error.count("\n") == 1


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--station", "3"], f"--station: {RIDGE} has stations 1 to 2, got 3"),
        (["--station", "0"], f"--station: {RIDGE} has stations 1 to 2, got 0"),
        (["--column", "time"], "--column: must read like time=WHEN, got 'time'"),
        (["--column", "x=y"], 'reports-example.csv: "x" is no column;'),
        (["--column", "time=y"], 'reports-example.csv: has no column "y" for time'),
        (["--json", EXAMPLE], f"--json: {EXAMPLE} is read here and must not be replaced"),
        (["--csv", RIDGE], f"--csv: {RIDGE} is read here and must not be replaced"),
    ],
)
def test_a_wrong_option_is_refused_in_one_line(capsys, more, said):
    assert main(["reports", EXAMPLE, "--scenario", RIDGE, *more]) == 2
    error = capsys.readouterr().err
    assert error.startswith(said)
    assert error.count("\n") == 1


def test_too_little_says_only_what_is_missing(tmp_path, capsys):
    rows = "".join(f"2027-03-05 {hour:02d}:15,-5,8,FT8\n" for hour in range(1, 10))
    file = tmp_path / "few.csv"
    file.write_text("time,snr,power,mode\n" + rows + "2027-03-05 01:15,1,5,Olivia\n")
    assert main(["reports", str(file), "--scenario", RIDGE]) == 0
    said = found(capsys)
    assert "Nothing can be said yet." in said
    assert "FT8 with 8 W at 02:00: 1 report on 1 evening: 11 evenings and 99 reports" in said
    assert "And 4 more bands and hours with too few." in said
    assert "Left out, in modes whose threshold is not known: Olivia (1)." in said
    assert "in 10" not in said.split("Who did not hear")[0]


def test_two_exports_of_one_log_count_each_report_once_and_say_so(ridge):
    lines = (ROOT / "scenarios" / "reports-example.csv").read_text(encoding="utf-8").splitlines()
    twice = "\n".join([*lines, *lines[2:]])
    once, both = (
        station_answers(reports_in(text.encode(), "x", "Europe/Berlin"), ridge, 0)
        for text in ("\n".join(lines), twice)
    )
    assert [one.cell.reports for one in both.cells] == [one.cell.reports for one in once.cells]
    assert as_data(both)["repeated_rows"] == len(lines) - 2
    assert missing_sentences(both)[-1] == (
        f"{len(lines) - 2} rows are the same as an earlier one in every cell: each report counts"
        " once."
    )
    assert repeats_sentence(once) == ""


def test_attempts_make_shares_of_the_paths_tried(ridge):
    lines = ["time,snr,power,mode,band"]
    for day in range(1, 16):
        for place in range(20):
            snr = "" if place < 5 else str(-20 + 2 * (place - 5) + day % 3)
            lines.append(f"2027-03-{day:02d} 20:15,{snr},8,FT8,40 m")
    found = station_answers(reports_in("\n".join(lines).encode(), "x", "UTC"), ridge, 0)
    (one,) = found.cells
    voice, _, same = (plain(words) for words in cell_sentences(one))
    assert voice.startswith("Of the paths tried with the slots with 8 W on 40 m at 20:00, ")
    assert "would have read FT8 with 10 W." in same
    assert "the fit is not followed further than 10 dB" in same
    assert "15 evenings, 75 attempts not heard" in plain(cell_words(one.cell))
    # 2.5 dB less than 8 W need -18.5 dB: of 20 tried 14, 14 and 15 are heard so well, by turns.
    less_w = 8.0 / 10**0.25
    assert readable(one.cell, one.cell.mode, less_w).share.share == pytest.approx(43 / 60)


def test_what_is_not_run_has_no_price(ridge):
    broken = with_value(ridge.scenario, "plan.2.transmit_share", 0.9)
    found = station_answers(read_reports(EXAMPLE, "UTC"), simulate(broken), 0)
    assert found.price is None
    assert price_sentence(found).endswith("costs is not known: A is not calculated.")
    assert other_modes_sentence(found) == ""
    assert few_sentence(found.few[0]).endswith("missing before a share can be named.")


@pytest.mark.parametrize(
    ("bounds", "words"),
    [
        ((0.31, 0.22, 0.41), "about 3 in 10 (2 to 5)"),
        ((0.0, 0.0, 0.08), "fewer than 1 in 10 (at most 1)"),
        ((1.0, 0.93, 1.0), "more than 9 in 10 (at least 9)"),
        ((0.5, 0.5, 0.5), "about 5 in 10"),
    ],
)
def test_a_share_is_said_in_tenths(bounds, words):
    assert share_words(Share(*bounds)) == words
