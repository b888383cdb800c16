"""The commands of a group: what they print, write and refuse; documents judged by their schema."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from app.__main__ import main
from app.cli.completion import every_command
from app.cli.parser import parser
from model.export.document_schema import document_schema, schema_text
from model.export.group_data import TABLE_HEADS
from model.files.scenario_file import write_scenario
from model.group.group_file import write_group
from tests.unit.group_makers import PANEL, battery, group_of, kit, post

ROOT = Path(__file__).parents[2]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Four posts, one that lasts, two that end, one that is not run; a spare and a route."""
    wrong = kit(10, radio={"supply_min_v": 15.0, "supply_max_v": 12.0})
    lit = kit(60, panel=PANEL, controller={"kind": "mppt"}, battery={"plug": "ring"})
    posts = [
        post(1, 1, role="net control"), post(2, 2, place="Hill", relay="01"),
        post(3, 3, relay="01", battery_batch="one"), post(4, 4, battery_batch="one"),
    ]  # fmt: skip
    whole = group_of(
        [lit, kit(10), kit(10, radio={"plug": "block"}), wrong], posts,
        spares=[{"name": "=box", "where": "Base", "battery": battery(15)}], posts_needed=1,
        routes=[{"between": ["Base", "Hill"], "hours": 3.0}],
    )  # fmt: skip
    for name, scenario in whole.scenarios:
        write_scenario(scenario, tmp_path / name)
    write_group(whole.group, tmp_path / "group.toml")
    return tmp_path / "group.toml"


def written(kind: str, file: Path, *more: str) -> Any:
    out = file.parent / f"{kind}.json"
    assert main([*kind.split(), str(file), *more, "--json", str(out)]) == 0
    return json.loads(out.read_text(encoding="utf-8"))


@pytest.mark.parametrize("kind", ["group", "drill"])
def test_the_schema_of_a_document_ships(kind: str) -> None:
    shipped = (ROOT / "assets" / f"{kind}.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_text(kind)


def test_documents_are_what_their_schema_says(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for kind, words, more in (
        ("group", "group", ["--skies", "20"]),
        ("group", "group", ["--brief"]),
        ("drill", "group drill", ["--without", "post03.battery", "--without", "spare1"]),
    ):
        schema = document_schema(kind)
        Draft202012Validator.check_schema(schema)
        document = written(words, file, *more)
        assert [e.message for e in Draft202012Validator(schema).iter_errors(document)] == []
        assert document["posts"][3]["why_not_run"]
        assert (document.get("net") is None) == (more != ["--skies", "20"])
    assert "A prediction, not a guarantee" in capsys.readouterr().out


def test_the_text_says_who_ends_who_is_served_and_who_powers_whom(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["group", str(file), "--skies", "20"]) == 0
    said = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert "receive about Sat 04:00" in said
    assert "Spare 1 (=box) to post 02, Hill, by Sat 04:00: leave Base by Sat 01:00." in said
    assert "As planned, 2 of 4 posts then last. Posts 03 and 04 do not." in said
    assert "net control and at least 1 other post: " in said
    assert "not 03: plug: ring, not block." in said
    assert "One relay (post 01) passes on the traffic of 2 posts: posts 02 and 03." in said
    assert "not run: see its findings" in said


def test_a_table_has_a_row_for_each_post_and_is_safe_in_a_spreadsheet(file: Path) -> None:
    out = file.parent / "posts.csv"
    assert main(["group", str(file), "--brief", "--csv", str(out)]) == 0
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8-sig"))))
    assert list(rows[0]) == list(TABLE_HEADS)
    assert [row["kit"] for row in rows] == ["01", "02", "03", "04"]
    assert [row["lasts"] for row in rows] == ["true", "false", "false", "false"]
    assert rows[0]["receive"] == ""


def test_a_drill_says_what_is_lost(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["group", "drill", str(file), "--without", "post01", "--without", "spare1"]) == 0
    said = capsys.readouterr().out
    assert "Without post01 and spare1." in said
    assert "Without net control: post 01." in said
    assert "No longer lasting, spares counted: post 02." in said
    assert "Without a relay that lasts: posts 02 and 03." in said


def test_faults_are_one_line_each_with_code_2(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["group", "drill", str(file), "--without", "post77"]) == 2
    assert capsys.readouterr().err.startswith('without: "post77" is neither a post')
    broken = file.parent / "broken.toml"
    broken.write_text(file.read_text(encoding="utf-8").replace('relay = "01"', 'relay = "09"'))
    assert main(["group", str(broken)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 2
    assert all(": is the kit number of no post" in line and "line " in line for line in lines)
    assert main(["group", str(file.parent / "none.toml")]) == 2
    assert "there is no such file" in capsys.readouterr().err
    assert main(["group", str(file), "--json", str(file)]) == 2
    with pytest.raises(SystemExit, match="2"):
        main(["group", "drill", str(file)])
    with pytest.raises(SystemExit, match="2"):
        main(["group", str(file), "--skies", "0"])


def test_a_file_of_the_name_of_the_drill_can_be_given(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(file.parent)
    file.rename(file.parent / "drill")
    assert main(["group", "./drill", "--brief"]) == 0
    assert "Made" in capsys.readouterr().out


def test_both_commands_are_listed_with_their_examples() -> None:
    found = {names: each for names, each in every_command(parser()) if names[:1] == ("group",)}
    assert set(found) == {("group",), ("group", "drill")}
    assert all(each.works for each in found.values())
    assert all("Example" in (each.epilog or "") for each in found.values())
