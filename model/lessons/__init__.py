"""The class: lessons, their questions, and how answers are judged."""
