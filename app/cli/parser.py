"""The commands, their options and their help."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from app.cli.outputs import tell, write_text

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

from model.scenario.cautions import PREDICTION

MOST_TRIPS = 100_000
SAFE_HELP = "open the window without settings, last file and own library"
AddCommand = Callable[..., argparse.ArgumentParser]


class _Parser(argparse.ArgumentParser):
    """Help that cannot be printed is told like any other output, where its base is silent."""

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        if file is sys.stdout and sys.stdout is not None:
            write_text(message, "-")
        else:
            tell(message.rstrip())


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    top = _Parser(
        prog="counterpoise",
        description="Weigh one portable radio station against another, through a day and a night.",
        epilog=f"Example: counterpoise scenarios/ridge-weekend.toml opens the window. {PREDICTION}",
    )
    top.add_argument("--safe", action="store_true", help=SAFE_HELP)
    commands = top.add_subparsers(dest="command", metavar="COMMAND")
    for describe in (_run, _page, _size, _odds, _weather, _lesson):
        describe(commands.add_parser)
    return top


def window_parser() -> argparse.ArgumentParser:
    """Return the parser of a command line that opens the window."""
    window = _Parser(prog="counterpoise", allow_abbrev=False)
    window.add_argument("files", metavar="FILE", nargs="*", help="a scenario to open")
    window.add_argument("--safe", action="store_true", help=SAFE_HELP)
    window.set_defaults(command=None)
    return window


def _run(add_command: AddCommand) -> None:
    run = add_command(
        "run",
        help="compare the stations of a scenario in a table",
        epilog="Example: counterpoise run scenarios/ridge-weekend.toml --json - --csv minutes.csv",
    )
    _file(run)
    _set(run)
    run.add_argument("--json", metavar="OUT", help="write all results; - is standard output")
    run.add_argument("--csv", metavar="OUT", help="write every minute; - is standard output")
    run.add_argument("--variant", metavar="NAME", help="run a variant that the file holds")


def _page(add_command: AddCommand) -> None:
    page = add_command(
        "page",
        help="make the kit page as a PDF",
        epilog="Example: counterpoise page scenarios/ridge-weekend.toml --pdf kit.pdf --station 1",
    )
    page.add_argument("files", metavar="FILE", nargs="+", help="scenarios; - is standard input")
    page.add_argument("--pdf", metavar="OUT", required=True, help="- is standard output")
    page.add_argument("--paper", choices=("a4", "letter"), default="a4")
    page.add_argument(
        "--station", metavar="N", type=int, help="one station, counted from 1; else every one"
    )
    page.add_argument("--units", choices=("metric", "us"), default="metric")
    page.add_argument("--packing", action="store_true", help="add a second side for packing")
    page.add_argument(
        "--blanks", action="store_true", help="leave predictions blank, with an answer page"
    )


def _size(add_command: AddCommand) -> None:
    size = add_command(
        "size",
        help="find the smallest battery and the smallest panel that meet the plan",
        epilog="Example: counterpoise size scenarios/ridge-weekend.toml --json sizes.json",
    )
    _file(size)
    _set(size)
    size.add_argument("--json", metavar="OUT", help="write the sizes; - is standard output")


def _odds(add_command: AddCommand) -> None:
    odds = add_command(
        "odds",
        help="say in how many trial trips each station lasts",
        epilog="Example: counterpoise odds scenarios/ridge-weekend.toml --trips 2000 --json -",
    )
    _file(odds)
    _set(odds)
    odds.add_argument(
        "--trips", metavar="N", type=_trips, default=2000, help="trial trips, 1 to 100000"
    )
    odds.add_argument("--json", metavar="OUT", help="write the odds; - is standard output")
    odds.add_argument(
        "--more",
        action="store_true",
        help="also find what would raise the odds, what would narrow them, and the smallest sizes",
    )
    odds.add_argument(
        "--of-ten", metavar="N", type=_of_ten, default=9,
        help="with --more: sizes that meet the plan in N of 10 trial trips, 1 to 9",
    )  # fmt: skip
    odds.add_argument(
        "--goal",
        choices=("receive", "plan"),
        default="receive",
        help="with --more: raise and narrow the odds to receive to the end, or to meet the plan",
    )


def _weather(add_command: AddCommand) -> None:
    weather = add_command(
        "weather",
        help="read weather files into the climate of a scenario",
        description="Read weather files (EPW, TMY2, TMY3, PVGIS, NSRDB, BSRN, SURFRAD), reduce"
        " them to days, and keep days and months in a scenario. The scenario as it was stays"
        " beside it, with .backup after its name.",
        epilog="Example: counterpoise weather 2019.csv 2020.csv --into ridge.toml",
    )
    weather.add_argument("files", metavar="FILE", nargs="+", help="weather files of the place")
    weather.add_argument("--into", metavar="SCENARIO", required=True, help="file to be changed")
    weather.add_argument(
        "--replace", action="store_true", help="forget the years that the scenario holds"
    )


def _lesson(add_command: AddCommand) -> None:
    lesson = add_command(
        "lesson",
        help="work on the lessons of a class",
        epilog="Example: counterpoise lesson check scenarios/lessons/tonight.toml",
    )
    of_lesson = lesson.add_subparsers(dest="lesson_command", metavar="COMMAND", required=True)
    check = of_lesson.add_parser(
        "check",
        help="say what is wrong with a lesson",
        epilog="Example: counterpoise lesson check scenarios/lessons/tonight.toml",
    )
    _file(check, "a lesson")


def _file(command: argparse.ArgumentParser, what: str = "a scenario") -> None:
    command.add_argument("file", metavar="FILE", help=f"{what}; - is standard input")


def _set(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--set",
        metavar="PATH=VALUE",
        action="append",
        default=[],
        help="change a value first, such as stations.0.battery.capacity_ah=24; can be repeated",
    )


def _trips(text: str) -> int:
    return _whole(text, MOST_TRIPS)


def _of_ten(text: str) -> int:
    return _whole(text, 9)


def _whole(text: str, most: int) -> int:
    number = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= number <= most:
        raise argparse.ArgumentTypeError(f"must be a whole number from 1 to {most}")
    return number
