"""The program's front door: a window, or a command that needs no screen."""

from __future__ import annotations

import argparse
import gc
import sys
from importlib import import_module

from app.cli.outputs import (
    OutputError,
    RefusedOutputError,
    forget_standard_output,
    refuse_clashes,
    tell,
)
from app.cli.parser import parser, window_parser
from model.editing.faults import ScenarioError

COMMANDS = ("run", "page", "size", "odds", "weather", "lesson")


def main(arguments: list[str] | None = None) -> int:
    """Run one command or open the window; return the exit code.

    Faults in a file give 2 and one line each on standard error.
    """
    given = sys.argv[1:] if arguments is None else arguments
    try:
        options = parsed(given)
        return _window(options) if options.command is None else _command(options)
    except ScenarioError as error:
        for fault in error.faults:
            tell(str(fault))
        return 2
    except RefusedOutputError as error:
        tell(str(error))
        return 2
    except OutputError as error:
        tell(str(error))
        return 1
    except BrokenPipeError:
        # The reader has gone: nobody is left to tell.
        forget_standard_output()
        return 1


def parsed(given: list[str]) -> argparse.Namespace:
    """Return the command line; without a command, the file the window opens and how."""
    is_window = not any(each in COMMANDS for each in given[:1]) and not _asks_for_help(given)
    return (window_parser() if is_window else parser()).parse_args(given)


def _asks_for_help(given: list[str]) -> bool:
    return given[:1] in (["-h"], ["--help"])


# Each command imports what it needs and no more: ``run`` and ``size`` load no Qt.
def _command(options: argparse.Namespace) -> int:
    given = vars(options)
    inputs = given.get("files") or [given["file"]]
    refuse_clashes(inputs, {f"--{name}": given.get(name) for name in ("json", "csv", "pdf")})
    if options.command == "run":
        from app.cli.run import run

        run(options.file, options.json, options.csv, options.variant, options.set)
        return 0
    if options.command == "size":
        from app.cli.size import size

        size(options.file, options.json, options.set)
        return 0
    if options.command == "odds":
        from app.cli.odds import odds

        goal = options.goal if options.more else None
        odds(
            options.file,
            options.json,
            options.trips,
            goal=goal,
            of_ten=options.of_ten,
            typed=options.set,
        )
        return 0
    if options.command == "page":
        from app.cli.page import page

        return page(options)
    if options.command == "weather":
        from app.cli.weather import weather

        weather(options.files, options.into, replace_years=options.replace)
        return 0
    from app.cli.lesson import check

    return check(options.file)


def _window(options: argparse.Namespace) -> int:
    from model.sky.sun_position import load_library

    # Qt's binding reads the source of every module loaded after it: what needs no Qt goes first.
    load_library()
    for name in ("model.advice.advice", "model.library.store", "model.verdict.table"):
        import_module(name)
    from app.window import open_window

    # What the libraries hold lives as long as the program; a full collection that walks it has
    # held the window up for 470 ms while a year was worked out beside it.
    gc.freeze()
    return open_window(options.files, is_safe=options.safe)


if __name__ == "__main__":
    sys.exit(main())
