"""The one writer of tables that leave the program, for spreadsheets and for scripts alike.

Every cell and every heading that a spreadsheet would run as a formula gets an apostrophe in front
(OWASP, "CSV Injection"); numbers stay numbers. A semicolon parts cells where decimals have a comma,
whatever the file says: what follows one is held to the same.

The byte-order mark stands in front of a table that holds a character beyond ASCII, without which
spreadsheets misread it, and of no other: a script reads plain tables as they are.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from math import isnan

BYTE_ORDER_MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
USUAL_DIGITS = 6
# Besides the plain signs, their wide forms start a formula in some spreadsheets.
_FORMULA = re.compile("'*\\s*[=+\\-@\t\r\n＝＋－＠]")
_AFTER_SEMICOLON = re.compile(f";(?={_FORMULA.pattern})")
_GUARDED_AFTER_SEMICOLON = re.compile(f";'(?={_FORMULA.pattern})")


def csv_text(
    heads: Sequence[str],
    rows: Iterable[Sequence[object]],
    digits: int | None = USUAL_DIGITS,
    *,
    parted_by: str = ",",
) -> str:
    """Return a table as comma-separated text without a mark, as it is pasted.

    Parameters
    ----------
    digits : significant digits of numbers; None writes them so that they read back the same.
    parted_by : what stands between cells: a tab where a table is pasted into a sheet.
    """
    out = io.StringIO()
    writer = csv.writer(out, delimiter=parted_by, lineterminator="\n")
    writer.writerow([guarded(head) for head in heads])
    writer.writerows([_cell(cell, digits) for cell in row] for row in rows)
    return out.getvalue()


def csv_file(
    heads: Sequence[str], rows: Iterable[Sequence[object]], digits: int | None = USUAL_DIGITS
) -> str:
    """Return a table as the text of a file or a stream, with its mark where it needs one."""
    text = csv_text(heads, rows, digits)
    return text if text.isascii() else BYTE_ORDER_MARK + text


def guarded(text: str) -> str:
    """Return text that no spreadsheet runs as a formula, on one kind of line break."""
    text = _AFTER_SEMICOLON.sub(";'", text.replace("\r\n", "\n").replace("\r", "\n"))
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(cell: str) -> str:
    """Return the text of a cell as it was before it was guarded."""
    plain = cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell
    return _GUARDED_AFTER_SEMICOLON.sub(";", plain)


def _cell(value: object, digits: int | None) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return "" if isnan(value) else _number(float(value), digits)
    return guarded(str(value))


def _number(value: float, digits: int | None) -> str:
    return repr(value).removesuffix(".0") if digits is None else f"{value:.{digits}g}"
