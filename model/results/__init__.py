"""What one run says: budget, voltage drop, signal levels, expected readings, provenance."""
