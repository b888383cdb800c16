"""What all drawings share: scales and their marks, hours, markers, hatches, colours, files."""
