"""How well each station is heard and what that costs, and how far people must keep clear."""
