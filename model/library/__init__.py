"""The user's parts, and the sizes that can be bought."""
