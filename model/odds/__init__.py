"""Draws within what is known of sky, plan and parts: bands and odds."""
