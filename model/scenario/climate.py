"""What the weather of a place is like: twelve typical months, and years of days from files."""

from __future__ import annotations

from datetime import date as Date
from typing import Annotated, Self

from pydantic import BeforeValidator, Field, model_validator

from model.scenario.daily import monthly, one_a_day
from model.scenario.declare import (
    Flag,
    Number,
    OneLine,
    Value,
    choice,
    listed_up_to,
    quantity,
    text,
)

YEARS_LIMIT = 20
LOWEST_C, HIGHEST_C = -70.0, 60.0


class WeatherYear(Value):
    """One value a day from a first date on, as a weather file had them; ``nan`` is a gap."""

    start: Annotated[Date, Field(strict=True, ge=Date(1950, 1, 1), le=Date(2149, 12, 31))] = Field(
        title="Start", description="Local date of the first value."
    )
    clearness: one_a_day(0, 1) = Field(  # type: ignore[valid-type]
        title="Clearness",
        description="The day's light on the level over that above the atmosphere; nan where the"
        " file has a gap.",
        json_schema_extra={"decimals": 3},
    )
    low_c: one_a_day(LOWEST_C, HIGHEST_C) = Field(  # type: ignore[valid-type]
        title="Low",
        description="Lowest air temperature of each day; nan where the file has a gap.",
        json_schema_extra={"unit": "°C", "decimals": 1},
    )
    high_c: one_a_day(LOWEST_C, HIGHEST_C) = Field(  # type: ignore[valid-type]
        title="High",
        description="Highest air temperature of each day; nan where the file has a gap.",
        json_schema_extra={"unit": "°C", "decimals": 1},
    )
    typical: Flag = choice(
        "Typical year",
        default=False,
        help="Twelve ordinary months spliced into one year: bad years are worse.",
    )

    @model_validator(mode="after")
    def _as_many_of_each(self) -> Self:
        days = len(self.clearness)
        faults = [
            f"{name}: must hold as many days as clearness, {days}, got {len(getattr(self, name))}"
            for name in ("low_c", "high_c")
            if len(getattr(self, name)) != days
        ]
        if faults:
            raise ValueError("\n".join(faults))
        return self


class Climate(Value):
    """Typical months of the place, January first, as climate tables give them."""

    low_c: monthly(LOWEST_C, HIGHEST_C) = Field(  # type: ignore[valid-type]
        title="Low",
        description="Mean of the lowest air temperatures of the days of the month.",
        json_schema_extra={"unit": "°C", "decimals": 1},
    )
    high_c: monthly(LOWEST_C, HIGHEST_C) = Field(  # type: ignore[valid-type]
        title="High",
        description="Mean of the highest air temperatures of the days of the month.",
        json_schema_extra={"unit": "°C", "decimals": 1},
    )
    clearness: monthly(0, 1) = Field(  # type: ignore[valid-type]
        title="Clearness",
        description="Mean daily light on the level over that above the atmosphere: about 0.35 in"
        " a dull month, 0.65 in a bright one. Climate tables list it.",
        json_schema_extra={"unit": "", "decimals": 2},
    )
    clearness_sd: monthly(0, 0.5) | None = Field(  # type: ignore[valid-type]
        default=None,
        title="Clearness, day to day",
        description="Standard deviation of the days of a month, where it is known. Left out it"
        " follows from clearness and from how far the year's temperatures swing.",
        json_schema_extra={"unit": "", "decimals": 2},
    )
    clear_scale: Number = quantity(
        "Clear days",
        default=1.0,
        ge=0.7,
        le=1.15,
        decimals=2,
        help="Light of clear days at this place over that of the word clear, as weather files with"
        " cloud cover have shown: less where there is haze.",
    )
    loss_scale: Number = quantity(
        "Losses of light",
        default=1.0,
        ge=0.2,
        le=3,
        decimals=2,
        help="By how much the light that each word for a sky takes away is scaled at this place,"
        " as weather files with cloud cover have shown.",
    )
    spread_scale: Number = quantity(
        "Spread of days",
        default=1.0,
        ge=0.3,
        le=3,
        decimals=2,
        help="How much more than in the table of words the days of one word differ at this place,"
        " as weather files with cloud cover have shown.",
    )
    source: OneLine = text("Source", max_length=200, help="Where the months were looked up.")
    years: Annotated[tuple[WeatherYear, ...], BeforeValidator(listed_up_to(YEARS_LIMIT))] = Field(
        default=(), max_length=YEARS_LIMIT, title="Years"
    )
