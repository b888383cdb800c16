"""Sums that a lesson writes down: numbers, names of outcomes, + - * /, brackets, few functions."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from math import isfinite, log10, sqrt

Known = float | datetime | str | None
Lookup = Callable[[str], Known]

# A part of a name may be a time of day, with the days after the first: at.06:30+1
_SEGMENT = r"(?:\d\d:\d\d(?:\+\d+)?|[A-Za-z0-9_]+)"
_NAME = rf"[A-Za-z_][A-Za-z0-9_]*(?:\.{_SEGMENT})*"
_TOKEN = re.compile(rf"\s*(?:(?P<number>\d+(?:\.\d+)?)|(?P<name>{_NAME})|(?P<sign>[-+*/(),]))")
DEPTH_LIMIT = 40
FUNCTIONS: dict[str, tuple[int, Callable[..., float]]] = {
    "sqrt": (1, sqrt),
    "log10": (1, log10),
    "abs": (1, abs),
    "min": (2, min),
    "max": (2, max),
}


class FormulaError(ValueError):
    """A formula that cannot be read, or that has no value; says why in one clause."""


def evaluate(formula: str, lookup: Lookup) -> Known:
    """Return the value of a formula.

    A formula that is one name alone may stand for a time, a word or nothing; sums are of numbers.

    Parameters
    ----------
    lookup : gives the value of a name; raises FormulaError where there is no such name.

    Raises
    ------
    FormulaError
        When it cannot be read, a name is unknown, or a number in it has no value.
    """
    if re.fullmatch(rf"\s*{_NAME}\s*", formula):
        return lookup(formula.strip())
    reader = _Reader(list(_tokens(formula)), lookup)
    found = reader.sum()
    reader.end()
    if not isfinite(found):
        raise FormulaError("comes to no finite number")
    return found


def names_in(formula: str) -> tuple[str, ...]:
    """Return the names a formula uses, functions left out."""
    return tuple(
        token.text
        for token in _tokens(formula)
        if token.kind == "name" and token.text not in FUNCTIONS
    )


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str


def _tokens(formula: str) -> Iterator[_Token]:
    place, end = 0, len(formula.rstrip())
    while place < end:
        found = _TOKEN.match(formula, place)
        if found is None:
            raise FormulaError(f'cannot be read from "{formula[place:].strip()[:20]}" on')
        place = found.end()
        kind = str(found.lastgroup)
        yield _Token(kind, found[kind])


class _Reader:
    """Reads tokens by the usual order of signs."""

    def __init__(self, tokens: list[_Token], lookup: Lookup) -> None:
        self._tokens = tokens
        self._lookup = lookup
        self._place = 0
        self._depth = 0

    def sum(self) -> float:
        value = self._product()
        while sign := self._taken("+", "-"):
            other = self._product()
            value = value + other if sign == "+" else value - other
        return value

    def end(self) -> None:
        if self._place < len(self._tokens):
            raise FormulaError(f'"{self._tokens[self._place].text}" was not expected')

    def _product(self) -> float:
        value = self._factor()
        while sign := self._taken("*", "/"):
            other = self._factor()
            if sign == "/" and other == 0:
                raise FormulaError("divides by nothing")
            value = value * other if sign == "*" else value / other
        return value

    def _factor(self) -> float:
        if self._depth >= DEPTH_LIMIT:
            raise FormulaError("is nested too deeply")
        self._depth += 1
        value = self._inner()
        self._depth -= 1
        return value

    def _inner(self) -> float:
        if self._taken("-"):
            return -self._factor()
        if self._taken("("):
            value = self.sum()
            self._need(")")
            return value
        if self._place >= len(self._tokens):
            raise FormulaError("ends too early" if self._tokens else "is empty")
        token = self._tokens[self._place]
        self._place += 1
        if token.kind == "number":
            return float(token.text)
        if token.kind != "name":
            raise FormulaError(f'"{token.text}" was not expected')
        return self._call(token.text) if token.text in FUNCTIONS else self._number(token.text)

    def _call(self, name: str) -> float:
        count, function = FUNCTIONS[name]
        self._need("(")
        given = [self.sum()]
        while self._taken(","):
            given.append(self.sum())
        self._need(")")
        if len(given) != count:
            raise FormulaError(f"{name} takes {count} numbers, got {len(given)}")
        try:
            return float(function(*given))
        except ValueError:
            raise FormulaError(f"{name} has no value there") from None

    def _number(self, name: str) -> float:
        value = self._lookup(name)
        if isinstance(value, float):
            return value
        kind = "has no value here" if value is None else "is no number"
        raise FormulaError(f"{name} {kind}")

    def _taken(self, *signs: str) -> str:
        if self._place < len(self._tokens) and self._tokens[self._place].text in signs:
            self._place += 1
            return self._tokens[self._place - 1].text
        return ""

    def _need(self, sign: str) -> None:
        if not self._taken(sign):
            raise FormulaError(f'a "{sign}" was expected')
