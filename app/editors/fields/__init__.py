"""Editors for the fields of a scenario, built from what the model says of each field."""
