"""Smallest battery and panel, frontier, break-even, sensitivity, equal terms, the year."""
