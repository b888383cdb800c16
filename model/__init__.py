"""What is true of a portable station: parts, plan, sky, battery, the run and its verdict."""
