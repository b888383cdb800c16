"""What every panel of the window works with."""

from __future__ import annotations

from dataclasses import dataclass

from app.state.display import Display
from app.state.document import Document


@dataclass(frozen=True)
class Desk:
    """The document that is edited, and how its quantities are shown."""

    document: Document
    display: Display
