"""Threads in words: what each is for, with its colour where it matters."""

from kit.model.finishing import FinishingPlan
from kit.model.finishing_figures import ThreadLine
from kit.output.words.strings import say_finishing


def name_thread(line: ThreadLine, plan: FinishingPlan) -> str:
    """Return the use of a thread, with its colour if the quilting has several."""
    if line.colour in ("piecing", "quilting"):
        return say_finishing(f"thread_{line.colour}")
    several = sum(1 for other in plan.thread.lines if other.colour != "piecing") > 1
    return say_finishing("thread_quilting_colour" if several else "thread_quilting", colour=line.colour)
