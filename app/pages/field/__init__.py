"""What is measured: at the bench before, and by the log of a trip."""
