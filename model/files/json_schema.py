"""The JSON Schema of a scenario, made from the model.

``python -m model.files.json_schema`` prints it.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from model.scenario.declare import Value
from model.scenario.scenario import FORMAT, Scenario


def scenario_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a scenario's tables, with the keys a file uses.

    It holds types, bounds and known keys; relations between fields are the program's to check.
    """
    return file_schema(Scenario, "scenario", FORMAT)


def file_schema(root: type[Value], kind: str, file_format: int) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the tables of a file.

    Parameters
    ----------
    root : what a file of this kind is read into.
    kind : what it is called, such as "scenario".
    file_format : the number of its format.
    """
    made = root.model_json_schema(by_alias=True)
    made["properties"]["format"] = {"const": file_format, "title": "Format"}
    made["required"] = ["format", *made["required"]]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:counterpoise:{kind}:{file_format}",
        **_tidied(made),
        "title": f"Counterpoise {kind}",
    }


def _tidied(node: Any) -> Any:
    """Leave out what a TOML file cannot hold, and say limits in the words of each type."""
    if isinstance(node, list):
        return [_tidied(item) for item in node]
    if not isinstance(node, dict):
        return node
    tidy = {key: _tidied(value) for key, value in node.items()}
    kinds = [kind for kind in tidy.pop("anyOf", ()) if kind != {"type": "null"}]
    if len(kinds) == 1:
        tidy |= kinds[0]
    elif kinds:
        tidy["anyOf"] = kinds
        # The limits stand on the list among the kinds.
        tidy.pop("minLength", None)
        tidy.pop("maxLength", None)
    if tidy.get("type") == "object" and "maxLength" in tidy:
        tidy["maxProperties"] = tidy.pop("maxLength")
        tidy["default"] = {}
    if "default" in tidy and tidy["default"] is None:
        del tidy["default"]
    return tidy


def schema_text() -> str:
    """Return the schema as the text of the file that ships with the program."""
    return json.dumps(scenario_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.buffer.write(schema_text().encode())
