"""The curves of the day: charge, panel and load of each station, and what is marked on them."""
