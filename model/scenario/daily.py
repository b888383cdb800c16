"""How a file gives weather: a word or a number, one for all days or one for each local date."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from math import isnan
from struct import pack
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, Field, PlainSerializer, WithJsonSchema

from model.scenario.declare import listed_up_to, one_or_up_to, too_long, unlisted

DAYS_LIMIT = 14
# A run of so many days that begins late, over a night in which the clock skips an hour.
DATES_LIMIT = DAYS_LIMIT + 2
YEAR_LIMIT = 366
INDEX_LIMIT = 1.2
SkyWord = Literal["clear", "mostly clear", "mixed", "mostly cloudy", "overcast", "rain"]
SKY_WORDS: tuple[SkyWord, ...] = get_args(SkyWord)


def _sky(value: Any) -> Any:
    if isinstance(value, str) and value in SKY_WORDS:
        return value
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if is_number and 0 <= value <= INDEX_LIMIT:
        return float(value)
    raise ValueError(
        f"must be one of {', '.join(SKY_WORDS)}, or the day's clear-sky index"
        f" from 0 to {INDEX_LIMIT:g}"
    )


def _unlisted_sky(value: tuple[Any, ...]) -> Any:
    return value[0] if len(value) == 1 else value


_OneSky = Annotated[
    SkyWord | float,
    BeforeValidator(
        _sky,
        json_schema_input_type=SkyWord | Annotated[float, Field(ge=0, le=INDEX_LIMIT)],
    ),
]
_SkyEachDate = Annotated[tuple[_OneSky, ...], Field(min_length=1, max_length=DATES_LIMIT)]
# One sky, or one for each local date: a short list goes on with its last.
Skies = Annotated[
    tuple[_OneSky, ...],
    BeforeValidator(one_or_up_to(DATES_LIMIT), json_schema_input_type=_OneSky | _SkyEachDate),
    PlainSerializer(_unlisted_sky),
    Field(min_length=1, max_length=DATES_LIMIT),
]


def by_date(low: float, high: float) -> Any:
    """Return the type of a number that may be given for each local date."""
    number = Annotated[float, Field(strict=True, ge=low, le=high, allow_inf_nan=False)]
    each_date = Annotated[tuple[number, ...], Field(min_length=1, max_length=DATES_LIMIT)]
    return Annotated[
        tuple[number, ...],
        BeforeValidator(one_or_up_to(DATES_LIMIT), json_schema_input_type=number | each_date),
        PlainSerializer(unlisted),
        Field(min_length=1, max_length=DATES_LIMIT),
    ]


def monthly(low: float, high: float) -> Any:
    """Return the type of twelve numbers, January first."""
    return Annotated[
        tuple[Annotated[float, Field(strict=True, ge=low, le=high, allow_inf_nan=False)], ...],
        BeforeValidator(listed_up_to(12)),
        Field(min_length=12, max_length=12),
    ]


class DayValues(tuple[float, ...]):
    """One number a day, NaN in a gap; equal and hashed by a digest.

    Years of weather are compared in every undo step and every cache: by their digest that costs
    no more than comparing two short texts. NaN equals NaN here.
    """

    digest: bytes

    def __new__(cls, values: Iterable[float] = ()) -> DayValues:
        """Keep the numbers and work out their digest."""
        made = super().__new__(cls, values)
        made.digest = sha256(pack(f"<{len(made)}d", *made)).digest()
        return made

    def __eq__(self, other: object) -> bool:
        return isinstance(other, DayValues) and self.digest == other.digest

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self.digest)


def one_a_day(low: float, high: float) -> Any:
    """Return the type of one number a day for up to a year; NaN stands for a day not known."""

    def read(values: Any) -> Any:
        if not isinstance(values, list | tuple):
            # A reader of pydantic's refuses by this class alone.
            raise ValueError(  # noqa: TRY004
                "must be a list of numbers, one a day; nan where a day is missing"
            )
        if len(values) > YEAR_LIMIT:
            raise too_long(YEAR_LIMIT, len(values))
        wrong = [
            f"{day}: must be a number from {low:g} to {high:g}, or nan where the day is missing"
            for day, value in enumerate(values)
            if not _is_within(value, low, high)
        ]
        if wrong:
            raise ValueError("\n".join(wrong))
        return tuple(map(float, values))

    number = {"type": "number", "minimum": low, "maximum": high}
    schema = {"type": "array", "items": number, "minItems": 1, "maxItems": YEAR_LIMIT}
    return Annotated[
        tuple[float, ...],
        BeforeValidator(read),
        AfterValidator(DayValues),
        Field(min_length=1, max_length=YEAR_LIMIT),
        WithJsonSchema(schema),
    ]


def _is_within(value: Any, low: float, high: float) -> bool:
    if not isinstance(value, int | float) or isinstance(value, bool):
        return False
    return isnan(value) or low <= value <= high
