"""The schema that ships says what the model says."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from model.editing.field_facts import known_keys
from model.files.json_schema import scenario_schema, schema_text

SHIPPED = Path(__file__).resolve().parents[2] / "assets" / "scenario.schema.json"


def test_the_schema_that_ships_is_the_one_the_model_makes():
    assert SHIPPED.read_text(encoding="utf-8") == schema_text(), (
        "the model has changed: python -m model.files.json_schema > assets/scenario.schema.json"
    )


def test_running_the_module_prints_the_schema():
    command = [sys.executable, "-m", "model.files.json_schema"]
    done = subprocess.run(command, capture_output=True, check=True, cwd=SHIPPED.parents[1])
    assert json.loads(done.stdout) == scenario_schema()


def test_the_schema_knows_the_keys_of_a_file_and_no_others():
    schema = scenario_schema()
    assert list(schema["properties"]) == list(known_keys(""))
    lead = schema["$defs"]["Lead"]
    assert list(lead["properties"]) == list(known_keys("stations.0.leads.0"))
    assert lead["required"] == ["for", "one_way_m"]
    assert all(part["additionalProperties"] is False for part in schema["$defs"].values())
    assert schema["required"] == ["format", "site", "day", "stations"]


def test_the_schema_holds_bounds_and_units():
    capacity = scenario_schema()["$defs"]["Battery"]["properties"]["capacity_ah"]
    assert capacity["exclusiveMinimum"] == 0
    assert capacity["maximum"] == 5000
    assert capacity["unit"] == "Ah"


def test_the_schema_asks_for_nothing_that_toml_cannot_hold():
    assert "null" not in schema_text()
