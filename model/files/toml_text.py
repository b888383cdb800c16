"""The text of a scenario file: how it is laid out, and where in it each key stands."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import tomli_w

_WIDTH = 100
_WITH_LINES_LIMIT = 200_000

# Quoted text and comments; one left open runs to the end, so that no text is scanned twice.
_QUOTED = (
    r'"""(?:[^"\\]|\\.|"(?!""))*+(?:"{3,5}|\Z)'
    r"|'''(?:[^']|'(?!''))*+(?:'{3,5}|\Z)"
    r'|"(?:[^"\\\n]|\\[^\n])*+"?'
    r"|'[^'\n]*+'?"
)
_HIDDEN = re.compile(rf"{_QUOTED}|#[^\n]*+", re.DOTALL)
_PIECE = re.compile(rf"{_QUOTED}|#[^\n]*+|[\[{{]|[\]}}]|\n|[^\"'#\[\]{{}}\n]++", re.DOTALL)
_KEY = r"(?:[A-Za-z0-9_-]+|\"(?:[^\"\\\n]|\\[^\n])*+\"|'[^'\n]*+')"
_BARE_KEY = re.compile("[A-Za-z0-9_-]+")
_DOTTED = rf"{_KEY}(?:[ \t]*\.[ \t]*{_KEY})*+"
_HEADER = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_DOTTED})[ \t]*\]")
_ASSIGNMENT = re.compile(rf"[ \t]*({_DOTTED})[ \t]*=")
# The time that reading takes grows with the square of the dots in a key.
_KEY_DOTS_LIMIT = 64
# With every list full and every number's source given, a scenario has fewer.
_MARKS_LIMIT = 120_000
_MANY_DOTS = re.compile(rf"(?:\.[^.=,{{}}\[\]\n]*+){{{_KEY_DOTS_LIMIT}}}")


def laid_out(data: Mapping[str, Any]) -> str:
    """Return the TOML text of nested tables: plain keys first, pairs and sources on one line."""
    return "\n".join(_table("", data)).lstrip("\n") + "\n"


def _table(header: str, table: Mapping[str, Any]) -> Iterator[str]:
    later: list[tuple[str, Any]] = []
    for key, value in table.items():
        if _is_table(value) or _is_tables(value):
            later.append((key, value))
        else:
            name = _key_text(key)
            yield f"{name} = {_value(value, len(name) + 3)}"
    for key, value in later:
        name = f"{header}.{key}" if header else key
        if key == "sources":
            yield from _sources(name, value)
        elif _is_table(value):
            yield from ("", f"[{name}]")
            yield from _table(name, value)
        else:
            for entry in value:
                yield from ("", f"[[{name}]]")
                yield from _table(name, entry)


def _key_text(key: str) -> str:
    return key if _BARE_KEY.fullmatch(key) else _scalar(key, in_lines=False)


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _is_tables(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(map(_is_table, value))


def _sources(header: str, sources: Mapping[str, Any]) -> Iterator[str]:
    one_line = f"sources = {_inline(sources)}"
    if len(one_line) <= _WIDTH:
        yield one_line
        return
    yield from ("", f"[{header}]")
    for key, source in sources.items():
        yield f"{key} = {_inline(source)}"


def _inline(value: Any) -> str:
    if _is_table(value):
        return "{ " + ", ".join(f"{key} = {_inline(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_inline, value)) + "]"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    if isinstance(value, str) and "\n" in value and "\r" not in value:
        # A carriage return inside such text would be read back as a line end.
        return _scalar(value, in_lines=True)
    return _scalar(value, in_lines=False)


def _scalar(value: Any, *, in_lines: bool) -> str:
    return tomli_w.dumps({"value": value}, multiline_strings=in_lines)[len("value = ") : -1]


def _value(value: Any, indent: int) -> str:
    text = _inline(value)
    if not isinstance(value, list | tuple) or indent + len(text) <= _WIDTH:
        return text
    return "[\n" + "".join(f"    {row}\n" for row in _rows(value)) + "]"


def _rows(values: Sequence[Any]) -> Iterator[str]:
    row = ""
    for text in map(_inline, values):
        if row and len(row) + len(text) > _WIDTH - 8:
            yield row
            row = ""
        row = f"{row} {text}," if row else f"{text},"
    yield row


def hopeless(text: str) -> str | None:
    """Return why a text can hold no scenario and would take too long to read, or None."""
    bare = _HIDDEN.sub('""', text)
    if _MANY_DOTS.search(bare):
        return "holds a key with too many dots"
    if sum(map(bare.count, "=,[")) > _MARKS_LIMIT:
        return "holds more keys and list entries than any scenario can"
    return None


def lines_of(text: str) -> dict[str, int]:
    """Return the line of every table and key of a TOML text that has been read without a fault.

    Keys inside a value are not told apart: look for the nearest path that is known. A text larger
    than any scenario a person has written is not worth the wait and has no lines.
    """
    if len(text) > _WITH_LINES_LIMIT:
        return {}
    lines: dict[str, int] = {}
    entries: Counter[str] = Counter()
    table, place, line = "", 0, 1
    while place < len(text):
        header, assignment = _HEADER.match(text, place), _ASSIGNMENT.match(text, place)
        if header:
            table = _numbered(_keys_of(header[2]), entries, adds=header[1] == "[[")
            lines.setdefault(table, line)
        elif assignment:
            lines[".".join([*filter(None, [table]), *_keys_of(assignment[1])])] = line
        found = header or assignment
        end = _end_of_statement(text, found.end() if found else place)
        line += text.count("\n", place, end)
        place = end
    return lines


def _keys_of(dotted: str) -> list[str]:
    return [key.strip("\"'") for key in re.findall(_KEY, dotted)]


def _numbered(keys: list[str], entries: Counter[str], *, adds: bool) -> str:
    """Return the path of a header, with the number of the entry it opens or continues."""
    path = ""
    for index, key in enumerate(keys):
        path = f"{path}.{key}" if path else key
        if adds and index == len(keys) - 1:
            entries[path] += 1
        if entries[path]:
            path = f"{path}.{entries[path] - 1}"
    return path


def _end_of_statement(text: str, place: int) -> int:
    depth = 0
    while place < len(text):
        piece = _PIECE.match(text, place)
        if piece is None:
            return len(text)
        place = piece.end()
        if piece[0] in "[{":
            depth += 1
        elif piece[0] in "]}":
            depth -= 1
        elif piece[0] == "\n" and depth <= 0:
            return place
    return place
