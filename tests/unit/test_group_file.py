"""The file of a group: what it says round trips, and what is wrong with it is told line by line."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from random import Random

import jsonschema
import pytest

from model.editing.faults import ScenarioError
from model.group.group import Group
from model.group.group_file import dump_group, open_group, read_group, write_group
from model.group.group_schema import schema_text
from model.group.kits import kits_of

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "scenarios" / "group"
EXAMPLE = FOLDER / "autumn-exercise.toml"
HEAD = """format = 1
[day]
date = 2027-10-22
days = 1
"""
POST = """
[[posts]]
kit = "01"
scenario = "kits-net.toml"
role = "net control"
"""


def faults(text: str, folder: Path = FOLDER) -> list[str]:
    with pytest.raises(ScenarioError) as refused:
        open_group(text.encode(), folder)
    for fault in refused.value.faults:
        assert "\n" not in str(fault)
    return [str(fault) for fault in refused.value.faults]


def test_the_shipped_group_has_fifteen_invented_posts_that_all_can_be_run() -> None:
    whole = read_group(EXAMPLE)
    assert len(whole.group.posts) == 15
    assert "invented" in whole.group.notes
    assert "teaches" in whole.group.notes
    assert not any(post.call_sign for post in whole.group.posts)
    assert [kit.post.kit for kit in kits_of(whole) if not kit.runs] == []
    for _, scenario in whole.scenarios:
        assert "invented" in scenario.notes
        assert "invented" in scenario.site.name


def test_a_group_is_read_as_it_was_written(tmp_path: Path) -> None:
    group = read_group(EXAMPLE).group
    for name in ("kits-net.toml", "kits-field.toml"):
        (tmp_path / name).write_bytes((FOLDER / name).read_bytes())
    write_group(group, tmp_path / "again.toml")
    assert read_group(tmp_path / "again.toml").group == group
    assert dump_group(group) == EXAMPLE.read_text(encoding="utf-8")


def test_the_schema_ships_and_agrees_with_the_reader() -> None:
    shipped = (ROOT / "assets" / "group_file.schema.json").read_text(encoding="utf-8")
    assert shipped == schema_text()
    table = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    plain = json.loads(json.dumps(table, default=lambda value: value.isoformat()))
    jsonschema.validate(plain, json.loads(shipped))
    plain["posts"][0]["kitt"] = "1"
    with pytest.raises(jsonschema.ValidationError, match="kitt"):
        jsonschema.validate(plain, json.loads(shipped))


def test_a_post_takes_place_dates_and_plan_from_the_group() -> None:
    whole = read_group(EXAMPLE)
    kits = {kit.post.kit: kit for kit in kits_of(whole)}
    clinic = kits["05"]
    assert clinic.site.name == "Mill Valley"
    assert clinic.question.day == whole.group.day
    assert clinic.plan == next(plan.blocks for plan in whole.group.plans if plan.role == "clinic")
    assert clinic.bad_trip.weather.index < clinic.trip.weather.index
    nowhere = whole.group.posts[4].model_copy(update={"place": "elsewhere", "role": "guest"})
    moved = whole.group.model_copy(update={"posts": (*whole.group.posts[:4], nowhere)})
    guest = kits_of(whole.with_group(moved))[4]
    scenario = dict(whole.scenarios)["kits-field.toml"]
    assert guest.site == scenario.site
    assert guest.plan == scenario.plan


BAD = [
    (HEAD, ["posts: is missing"]),
    (HEAD.replace("format = 1", "format = 9"), ["format: is 9, from a newer"]),
    (HEAD.replace("format = 1\n", "") + POST, ["format: is missing"]),
    (HEAD + POST.replace("01", "a/b"), ["posts.0.kit: must be 1 to 8 letters"]),
    (HEAD + POST.replace("kits-net.toml", "../x.toml"), ["posts.0.scenario: must be the name"]),
    (HEAD + POST.replace("kits-net.toml", "/etc/passwd"), ["posts.0.scenario: must be the name"]),
    (HEAD + POST.replace("kits-net.toml", "none.toml"),
     ["posts.0.scenario: none.toml: there is no such file"]),
    (HEAD + POST + POST, ["posts.1.kit: is that of posts.0 too"]),
    (HEAD + POST + 'relay = "09"\n', ["posts.0.relay: is the kit number of no post"]),
    (HEAD + POST + 'relay = "01"\n', ["posts.0.relay: is the post itself"]),
    (HEAD + POST + "station = 4\n", ["posts.0.station: must be at most 3"]),
    (HEAD + POST + "shfit = 4\n", ['posts.0.shfit: is not a key here; the nearest known key is "']),
    (HEAD + POST + "[[spares]]\ncount = 2\n", ["spares.0: needs exactly one of the parts"]),
    (HEAD + POST + '[[spares]]\n[spares.battery]\nchemistry = "LFP"\n',
     ["spares.0.battery.capacity_ah: is missing"]),
    (HEAD + POST + '[[routes]]\nbetween = ["a"]\nhours = -1\n',
     ["routes.0.between.1: is missing", "routes.0.hours: must be at least 0, got -1"]),
    (HEAD + POST + '[[plans]]\nrole = "x"\n[[plans.blocks]]\nstart = "25:00"\nend = "01:00"\n'
     'activity = "watch"\n', ["plans.0.blocks.0.start: must be a time"]),
    (HEAD + POST + 'place = "Far"\n[[places]]\nname = "Far"\nlatitude_deg = 50\nlongitude_deg = 1\n'
     'timezone = "Mars"\n', ["places.0.timezone: must be a time zone"]),
    ("format = 1\nposts = 3\nday = []\n", ["day: must be a table", "posts: must be a list"]),
    ("= 1", ["line 1"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), BAD, ids=range(len(BAD)))
def test_a_bad_group_is_refused_one_line_a_fault(text: str, words: list[str]) -> None:
    said = faults(text)
    for part in words:
        assert any(line.startswith(part) for line in said), said
    assert len(said) == len(words)


def test_posts_on_two_clocks_are_refused() -> None:
    far = '\n[[places]]\nname = "Far"\nlatitude_deg = 50\nlongitude_deg = 1\ntimezone = "UTC"\n'
    text = HEAD + POST + POST.replace("01", "02") + 'place = "Far"\n' + far
    assert faults(text) == [
        "posts.1.place: its wall clock is not that of post 01; a group runs on one clock"
    ]


def test_a_fault_in_a_kit_file_is_told_once_with_its_name(tmp_path: Path) -> None:
    (tmp_path / "kits-net.toml").write_text("format = 2\n[site]\nlatitude_deg = 95\n")
    said = faults(HEAD + POST + POST.replace("01", "02"), tmp_path)
    assert all(line.startswith("posts.0.scenario: kits-net.toml: ") for line in said)
    assert any("latitude_deg" in line for line in said)


def test_what_is_hostile_gives_faults_and_no_traceback() -> None:
    assert faults("posts = [" + "{}," * 500 + "]\n" + HEAD) == [
        "posts: must hold at most 40 entries, got 500"
    ]
    wild = 'posts = [{ kit = "\\u202e", scenario = "a\\u0000" }]\n' + HEAD
    assert len(faults(wild)) == 2
    many = HEAD + "".join(f"\n[[posts]]\nx{n} = 1\n" for n in range(40))
    assert len(faults(many)) == 51


def test_a_group_is_a_value() -> None:
    group = read_group(EXAMPLE).group
    assert group == Group.model_validate(group.model_dump(by_alias=True))
    assert hash(group) == hash(Group.model_validate(group.model_dump(by_alias=True)))


def test_no_damage_to_a_file_makes_more_than_faults_of_one_line() -> None:
    spare = '[[spares]]\nwhere = "Base"\n[spares.battery]\nchemistry = "LFP"\ncapacity_ah = 12.0\n'
    text = HEAD + POST + spare + '[[routes]]\nbetween = ["Base", "Hill"]\nhours = 2.0\n'
    chance = Random(5)
    marks = [
        "[",
        "]",
        '"',
        "=",
        "\n",
        "-1",
        "nan",
        "1e400",
        "{",
        "true",
        "\x00",
        "é",
        "[[posts]]\n",
    ]
    refused = []
    for _ in range(120):
        data = list(text)
        for _ in range(chance.randint(1, 3)):
            at = chance.randrange(len(data))
            data[at : at + chance.randint(0, 6)] = chance.choice(marks)
        try:
            open_group("".join(data).encode(), FOLDER)
        except ScenarioError as error:
            refused.append([str(fault) for fault in error.faults])
    assert len(refused) > 60
    assert all(lines and all(line and "\n" not in line for line in lines) for lines in refused)
