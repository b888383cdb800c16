"""Two windows change one library: what both wanted is there, and nothing is lost."""

from __future__ import annotations

import json

import pytest

from model.library.catalogue import Library, named
from model.library.merge import base_of, changes_of, merged, with_changes_of
from model.library.new_station import new_part
from model.scenario.station import Part


def radio(name: str, mass_kg: float = 1.0) -> Part:
    return new_part("radio").model_copy(update={"name": name, "mass_kg": mass_kg})


BATTERY = new_part("battery")
A, B, C = radio("A"), radio("B"), radio("C")
BASE = Library((A, B, BATTERY))


def masses(library: Library) -> dict[str, float]:
    return {part.name: part.mass_kg for part in library.of("radio")}


@pytest.mark.parametrize(
    ("ours", "theirs", "wanted", "remarks"),
    [
        ((A, B), (A, B), {"A": 1, "B": 1}, 0),
        ((radio("A", 2), B), (A, B), {"A": 2, "B": 1}, 0),
        ((radio("A", 2), B), (A, radio("B", 3)), {"A": 2, "B": 3}, 0),
        ((A, B, C), (A, B, radio("D")), {"A": 1, "B": 1, "C": 1, "D": 1}, 0),
        ((B,), (A,), {}, 0),
        ((radio("A", 2), B), (radio("A", 3), B), {"A": 3, "A (2)": 2, "B": 1}, 1),
        ((radio("A", 2), B), (radio("A", 2), B), {"A": 2, "B": 1}, 0),
        ((radio("A", 2), B), (B,), {"A": 2, "B": 1}, 1),
        ((B,), (radio("A", 3), B), {"A": 3, "B": 1}, 1),
        ((A, B, C), (A, B, radio("C", 5)), {"A": 1, "B": 1, "C": 5, "C (2)": 1}, 1),
        ((radio("A2"), B), (A, radio("B", 3)), {"A2": 1, "B": 3}, 0),
    ],
)
def test_both_sets_of_changes_are_made(
    ours: tuple[Part, ...], theirs: tuple[Part, ...], wanted: dict[str, float], remarks: int
) -> None:
    done = merged(BASE, Library((*ours, BATTERY)), Library((BATTERY, *theirs)))
    assert masses(done.library) == wanted
    assert done.library.of("battery") == (BATTERY,)
    assert len(done.remarks) == remarks


def test_changes_kept_in_a_journal_are_made_in_what_is_there_by_then() -> None:
    ours = Library((radio("A", 2), C, BATTERY))
    changes = json.loads(json.dumps(changes_of(BASE, ours)))
    done = with_changes_of(Library((A, B, radio("D"), BATTERY)), changes)
    assert masses(done.library) == {"A": 2, "C": 1, "D": 1}
    assert changes_of(BASE, BASE) == ()
    assert with_changes_of(BASE, [("radio", None, {"name": ""}), ("else", {}, {})]).library == BASE


def test_what_a_failed_save_had_written_is_nobody_else_s_change() -> None:
    tried = Library((radio("A", 2), B, named(BATTERY, "other")))
    # The radios were written, the batteries not.
    theirs = Library((radio("A", 2), B, BATTERY))
    base = base_of(BASE, tried, theirs)
    assert masses(base) == {"A": 2, "B": 1}
    assert base.of("battery") == (BATTERY,)
    ours = Library((radio("A", 4), B, named(BATTERY, "other")))
    done = merged(base, ours, theirs)
    assert masses(done.library) == {"A": 4, "B": 1}
    assert [part.name for part in done.library.of("battery")] == ["other"]
    assert done.remarks == ()
