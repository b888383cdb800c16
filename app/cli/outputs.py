"""Writing results to files or standard output, and saying plainly why one cannot be written."""

from __future__ import annotations

import sys
from pathlib import Path

from model.files.atomic_write import SaveError, shown_name, write_data


class OutputError(Exception):
    """A result could not be written; the message names the place and the reason."""


def write_text(text: str, out: str) -> None:
    """Write text to a path, or to standard output for ``-``."""
    if out == "-":
        sys.stdout.write(text)
        return
    write_bytes(text.encode("utf-8"), out)


def write_bytes(data: bytes, out: str) -> None:
    """Write bytes to a path, or to standard output for ``-``."""
    if out == "-":
        sys.stdout.buffer.write(data)
        return
    path = Path(out)
    try:
        if path.exists() and not path.is_file():
            # A pipe or a device is written to as it stands.
            path.write_bytes(data)
        else:
            write_data(data, path)
    except OSError as error:
        raise OutputError(f"{out}: cannot be written: {error.strerror or error}") from None
    except SaveError as error:
        reason = str(error).removeprefix(f"{shown_name(path)}: ")
        raise OutputError(f"{out}: cannot be written: {reason}") from None
