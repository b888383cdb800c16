"""The field check: readings typed in on the trip, what they are worth, and what they change."""
