"""What one call asks for: every file with every value of a sweep, a case each."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from math import isfinite

from app.cli.outputs import RefusedOutputError

MOST_VALUES = 1000
MOST_CASES = 10_000
HOW = "must read PATH=FROM:TO:COUNT, such as stations.0.battery.capacity_ah=10:40:7"


@dataclass(frozen=True)
class Sweep:
    """A value that is changed in equal steps, each as it would be typed after ``--set``."""

    path: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Case:
    """One scenario that is asked about.

    Attributes
    ----------
    file : its name as it was given; ``-`` is standard input.
    data : what standard input held; None where the file is read.
    typed : changes made first, each ``PATH=VALUE``.
    swept : path and value of each sweep in this case.
    is_one_of_many : whether the same call asks about others.
    """

    file: str
    data: bytes | None = None
    typed: tuple[str, ...] = ()
    swept: tuple[tuple[str, str], ...] = ()
    is_one_of_many: bool = False

    @property
    def name(self) -> str:
        """The file as a person calls it."""
        return "standard input" if self.file == "-" else self.file

    @property
    def title(self) -> str:
        """The file, and what is swept in it."""
        return ", ".join([self.name, *(f"{path} = {value}" for path, value in self.swept)])


def sweep(text: str) -> Sweep:
    """Return the values of ``PATH=FROM:TO:COUNT``, both ends among them.

    Raises
    ------
    argparse.ArgumentTypeError
        When it reads otherwise, or asks for fewer than 2 or more than 1000 values.
    """
    path, _, bounds = text.partition("=")
    parts = bounds.split(":")
    if not path.strip() or len(parts) != 3:
        raise argparse.ArgumentTypeError(HOW)
    try:
        low, high = float(parts[0]), float(parts[1])
        count = int(parts[2]) if parts[2].isascii() else 0
    except ValueError:
        raise argparse.ArgumentTypeError(HOW) from None
    if not (isfinite(low) and isfinite(high)):
        raise argparse.ArgumentTypeError(HOW)
    if not 2 <= count <= MOST_VALUES:
        raise argparse.ArgumentTypeError(f"COUNT must be from 2 to {MOST_VALUES}, got {parts[2]}")
    values = (low + (high - low) * place / (count - 1) for place in range(count))
    # Twelve digits: 0.3 is 0.3 whatever was added up to it.
    return Sweep(path.strip(), tuple(f"{value:.12g}" for value in values))


def cases_of(
    files: Sequence[str], typed: Sequence[str] = (), sweeps: Sequence[Sweep] = ()
) -> tuple[Case, ...]:
    """Return every file with every combination of swept values.

    Raises
    ------
    RefusedOutputError
        When standard input or a path stands twice, more than 10,000 cases are asked for, or
        standard input cannot be read.
    """
    if files.count("-") > 1:
        raise RefusedOutputError("standard input can be read once")
    paths = [each.path for each in sweeps]
    for path in paths:
        if paths.count(path) > 1:
            raise RefusedOutputError(f"--sweep {path}: is given twice")
    many = len(files)
    for each in sweeps:
        many *= len(each.values)
    if many > MOST_CASES:
        raise RefusedOutputError(f"{many} runs are asked for; at most {MOST_CASES} go in one call")
    held = {file: _data_of(file) for file in files}
    return tuple(
        Case(file, held[file], tuple(typed), tuple(zip(paths, values, strict=True)), many > 1)
        for file in files
        for values in product(*(each.values for each in sweeps))
    )


def _data_of(file: str) -> bytes | None:
    if file != "-":
        return None
    # Only who reads a scenario here loads what reads one.
    from model.editing.faults import ScenarioError
    from model.files.scenario_file import read_bytes

    try:
        return read_bytes(file)
    except ScenarioError as error:
        raise RefusedOutputError(str(error)) from None
