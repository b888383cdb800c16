"""Tells what a person reads from what only the program reads, in sources, TOML and prose.

In Python sources a string literal is visible text unless it is
- a docstring or another expression of its own,
- a key: of a dict display, a subscript, a comparison, a ``match`` case, a set display that is
  compared with, an element of ``__all__`` or ``__slots__``,
- part of an annotation, of ``Literal[...]`` or of the type that ``cast`` is given,
- an argument of a call that takes a name, a pattern, a format or a path (``NAMING`` below).
What is left and stands for a key by its place alone, such as a column of a table for a file,
cannot be told from text: such a word is listed in the test, beside the file it stands in.
An f-string is one text with ``{}`` for each hole; literals inside a hole are texts of their own.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

# The last name of a call whose string arguments are for the program.
NAMING = {
    "getattr", "hasattr", "setattr", "delattr", "setObjectName", "objectName", "connect", "compile",
    "match", "search", "fullmatch", "findall", "sub", "split", "rsplit", "partition", "rpartition",
    "startswith", "endswith", "removeprefix", "removesuffix", "get", "pop", "setProperty",
    "property", "strftime", "strptime", "open", "TypeVar", "NewType", "field_at", "value_at",
    "getenv", "setdefault", "resource", "import_module", "Signal", "encode", "decode", "index",
    "count", "find", "rfind", "getLogger", "strip", "lstrip", "rstrip", "ParamSpec", "findData",
    "fromTheme", "setAttribute", "value", "setValue", "contains", "isalnum", "dtype", "astype",
}  # fmt: skip
# Keys of the scenario, lesson and library files whose text a person reads.
TEXT_KEYS = {
    "title", "title_after", "notes", "note", "name", "question", "given", "explanation", "sum",
    "words", "text", "measure", "cautions", "watch", "source", "group", "plug", "polarity",
    "fuse_type", "role", "place", "where", "between", "licence", "shift", "relief", "backup",
    "battery_batch",
}  # fmt: skip


@dataclass(frozen=True)
class Text:
    """One text that a person reads, with the file and the line it begins on."""

    file: str
    line: int
    words: str


def of_source(file: str, source: str) -> Iterator[Text]:
    """Yield the visible texts of a Python source."""
    tree = ast.parse(source)
    hidden = set(_hidden(tree))
    for node in ast.walk(tree):
        if id(node) in hidden:
            continue
        if isinstance(node, ast.JoinedStr):
            yield Text(file, node.lineno, _joined(node))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield Text(file, node.lineno, node.value)


def _joined(node: ast.JoinedStr) -> str:
    return "".join(
        part.value if isinstance(part, ast.Constant) and isinstance(part.value, str) else "{}"
        for part in node.values
    )


def _hidden(tree: ast.AST) -> Iterator[int]:
    """Yield the identities of the nodes that are no text."""
    for node in ast.walk(tree):
        for part in _keys_of(node):
            for each in ast.walk(part):
                yield id(each)
        if isinstance(node, ast.JoinedStr):
            # Its pieces are read with it, and a format such as .1f is none.
            for part in node.values:
                if isinstance(part, ast.Constant):
                    yield id(part)
                elif isinstance(part, ast.FormattedValue) and part.format_spec is not None:
                    yield from (id(each) for each in ast.walk(part.format_spec))


def _keys_of(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        yield node.value
    elif isinstance(node, ast.Dict):
        yield from (key for key in node.keys if isinstance(key, ast.Constant | ast.Tuple))
    elif isinstance(node, ast.Subscript):
        yield node.slice
    elif isinstance(node, ast.Compare):
        yield from (each for each in (node.left, *node.comparators) if _is_plain(each))
    elif isinstance(node, ast.MatchValue):
        yield node.value
    elif isinstance(node, ast.arg | ast.AnnAssign) and node.annotation is not None:
        yield node.annotation
    elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.returns is not None:
        yield node.returns
    elif isinstance(node, ast.Assign) and _assigns_names(node):
        yield node.value
    elif isinstance(node, ast.Call):
        yield from _named_by(node)


def _is_plain(node: ast.AST) -> bool:
    """Whether an operand of a comparison is made of literals alone."""
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return all(_is_plain(each) for each in node.elts)
    return isinstance(node, ast.Constant)


def _assigns_names(node: ast.Assign) -> bool:
    names = {each.id for each in node.targets if isinstance(each, ast.Name)}
    return bool(names & {"__all__", "__slots__"})


def _named_by(node: ast.Call) -> Iterator[ast.AST]:
    called = node.func
    name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
    if name == "cast" and node.args:
        yield node.args[0]
    elif name in NAMING:
        yield from (each for each in node.args if _is_plain(each))


def of_toml(file: str, source: str) -> Iterator[Text]:
    """Yield the visible texts of a scenario, a lesson or a file of parts; formulas are holes."""
    for key, words in _strings(tomllib.loads(source)):
        if key in TEXT_KEYS:
            plain = re.sub(r"\{[^{}]*\}", "{}", words)
            first = words.splitlines()[0] if words else ""
            line = source[: source.find(first)].count("\n") + 1 if first else 0
            yield Text(file, line, " ".join(plain.split()))


def other_keys(source: str) -> set[str]:
    """Return the keys of a TOML file that hold strings and are not read as text."""
    return {key for key, _ in _strings(tomllib.loads(source))} - TEXT_KEYS


def _strings(value: object, key: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _strings(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from _strings(inner, key)
    elif isinstance(value, str):
        yield key, value


def of_prose(file: str, source: str) -> Iterator[Text]:
    """Yield the paragraphs of a Markdown file, without code."""
    without = re.sub(
        r"^```.*?^```", lambda found: "\n" * found[0].count("\n"), source, flags=re.M | re.S
    )
    line = 1
    for part in re.split(r"(\n\s*\n)", without):
        kept = [each for each in part.splitlines() if not each.startswith("    ")]
        words = re.sub(r"`[^`]*`", "{}", " ".join(kept))
        if words.strip():
            yield Text(file, line, " ".join(words.split()))
        line += part.count("\n")


def _blank(found: re.Match[str]) -> str:
    """Return as many empty lines, so that lines keep their numbers."""
    return "\n" * found[0].count("\n")


def of_file(path: Path, name: str) -> list[Text]:
    """Return the visible texts of a file."""
    read = {".py": of_source, ".toml": of_toml, ".md": of_prose}[path.suffix]
    return list(read(name, path.read_text(encoding="utf-8")))
