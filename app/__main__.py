"""The program's front door: a window, or a command that needs no screen."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path

from app.cli.answers import Work
from app.cli.cases import Case, cases_of
from app.cli.group_options import DRILL_NAME
from app.cli.outputs import (
    OutputError,
    RefusedOutputError,
    forget_standard_output,
    refuse_clashes,
    tell,
    write_text,
)
from app.cli.parser import near_commands, parser, window_parser

STOPPED = 130
# Collections of garbage walk what the libraries hold, again and again while they are loaded: that
# was a tenth of a first answer. A command ends before it leaves as much behind as this.
COLLECT_AFTER = 200_000


def main(arguments: list[str] | None = None) -> int:
    """Run one command or open the window; return the exit code.

    Faults in a file give 2 and one line each on standard error.
    """
    given = sys.argv[1:] if arguments is None else arguments
    try:
        options = parsed(given)
        return _window(options) if options.command is None else _command(options)
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
    except KeyboardInterrupt:
        tell("stopped")
        return STOPPED


def parsed(given: list[str]) -> argparse.Namespace:
    """Return the command line; without a command, the file the window opens and how.

    Raises
    ------
    RefusedOutputError
        When the first word is neither a command nor a file.
    """
    of_all = parser()
    first = next(iter(given), "")
    if given[:2] == DRILL_NAME.split():
        return of_all.commands["group"].commands["drill"].parse_args(given[2:])
    if first in of_all.commands or first in ("-h", "--help", "--version"):
        return of_all.parse_args(given)
    options = window_parser().parse_args(given)
    for file in options.files[:1]:
        if not _is_there(file):
            raise RefusedOutputError(near_commands(file, [*of_all.commands]))
    return options


def _is_there(file: str) -> bool:
    try:
        return Path(file).exists()
    except (OSError, ValueError):
        return False


def _command(options: argparse.Namespace) -> int:
    given = vars(options)
    inputs = [*given.get("files", []), *filter(None, [given.get("scenario"), given.get("reports")])]
    refuse_clashes(
        inputs, {f"--{name}": given.get(name) for name in ("json", "csv", "summary", "pdf")}
    )
    with _collecting_rarely():
        return _WORK[options.command](options)


@contextmanager
def _collecting_rarely() -> Iterator[None]:
    usual = gc.get_threshold()
    gc.set_threshold(COLLECT_AFTER)
    try:
        yield
    finally:
        gc.set_threshold(*usual)


# Each command imports what it needs and no more: ``run`` and ``size`` load no Qt.
def _run(options: argparse.Namespace) -> int:
    from app.cli.columns import RUN

    cases = cases_of(options.files, options.set, options.sweep)
    if options.csv is not None and len(cases) > 1:
        raise RefusedOutputError(f"--csv: holds the minutes of one run; {len(cases)} are asked for")
    given = {
        "variant": options.variant,
        # A summary has no place for advice.
        "is_brief": options.brief or (options.summary is not None and options.json is None),
        "with_minutes": options.csv is not None,
    }
    return _given(Work("app.cli.run", "run", given), cases, options, RUN)


def _size(options: argparse.Namespace) -> int:
    from app.cli.columns import SIZE

    cases = cases_of(options.files, options.set, options.sweep)
    return _given(Work("app.cli.size", "size"), cases, options, SIZE)


def _odds(options: argparse.Namespace) -> int:
    from app.cli.columns import ODDS

    goal = options.goal if options.more else None
    given = {"trips": options.trips, "goal": goal, "of_ten": options.of_ten}
    cases = cases_of(options.files, options.set, options.sweep)
    return _given(Work("app.cli.odds", "odds", given), cases, options, ODDS)


def _given(
    work: Work, cases: Sequence[Case], options: argparse.Namespace, columns: Sequence[str]
) -> int:
    from app.cli.give import answered, give

    return give(
        answered(work, cases),
        json_out=options.json,
        csv_out=getattr(options, "csv", None),
        summary_out=options.summary,
        columns=columns,
    )


def _page(options: argparse.Namespace) -> int:
    from app.cli.page import page

    return page(options)


def _verify(options: argparse.Namespace) -> int:
    from app.cli.verify import verify

    return verify(options.mark, options.files)


def _reports(options: argparse.Namespace) -> int:
    from app.cli.reports import reports

    return reports(
        options.files[0],
        options.scenario,
        options.station,
        json_out=options.json,
        csv_out=options.csv,
        columns=options.column,
        typed=options.set,
    )


def _weather(options: argparse.Namespace) -> int:
    from app.cli.weather import weather

    return weather(options.files, options.into, replace_years=options.replace)


def _lesson(options: argparse.Namespace) -> int:
    from app.cli.give import answered, give_checks

    cases = [Case(file, is_one_of_many=len(options.files) > 1) for file in options.files]
    work = Work("app.cli.lesson", "check")
    # Standard input is read by this process and by no other.
    answers = map(work, cases) if "-" in options.files else answered(work, cases)
    return give_checks(answers, options.summary)


def _group(options: argparse.Namespace) -> int:
    from app.cli.group import group

    return group(
        options.files[0],
        skies=options.skies,
        is_brief=options.brief,
        json_out=options.json,
        csv_out=options.csv,
        pdf_out=options.pdf,
        paper=options.paper,
        units=options.units,
    )


def _drill(options: argparse.Namespace) -> int:
    from app.cli.group import drill

    return drill(options.files[0], options.without, json_out=options.json, csv_out=options.csv)


def _completion(options: argparse.Namespace) -> int:
    from app.cli.completion import completion

    write_text(completion(options.shell), "-")
    return 0


def _manual(_options: argparse.Namespace) -> int:
    from app.cli.manual import manual

    write_text(manual(), "-")
    return 0


_WORK = {
    "run": _run,
    "page": _page,
    "verify": _verify,
    "size": _size,
    "odds": _odds,
    "reports": _reports,
    "weather": _weather,
    "lesson": _lesson,
    "group": _group,
    DRILL_NAME: _drill,
    "completion": _completion,
    "manual": _manual,
}


def _desktop(options: argparse.Namespace) -> int:
    from app.cli import desktop

    if options.install_desktop and options.remove_desktop:
        raise RefusedOutputError("--install-desktop and --remove-desktop cannot both be asked for")
    return desktop.install() if options.install_desktop else desktop.remove()


def _window(options: argparse.Namespace) -> int:
    if options.install_desktop or options.remove_desktop:
        return _desktop(options)
    from app.cli.display import why_no_window

    if reason := why_no_window():
        tell(reason)
        return 1
    open_window = load_window()
    return open_window(options.files, is_safe=options.safe)


def load_window() -> Callable[..., int]:
    """Load all that the window's first picture needs; return what opens the window."""
    with _collecting_rarely():
        from model.sky.sun_position import load_library

        # Qt's binding reads the source of every module loaded after it: what needs no Qt goes
        # first.
        load_library()
        for name in ("model.advice.advice", "model.library.store", "model.verdict.table"):
            import_module(name)
        from app.window import open_window

        # What the libraries hold lives as long as the program; a full collection that walks it has
        # held the window up for 470 ms while a year was worked out beside it.
        gc.freeze()
    return open_window


if __name__ == "__main__":
    if getattr(sys, "frozen", False):
        # A program made of one folder starts itself again for each process of a call.
        from multiprocessing import freeze_support

        freeze_support()
    sys.exit(main())
