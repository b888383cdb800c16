"""Field declarations: label, unit, bounds, decimals and help stand once, on the field itself.

Forms, the JSON Schema, the checks and the page read them from here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    WithJsonSchema,
)
from pydantic_core import PydanticKnownError

from model.support.figures import unbroken

# Smaller than any quantity of the trade, large enough that products and quotients stay finite.
SMALLEST = 1e-9


def _not_minute(value: float) -> float:
    if 0 < abs(value) < SMALLEST:
        raise ValueError(f"must be 0 or at least {SMALLEST:g} in size")
    return value


Number = Annotated[float, Field(strict=True, allow_inf_nan=False), AfterValidator(_not_minute)]
Whole = Annotated[int, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
Provenance = Literal["measured", "datasheet", "guess"]

MINUTES_A_DAY = 1440
SOURCES_LIMIT = 100
_CLOCK_PATTERN = re.compile(r"(?:[01]\d|2[0-3]):[0-5]\d|24:00")
# Tab, line feed and carriage return are the only control characters a note may hold. The marks
# that turn the direction of writing (Unicode Standard Annex 9) are among those refused: in a
# sentence they would let the number after a name be read backwards. Letters written from right to
# left need none of them.
_CONTROL_CHARACTERS = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff]"
)


def _without_control_characters(value: str) -> str:
    if _CONTROL_CHARACTERS.search(value):
        raise ValueError("must not hold control characters")
    return value


def _single_line(value: str) -> str:
    if any(mark in value for mark in "\n\r\t"):
        raise ValueError("must be a single line")
    return _without_control_characters(value)


OneLine = Annotated[str, Field(strict=True), AfterValidator(_single_line)]
Prose = Annotated[str, Field(strict=True), AfterValidator(_without_control_characters)]


class Value(BaseModel):
    """An immutable record that refuses unknown keys, NaN and infinities."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, serialize_by_alias=True
    )


class Source(Value):
    """Where a number comes from: how, when, and how far it may be off.

    ``spread`` is the half-width of the 95 % band as a fraction of the value [1].
    """

    origin: Provenance = Field(alias="from", title="Source")
    on: Annotated[date, Field(strict=True)] | None = Field(default=None, title="Measured on")
    spread: Annotated[float, Field(strict=True, ge=0, le=2)] | None = Field(
        default=None, title="Spread", description="Half-width of the 95 % band over the value."
    )
    note: Annotated[Prose, Field(max_length=400)] = Field(default="", title="Note")


def quantity(
    label: str,
    unit: str = "",
    *,
    default: Any = ...,
    gt: float | None = None,
    ge: float | None = None,
    lt: float | None = None,
    le: float | None = None,
    decimals: int = 2,
    help: str = "",
    spread: float = 0.1,
    alias: str | None = None,
) -> Any:
    """Declare a numeric field with everything that views need to know of it.

    Parameters
    ----------
    label, unit : what stands beside the field; the unit is the one the name ends in.
    default : value when a file leaves the key out; none makes the key required.
    gt, ge, lt, le : bounds of the single field; outside them a file is refused.
    decimals : digits shown after the point.
    help : one or two sentences that explain the trade term.
    spread : half-width of the 95 % band when the number is a guess, as a fraction [1].
    alias : the key in the file where Python reserves the word.
    """
    return Field(
        default,
        gt=gt,
        ge=ge,
        lt=lt,
        le=le,
        title=label,
        description=unbroken(help) or None,
        alias=alias,
        json_schema_extra={"unit": unit, "decimals": decimals, "spread": spread},
    )


def text(label: str, *, max_length: int = 120, help: str = "", default: Any = "") -> Any:
    """Declare a plain-text field; it is shown as typed and never read as markup."""
    return Field(default, max_length=max_length, title=label, description=unbroken(help) or None)


def choice(label: str, *, help: str = "", default: Any = ..., alias: str | None = None) -> Any:
    """Declare a field that takes one of a few words or a yes/no."""
    return Field(default, title=label, description=unbroken(help) or None, alias=alias)


def _clock(value: Any) -> str:
    if not isinstance(value, str) or not _CLOCK_PATTERN.fullmatch(value):
        raise ValueError('must be a time "HH:MM" from "00:00" to "24:00"')
    return value


ClockTime = Annotated[
    str,
    BeforeValidator(_clock),
    WithJsonSchema({"type": "string", "pattern": "^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$"}),
]


@lru_cache(maxsize=MINUTES_A_DAY + 1)
def minutes_of(clock: str) -> int:
    """Return minutes since midnight of ``"HH:MM"`` [min]."""
    return int(clock[:2]) * 60 + int(clock[3:5])


def clock_of(minutes: float) -> str:
    """Return ``"HH:MM"`` for minutes since midnight; 1440 gives ``"24:00"``."""
    whole = round(minutes)
    return f"{whole // 60:02d}:{whole % 60:02d}"


def listed(value: Any) -> Any:
    """Turn lists, however deep, into tuples, so that values stay immutable."""
    if isinstance(value, list | tuple):
        return tuple([listed(item) if isinstance(item, list | tuple) else item for item in value])
    return value


def listed_up_to(limit: int) -> Callable[[Any], Any]:
    """Return a reader of lists that counts before anything else is looked at.

    A list of a hundred thousand faulty entries is then one fault, told at once.
    """

    def read(value: Any) -> Any:
        if isinstance(value, list | tuple) and len(value) > limit:
            raise too_long(limit, len(value))
        return listed(value)

    return read


def too_long(limit: int, given: int) -> PydanticKnownError:
    """Return the refusal of a list that holds more than ``limit`` entries."""
    return PydanticKnownError(
        "too_long", {"field_type": "List", "max_length": limit, "actual_length": given}
    )


def one_or_up_to(limit: int) -> Callable[[Any], Any]:
    """Return a reader that also accepts one number where one for each day may stand."""
    read = listed_up_to(limit)
    return lambda value: read(value if isinstance(value, list | tuple) else (value,))


def unlisted(value: tuple[float, ...]) -> float | tuple[float, ...]:
    """Write a single number as itself and several as a list."""
    return value[0] if len(value) == 1 else value


def _source_pairs(value: Any) -> Any:
    if isinstance(value, Mapping):
        if len(value) > SOURCES_LIMIT:
            raise too_long(SOURCES_LIMIT, len(value))
        return tuple(sorted(value.items()))
    if isinstance(value, tuple):
        return value
    raise ValueError('must be a table such as { receive_a = { from = "measured" } }')


# A mapping kept as sorted pairs: hashable, and equal however the file ordered it.
Sources = Annotated[
    tuple[tuple[str, Source], ...],
    BeforeValidator(_source_pairs, json_schema_input_type=dict[str, Source]),
    PlainSerializer(
        lambda pairs: {
            key: source.model_dump(exclude_none=True, exclude_defaults=True, by_alias=True)
            for key, source in pairs
        }
    ),
    Field(max_length=SOURCES_LIMIT),
]
