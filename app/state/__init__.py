"""The document and what the program remembers: undo, settings, recovery, display."""
