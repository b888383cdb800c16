"""What the comparison says: the verdict in words, the table, and the sums behind it."""
