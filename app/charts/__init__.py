"""What all drawings share: scales, hours, markers, hatches, maps, bars, colours, files."""
