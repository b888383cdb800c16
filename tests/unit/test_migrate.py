"""Files of format 1 are read, and what they say is kept."""

from __future__ import annotations

import json
import tomllib
from datetime import datetime
from pathlib import Path

import pytest

from app.state.document import Document
from app.state.recovery.offer import words_for
from app.state.recovery.slot import orphans
from model.editing.faults import ScenarioError
from model.editing.variants import variant_of
from model.files.migrate import migrated_changes, migrated_path, migrated_text
from model.files.scenario_file import (
    dump_scenario,
    open_scenario,
    parse_scenario,
    read_opened,
    read_scenario,
)
from model.files.table_changes import changes_between
from model.files.work_record import read_left
from model.lessons.lesson_check import check_lesson
from model.lessons.lesson_file import read_lesson
from model.library.store import dump_parts, parse_parts
from model.scenario.scenario import Block, Site
from model.scenario.station import Station
from model.sky.climate_light import clear_clearness
from model.sky.cloud_words import is_scaled

STORED = Path(__file__).parent / "format1"
OLD = (STORED / "scenario.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def opened():
    return read_opened(STORED / "scenario.toml")


def refused(text: str) -> list[str]:
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(text.encode())
    return [f"line {fault.line}: {fault}" for fault in caught.value.faults]


def test_eighths_become_the_index_of_their_class_and_days_become_dates(opened):
    assert opened.format == 1
    day = opened.scenario.day
    # 2 eighths lie in the class 1 to 3, 3 eighths in that of 3 to 5.
    assert (day.sky, day.low_c, day.high_c) == ((0.95, 0.84), (3.0, 4.0), (13.0, 14.0))


def test_months_become_a_climate_of_the_place(opened):
    climate = opened.scenario.climate
    assert climate.low_c[0] == -9.0
    clear = clear_clearness(opened.scenario.site)
    # 5 eighths in January lie in the class 5 to 7, 4 in July in that of 3 to 5.
    assert climate.clearness[0] == pytest.approx(0.69 * clear[0], abs=5e-4)
    assert climate.clearness[6] == pytest.approx(0.84 * clear[6], abs=5e-4)
    assert not is_scaled(climate)


def test_all_else_stays_as_it_stood(opened):
    old, new = tomllib.loads(OLD), opened.scenario
    assert (new.title, new.notes) == (old["title"], old["notes"])
    assert new.site == Site.model_validate(old["site"])
    assert new.plan == tuple(map(Block.model_validate, old["plan"]))
    assert new.stations == tuple(map(Station.model_validate, old["stations"]))
    assert new.format == 2


def test_variants_name_the_paths_and_values_of_now(opened):
    scenario = opened.scenario
    dull, august, bare = scenario.variants[-3:]
    assert dict(dull.changes) == {"day.sky": (0.95, 0.40), "day.low_c": 1.0}
    clear = clear_clearness(scenario.site)
    assert dict(august.changes) == {
        "climate.clearness": pytest.approx([*(0.95 * clear[:11]), 0.40 * clear[11]], abs=5e-4),
        "climate.high_c": (9.0,) * 12,
        "day.sky": 1.03,
    }
    assert bare.left_out == ("climate", "stations.0.panel")
    assert variant_of(scenario, "Overcast Sunday").day.sky == (0.95, 0.40)
    assert variant_of(scenario, "A clear August").climate.high_c[7] == 9.0
    assert variant_of(scenario, "Without months").climate is None


def test_what_changes_in_the_answer_is_said_with_its_numbers(opened):
    cloud, dates, months = opened.remarks
    # The formula of a moment said 1 - 0.75 (3/8)^3.4 = 0.97 of clear.
    assert "3/8 as 0.84 of clear instead of 0.97" in cloud
    assert "local dates" in dates
    assert "clearness" in months


def test_a_file_saved_anew_reads_the_same_and_has_nothing_more_to_say(opened):
    again = open_scenario(dump_scenario(opened.scenario).encode())
    assert again.scenario == opened.scenario
    assert (again.format, again.remarks) == (2, ())


def test_without_cloud_the_clear_sky_stays_and_nothing_is_said():
    bare = "\n".join(
        line for line in OLD.split("[[variants]]")[0].split("\n") if "cloud_okta" not in line
    )
    start, _, rest = bare.partition("[season]")
    bare = start.replace("[3.0, 4.0]", "3.0").replace("[13.0, 14.0]", "13.0")
    bare += rest[rest.index("[[plan]]") :]
    found = open_scenario(bare.encode())
    assert found.scenario.day.sky == (1.0,)
    assert found.remarks == ()


CLOUD, SUNDAY = "cloud_okta = [2.0, 3.0]", '"day.cloud_okta" = [2, 8]'
WRONG = [
    (CLOUD, "cloud_okta = [2.0, 9]", "day.cloud_okta: must be from 0 to 8, got 9"),
    (CLOUD, 'cloud_okta = "few"', 'day.cloud_okta: must be from 0 to 8, got text "few"'),
    (CLOUD, "cloud_okta = []", "day.cloud_okta: must hold one number or up to 14, got 0"),
    ("cloud_okta = [5.0, ", "cloud_okta = [", "season.cloud_okta: must hold 12 numbers, got 11"),
    ("high_c = [-1.0, ", "high_c = [99.0, ", "season.high_c.0: must be at most 60, got 99"),
    ("albedo = 0.22", "albedo = 99", "site.albedo: must be at most 1, got 99"),
    (SUNDAY, '"day.cloud_okta" = [2, 9]', "day.cloud_okta: must be from 0 to 8, got 9"),
    ("cloud_okta = [5.0, 5.0,", "okta = [5.0, 5.0,", "season.cloud_okta: is missing"),
]


@pytest.mark.parametrize(("old", "new", "words"), WRONG)
def test_faults_name_the_place_in_the_old_file(old, new, words):
    changed = OLD.replace(old, new, 1)
    assert changed != OLD
    found = refused(changed)
    line = changed[: changed.index(new, OLD.index(old))].count("\n") + 1
    assert any(fault.endswith(words) for fault in found)
    if "missing" not in words:
        assert [fault.startswith(f"line {line}: ") for fault in found] == [True]


def test_format_2_knows_no_eighths():
    found = refused(OLD.replace("format = 1", "format = 2"))
    assert any("day.cloud_okta: is not a key here" in line for line in found)
    assert any("season: is not a key here" in line for line in found)


def test_a_journal_of_format_1_is_read():
    table = tomllib.loads((STORED / "recovery.toml").read_text(encoding="utf-8"))
    held = {
        "kind": "work", "kept": "2027-04-16T19:20:00+02:00", "file": None, "digest": "",
        "table": table,
    }  # fmt: skip
    dull = table | {"day": table["day"] | {"cloud_okta": 8}}
    added = ["change of cloud", changes_between(table, dull)]
    step = {"kind": "steps", "kept": held["kept"], "same": 0, "add": [added], "at": 1}
    left, is_whole = read_left([held, step])
    assert is_whole
    assert left.work.base.day.sky == (0.95, 0.40, 0.69)
    assert left.work.scenario.day.sky == (0.40,)
    assert read_scenario(STORED / "recovery.toml") == left.work.base


def test_unsaved_work_of_format_1_is_found_beside_the_journals(tmp_path):
    place = tmp_path / "one.toml"
    place.write_bytes((STORED / "recovery.toml").read_bytes())
    found = orphans(tmp_path)
    ((slot, left),) = found.left
    assert left.work.scenario.day.sky == (0.95, 0.40, 0.69)
    assert left.kept == datetime.fromisoformat("2027-04-16T19:20:00+02:00")
    assert (left.work.file, left.work.digest, found.damaged) == (None, "", ())
    said = words_for(left.work, left)
    assert said.startswith(
        "Summer emergency net with a grey second day, never saved, kept 2027-04-"
    )
    slot.discard()
    slot.release()
    assert list(tmp_path.iterdir()) == []


def test_unsaved_work_of_format_1_does_not_claim_to_know_its_file(tmp_path):
    kit = tmp_path / "kit.toml"
    kit.write_text(OLD, encoding="utf-8")
    text = (STORED / "recovery.toml").read_text(encoding="utf-8")
    (tmp_path / "unsaved").mkdir()
    place = tmp_path / "unsaved" / "one.toml"
    place.write_text(text.replace('"file": null', f'"file": {json.dumps(str(kit))}'), "utf-8")
    ((slot, left),) = orphans(place.parent).left
    said = words_for(left.work, left)
    assert said.startswith(f"kit.toml in {tmp_path}, kept ")
    assert said.endswith("\nWhat the file held then is not known; the work opens without it")
    document = Document(read_scenario(STORED / "scenario.toml"))
    document.recover(left.work)
    assert (document.path, document.is_clean) == (None, False)
    assert document.scenario == left.work.scenario
    slot.release()


DAMAGE = [
    ("format = 1", "format = 9"),
    ('{"kept"', '{"when"'),
    ("\n", ""),
]


@pytest.mark.parametrize(("old", "new"), DAMAGE)
def test_damaged_work_of_format_1_is_set_aside(tmp_path, old, new):
    text = (STORED / "recovery.toml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "one.toml").write_text(text.replace(old, new), encoding="utf-8")
    found = orphans(tmp_path)
    assert found.left == ()
    assert [words.split(":")[0] for words in found.damaged] == [
        "Unsaved work was damaged and is set aside"
    ]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["one.damaged"]


def test_a_library_without_a_format_is_of_the_first():
    old = parse_parts((STORED / "library" / "radios.toml").read_bytes())
    assert not old.faults
    text = dump_parts(old.parts)
    assert text.startswith("format = 2\n")
    assert parse_parts(text.encode()) == old
    newer = parse_parts(b"format = 3\n" + text.encode().removeprefix(b"format = 2\n"))
    assert [str(fault) for fault in newer.faults] == [
        "format: is 3, from a newer Counterpoise; this one reads format 2"
    ]
    assert newer.parts == old.parts


def test_a_lesson_of_format_1_is_read_with_its_edits_and_formulas():
    lesson = read_lesson(STORED / "lesson.toml")
    assert lesson.scenario.day.sky == (1.03,)
    assert lesson.steps[0].tries[-1].changes == (("day.sky", (0.40,)),)
    last = lesson.steps[-1]
    assert last.changes == (("day.sky", 0.40),)
    assert last.drops == ("climate",)
    assert last.numbers == (("light", "day.sky.0 * 1"),)
    assert last.cases[0].changes == (("day.sky", (1.03,)),)
    assert last.answer.value == "day.sky.0"
    assert last.answer.choices[1].changes == (("day.sky.0", 0.84),)
    assert last.tries[0].path == "day.sky.0"
    checked, faults = check_lesson(STORED / "lesson.toml")
    assert checked == lesson
    assert [str(fault) for fault in faults] == []


def test_prose_keeps_its_words():
    said = "In the rainy season.Then {season.low_c.0|°C} and {day.cloud_okta.0|}"
    assert migrated_text(said) == ("In the rainy season.Then {climate.low_c.0|°C} and {day.sky.0|}")
    assert migrated_path("day.cloud_oktas") == "day.cloud_oktas"


def test_changes_typed_by_hand_are_of_today():
    site = Site(latitude_deg=50.7, longitude_deg=10.8, elevation_m=740.0)
    changes = {"day.cloud_okta": 5, "stations.0.panel.rated_w": 60, "season.high_c.0": 3}
    assert migrated_changes(changes, site) == {
        "day.sky": 0.69, "stations.0.panel.rated_w": 60, "climate.high_c.0": 3,
    }  # fmt: skip
    with pytest.raises(ValueError, match="from 0 to 8"):
        migrated_changes({"day.cloud_okta": 9}, site)


def test_shipped_files_are_of_today():
    for path in Path(__file__).parents[2].glob("scenarios/*.toml"):
        assert read_opened(path).format == 2
        assert read_scenario(path).format == 2
