"""Bench sheet, field check and calibration: measure and correct."""
