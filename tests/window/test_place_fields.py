"""Fields of every kind: what is refused and restored, what a tip says, and one way to say AWG."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from user import User

from app.editors.fields.editor import FieldEditor
from app.editors.fields.words import tip_of, word_of
from app.resources import resource
from app.widgets.number_text import NumberTextError, number_text, read_number, shown_as
from model.editing.field_facts import FieldFacts, field_at, known_keys
from model.files.scenario_file import read_scenario

# A menu that opens grabs the keyboard, which the offscreen platform cannot.
pytestmark = pytest.mark.qt_log_ignore("does not support grabbing the keyboard", extend=True)
RECEIVE = "station 2, radio, receive current"
LEAD = "station 1, lead 1"
TIP = Qt.ItemDataRole.ToolTipRole


def every_field(path: str = "") -> Iterator[FieldFacts]:
    for key in known_keys(path):
        facts = field_at(f"{path}.{key}" if path else key)
        if facts.kind == "part":
            yield from every_field(facts.path)
        elif facts.kind == "list":
            yield from every_field(f"{facts.path}.0")
        elif facts.kind != "sources":
            yield facts


SHOWN = [facts for facts in every_field() if facts.path != "format"]
NUMBERS = [facts for facts in SHOWN if facts.kind in ("number", "whole")]


@pytest.mark.parametrize("facts", SHOWN, ids=[facts.path for facts in SHOWN])
def test_every_field_says_what_it_means(facts: FieldFacts) -> None:
    assert len(facts.help.split()) >= 2


@pytest.mark.parametrize("facts", [f for f in SHOWN if f.choices and f.kind == "choice"],
                         ids=lambda facts: facts.path)  # fmt: skip
def test_every_choice_says_what_it_means(facts: FieldFacts) -> None:
    named = [value for value in facts.choices if isinstance(value, str)]
    assert all(tip_of(facts.path, value) for value in named)
    assert len({word_of(value) for value in facts.choices}) == len(facts.choices)


@pytest.mark.parametrize("facts", NUMBERS, ids=[facts.path for facts in NUMBERS])
def test_a_decimal_comma_is_as_good_as_a_point_in_every_number(facts: FieldFacts) -> None:
    if facts.kind == "whole":
        with pytest.raises(NumberTextError, match="whole number, got 3,5"):
            read_number("3,5", facts, us=False)
        return
    low = float(facts.low if isinstance(facts.low, int | float) else 0)
    high = float(facts.high if isinstance(facts.high, int | float) else 100)
    text = f"{shown_as(facts, us=False).of(low + (high - low) / 2):.2f}"
    value = read_number(text, facts, us=False)
    assert read_number(text.replace(".", ","), facts, us=False) == value


@pytest.mark.parametrize("facts", NUMBERS, ids=[facts.path for facts in NUMBERS])
def test_what_is_out_of_bounds_is_told_the_bound(facts: FieldFacts) -> None:
    for bound in (facts.low, facts.high):
        if isinstance(bound, int | float):
            beyond = bound - 1 if bound == facts.low else bound + 1
            text = number_text(float(beyond), facts, us=False)
            with pytest.raises(NumberTextError, match=r"Must be (at least|at most|more|less)"):
                read_number(text, facts, us=False)


def test_escape_takes_back_a_number_that_was_taken(user: User) -> None:
    user.open(2, "Radio")
    before = user.window.document.scenario
    field = user.find(RECEIVE, QLineEdit)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "0,25")
    assert user.window.document.scenario != before
    user.press(Qt.Key.Key_Escape)
    assert user.window.document.scenario == before
    assert user.reads(RECEIVE) == "1.2"
    assert not user.window.document.undo_stack.canUndo()


@pytest.mark.parametrize(
    ("name", "typed"),
    [("day, date", "2027-06-01"), ("day, low", "1 2"), ("site, place", "x"), ("day, days", "5")],
)
def test_escape_takes_back_what_was_typed_in_the_line_of_the_day(
    user: User, name: str, typed: str
) -> None:
    before, read = user.window.document.scenario, user.reads(name)
    user.fill(name, typed, leave=False)
    assert user.window.document.scenario != before
    user.press(Qt.Key.Key_Escape)
    assert user.window.document.scenario == before
    assert user.reads(name) == read


def test_a_time_that_is_none_says_from_when_to_when(user: User) -> None:
    user.window.plan.choose(0)
    user.window.plan.edit()
    user.let_appear()
    user.fill("block, start", "25:00", leave=False)
    assert user.sees("A time reads 18:30, from 00:00 to 24:00.")
    user.press(Qt.Key.Key_Escape)
    assert not user.sees("A time reads")
    assert user.reads("block, start") == user.window.document.scenario.plan[0].start


@pytest.fixture
def us_user(open_window: Callable[..., User]) -> User:
    user = open_window(read_scenario(resource("scenarios/ridge-weekend.toml")))
    user.window.display.set_us(True)
    user.open(1, "Leads")
    user.open(1, "Lead 1")
    return user


def labels(user: User) -> list[str]:
    return [row.label for row in user.window.sheet.sheet.rows if "Conductor" in row.label]


def test_awg_comes_first_in_us_units_and_takes_the_place_of_square_millimetres(
    us_user: User,
) -> None:
    lead = us_user.window.document.scenario.stations[0].leads[0]
    assert lead.size_mm2 is not None
    assert labels(us_user) == ["Conductor, AWG", "Conductor"]
    index = us_user.cell(f"{LEAD}, conductor, AWG")
    assert index is not None
    assert str(index.data()).startswith("≈ ")
    us_user.fill(f"{LEAD}, conductor, AWG", "12")
    after = us_user.window.document.scenario.stations[0].leads[0]
    assert (after.awg, after.size_mm2) == (12, None)
    assert labels(us_user) == ["Conductor, AWG", "Conductor"], "the other lead has square mm"
    us_user.fill("station 2, lead 1, conductor, AWG", "10")
    assert labels(us_user) == ["Conductor, AWG"]
    us_user.window.document.undo_stack.undo()
    us_user.window.document.undo_stack.undo()
    assert us_user.window.document.scenario.stations[0].leads[0] == lead
    assert labels(us_user) == ["Conductor, AWG", "Conductor"]


def test_an_awg_given_up_brings_the_square_millimetres_back(us_user: User) -> None:
    lead = us_user.window.document.scenario.stations[0].leads[0]
    us_user.fill(f"{LEAD}, conductor, AWG", "12", leave=False)
    us_user.press(Qt.Key.Key_Escape)
    assert us_user.window.document.scenario.stations[0].leads[0] == lead
    us_user.fill(f"{LEAD}, conductor, AWG", "1x", leave=False)
    assert us_user.window.document.scenario.stations[0].leads[0] == lead


def test_in_metric_units_one_field_stands_for_the_conductor(us_user: User) -> None:
    us_user.window.display.set_us(False)
    assert labels(us_user) == ["Conductor"]


def test_choices_explain_themselves_under_the_pointer(user: User) -> None:
    user.open(1, "Battery")
    user.find("station 1, battery, chemistry")
    user.press(Qt.Key.Key_Return)
    menu = user.window.sheet.doing.menu
    tips = [action.toolTip() for action in menu.actions()]
    menu.close()
    assert len(tips) > 4
    assert all("<qt>" in tip and len(tip) > 20 for tip in tips)


def test_every_editor_in_sight_has_a_tip(user: User) -> None:
    user.window.place_sheet.open_sheet()
    user.let_appear()
    editors = [e for e in user.window.findChildren(FieldEditor) if e.isVisible()]
    assert len(editors) > 20
    silent = [e.path for e in editors if e.focusProxy() and not e.focusProxy().toolTip()]
    assert [path for path in silent if not path.rpartition(".")[2].isdigit()] == []


def test_every_cell_in_sight_has_a_tip(user: User) -> None:
    for part in ("Radio", "Battery", "Controller", "Panel"):
        user.open(1, part)
    sheet = user.window.sheet.sheet
    fields = [place for place, row in enumerate(sheet.rows) if row.kind == "field"]
    assert len(fields) > 40
    silent = [
        sheet.rows[place].key
        for place in fields
        if sheet.cell(place, 0).key and "<qt>" not in str(sheet.index(place, 0).data(TIP))
    ]
    assert silent == []
