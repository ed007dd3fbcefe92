"""The class: lessons with moving pictures, exercises that name the mistake, sheets, and a teacher's packing lists.

>>> from kit import lessons
>>> lessons.mark(lessons.make_exercise("square", 1), "1 in").word
'Not yet'
"""

from kit.lessons.contents import LESSONS
from kit.lessons.exercises.catalogue import KINDS, make_exercise, make_set
from kit.lessons.exercises.marking import Mark, mark
from kit.lessons.exercises.published_figures import compare_amounts, compare_counts, compare_settings, read_cases
from kit.lessons.exercises.whirl import sew_whirl
from kit.lessons.paper.class_pages import read_seam_test, write_class_page, write_seam_card
from kit.lessons.paper.class_plan import list_supplies, pack_kits, plan_day, plan_samples
from kit.lessons.paper.exercise_sheets import write_key, write_sheet
from kit.lessons.screens.learner_progress import LearnerProgress, read_progress, write_progress
from kit.lessons.screens.lesson_view import open_lesson, show_lesson, show_worked
from kit.lessons.teaching.class_papers import ClassWishes, prepare_papers
from kit.lessons.teaching.slip_sheets import aim_at_class, aim_exercises
from kit.lessons.teaching.stumbles import collect_learners, count_slips, list_slips, list_stumbles

__all__ = [
    "KINDS",
    "LESSONS",
    "ClassWishes",
    "LearnerProgress",
    "Mark",
    "aim_at_class",
    "aim_exercises",
    "collect_learners",
    "compare_amounts",
    "compare_counts",
    "compare_settings",
    "count_slips",
    "list_slips",
    "list_stumbles",
    "list_supplies",
    "make_exercise",
    "make_set",
    "mark",
    "open_lesson",
    "pack_kits",
    "plan_day",
    "plan_samples",
    "prepare_papers",
    "read_cases",
    "read_progress",
    "read_seam_test",
    "sew_whirl",
    "show_lesson",
    "show_worked",
    "write_class_page",
    "write_key",
    "write_progress",
    "write_seam_card",
    "write_sheet",
]
