"""One command of the command line: what it takes, and how its help and faults are told."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from textwrap import fill
from typing import TYPE_CHECKING, Any, NoReturn

from app.cli.outputs import tell, write_text

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

HELP_WIDTH = 79
MOST_TRIPS = 100_000
AddCommand = Callable[..., "CommandParser"]


class CommandParser(argparse.ArgumentParser):
    """One command; a fault is one line, and help that cannot be printed is told like any output.

    Attributes
    ----------
    told : what it takes, in the order of its help.
    commands : those below it, by their names.
    """

    def __init__(self, **given: Any) -> None:
        self.told: list[argparse.Action] = []
        self.commands: Mapping[str, CommandParser] = {}
        # Descriptions are folded here; examples stay as they would be typed.
        given["description"] = fill(given.get("description") or "", HELP_WIDTH)
        super().__init__(formatter_class=argparse.RawDescriptionHelpFormatter, **given)

    @property
    def works(self) -> bool:
        """Whether it does something itself: one that only parts commands takes nothing."""
        return not self.commands or any(not each.option_strings for each in self.told)

    def add_argument(self, *names: Any, **given: Any) -> argparse.Action:
        """Add what the command takes, and remember it for manual and completion."""
        action = super().add_argument(*names, **given)
        self.told.append(action)
        return action

    def add_commands(self, dest: str, *, required: bool = False) -> AddCommand:
        """Return what adds a command below this one."""
        below = self.add_subparsers(dest=dest, metavar="COMMAND", required=required)
        self.commands = below.choices

        def add_command(name: str, *, help: str, **given: Any) -> CommandParser:
            # The help of a command begins with what the list of commands says of it.
            said = given.pop("description", f"{help[:1].upper()}{help[1:]}.")
            made: CommandParser = below.add_parser(name, help=help, description=said, **given)
            return made

        return add_command

    def error(self, message: str) -> NoReturn:
        """Say what is wrong in one line, and end with exit code 2."""
        tell(f"{self.prog}: {' '.join(message.split())} ({self.prog} --help tells more)")
        raise SystemExit(2)

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        if file is sys.stdout and sys.stdout is not None:
            write_text(message, "-")
        else:
            tell(message.rstrip())


def example(*lines: str) -> str:
    """Return examples as they would be typed, for the end of a help."""
    return "\n  counterpoise ".join(["Example:" if len(lines) == 1 else "Examples:", *lines])


def trips(text: str) -> int:
    """Return a number of trial trips that was typed."""
    return whole(text, MOST_TRIPS)


def of_ten(text: str) -> int:
    """Return how many of ten was typed."""
    return whole(text, 9)


def whole(text: str, most: int) -> int:
    """Return a whole number from 1 to so many that was typed."""
    number = int(text) if text.isascii() and text.isdigit() else 0
    if not 1 <= number <= most:
        raise argparse.ArgumentTypeError(f"must be a whole number from 1 to {most}")
    return number
