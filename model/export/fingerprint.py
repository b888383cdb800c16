"""A short mark of the input, so that a printed page can be told from one of other numbers.

It begins with the number of the format whose text it is the mark of: a program that writes another
format cannot tell what such a page came from.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass

from model.editing.faults import ScenarioError
from model.editing.variants import variant_of, without_variants
from model.files.scenario_file import dump_scenario
from model.scenario.scenario import FORMAT, Scenario

DIGITS = 8
_MARK = re.compile(rf"(?:input )?(?:(\d{{1,3}})-)?([0-9a-f]{{{DIGITS}}})", re.IGNORECASE)


class MarkError(ValueError):
    """Text that is no mark; says in one line what one looks like."""


@dataclass(frozen=True)
class Mark:
    """A mark as it was printed; without a format it is of a program that printed none."""

    format: int | None
    digits: str

    @property
    def is_foreign(self) -> bool:
        """Whether it is of another format than this program's."""
        return self.format != FORMAT

    @property
    def why(self) -> str:
        """Why nothing can be said of such a mark."""
        if self.format is None or self.format < FORMAT:
            return "the page is of an older program, cannot tell"
        return "the page is of a newer program, cannot tell"


def fingerprint(scenario: Scenario) -> str:
    """Return a mark that changes with anything in the file's text but the variants.

    A variant changes nothing of what is run and printed.
    """
    text = dump_scenario(without_variants(scenario))
    return f"{FORMAT}-{hashlib.sha256(text.encode()).hexdigest()[:DIGITS]}"


def read_mark(text: str) -> Mark:
    """Return a mark that somebody typed.

    Raises
    ------
    MarkError
        Where it is none.
    """
    found = _MARK.fullmatch(text.strip())
    if found is None:
        example = f"{FORMAT}-{'0123abcd'[:DIGITS]}"
        raise MarkError(f"mark: must be as it stands at the foot of a page, such as {example}")
    return Mark(int(found[1]) if found[1] else None, found[2].lower())


def found_in(scenario: Scenario, mark: Mark) -> tuple[str, ...]:
    """Return what of a scenario gives the mark: itself, and its variants by their names."""
    wanted = f"{mark.format}-{mark.digits}"
    found = ["this input"] if fingerprint(scenario) == wanted else []
    for variant in scenario.variants:
        try:
            changed = variant_of(scenario, variant.name)
        except ScenarioError:
            # A variant that does not fit this scenario prints no page.
            continue
        if fingerprint(changed) == wanted:
            found.append(f"its variant {variant.name}")
    return tuple(found)
