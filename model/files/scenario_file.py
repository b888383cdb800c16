"""Scenario files: reading with every fault at once, and saving that cannot lose the old file."""

from __future__ import annotations

import os
import re
import stat
import sys
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, BinaryIO

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, at_lines, faults_of, shown
from model.editing.variant_faults import faults_of_variants
from model.files.atomic_write import SaveError, reason_of, shown_name, write_data
from model.files.migrate import Migration, is_old, migrated, old_place
from model.files.toml_text import hopeless, laid_out, lines_of
from model.scenario.scenario import FORMAT, Scenario

__all__ = [
    "FILE_LIMIT_BYTES",
    "Opened",
    "SaveError",
    "dump_scenario",
    "open_scenario",
    "parse_scenario",
    "read_bytes",
    "read_opened",
    "read_scenario",
    "table_of",
    "text_of",
    "write_scenario",
    "write_text",
]

FILE_LIMIT_BYTES = 1_000_000
_LIMIT_WORDS = "a scenario file may hold at most 1 MB"
_POSITION = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", re.DOTALL)
_LONG_NUMBER = re.compile(r"[0-9_]{4300,}")


@dataclass(frozen=True)
class Opened:
    """A scenario from a file.

    Attributes
    ----------
    format : of the file as it stands.
    remarks : what is answered differently from what that format meant, a sentence each.
    """

    scenario: Scenario
    format: int
    remarks: tuple[str, ...]


def read_scenario(source: str | os.PathLike[str]) -> Scenario:
    """Return the scenario in a file; ``-`` reads standard input.

    Raises
    ------
    ScenarioError
        When the file cannot be read or holds no scenario; carries every fault.
    """
    return read_opened(source).scenario


def read_opened(source: str | os.PathLike[str]) -> Opened:
    """Return the scenario in a file with what its format was; ``-`` reads standard input.

    Raises
    ------
    ScenarioError
        When the file cannot be read or holds no scenario; carries every fault.
    """
    return open_scenario(read_bytes(source))


def parse_scenario(data: bytes) -> Scenario:
    """Return the scenario in the bytes of a file.

    Raises
    ------
    ScenarioError
        When they hold no scenario; carries every fault.
    """
    return open_scenario(data).scenario


def open_scenario(data: bytes) -> Opened:
    """Return the scenario in the bytes of a file, and what its format was.

    Raises
    ------
    ScenarioError
        When they hold no scenario; carries every fault.
    """
    table, text = table_of(data)
    faults = _format_faults(table)
    was_old = is_old(table)
    done = migrated(table) if was_old else Migration(table)
    refused: tuple[Fault, ...] = ()
    try:
        scenario = Scenario.model_validate(done.table, by_alias=True, by_name=False)
    except ValidationError as error:
        refused = faults_of(error, done.table)
    except RecursionError:
        raise _refused("holds lists or tables nested too deeply") from None
    refused += faults_of_variants(done.table)
    if was_old:
        refused = tuple(replace(fault, path=old_place(fault.path)) for fault in refused)
    faults += tuple(done.faults) + refused
    if faults:
        raise ScenarioError(at_lines(faults, lines_of(text)))
    return Opened(scenario, 1 if was_old else FORMAT, tuple(done.remarks))


def read_bytes(path: str | os.PathLike[str]) -> bytes:
    """Return what a file holds, at most 1 MB; ``-`` reads standard input.

    Raises
    ------
    ScenarioError
        When it cannot be read or is too large.
    """
    if str(path) != "-":
        return _bytes_of(Path(path))
    if sys.stdin is None:
        raise _refused("standard input: is closed")
    return _bounded(sys.stdin.buffer, "standard input")


def table_of(data: bytes) -> tuple[dict[str, Any], str]:
    """Return the TOML table in the bytes of a file, and its text.

    Raises
    ------
    ScenarioError
        When they are no such text; says in which line.
    """
    text = text_of(data)
    return _table_of(text), text


def dump_scenario(scenario: Scenario) -> str:
    """Return the text of a scenario's file; what has its default is left out."""
    table = scenario.model_dump(exclude_defaults=True, by_alias=True)
    return laid_out({"format": FORMAT, **table})


def write_scenario(scenario: Scenario, path: str | os.PathLike[str]) -> None:
    """Save a scenario so that at every moment the old or the new file stands there whole.

    Raises
    ------
    SaveError
        When it cannot be saved; says why in one line, and the old file is untouched.
    """
    write_text(dump_scenario(scenario), path)


def write_text(
    text: str, path: str | os.PathLike[str], is_wanted: Callable[[], bool] = lambda: True
) -> None:
    """Save a text so that at every moment the old or the new file stands there whole.

    ``is_wanted`` is asked last of all.

    Raises
    ------
    SaveError
        When it cannot be saved; says why in one line, and the old file is untouched.
    """
    data = text.encode()
    if len(data) > FILE_LIMIT_BYTES:
        raise SaveError(f"the file would hold {len(data) / 1e6:.1f} MB; {_LIMIT_WORDS}")
    write_data(data, path, is_wanted)


def _bytes_of(path: Path) -> bytes:
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise _refused(f"{shown_name(path)}: is not a file")
        with path.open("rb") as file:
            return _bounded(file, shown_name(path))
    except (OSError, ValueError) as error:
        raise _refused(f"{shown_name(path)}: {reason_of(error)}") from None


def _bounded(file: BinaryIO, name: str) -> bytes:
    data = file.read(FILE_LIMIT_BYTES + 1)
    if len(data) > FILE_LIMIT_BYTES:
        raise _refused(f"{name}: is too large; {_LIMIT_WORDS}")
    return data


def text_of(data: bytes) -> str:
    """Return the bytes of a file as text with plain line ends.

    Raises
    ------
    ScenarioError
        When they are too many, or no UTF-8 text.
    """
    if len(data) > FILE_LIMIT_BYTES:
        raise _refused(f"is too large; {_LIMIT_WORDS}")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _refused("is UTF-16 text; save it as UTF-8")
    try:
        # The name of this codec means: with or without a byte order mark.
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _refused(
            f"line {line}: is not UTF-8 text (byte 0x{data[error.start]:02x})", line
        ) from None


def _table_of(text: str) -> dict[str, Any]:
    reason = hopeless(text)
    if reason:
        raise _refused(reason)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise _refused("holds lists or tables nested too deeply") from None
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(str(error), text) from None
    except ValueError:
        # The only other refusal of the reader: a whole number of thousands of digits.
        found = _LONG_NUMBER.search(text)
        line = text.count("\n", 0, found.start()) + 1 if found else None
        raise _refused("holds a number with too many digits", line) from None


_SYNTAX_WORDS = (
    ("Invalid initial character for a key", "a key or a [table] was expected here"),
    ("Expected '=' after a key", 'an "=" was expected after the key'),
    ("Invalid value", "this is no value; text stands in quotes, a number uses a decimal point"),
    ("Expected newline", "the line goes on after its value; a date reads 2027-03-01"),
    ("Invalid statement", "a key or a [table] was expected here"),
    ("Unterminated string", "text that begins with a quote does not end with one"),
    ("Illegal character '\\n'", "text that begins with a quote does not end on its line"),
    ("Found invalid character '\\n'", "text that begins with a quote does not end on its line"),
    ('Expected "\'"', "text that begins with a quote does not end with one"),
    ("Expected \"'''\"", "text that begins with three quotes does not end with them"),
    ("Found invalid character", "this character may not stand here"),
    ("Illegal character", "this character may not stand here"),
    ("Cannot overwrite a value", "this key was given before"),
    ("Duplicate inline table key", "this key was given before"),
    ("Cannot declare", "this table was given before"),
    ("Cannot mutate immutable", "this list or table was closed before"),
    ("Cannot redefine namespace", "this table was given before"),
    ("Unclosed array", "a list that begins with [ does not end with ]"),
    ("Unclosed inline table", "a table that begins with { does not end with }"),
    ("Unescaped '\\'", "a backslash in text is written twice, or the text stands in single quotes"),
    ("Invalid hex value", "a \\u in text is followed by four hexadecimal digits"),
    ("Escaped character is not", "this \\u in text stands for no character"),
    ("Invalid date", "there is no such date or time"),
    ("Expected ']' at the end of a table", "a [table] ends with ]"),
    ("Expected ']]' at the end of an array", "a [[table]] ends with ]]"),
)


def _syntax_error(message: str, text: str) -> ScenarioError:
    found = _POSITION.fullmatch(message)
    said = found[1] if found else message
    words = next((words for start, words in _SYNTAX_WORDS if said.startswith(start)), None)
    if words is None:
        words = said[:1].lower() + said[1:100]
    if found and found[2]:
        line = int(found[2])
        return _refused(f"line {line}, column {found[3]}: {words}", line)
    last_line = text.count("\n") + 1
    return _refused(f"line {last_line}, at the end of the file: {words}", last_line)


def _format_faults(table: Mapping[str, Any]) -> tuple[Fault, ...]:
    if "format" not in table:
        return (Fault("format", f"is missing: write format = {FORMAT}"),)
    given = table["format"]
    if isinstance(given, int) and given > FORMAT:
        words = f"is {shown(given)}, from a newer Counterpoise; this one reads format {FORMAT}"
        raise ScenarioError((Fault("format", words),))
    return ()


def _refused(message: str, line: int | None = None) -> ScenarioError:
    return ScenarioError((Fault("", message, line),))
