"""Class mode: predict, then reveal."""

from app.classroom.window import ClassroomWindow, open_classroom

__all__ = ["ClassroomWindow", "open_classroom"]
