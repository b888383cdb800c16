"""The program's front door: a window, or a command that needs no screen."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from importlib import import_module

from app.cli.outputs import OutputError
from app.cli.parser import parser
from model.editing.faults import ScenarioError

COMMANDS = ("run", "page", "size", "lesson")


def main(arguments: list[str] | None = None) -> int:
    """Run one command or open the window; return the exit code.

    Faults in a file give 2 and one line each on standard error.
    """
    given = sys.argv[1:] if arguments is None else arguments
    if not given or (given[0] not in COMMANDS and not given[0].startswith("-")):
        return _window(given)
    options = parser().parse_args(given)
    try:
        return _command(options)
    except ScenarioError as error:
        for fault in error.faults:
            print(fault, file=sys.stderr)
        return 2
    except OutputError as error:
        print(error, file=sys.stderr)
        return 1
    except BrokenPipeError:
        # The reader has gone: nobody is left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


# Each command imports what it needs and no more: ``run`` and ``size`` load no Qt.
def _command(options: argparse.Namespace) -> int:
    if options.command == "run":
        from app.cli.run import run

        run(options.file, options.json, options.csv, options.variant)
        return 0
    if options.command == "size":
        from app.cli.size import size

        size(options.file, options.json)
        return 0
    if options.command == "page":
        from app.cli.page import page

        return page(options)
    from app.cli.lesson import check

    return check(options.file)


def _window(files: list[str]) -> int:
    from model.sky.sun_position import load_library

    # Qt's binding reads the source of every module loaded after it: what needs no Qt goes first.
    load_library()
    for name in ("model.advice.advice", "model.library.store", "model.verdict.table"):
        import_module(name)
    from app.window import open_window

    # What the libraries hold lives as long as the program; a full collection that walks it has
    # held the window up for 470 ms while a year was worked out beside it.
    gc.freeze()
    return open_window(files)


if __name__ == "__main__":
    sys.exit(main())
