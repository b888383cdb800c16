"""Settings of earlier programs, in an INI file: what of them still means something."""

from __future__ import annotations

import configparser
from pathlib import Path
from typing import Any

FILE_NAME = "Counterpoise.ini"
FILE_LIMIT_BYTES = 1_000_000


def read_old(folder: Path) -> dict[str, dict[str, Any]]:
    """Return display and recent files of an older settings file; nothing where it is strange.

    Where its window stood is of no use to this one.
    """
    parser = configparser.ConfigParser(strict=False, interpolation=None)
    try:
        with (folder / FILE_NAME).open("rb") as held:
            parser.read_string(held.read(FILE_LIMIT_BYTES).decode())
    except (OSError, ValueError, configparser.Error):
        return {}
    found: dict[str, dict[str, Any]] = {}
    display = parser["display"] if parser.has_section("display") else {}
    kept: dict[str, Any] = {key: display[key] == "true" for key in ("us", "band") if key in display}
    percent = display.get("text_percent", "")
    if percent.isascii() and percent.isdecimal():
        kept["text_percent"] = int(percent[:6])
    if "theme" in display:
        kept["theme"] = display["theme"]
    if kept:
        found["display"] = kept
    recent = parser.get("files", "recent", fallback="")
    # Names with marks that were written in a way of their own are left out.
    if recent and not set(recent) & set('"\\@'):
        found["files"] = {"recent": recent.split(", ")}
    return found
