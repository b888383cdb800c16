"""What every part has in common, and the shapes its fields take."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from model.scenario.declare import (
    ClockTime,
    Number,
    OneLine,
    Source,
    Sources,
    Value,
    listed_up_to,
    quantity,
    text,
)

KEY_DOWN_LIMIT = 20
STRETCHES_LIMIT = 48

KeyDownPoint = tuple[
    Annotated[Number, Field(ge=0, le=5000)],
    Annotated[Number, Field(ge=0, le=1000)],
]
KeyDown = Annotated[tuple[KeyDownPoint, ...], BeforeValidator(listed_up_to(KEY_DOWN_LIMIT))]


ShadeStretch = tuple[ClockTime, ClockTime, Annotated[Number, Field(ge=0, le=1)]]
Shade = Annotated[tuple[ShadeStretch, ...], BeforeValidator(listed_up_to(STRETCHES_LIMIT))]


def _always_or_stretches(value: Any) -> str | None:
    if value == "always":
        return "always"
    return "stretches" if isinstance(value, tuple) else None


Hours = Annotated[
    Annotated[tuple[tuple[ClockTime, ClockTime], ...], Tag("stretches")]
    | Annotated[Literal["always"], Tag("always")],
    Discriminator(
        _always_or_stretches,
        custom_error_type="always_or_stretches",
        custom_error_message='must be "always" or pairs of times such as [["18:00", "23:00"]]',
    ),
    BeforeValidator(listed_up_to(STRETCHES_LIMIT)),
]


class Part(Value):
    """What every part has: a name, a mass, a cost and the sources of its numbers."""

    name: OneLine = text("Name", help="Your own words; no maker is needed.")
    mass_kg: Number = quantity(
        "Mass",
        "kg",
        default=0.0,
        ge=0,
        le=500,
        decimals=3,
        spread=0.05,
        help="Weighed with its case and plugs.",
    )
    cost: Number = quantity(
        "Cost", default=0.0, ge=0, le=1e7, decimals=2, help="In your own currency."
    )
    sources: Sources = Field(default=(), title="Sources")

    @model_validator(mode="after")
    def _sources_name_fields(self) -> Self:
        if not self.sources:
            return self
        known = {info.alias or name for name, info in type(self).model_fields.items()}
        strangers = [" ".join(key.split()) for key, _ in self.sources if key not in known]
        if strangers:
            raise ValueError(
                "\n".join(f"sources.{key}: names no field of this part" for key in strangers)
            )
        return self

    def source_of(self, field: str) -> Source:
        """Return where the number in ``field`` comes from; a guess unless said otherwise."""
        return dict(self.sources).get(field, GUESS)


GUESS = Source.model_validate({"from": "guess"})


def plug_text() -> Any:
    """Declare the plug of a part: for people who lend each other power, not for the run."""
    return text(
        "Plug", help="What it is connected by, in plain words: two parts meet only where it fits."
    )


def polarity_text() -> Any:
    """Declare which contact is positive."""
    return text(
        "Polarity",
        help="Which contact is positive, such as: red, or centre. Check with a meter before first"
        " use.",
    )


def fuse_type_text() -> Any:
    """Declare the make-up of a fuse, so that spares fit."""
    return text("Fuses", help="Blade, glass or other, and its size: what a spare must be.")
