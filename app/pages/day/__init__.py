"""The day: headline, curves and plan."""
