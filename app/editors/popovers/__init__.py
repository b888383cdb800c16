"""Small sheets over a cell for what needs more than one line; one sheet is one undo step."""
