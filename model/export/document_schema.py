"""The JSON Schema of what the commands write, made from its declaration.

``python -m model.export.document_schema run`` prints the one of a kind in ``DOCUMENTS``.
"""

from __future__ import annotations

import json
import sys
from typing import Any

from pydantic import TypeAdapter

from model.export.documents import RunDocument, SizeDocument
from model.export.group_document import DrillDocument, GroupDocument
from model.export.odds_document import OddsDocument
from model.support.version import DOCUMENT_FORMAT

DOCUMENTS: dict[str, Any] = {
    "run": RunDocument,
    "size": SizeDocument,
    "odds": OddsDocument,
    "group": GroupDocument,
    "drill": DrillDocument,
}


def document_schema(kind: str) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a document of a kind in ``DOCUMENTS``."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:counterpoise:{kind}:{DOCUMENT_FORMAT}",
        **TypeAdapter(DOCUMENTS[kind]).json_schema(),
    }


def schema_text(kind: str) -> str:
    """Return a schema as the text of the file that ships with the program."""
    return json.dumps(document_schema(kind), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.buffer.write(schema_text(sys.argv[1]).encode())
