"""Which file a printed page came from: marks with their format, files, variants, exit codes."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.__main__ import main
from model.editing.paths import with_value
from model.editing.variants import variant_of
from model.export.fingerprint import MarkError, fingerprint, read_mark
from model.files.scenario_file import read_scenario, write_scenario
from model.scenario.scenario import FORMAT

ROOT = Path(__file__).resolve().parents[2]
RIDGE = ROOT / "scenarios" / "ridge-weekend.toml"


def told(capsys: pytest.CaptureFixture[str], *typed: str) -> tuple[int, str, str]:
    code = main(["verify", *typed])
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def test_the_file_and_the_variant_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ridge = read_scenario(RIDGE)
    other = tmp_path / "other.toml"
    write_scenario(with_value(ridge, "stations.0.radio.receive_a", 0.17), other)
    code, out, _ = told(capsys, fingerprint(ridge), str(other), str(RIDGE))
    assert (code, out) == (0, f"{other}: another input\n{RIDGE}: this input\n")
    name = ridge.variants[0].name
    code, out, _ = told(capsys, fingerprint(variant_of(ridge, name)), str(RIDGE))
    assert (code, out) == (0, f"{RIDGE}: its variant {name}\n")


def test_a_page_of_other_numbers_is_of_none(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = told(capsys, f"{FORMAT}-00000000", str(RIDGE))
    assert (code, out) == (1, f"{RIDGE}: another input\n")


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        ("745d6b57", "older program, cannot tell"),
        (f"{FORMAT - 1}-745d6b57", "older program, cannot tell"),
        (f"{FORMAT + 1}-745d6b57", "newer program, cannot tell"),
    ],
)
def test_a_mark_of_another_format_is_not_guessed_at(
    mark: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, _ = told(capsys, mark, str(RIDGE))
    assert code == 1
    assert words in out


@pytest.mark.parametrize("mark", ["", "2-745d6b5", "2-745d6b5g", "page", "2-745d6b57x"])
def test_what_is_no_mark_is_one_line(mark: str, capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = told(capsys, mark, str(RIDGE))
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "foot of a page" in err
    with pytest.raises(MarkError):
        read_mark(mark)


def test_a_file_with_faults_tells_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 2\n", encoding="utf-8")
    code, out, err = told(capsys, f"{FORMAT}-00000000", str(bad))
    assert (code, out) == (2, "")
    assert "stations" in err


def test_a_mark_is_read_as_it_is_printed() -> None:
    mark = fingerprint(read_scenario(RIDGE))
    assert read_mark(f"input {mark.upper()}") == read_mark(mark)


def test_run_prints_the_mark(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", str(RIDGE)]) == 0
    assert f"Input {fingerprint(read_scenario(RIDGE))}" in capsys.readouterr().out
