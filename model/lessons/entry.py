"""What a room shouts, read as guesses; what could mean two things is asked about, never guessed."""

from __future__ import annotations

import re
from datetime import datetime
from math import inf

from model.editing.units import EntryError, read_entry
from model.lessons.lesson import NumberAnswer, Step
from model.lessons.run import Amount, letter

NEVER_WORDS = ("never", "lasts", "n")
PEOPLE_LIMIT = 25
MINUTES_A_DAY = 1440
_NAMED = {"noon": (12, 0), "midday": (12, 0), "midnight": (0, 0)}
_ABOUT = re.compile(r"^(?:about|around|roughly|circa|ca\.?|[~≈])\s*", re.IGNORECASE)
_CLOCK = re.compile(r"(?:(\d{1,2})\s+)?(\d{1,2})[:.h]?(\d{2})")
_MERIDIEM = re.compile(r"(\d{1,2})(?:[:.h]?(\d{2}))?\s*([ap])\.?\s?m\.?")
_AFTER = re.compile(r"(?:\+|after|in)\s*(\d+(?:[.,]\d+)?)\s*h(?:ours?|rs?)?")
_HOUR = re.compile(r"(\d{1,2})(?:\s*(h|hours?|hrs?|o'clock))?")
_HOURS_MINUTES = re.compile(r"\d+\s*h(?:ours?|rs?)?\s*\d+\s*m(?:in|inutes?|ins?)?")
_DAYS = re.compile(r"(\d+(?:[.,]\d+)?)\s*days?\b")
_SPELT = (
    (re.compile(r"amp(?:ere)?[ -]?hours?|amp\.?\s?h\b", re.IGNORECASE), "Ah"),
    (re.compile(r"watt[ -]?hours?", re.IGNORECASE), "Wh"),
    (re.compile(r"milli ?amp(?:ere)?s?", re.IGNORECASE), "mA"),
    (re.compile(r"amperes?", re.IGNORECASE), "A"),
    (re.compile(r"per ?cent|pct", re.IGNORECASE), "%"),
    (re.compile(r"hours?|hrs?\b", re.IGNORECASE), "h"),
    (re.compile(r"minutes?|mins\b", re.IGNORECASE), "min"),
    (re.compile(r"times|fold", re.IGNORECASE), "times"),
)
_NUMBERS = re.compile(r"\d+(?:[.,]\d+)?")
# Asked in a part of the unit that entries are read in.
_PARTS = {"mAh": "Ah", "mA": "A", "mV": "V", "mW": "W"}
# The rest of a number with a space between its thousands.
_GROUP = re.compile(r"0\d\d")
_LIST_BREAK = re.compile(r"\s*[;\n]\s*|,\s+|\s+")

Guess = tuple[int, ...] | float


class GuessError(ValueError):
    """A guess that cannot be read, or reads two ways; says in a clause what would be right.

    Attributes
    ----------
    entry : which one of a line it is, as typed; empty where it stands alone.
    """

    def __init__(self, words: str, entry: str = "") -> None:
        super().__init__(words)
        self.entry = entry


def read_guess(text: str, step: Step, start: datetime, days: int) -> Guess:
    """Return a guess: a number in the answer's unit, hours since the start, or places.

    Parameters
    ----------
    text : as typed; a decimal comma is as good as a point, and a unit may follow.
    start, days : of the run, for times of day; "2 06:30" is the second 06:30 met.

    Raises
    ------
    GuessError
        Says what would be right.
    """
    text, answer = " ".join(text.split()), step.answer
    if answer.kind == "time":
        return _time(_ABOUT.sub("", text).casefold(), start, days)
    if answer.kind == "number":
        return _number(_ABOUT.sub("", text), answer)
    if answer.kind == "choice":
        return _letters(text, len(answer.choices), 1)
    if answer.kind == "order":
        return _letters(text, len(answer.items), len(answer.items))
    raise GuessError("this answer is drawn as a curve, not typed")


def read_line(text: str, step: Step, start: datetime, days: int) -> tuple[Guess, ...]:
    """Return the guesses of a whole room, typed in one line and separated by spaces.

    A unit may follow each number; ``;`` separates as well, and must where an order is asked.

    Raises
    ------
    GuessError
        Names the first that cannot be read; none is taken then.
    """
    given = _entries(text, step)
    if len(given) > PEOPLE_LIMIT:
        raise GuessError(f"at most {PEOPLE_LIMIT} in one line, got {len(given)}")
    found = []
    for each in given:
        try:
            found.append(read_guess(each, step, start, days))
        except GuessError as error:
            if len(given) == 1:
                raise
            raise GuessError(f'"{each[:20]}": {error}', each) from None
    return tuple(found)


def read_counts(text: str, count: int) -> tuple[int, ...]:
    """Return how many hands were raised for each of so many choices, typed in their order.

    Raises
    ------
    GuessError
        Says what would be right.
    """
    given = [each for each in re.split(r"[\s,;]+", text.strip()) if each]
    example = " ".join(str(place) for place in range(count, 0, -1))
    if len(given) != count or not all(each.isascii() and each.isdigit() for each in given):
        raise GuessError(f"write how many hands for each of {count}, such as {example}")
    hands = tuple(int(each[:4]) for each in given)
    if sum(hands) > 500:
        raise GuessError("at most 500 hands in all")
    return hands


def _entries(text: str, step: Step) -> list[str]:
    """Split a line; what is only a unit, or only am or pm, goes with the number before it."""
    kind = step.answer.kind
    if ";" in text or "\n" in text or kind == "order":
        return [each.strip() for each in re.split(r"[;\n]", text) if each.strip()]
    if kind == "choice":
        return [mark for mark in text if not mark.isspace() and mark not in ",."]
    found: list[str] = []
    for each in _LIST_BREAK.split(text.strip()):
        if not each:
            continue
        is_new = any(mark.isdigit() for mark in each) or each.casefold() in (*NEVER_WORDS, *_NAMED)
        if _GROUP.fullmatch(each) and kind == "number":
            raise GuessError(f'"{each}" is no number of its own: write thousands without a space')
        if found and not is_new and any(mark.isdigit() for mark in found[-1]):
            found[-1] += f" {each}"
            if each.startswith("min") and len(found) > 1 and found[-2].endswith(" h"):
                found[-2:] = [" ".join(found[-2:])]
        else:
            found.append(each)
    return found


def _time(text: str, start: datetime, days: int) -> Amount:
    if text in NEVER_WORDS:
        return inf
    if after := _AFTER.fullmatch(text):
        return _within(float(after[1].replace(",", ".")) * 60, days)
    which, at = _clock(text, start)
    wanted = at[0] * 60 + at[1]
    since = (wanted - start.hour * 60 - start.minute) % MINUTES_A_DAY
    return _within(since + MINUTES_A_DAY * (which - 1), days)


def _clock(text: str, start: datetime) -> tuple[int, tuple[int, int]]:
    """Return a time of day, and the how manieth time it is met."""
    if text in _NAMED:
        return 1, _NAMED[text]
    if found := _MERIDIEM.fullmatch(text):
        hour, minute = int(found[1]), int(found[2] or 0)
        if 1 <= hour <= 12 and minute < 60:
            return 1, (hour % 12 + (12 if found[3] == "p" else 0), minute)
    if (found := _HOUR.fullmatch(text)) and int(found[1]) <= 24:
        raise GuessError(_hour_asked(int(found[1]), found[2] or "", start))
    found = _CLOCK.fullmatch(text.removesuffix(" h"))
    if not found or _HOURS_MINUTES.fullmatch(text):
        raise GuessError("write a time such as 02:40 or 0240, or never")
    which, hour, minute = int(found[1] or 1), int(found[2]), int(found[3])
    if hour * 60 + minute > MINUTES_A_DAY or minute > 59 or which < 1:
        raise GuessError("write a time such as 02:40 or 0240, or never")
    return which, (hour, minute)


def _hour_asked(hour: int, unit: str, start: datetime) -> str:
    """Return what is asked of who says an hour alone."""
    if unit.startswith("h"):
        return f"is that the time or a while? Write {hour:02d}:00, or +{hour} h after the start"
    if 1 <= hour <= 12:
        return f"write {hour:02d}:00, or {(hour + 12) % 24:02d}:00"
    return f"write {hour % 24:02d}:00, or +{hour} h after the start {start:%H:%M}"


def _within(minutes: float, days: int) -> Amount:
    if minutes > days * MINUTES_A_DAY:
        raise GuessError(f"the run lasts {days * 24} hours; write never for later")
    return minutes / 60


def _number(text: str, answer: NumberAnswer) -> Amount:
    unit = answer.unit.strip()
    asked = f"write one number in {unit}, such as 7" if unit else "write one number, such as 7"
    for spelt, usual in _SPELT:
        text = spelt.sub(usual, text)
    text = _DAYS.sub(lambda found: f"{float(found[1].replace(',', '.')) * 24:g} h", text)
    plain = _NUMBERS.findall(re.sub(r"(?<=\d)[ ,](?=\d{3}(?:\D|$))", "", text))
    if not plain or (len(plain) > 1 and unit != "h") or "/" in text:
        raise GuessError(asked)
    base = _PARTS.get(unit, unit)
    try:
        if unit == "%":
            value = _percent(text)
        else:
            value = read_entry(text, base, bare=unit).value * (1000 if base != unit else 1)
    except EntryError as error:
        reads_twice = "two ways" in str(error)
        raise GuessError(str(error).rstrip(".") if reads_twice else asked) from None
    if abs(value) > 1e9:
        raise GuessError("write a smaller number")
    return value


def _percent(text: str) -> Amount:
    """Return per cent; a share such as 0.3 is asked about."""
    value = read_entry(text if "%" in text else f"{text} %", "").value * 100
    if "%" not in text and 0 < value <= 1:
        raise GuessError(f"write it with its sign: {value:g} %, or {value * 100:g} %")
    return value


def _letters(text: str, count: int, wanted: int) -> tuple[int, ...]:
    marks = [mark for mark in text.upper() if not mark.isspace() and mark not in ",.;)>-"]
    places = tuple(
        int(mark) - 1 if mark.isascii() and mark.isdigit() else ord(mark) - ord("A")
        for mark in marks
    )
    last = letter(count - 1)
    if any(not 0 <= place < count for place in places):
        raise GuessError(f"write letters from A to {last}")
    if len(places) != wanted or len(set(places)) != wanted:
        if wanted == 1:
            raise GuessError(f"write one letter from A to {last}")
        raise GuessError(
            f"write each letter from A to {last} once, such as "
            f"{''.join(letter(index) for index in range(count))}"
        )
    return places
