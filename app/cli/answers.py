"""One answer to one case, and the work that makes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

from app.cli.cases import Case


@dataclass(frozen=True)
class Work:
    """A function of one case, by its name: the first process of many need not load it.

    Attributes
    ----------
    module, name : where it stands, and what it is called.
    given : what it is given besides the case.
    """

    module: str
    name: str
    given: Mapping[str, Any] = field(default_factory=dict)

    def __call__(self, case: Case) -> Answer:
        """Return the answer to one case."""
        found: Answer = getattr(import_module(self.module), self.name)(case, **self.given)
        return found


@dataclass(frozen=True)
class Answer:
    """What one case came to; a process can hand it to another.

    Attributes
    ----------
    text : what is printed.
    data : what is written as JSON; None where faults kept the case from being run.
    minutes : what is written as CSV.
    remarks : what an old format changes, with the file it stands in.
    faults : a line for each; none where the case was run.
    """

    case: Case
    text: str = ""
    data: dict[str, Any] | None = None
    minutes: str = ""
    remarks: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
