"""The JSON Schema of a group's file, made from the model.

``python -m model.group.group_schema`` prints it.
"""

from __future__ import annotations

import json
import sys

from model.files.json_schema import file_schema
from model.group.group import GROUP_FORMAT, Group


def schema_text() -> str:
    """Return the schema as the text of the file that ships with the program."""
    schema = file_schema(Group, "group", GROUP_FORMAT)
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.buffer.write(schema_text().encode())
