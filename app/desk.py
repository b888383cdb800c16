"""What every panel of the window works with."""

from __future__ import annotations

from dataclasses import dataclass

from app.display import Display
from app.document import Document


@dataclass(frozen=True)
class Desk:
    """The document that is edited, and how its quantities are shown."""

    document: Document
    display: Display
