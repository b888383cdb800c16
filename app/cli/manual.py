"""``counterpoise manual``: the page of the manual, made from the parser."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from app.cli.command_parser import CommandParser
from app.cli.completion import every_command
from app.cli.parser import parser
from model.scenario.cautions import PREDICTION
from model.support.version import VERSION

EXIT_CODES = (
    ("0", "all was done"),
    ("1", "a result could not be written, or a window not be opened"),
    ("2", "a file has faults, or something was asked that cannot be done"),
    ("130", "stopped from the keyboard"),
)


def manual() -> str:
    """Return the page in the language of man."""
    top = parser()
    lines = [
        f'.TH COUNTERPOISE 1 "" "Counterpoise {VERSION}" "Commands"',
        ".SH NAME",
        "counterpoise \\- weigh one portable radio station against another",
        ".SH SYNOPSIS",
        ".B counterpoise",
        ".RI [ FILE ]",
    ]
    for names, found in every_command(top):
        if names and found.works:
            lines += [".br", f".B counterpoise {' '.join(names)}", _escaped(_arguments(found))]
    lines += [".SH DESCRIPTION", *_paragraphs(top.description or "")]
    lines += [".SH OPTIONS", *_entries(top), ".SH COMMANDS"]
    for names, found in every_command(top):
        if names and found.works:
            lines += [f".SS counterpoise {' '.join(names)}", *_paragraphs(found.description or "")]
            lines += _entries(found)
    lines.append(".SH EXIT STATUS")
    for code, words in EXIT_CODES:
        lines += [".TP", f".B {code}", f"{_escaped(words)}."]
    lines += [".SH EXAMPLES", ".nf"]
    for _, found in every_command(top):
        shown = (found.epilog or "").split("\n\n")[0].split("\n")[1:]
        lines += [_escaped(line.strip()) for line in shown if found.works or found is top]
    lines += [".fi", ".SH CAUTIONS", *_paragraphs(PREDICTION)]
    return "".join(f"{line}\n" for line in lines)


def _arguments(found: CommandParser) -> str:
    words = " ".join(found.format_usage().split())
    return words.partition(f"{found.prog} ")[2]


def _entries(found: CommandParser) -> Iterator[str]:
    for action in found.told:
        yield ".TP"
        yield f".B {_escaped(_name(action))}"
        yield _escaped(" ".join((action.help or "").replace("%%", "%").split()) or _name(action))


def _name(action: argparse.Action) -> str:
    takes = action.metavar or ("|".join(map(str, action.choices)) if action.choices else "")
    shown = "" if action.nargs == 0 else f" {takes}"
    if not action.option_strings:
        return str(takes or action.dest)
    return ", ".join(f"{option}{shown}" for option in action.option_strings)


def _paragraphs(words: str) -> list[str]:
    return [_escaped(" ".join(words.split()))]


def _escaped(text: str) -> str:
    """Return text that is not read as a request, with the signs one types."""
    plain = text.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{plain}" if plain.startswith((".", "'")) else plain
