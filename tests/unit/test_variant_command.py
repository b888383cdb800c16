"""A variant from the command line, and versions side by side."""

from __future__ import annotations

import json
from math import inf
from pathlib import Path

import pytest

from app.__main__ import main
from model.editing.paths import with_value
from model.editing.variants import variant_of
from model.engine.comparison import simulate
from model.files.scenario_file import read_scenario
from model.sizing.variants_compared import differences, search_versions
from model.support.progress import finish

RIDGE = Path(__file__).parents[2] / "scenarios" / "ridge-weekend.toml"
OPERATE = "amplifier left in operate"


def test_a_variant_is_run_as_if_its_values_stood_in_the_file(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["run", str(RIDGE), "--variant", OPERATE, "--json", "-"]) == 0
    told = json.loads(capsys.readouterr().out)
    path = "stations.0.amplifier.out_of_session"
    by_hand = simulate(with_value(read_scenario(RIDGE), path, "operate")).runs[0]
    assert by_hand is not None
    assert told["stations"][0]["lowest_fraction"]["value"] == by_hand.lowest.value
    assert told["variant"] == OPERATE


def test_the_table_is_headed_by_the_variant(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["run", str(RIDGE), "--variant", "60 W panels"]) == 0
    assert capsys.readouterr().out.splitlines()[3].endswith(": 60 W panels")


def test_an_unknown_name_is_one_line_that_names_the_nearest(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["run", str(RIDGE), "--variant", "60W panel"]) == 2
    out, fault = capsys.readouterr()
    assert out == ""
    assert fault == 'variants: none is called "60W panel"; the nearest is "60 W panels"\n'


def test_versions_are_the_runs_of_the_scenario_and_of_each_variant() -> None:
    scenario = read_scenario(RIDGE)
    base, operate, panels = finish(search_versions(scenario))
    assert base.variant is None
    made = simulate(variant_of(scenario, OPERATE))
    assert [fate.lowest_fraction for fate in operate.fates] == [
        run.lowest.value for run in made.runs if run is not None
    ]
    one_box = base.fates[1]
    assert one_box.ends.startswith("off the air from Sun 04:1")
    assert "receiving took most" in one_box.why
    lighter = list(differences(base, panels))
    # Each panel weighs 2.7 kg in place of 3.6 kg.
    assert [one.mass_kg for one in lighter] == pytest.approx([-0.9, -0.9])
    assert lighter[0].end_h == 0.0
    assert lighter[1].end_h is not None
    assert -1.0 < lighter[1].end_h < 0.0
    assert base.fates[0].first_end_h == inf


def test_a_variant_that_does_not_fit_has_no_fates_and_says_why() -> None:
    scenario = with_value(read_scenario(RIDGE), "stations.0.amplifier", None)
    _, operate, panels = finish(search_versions(scenario))
    assert operate.fates == ()
    assert operate.misfit == "station 1 has no amplifier"
    assert len(panels.fates) == 2


def test_a_station_that_is_withheld_says_so() -> None:
    scenario = with_value(read_scenario(RIDGE), "plan.0.activity", "slots")
    scenario = with_value(scenario, "plan.0.transmit_share", 0.9)
    scenario = with_value(scenario, "plan.0.rf_w", 5.0)
    base, *_ = finish(search_versions(scenario))
    assert base.fates[0].ends.startswith("not calculated: ")
    assert [one.end_h for one in differences(base, base)] == [None, None]
