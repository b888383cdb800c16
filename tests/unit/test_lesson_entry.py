"""What a room shouts: read, or asked about; never read as something else."""

from __future__ import annotations

from datetime import UTC, datetime
from math import inf

import pytest

from model.lessons.entry import GuessError, read_counts, read_guess, read_line
from model.lessons.lesson import Step

START = datetime(2027, 3, 6, 19, 0, tzinfo=UTC)


def step(**answer: object) -> Step:
    return Step.model_validate({"question": "?", "explanation": "x", "sum": "x", "answer": answer})


def number(unit: str) -> Step:
    return step(kind="number", value="x", unit=unit)


TIME, AMPS = step(kind="time", value="x"), number("A")
CHOICES = [{"text": name, "value": name} for name in ("one", "two", "three")]
CHOICE = step(kind="choice", right="largest", choices=CHOICES)
ORDER = step(kind="order", first="largest", items=CHOICES)

READ = [
    # Hours since 19:00.
    (TIME, "02:40", 7 + 2 / 3),
    (TIME, "0240", 7 + 2 / 3),
    (TIME, "240", 7 + 2 / 3),
    (TIME, "2.40", 7 + 2 / 3),
    (TIME, "19:00", 0.0),
    (TIME, "19h30", 0.5),
    (TIME, "7am", 12.0),
    (TIME, "7 am", 12.0),
    (TIME, "7 A.M.", 12.0),
    (TIME, "about 7am", 12.0),
    (TIME, "7:30pm", 0.5),
    (TIME, "12am", 5.0),
    (TIME, "12 pm", 17.0),
    (TIME, "noon", 17.0),
    (TIME, "midnight", 5.0),
    (TIME, "24:00", 5.0),
    (TIME, "+11 h", 11.0),
    (TIME, "after 11,5 hours", 11.5),
    (TIME, "2 06:30", 35.5),
    (TIME, "never", inf),
    (AMPS, "6.7", 6.7),
    (AMPS, " 6,7 A", 6.7),
    (AMPS, "1,5", 1.5),
    (AMPS, "0,375", 0.375),
    (AMPS, "500 mA", 0.5),
    (AMPS, "500mA", 0.5),
    (AMPS, "7 amps", 7.0),
    (AMPS, "~7", 7.0),
    (AMPS, "12 000", 12000.0),
    (AMPS, "1,234.5", 1234.5),
    (number("%"), "30", 30.0),
    (number("%"), "30 %", 30.0),
    (number("%"), "30 per cent", 30.0),
    (number("%"), "0.5 %", 0.5),
    (number("h"), "11 h", 11.0),
    (number("h"), "90 min", 1.5),
    (number("h"), "1 h 30 min", 1.5),
    (number("h"), "2 days", 48.0),
    (number("Ah"), "9 amp hours", 9.0),
    (number("Ah"), "500 mAh", 0.5),
    (number("mAh"), "75", 75.0),
    (number("mAh"), "0.075 Ah", 75.0),
    (number("S-units"), "2 S-units", 2.0),
    (number("times"), "3 times", 3.0),
    (CHOICE, "b", (1,)),
    (CHOICE, "B)", (1,)),
    (CHOICE, "2", (1,)),
    (ORDER, "c, a b", (2, 0, 1)),
    (ORDER, "C > A > B", (2, 0, 1)),
    (ORDER, "312", (2, 0, 1)),
]  # fmt: skip


@pytest.mark.parametrize(("given", "text", "guess"), READ)
def test_a_guess_is_read_as_people_say_it(given: Step, text: str, guess: object) -> None:
    found = read_guess(text, given, START, 2)
    assert found == (pytest.approx(guess) if isinstance(guess, float) else guess)


ASKED = [
    (TIME, "7", "write 07:00, or 19:00"),
    (TIME, "19", "write 19:00, or \\+19 h after"),
    (TIME, "11 h", "the time or a while\\? Write 11:00, or \\+11 h"),
    (TIME, "11 h 30 min", "write a time"),
    (TIME, "half past six", "write a time"),
    (TIME, "12 30", "write a time"),
    (TIME, "1,5", "write a time"),
    (TIME, "soon", "write a time"),
    (TIME, "13 pm", "write a time"),
    (TIME, "25:00", "write a time"),
    (TIME, "24:30", "write a time"),
    (TIME, "3 06:30", "lasts 48 hours"),
    (AMPS, "1,000", "two ways: write 1000 or use a point"),
    (AMPS, "", "write one number in A"),
    (AMPS, "seven", "write one number in A"),
    (AMPS, "7 V", "write one number in A"),
    (AMPS, "7-8", "write one number in A"),
    (AMPS, "7 or 8", "write one number in A"),
    (AMPS, "7 A 8 A", "write one number in A"),
    (AMPS, "1/2", "write one number in A"),
    (AMPS, "1e400", "write one number in A"),
    (AMPS, "9999999999", "write a smaller number"),
    (number("%"), "0.3", "0.3 %, or 30 %"),
    (number("%"), "1", "1 %, or 100 %"),
    (number("%"), "a third", "write one number"),
    (number("h"), "1:30", "write one number in h"),
    (number("Ah"), "120 Wh", "write one number in Ah"),
    (CHOICE, "D", "from A to C"),
    (CHOICE, "AB", "write one letter"),
    (ORDER, "AAB", "each letter"),
    (ORDER, "AB", "each letter"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "text", "words"), ASKED)
def test_what_reads_two_ways_or_none_is_asked_about(given: Step, text: str, words: str) -> None:
    with pytest.raises(GuessError, match=words):
        read_guess(text, given, START, 2)


@pytest.mark.parametrize(
    ("given", "text", "guesses"),
    [
        (AMPS, "6.7 7 12 500 mA", (6.7, 7.0, 12.0, 0.5)),
        (AMPS, "7, 8, 9,5", (7.0, 8.0, 9.5)),
        (AMPS, "7; 8 A;9", (7.0, 8.0, 9.0)),
        (number("h"), "12 1 h 30 min 9", (12.0, 1.5, 9.0)),
        (TIME, "7 am 02:40 never", (12.0, 7 + 2 / 3, inf)),
        (TIME, "2 06:30; 7am", (35.5, 12.0)),
        (CHOICE, "ABb 1", ((0,), (1,), (1,), (0,))),
        (ORDER, "CAB; ABC", ((2, 0, 1), (0, 1, 2))),
        (AMPS, "", ()),
    ],
)
def test_a_whole_room_goes_in_one_line(given: Step, text: str, guesses: tuple[object, ...]) -> None:
    found = read_line(text, given, START, 2)
    assert len(found) == len(guesses)
    for mine, wanted in zip(found, guesses, strict=True):
        assert mine == (pytest.approx(wanted) if isinstance(wanted, float) else wanted)


@pytest.mark.parametrize(
    ("given", "text", "words"),
    [
        (AMPS, "7 1,000 8", '"1,000": .*two ways'),
        (AMPS, "7 1 000", '"000" is no number of its own'),
        (TIME, "02:40 7", '"7": write 07:00'),
        (AMPS, "1 " * 26, "at most 25 in one line, got 26"),
    ],
)
def test_one_bad_guess_of_a_line_is_named_and_none_taken(
    given: Step, text: str, words: str
) -> None:
    with pytest.raises(GuessError, match=words):
        read_line(text, given, START, 2)


def test_hands_are_counted_in_the_order_of_the_choices() -> None:
    assert read_counts("4, 7 1", 3) == (4, 7, 1)
    for text in ("4 7", "4 7 x", "4 7 -1", "", "300 300 1"):
        with pytest.raises(GuessError, match=r"how many hands|at most 500"):
            read_counts(text, 3)
