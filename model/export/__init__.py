"""What leaves the program: the kit page's numbers, JSON and tables."""
