"""Long and repeated work: jobs with progress and cancel, turns with the window."""
