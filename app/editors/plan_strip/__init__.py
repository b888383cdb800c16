"""The 24-hour plan as a strip, with its editor."""
