"""Change a scenario by path, by hand and by name; faults, units, variants."""
