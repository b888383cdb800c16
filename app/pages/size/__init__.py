"""What could stay at home: smallest kits, maps, what moves them most, equal terms and the year."""
