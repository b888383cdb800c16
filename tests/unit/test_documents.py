"""What the commands write is what their schema says, judged by a validator of JSON Schema."""

from __future__ import annotations

import copy
import csv
import io
import json
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from app.__main__ import main
from app.cli.columns import ODDS, RUN, SIZE
from model.export.document_schema import DOCUMENTS, document_schema, schema_text
from model.export.fingerprint import fingerprint
from model.export.outcome_data import CSV_COLUMNS
from model.files.scenario_file import read_scenario, write_scenario
from model.support.version import DOCUMENT_FORMAT
from tests.laws.sample_kits import question, small_kit

ROOT = Path(__file__).parents[2]
MIDWINTER = ROOT / "scenarios" / "midwinter-relay.toml"
WORDS = {
    "run": ["run"],
    "size": ["size"],
    "odds": ["odds", "--trips", "5"],
}


def validator(kind: str) -> Draft202012Validator:
    schema = document_schema(kind)
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def written(kind: str, file: Path, *more: str) -> Any:
    out = file.parent / f"{kind}.json"
    assert main([*WORDS[kind], str(file), *more, "--json", str(out)]) == 0
    return json.loads(out.read_text(encoding="utf-8"))


@pytest.fixture
def withheld(tmp_path: Path) -> Path:
    """A station that is run, and one that an error finding withholds."""
    broken = small_kit() | {"name": "withheld"}
    broken["radio"] = broken["radio"] | {"key_down": [[5.0, 1.0], [20.0, 2.0]]}
    plan = [
        {"start": "00:00", "end": "24:00", "activity": "slots", "rf_w": 5.0, "transmit_share": 0.6}
    ]
    file = tmp_path / "withheld.toml"
    write_scenario(question(small_kit(), broken, plan=plan, days=1), file)
    return file


@pytest.mark.parametrize("kind", WORDS)
def test_the_schema_that_ships_is_the_one_that_is_declared(kind: str) -> None:
    shipped = (ROOT / "assets" / f"{kind}.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_text(kind), (
        f"python -m model.export.document_schema {kind} > assets/{kind}.schema.json"
    )


@pytest.mark.parametrize("kind", WORDS)
def test_what_is_written_is_what_the_schema_says(
    kind: str, tmp_path: Path, withheld: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    judge = validator(kind)
    file = tmp_path / "trip.toml"
    write_scenario(question(days=1), file)
    more = ["--more"] if kind == "odds" else []
    for document in (
        written(kind, file, *more, "--set", "day.date=2027-05-01"),
        written(kind, withheld),
    ):
        assert [error.message for error in judge.iter_errors(document)] == []
        assert (document["kind"], document["format"]) == (kind, DOCUMENT_FORMAT)
    assert written(kind, file)["input_mark"] == fingerprint(read_scenario(file))
    # A key that is gone, one that nobody declared and one of another type are found.
    for harm in ("gone", "more", "type"):
        harmed = copy.deepcopy(document)
        if harm == "gone":
            del harmed["stations"][0]["name"]
        elif harm == "more":
            harmed["stations"][0]["undeclared"] = 1
        else:
            harmed["input_mark"] = 3
        assert not judge.is_valid(harmed)
    capsys.readouterr()


def test_a_run_with_ends_and_advice_is_what_the_schema_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    judge = validator("run")
    file = tmp_path / MIDWINTER.name
    file.write_bytes(MIDWINTER.read_bytes())
    full, brief = written("run", file), written("run", file, "--brief")
    for document in (full, brief):
        assert [error.message for error in judge.iter_errors(document)] == []
    assert full["flips"]
    assert full["cures"]
    assert brief["flips"] is brief["cures"] is None
    until = datetime.fromisoformat(full["stations"][0]["clocks"]["receive"]["until"])
    assert until.utcoffset() is not None
    capsys.readouterr()


def members(schema: dict[str, Any], node: dict[str, Any], key: str) -> dict[str, Any]:
    """Return what a schema says of the member that a key with points leads to."""
    for part in key.split("."):
        while "$ref" in node:
            node = schema["$defs"][node["$ref"].rpartition("/")[2]]
        node = node["properties"][part]
    return node


@pytest.mark.parametrize(("kind", "columns"), [("run", RUN), ("size", SIZE), ("odds", ODDS)])
def test_every_column_of_a_summary_is_described_by_the_schema(
    kind: str, columns: tuple[str, ...]
) -> None:
    schema = document_schema(kind)
    station = members(schema, schema, "stations")["items"]
    for column in columns:
        assert members(schema, station, column)


def test_minutes_have_iso_times_and_the_mark_of_their_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "trip.toml"
    write_scenario(question(days=1), file)
    assert main(["run", str(file), "--brief", "--csv", "-"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert tuple(rows[0]) == CSV_COLUMNS
    assert {row["input_mark"] for row in rows} == {fingerprint(read_scenario(file))}
    times = [datetime.fromisoformat(row["time"]) for row in rows[:2]]
    assert (times[1] - times[0]).total_seconds() == 60


def test_running_the_module_prints_the_schema() -> None:
    command = [sys.executable, "-m", "model.export.document_schema", "odds"]
    done = subprocess.run(command, capture_output=True, check=True, cwd=ROOT)
    assert json.loads(done.stdout) == document_schema("odds")
    # Those of a group have tests of their own.
    assert set(DOCUMENTS) == {*WORDS, "group", "drill"}
