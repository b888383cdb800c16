"""The guide: what the program is and how it is used, shipped with it and read offline."""
