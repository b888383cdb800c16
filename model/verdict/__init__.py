"""Who ends first, when and why; the table, and each figure's sum."""
