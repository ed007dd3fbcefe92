"""The class: lessons with pictures that move, exercises that name the mistake, sheets, and what a teacher packs.

>>> from kit import lessons
>>> lessons.mark(lessons.make_exercise("square", 1), "1 in").word
'Not yet'
"""

from kit.lessons.contents import LESSONS
from kit.lessons.exercises import KINDS, make_exercise, make_set
from kit.lessons.marking import Mark, mark
from kit.lessons.progress import Progress, read_progress, write_progress
from kit.lessons.teaching import show_lesson, show_worked, teach

__all__ = [
    "KINDS",
    "LESSONS",
    "Mark",
    "Progress",
    "make_exercise",
    "make_set",
    "mark",
    "read_progress",
    "show_lesson",
    "show_worked",
    "teach",
    "write_progress",
]
