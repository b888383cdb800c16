"""The library on disk: one readable TOML file for each kind of part, in one folder."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from model.editing.faults import Fault, ScenarioError, at_lines, faults_of, shown
from model.files.atomic_write import reason_of
from model.files.scenario_file import SaveError, read_bytes, table_of, text_of, write_text
from model.files.toml_text import laid_out, lines_of
from model.library.catalogue import CLASSES, KINDS, LISTS, PARTS_LIMIT, Kind, Library, kind_of
from model.library.new_station import new_station
from model.scenario import kinds
from model.scenario.station import Part

__all__ = [
    "FILE_NAMES",
    "Library",
    "ReadParts",
    "dump_parts",
    "load",
    "load_what_holds",
    "new_station",
    "parse_parts",
    "place_in_station",
    "read_part",
    "save",
    "seed",
]

FILE_NAMES: dict[Kind, str] = {kind.key: kind.file for kind in kinds.KINDS}
# Of the files of a library; they hold the same parts as scenarios of that format.
FORMAT = 2
_HEADING = "# Parts of your library. Numbers without a source are guesses.\n\n"


@dataclass(frozen=True)
class ReadParts:
    """Parts that could be read, and what was wrong with the rest."""

    parts: tuple[Part, ...]
    faults: tuple[Fault, ...]


def load(folder: Path) -> Library:
    """Return the library in a folder.

    Raises
    ------
    ScenarioError
        When any part in it is refused; carries every fault.
    """
    library, faults = load_what_holds(folder)
    if faults:
        raise ScenarioError(faults)
    return library


def load_what_holds(
    folder: Path, *, needs_every_file: bool = False
) -> tuple[Library, tuple[Fault, ...]]:
    """Return the parts of a folder that can be read, and the faults of the others.

    Raises
    ------
    OSError
        When the folder may not be looked into.
    ScenarioError
        Where ``needs_every_file``: when a file that is there cannot be read at all.
    """
    parts: list[Part] = []
    faults: list[Fault] = []
    for kind in KINDS:
        path = folder / FILE_NAMES[kind]
        if not (_is_there(path) if needs_every_file else path.exists()):
            continue
        data: bytes | None = None
        try:
            data = read_bytes(path)
            read = parse_parts(data)
        except ScenarioError as error:
            if data is None and needs_every_file:
                raise
            read = ReadParts((), error.faults)
        parts += read.parts
        faults += [
            replace(fault, path=f"{path.name}: {fault.path}" if fault.path else path.name)
            for fault in read.faults
        ]
    return Library(tuple(parts)), tuple(faults)


def _is_there(path: Path) -> bool:
    """Whether a file is there; one that cannot be looked at is not called missing."""
    try:
        path.stat()
    except FileNotFoundError:
        return False
    return True


def parse_parts(data: bytes) -> ReadParts:
    """Return the parts in the bytes of a TOML file of tables such as ``[[radio]]``.

    A part that is refused does not keep the others out: its faults say why and where. A name that
    is empty or already taken is a fault.

    Raises
    ------
    ScenarioError
        When the bytes are no TOML text at all.
    """
    table, text = table_of(data)
    parts: list[Part] = []
    faults: list[Fault] = list(_format_faults(table.pop("format", 1)))
    for key, entries in table.items():
        kind = next((kind for kind in KINDS if kind == key), None)
        if kind is None:
            at = f"{key[:40]}.0" if isinstance(entries, list) else key[:40]
            faults.append(Fault(at, f"is no kind of part; known are {', '.join(KINDS)}"))
        elif not isinstance(entries, list):
            faults.append(Fault(key, f"must be a list of tables, each written [[{key}]]"))
        elif len(entries) > PARTS_LIMIT:
            faults.append(Fault(key, f"must hold at most {PARTS_LIMIT} parts, got {len(entries)}"))
        else:
            _read_kind(kind, entries, parts, faults)
    return ReadParts(tuple(parts), at_lines(tuple(faults), lines_of(text)))


def _format_faults(given: Any) -> tuple[Fault, ...]:
    """Return what is wrong with a file's format; a file that says none is of the first."""
    if not isinstance(given, int) or isinstance(given, bool) or given < 1:
        return (Fault("format", f"must be {FORMAT}, got {shown(given)}"),)
    if given > FORMAT:
        words = f"is {shown(given)}, from a newer Counterpoise; this one reads format {FORMAT}"
        return (Fault("format", words),)
    return ()


def _read_kind(kind: Kind, entries: list[Any], parts: list[Part], faults: list[Fault]) -> None:
    taken: set[str] = set()
    for index, entry in enumerate(entries):
        at = f"{kind}.{index}"
        try:
            part = read_part(kind, entry, at)
        except ScenarioError as error:
            faults += error.faults
            continue
        if part.name in taken:
            faults.append(Fault(f"{at}.name", f'must be unique; "{part.name}" is taken'))
        else:
            taken.add(part.name)
            parts.append(part)


def place_in_station(kind: Kind) -> str:
    """Return the path at which a scenario has a part of this kind, for the facts of its fields."""
    return f"stations.0.{LISTS[kind]}.0" if kind in LISTS else f"stations.0.{kind}"


def read_part(kind: Kind, table: Any, at: str) -> Part:
    """Return the part in a table that has the keys of a scenario file.

    Parameters
    ----------
    at : what its faults call the place, such as ``radio.3``.

    Raises
    ------
    ScenarioError
        When it is refused; carries every fault.
    """
    try:
        part = CLASSES[kind].model_validate(table, by_alias=True, by_name=False)
    except ValidationError as error:
        in_station = place_in_station(kind)
        faults = faults_of(error, table, in_station)
        raise ScenarioError(
            tuple(replace(fault, path=fault.path.replace(in_station, at, 1)) for fault in faults)
        ) from None
    if not part.name.strip():
        raise ScenarioError((Fault(f"{at}.name", "is missing: a part in the library needs one"),))
    return part


def dump_parts(parts: tuple[Part, ...]) -> str:
    """Return the TOML text of parts, by kind; what has its default is left out."""
    table: dict[str, Any] = {
        kind: [
            part.model_dump(exclude_defaults=True, by_alias=True)
            for part in parts
            if kind_of(part) == kind
        ]
        for kind in KINDS
    }
    return laid_out({"format": FORMAT} | {kind: rows for kind, rows in table.items() if rows})


def save(library: Library, folder: Path) -> None:
    """Save a library into a folder; a file that holds the same parts is not touched.

    A file that held something no library can hold is kept beside the new one, ending in
    ``.refused``, so that a slip made by hand is never lost.

    Raises
    ------
    SaveError
        When a file cannot be saved; that file stays as it was.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise SaveError(f"{folder.name}: {reason_of(error)}") from error
    for kind, name in FILE_NAMES.items():
        path, parts = folder / name, library.of(kind)
        held = _held(path)
        if held == ReadParts(parts, ()):
            continue
        if held.faults:
            write_text(text_of(read_bytes(path)), path.with_name(path.name + ".refused"))
        write_text(_HEADING + dump_parts(parts), path)


def _held(path: Path) -> ReadParts:
    """Return what a file of the library holds; one that is no TOML at all has one fault."""
    if not path.exists():
        return ReadParts((), ())
    try:
        return parse_parts(read_bytes(path))
    except ScenarioError as error:
        return ReadParts((), error.faults)


def seed(starter: Path, own: Path) -> bool:
    """Fill a library folder with the starter parts, on first use only; say whether it was done.

    The folder comes to be with all of them or not at all: a half of them would pass for a library
    whose owner wants no more.
    """
    if any((own / name).exists() for name in FILE_NAMES.values()):
        return False
    own.parent.mkdir(parents=True, exist_ok=True)
    texts: Mapping[str, str] = {
        name: (starter / name).read_text(encoding="utf-8")
        for name in FILE_NAMES.values()
        if (starter / name).exists()
    }
    beside = Path(tempfile.mkdtemp(prefix=f".{own.name}-", dir=own.parent))
    try:
        for name, text in texts.items():
            write_text(text, beside / name)
        if own.is_dir():
            own.rmdir()
        beside.chmod(0o755)
        beside.replace(own)
    finally:
        if beside.exists():
            shutil.rmtree(beside, ignore_errors=True)
    return True
