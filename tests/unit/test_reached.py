"""The share of the program that the tests reach may rise and never fall."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests import marks, reached
from tests.marks import counts, marked
from tests.reached import LEAST, faults, main, raised, shares_percent

ROOT = Path(__file__).resolve().parents[2]

FILES = {
    "model/sky/trip.py": (30, 40),
    "model/sky/weather.py": (60, 60),
    "model/station/fuses.py": (5, 10),
    "model/__init__.py": (0, 7),
    "app/pages/day/day_view.py": (2, 4),
    "app/pages/lens.py": (3, 4),
}


def test_the_files_of_a_room_count_by_their_statements() -> None:
    assert shares_percent(FILES) == {
        "model/sky": 90.0,
        "model/station": 50.0,
        "model": 0.0,
        "app/pages": 62.5,
    }


def test_a_room_that_fell_is_named() -> None:
    assert faults({"sky": 89.99, "station": 50.0}, {"sky": 90, "station": 50}) == [
        "sky: 89.99 % reached, 90 % needed"
    ]


@pytest.mark.parametrize(("shares", "least"), [({"sky": 99.0}, {}), ({}, {"sky": 90})])
def test_rooms_must_be_stored_and_be_there(shares: dict[str, float], least: dict[str, int]) -> None:
    assert len(faults(shares, least)) == 1


def test_what_is_stored_rises_and_never_falls() -> None:
    shares = {"sky": 95.7, "station": 40.0, "field": 12.3}
    assert raised(shares, {"sky": 90, "station": 50}) == {"field": 11, "sky": 95, "station": 50}


def test_the_check_fails_until_what_fell_is_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    least = tmp_path / "least.json"
    least.write_text('{"app/pages": 60, "model": 0, "model/sky": 88, "model/station": 60}')
    monkeypatch.setattr(reached, "counts", lambda folder: FILES)
    assert main([str(tmp_path), "--least", str(least), "--raise"]) == 1
    assert "model/station: 50.00 % reached, 60 % needed" in capsys.readouterr().out
    stored = json.loads(least.read_text(encoding="utf-8"))
    assert stored == {"app/pages": 62, "model": 0, "model/sky": 89, "model/station": 60}
    back = FILES | {"model/station/fuses.py": (90, 90)}
    monkeypatch.setattr(reached, "counts", lambda folder: back)
    assert main([str(tmp_path), "--least", str(least)]) == 0


def test_every_room_is_stored_and_no_other() -> None:
    stored = json.loads(LEAST.read_text(encoding="utf-8"))
    rooms = {
        f"{package}/{folder.name}"
        for package in marks.PACKAGES
        for folder in (ROOT / package).iterdir()
        if (folder / "__init__.py").is_file()
    }
    assert stored.keys() == rooms | set(marks.PACKAGES)
    assert all(isinstance(share, int) and 0 < share <= 100 for share in stored.values())


SOURCE = '''"""Says nothing."""

from __future__ import annotations


def sign(number: float) -> str:
    """Say it."""
    if number < 0:
        said = "minus"
        return said
    try:
        rest = 1 / number
        said = f"{rest}"
    except ZeroDivisionError:
        return "zero"
    finally:
        number = 0.0
    match said:
        case "1.0":
            said = "one"
        case _:
            said = "more"
    return said


class Kept:
    """Keeps it."""

    first: int = 1
    second: int = 2
'''


def ran(*numbers: float) -> tuple[int, int, dict[str, Any]]:
    """Return the statements run by calls with these numbers, all there are, and the names."""
    tree, statements = marked(SOURCE)
    run = [0] * len(statements)
    names: dict[str, Any] = {"__marks__": run, "__name__": "made"}
    exec(compile(tree, "made.py", "exec"), names)
    for number in numbers:
        names["sign"](number)
    reached_now = sum(count for count, mark in zip(statements, run, strict=True) if mark)
    return reached_now, sum(statements), names


def test_each_statement_counts_once_and_only_where_it_ran() -> None:
    # def, class, first, second; then in sign: if, two; try, two; except's; finally's; match, one
    # in each of two cases; return.
    assert ran()[:2] == (4, 16)
    assert ran(-1.0)[:2] == (7, 16)
    # The division fails: neither it nor what follows it counts as run.
    assert ran(0.0)[:2] == (4 + 1 + 1 + 1 + 1, 16)
    assert ran(1.0)[:2] == (4 + 1 + 3 + 1 + 2 + 1, 16)
    assert ran(-1.0, 0.0, 1.0, 2.0)[:2] == (16, 16)


def test_a_marked_module_is_what_it_was() -> None:
    names = ran()[2]
    assert names["__doc__"] == "Says nothing."
    assert names["sign"].__doc__ == "Say it."
    assert names["Kept"].__doc__ == "Keeps it."
    assert [names["sign"](number) for number in (-3.0, 0.0, 1.0, 2.0)] == [
        "minus",
        "zero",
        "one",
        "more",
    ]
    assert (
        names["sign"].__code__.co_firstlineno
        == SOURCE.split("\n").index("def sign(number: float) -> str:") + 1
    )


def test_what_several_processes_ran_is_added_up(tmp_path: Path) -> None:
    (tmp_path / "model" / "sky").mkdir(parents=True)
    (tmp_path / "model" / "sky" / "sign.py").write_text(SOURCE, encoding="utf-8")
    assert counts(tmp_path, tmp_path) == {"model/sky/sign.py": (0, 16)}
    for number in (-1.0, 0.0):
        run = "".join(map(str, ran(number)[2]["__marks__"]))
        place = tmp_path / f"{number}.json"
        place.write_text(json.dumps({"model/sky/sign.py": run}), encoding="utf-8")
    both = ran(-1.0, 0.0)[0]
    assert both > max(ran(-1.0)[0], ran(0.0)[0])
    assert counts(tmp_path, tmp_path) == {"model/sky/sign.py": (both, 16)}
