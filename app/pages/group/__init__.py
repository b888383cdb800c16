"""The group in a window of its own: posts, spares, who can power whom, drill, tonight's board."""
