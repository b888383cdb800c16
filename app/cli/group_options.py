"""What ``counterpoise group`` and ``group drill`` take."""

from __future__ import annotations

from app.cli.command_parser import AddCommand, CommandParser, example, trips
from model.group.shared_odds import USUAL_SKIES

GROUP_EXAMPLE = "group scenarios/group/autumn-exercise.toml --csv posts.csv --json group.json"
DRILL_EXAMPLES = (
    "group drill scenarios/group/autumn-exercise.toml --without post02.battery",
    "group drill scenarios/group/autumn-exercise.toml --without post03 --without spare1",
)
DRILL_NAME = "group drill"


def group_commands(add_command: AddCommand) -> None:
    """Add the command of a group, and the drill below it.

    A file may stand where the name of the drill stands: its words are parsed apart.
    """
    group = add_command(
        "group",
        help="say which posts of a group end, who gets which spare and who can power whom",
        epilog=example(GROUP_EXAMPLE, *DRILL_EXAMPLES),
    )
    group.add_argument("files", metavar="FILE", nargs=1, help="the group; - is standard input")
    group.add_argument(
        "--skies", metavar="N", type=trips, default=USUAL_SKIES,
        help=f"trial trips under shared skies, 1 to 100000; by default {USUAL_SKIES}",
    )  # fmt: skip
    group.add_argument(
        "--brief", action="store_true", help="without odds, which take longer than the runs"
    )
    _outputs(group)
    group.add_argument(
        "--pdf", metavar="OUT",
        help="write the printed set: leader's sheet, labels, every kit page, log and after-action"
        " page; - is standard output",
    )  # fmt: skip
    group.add_argument("--paper", choices=("a4", "letter"), default="a4", help="size of the sheets")
    group.add_argument(
        "--units", choices=("metric", "us"), default="metric", help="units of the pages"
    )
    drill = CommandParser(
        prog=f"counterpoise {DRILL_NAME}",
        description="Take parts, spares or posts of a group away, and run the rest again.",
        epilog=example(*DRILL_EXAMPLES),
    )
    drill.set_defaults(command=DRILL_NAME)
    drill.add_argument("files", metavar="FILE", nargs=1, help="the group; - is standard input")
    drill.add_argument(
        "--without", metavar="NAME", action="append", required=True,
        help="post04, post04.battery, post04.leads.2 or spare2; can be repeated",
    )  # fmt: skip
    _outputs(drill)
    group.commands = {"drill": drill}


def _outputs(command: CommandParser) -> None:
    command.add_argument("--json", metavar="OUT", help="write all results; - is standard output")
    command.add_argument(
        "--csv", metavar="OUT", help="write a table with a row for each post; - is standard output"
    )
