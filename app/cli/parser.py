"""The commands, their options and their help."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path
from textwrap import fill

from app.cli.cases import sweep
from app.cli.command_parser import HELP_WIDTH, AddCommand, CommandParser, example, of_ten, trips
from app.cli.group_options import group_commands
from model.scenario.cautions import PREDICTION
from model.support.version import VERSION

SAFE_HELP = "open the window without settings, last file and own library"


def parser() -> CommandParser:
    """Return the parser of the whole command line."""
    top = CommandParser(
        prog="counterpoise",
        description="Weigh one portable radio station against another, through a day and a night."
        " Without a command the window opens.",
        epilog=example("scenarios/ridge-weekend.toml", "run scenarios/ridge-weekend.toml")
        + "\n\n"
        + fill(PREDICTION, HELP_WIDTH),
    )
    _on_top(top)
    add_command = top.add_commands("command")
    for describe in (
        _run, _page, _size, _odds, _verify, _reports, _weather, _lesson, group_commands,
        _completion, _manual,
    ):  # fmt: skip
        describe(add_command)
    return top


def _on_top(command: CommandParser) -> None:
    command.add_argument("--safe", action="store_true", help=SAFE_HELP)
    command.add_argument(
        "--install-desktop",
        action="store_true",
        help="put the program into this person's menu, with its icon and type of file",
    )
    command.add_argument(
        "--remove-desktop", action="store_true", help="take away what --install-desktop made"
    )
    command.add_argument(
        "--version", action="version", version=f"counterpoise {VERSION}", help="print the version"
    )


def near_commands(word: str, commands: Sequence[str]) -> str:
    """Return why a first word is refused, with the commands that are near."""
    near = difflib.get_close_matches(word, commands, cutoff=0.5)
    if not near and (Path(word).suffix or len(Path(word).parts) > 1):
        return f"{word}: there is no such file"
    said = f"near it: {', '.join(near)}" if near else f"commands: {', '.join(commands)}"
    return f"{word}: is neither a command nor a file; {said}"


def window_parser() -> CommandParser:
    """Return the parser of a command line that opens the window."""
    window = CommandParser(prog="counterpoise", allow_abbrev=False)
    window.add_argument("files", metavar="FILE", nargs="*", help="a scenario to open")
    _on_top(window)
    window.set_defaults(command=None)
    return window


def _run(add_command: AddCommand) -> None:
    run = add_command(
        "run",
        help="compare the stations of a scenario in a table",
        epilog=example(
            "run scenarios/ridge-weekend.toml --json results.json --csv minutes.csv",
            "run scenarios/ridge-weekend.toml --set day.sky=overcast --brief",
            "run scenarios/ridge-weekend.toml --summary sizes.csv"
            " --sweep stations.1.battery.capacity_ah=10:40:7",
            "run scenarios/*.toml --summary all.csv",
        ),
    )
    _files(run)
    _changes(run)
    run.add_argument("--variant", metavar="NAME", help="run a variant that the file holds")
    run.add_argument(
        "--brief", action="store_true", help="without advice, which takes longer than the run"
    )
    _outputs(run, "all results")
    run.add_argument(
        "--csv", metavar="OUT", help="write every minute of one run; - is standard output"
    )


def _page(add_command: AddCommand) -> None:
    page = add_command(
        "page",
        help="make the kit page as a PDF",
        epilog=example("page scenarios/ridge-weekend.toml --pdf kit.pdf --station 1"),
    )
    page.add_argument("files", metavar="FILE", nargs="+", help="scenarios; - is standard input")
    page.add_argument("--pdf", metavar="OUT", required=True, help="- is standard output")
    page.add_argument("--paper", choices=("a4", "letter"), default="a4")
    page.add_argument(
        "--station", metavar="N", type=int, help="one station, counted from 1; else every one"
    )
    page.add_argument("--units", choices=("metric", "us"), default="metric")
    page.add_argument(
        "--reports", metavar="CSV", help="put reception reports on the comparison of one scenario"
    )
    page.add_argument("--log", action="store_true", help="add a field log for each station")
    page.add_argument(
        "--blanks", action="store_true", help="leave predictions blank, with an answer page"
    )


def _verify(add_command: AddCommand) -> None:
    verify = add_command(
        "verify",
        help="say which file, or which of its variants, a printed page came from",
        epilog=example("verify 2-0123abcd scenarios/ridge-weekend.toml"),
    )
    verify.add_argument("mark", metavar="MARK", help="the input mark at the foot of the page")
    verify.add_argument("files", metavar="FILE", nargs="+", help="scenarios; - is standard input")


def _size(add_command: AddCommand) -> None:
    size = add_command(
        "size",
        help="find the smallest battery and the smallest panel that meet the plan",
        epilog=example("size scenarios/ridge-weekend.toml --json sizes.json"),
    )
    _files(size)
    _changes(size)
    _outputs(size, "the sizes")


def _odds(add_command: AddCommand) -> None:
    odds = add_command(
        "odds",
        help="say in how many trial trips each station lasts",
        epilog=example("odds scenarios/ridge-weekend.toml --trips 2000 --json -"),
    )
    _files(odds)
    _changes(odds)
    odds.add_argument(
        "--trips", metavar="N", type=trips, default=2000, help="trial trips, 1 to 100000"
    )
    _outputs(odds, "the odds")
    odds.add_argument(
        "--more",
        action="store_true",
        help="also find what would raise the odds, what would narrow them, and the smallest sizes",
    )
    odds.add_argument(
        "--of-ten", metavar="N", type=of_ten, default=9,
        help="with --more: sizes that meet the plan in N of 10 trial trips, 1 to 9",
    )  # fmt: skip
    odds.add_argument(
        "--goal",
        choices=("receive", "plan"),
        default="receive",
        help="with --more: raise and narrow the odds to receive to the end, or to meet the plan",
    )


def _reports(add_command: AddCommand) -> None:
    reports = add_command(
        "reports",
        help="say from reception reports whether the amplifier is needed",
        description="Read a table of one's own reception reports (time, SNR in dB, transmit power,"
        " mode; band or frequency if there), and say which share of the paths that heard would"
        " read voice, Morse and other modes at the powers of a station. A row without SNR is an"
        " attempt that was not heard.",
        epilog=example(
            "reports scenarios/reports-example.csv --scenario scenarios/ridge-weekend.toml"
        ),
    )
    reports.add_argument("files", metavar="CSV", nargs=1, help="the table; - is standard input")
    reports.add_argument(
        "--scenario", metavar="FILE", required=True, help="site and stations; - is standard input"
    )
    reports.add_argument(
        "--station", metavar="N", type=int, default=1, help="counted from 1; by default the first"
    )
    reports.add_argument("--json", metavar="OUT", help="write all answers; - is standard output")
    reports.add_argument("--csv", metavar="OUT", help="write them as a table; - is standard output")
    reports.add_argument(
        "--column",
        metavar="NAME=HEADING",
        action="append",
        default=[],
        help="name the column of time, date, snr_db, power, mode, band or frequency_mhz; can be"
        " repeated",
    )
    _set(reports)


def _weather(add_command: AddCommand) -> None:
    weather = add_command(
        "weather",
        help="read weather files into the climate of a scenario",
        description="Read weather files (EPW, TMY2, TMY3, PVGIS, NSRDB, BSRN, SURFRAD), reduce"
        " them to days, and keep days and months in a scenario. The scenario as it was stays"
        " beside it, with .backup after its name.",
        epilog=example("weather 2019.csv 2020.csv --into ridge.toml"),
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
        epilog=example("lesson check scenarios/lessons/tonight.toml"),
    )
    check = lesson.add_commands("lesson_command", required=True)(
        "check",
        help="say what is wrong with lessons and playlists",
        description="Say what is wrong with lessons and playlists: their text, their runs, the"
        " times planned, and what is shown before the reveal whose answer it holds.",
        epilog=example("lesson check scenarios/lessons/tonight.toml"),
    )
    _files(check, "lessons and playlists")
    _summary(check, "lesson")


def _completion(add_command: AddCommand) -> None:
    completion = add_command(
        "completion",
        help="print what lets a shell complete commands and options",
        description="Print what lets a shell complete commands and options. In the file that the"
        ' shell reads when it starts: eval "$(counterpoise completion bash)".',
        epilog=example("completion bash"),
    )
    completion.add_argument("shell", choices=("bash", "zsh"), help="the shell")


def _manual(add_command: AddCommand) -> None:
    add_command(
        "manual",
        help="print the page of the manual, for man",
        description="Print the page of the manual; man -l shows it from a file.",
        epilog=example("manual"),
    )


def _files(command: CommandParser, what: str = "scenarios") -> None:
    command.add_argument("files", metavar="FILE", nargs="+", help=f"{what}; - is standard input")


def _outputs(command: CommandParser, what: str) -> None:
    command.add_argument(
        "--json",
        metavar="OUT",
        help=f"write {what}, of several runs one on each line; - is standard output",
    )
    _summary(command, "station of each run")


def _summary(command: CommandParser, row: str) -> None:
    command.add_argument(
        "--summary",
        metavar="OUT",
        help=f"write a table (CSV) with a row for each {row}; - is standard output",
    )


def _set(command: CommandParser) -> None:
    command.add_argument(
        "--set",
        metavar="PATH=VALUE",
        action="append",
        default=[],
        help="change a value first, such as stations.0.battery.capacity_ah=24; can be repeated",
    )


def _changes(command: CommandParser) -> None:
    _set(command)
    command.add_argument(
        "--sweep",
        metavar="PATH=FROM:TO:COUNT",
        type=sweep,
        action="append",
        default=[],
        help="run with each of so many values of a number, both ends among them, such as"
        " stations.0.battery.capacity_ah=10:40:7; repeated: with every combination",
    )
