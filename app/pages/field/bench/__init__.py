"""The bench sheet: the printed page, and the form its readings are typed into."""
