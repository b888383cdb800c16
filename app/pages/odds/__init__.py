"""The odds: how many trips each station lasts, and what follows from that."""
