"""Writing results to files or standard output, and saying plainly why one cannot be written."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from model.files.atomic_write import SaveError, reason_of, shown_name, write_data


class OutputError(Exception):
    """A result could not be written; the message names the place and the reason."""


class RefusedOutputError(OutputError):
    """Results were asked for where they would destroy each other or what they come from."""


def refuse_clashes(inputs: Sequence[str], outputs: Mapping[str, str | None]) -> None:
    """Refuse outputs that share one place, or that would replace an input of the same call.

    Parameters
    ----------
    inputs : the files that are read; ``-`` is standard input.
    outputs : where each option writes, None where it is not given; ``-`` is standard output.

    Raises
    ------
    RefusedOutputError
        Before anything is read or written.
    """
    taken: dict[str, str] = {}
    for option, out in outputs.items():
        if out is None:
            continue
        if option_before := next((taken[each] for each in taken if _same(each, out)), None):
            where = "standard output" if out == "-" else out
            raise RefusedOutputError(f"{option_before} and {option} cannot both go to {where}")
        taken[out] = option
        if out != "-" and any(each != "-" and _same(each, out) for each in inputs):
            raise RefusedOutputError(f"{option}: {out} is read here and must not be replaced")


def _same(one: str, other: str) -> bool:
    """Return whether two names are one place, by whatever way they lead to it."""
    if "-" in (one, other):
        return one == other
    try:
        return Path(one).samefile(other)
    except OSError:
        return os.path.realpath(one) == os.path.realpath(other)
    except ValueError:
        # A name that no file can have is refused where it is opened.
        return False


def tell(words: str) -> None:
    """Put a line on standard error; where that is closed or full, nobody is left to tell."""
    with suppress(OSError, ValueError):
        if sys.stderr is not None:
            sys.stderr.write(f"{words}\n")


@contextmanager
def standard_output() -> Iterator[None]:
    """Say plainly why standard output takes nothing; a reader that has gone is no fault.

    Raises OutputError.
    """
    if sys.stdout is None:
        raise OutputError("standard output is closed")
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        forget_standard_output()
        raise OutputError(f"standard output: cannot be written: {reason_of(error)}") from None


def forget_standard_output() -> None:
    """Let what is still held for standard output go nowhere: the interpreter would try again."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def write_text(text: str, out: str) -> None:
    """Write text to a path, or to standard output for ``-``."""
    if out == "-":
        with standard_output():
            sys.stdout.write(text)
            sys.stdout.flush()
        return
    write_bytes(text.encode("utf-8"), out)


def write_bytes(data: bytes, out: str) -> None:
    """Write bytes to a path, or to standard output for ``-``."""
    if out == "-":
        with standard_output():
            sys.stdout.buffer.write(data)
            sys.stdout.buffer.flush()
        return
    path = Path(out)
    try:
        if path.exists() and not path.is_file():
            # A pipe or a device is written to as it stands.
            path.write_bytes(data)
        else:
            write_data(data, path)
    except OSError as error:
        raise OutputError(f"{out}: cannot be written: {reason_of(error)}") from None
    except SaveError as error:
        reason = str(error).removeprefix(f"{shown_name(path)}: ")
        raise OutputError(f"{out}: cannot be written: {reason}") from None
