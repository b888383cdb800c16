"""The odds as a view of the window."""

from __future__ import annotations

from app.pages.odds.view import OddsPage

__all__ = ["OddsPage"]
