"""Threads in words: what each is for, with its colour where it matters."""

from kit.model.finishing import FinishingPlan
from kit.model.finishing_figures import ThreadLine
from kit.output.words.colour_words import name_threads
from kit.output.words.strings import say_finishing


def name_thread(line: ThreadLine, plan: FinishingPlan) -> str:
    """Return the use of a thread, with its colour if the quilting has several."""
    if line.colour in ("piecing", "quilting"):
        return say_finishing(f"thread_{line.colour}")
    names = name_threads(other.colour for other in plan.thread.lines if other.colour.startswith("#"))
    several = sum(1 for other in plan.thread.lines if other.colour != "piecing") > 1
    colour = names.get(line.colour, line.colour)
    return say_finishing("thread_quilting_colour" if several else "thread_quilting", colour=colour)
