"""Place and day: where the stations stand, when, and under which sky."""
