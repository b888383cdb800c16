"""Sentences as they are typed in a test."""

from model.support.figures import NBSP


def plain(text: str) -> str:
    """Return a text with common spaces in place of those that hold units to their numbers."""
    return text.replace(NBSP, " ")
