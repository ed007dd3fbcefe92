"""Thread and bobbins: by the formula of the lockstitch, by an average ratio, or from the maker's own test piece."""

from math import ceil

from kit.errors import KitError
from kit.lengths import SLACK, write_refused
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.finishing_figures import ThreadLine, ThreadPlan

PIECING = "piecing"
QUILTING = "quilting"


def find_lockstitch_thread(thickness: float, stitches: float, *, constant: float = 2.0) -> float:
    """Return inches of thread, needle and bobbin together, per inch of lockstitch: C = 2 + 2·T·S.

    Each stitch lies once on each side and passes through the layers twice between them.

    Parameters
    ----------
    thickness
        T, thickness of the layers when sewn, inches.
    stitches
        S, stitches in an inch.
    constant
        Threads along the seam: 2 for type 301, 3 for type 101, 4 for type 401.

    References
    ----------
    ISO 4915, Textiles, Stitch types, 1991, for the types; the formula as in textile-engineering tutorials
    (data/published/thread_consumption.json).

    Examples
    --------
    >>> find_lockstitch_thread(0.01, 10)
    2.2
    """
    if thickness < 0 or stitches <= 0:
        raise KitError(
            f"the layers are {write_refused(thickness)} thick and there are {stitches:g} stitches in an inch",
            needed="a thickness of zero or more and a number of stitches above zero",
            do="count the stitches in an inch of your own quilting",
        )
    return constant + 2 * thickness * stitches


def find_thread_per_inch(wishes: FinishingWishes) -> tuple[float, float]:
    """Return inches of needle thread and of bobbin thread per inch of quilting, without waste.

    The formula and the ratio are shared equally, as in a balanced lockstitch; a test piece gives both.

    Examples
    --------
    >>> find_thread_per_inch(FinishingWishes(thread="test", thread_test=(10.0, 13.0, 12.0)))
    (1.3, 1.2)
    """
    if wishes.thread == "test" and wishes.thread_test is not None:
        seam, needle, bobbin = wishes.thread_test
        if min(needle, bobbin) < seam - SLACK:
            raise KitError(
                f"in the test piece {write_refused(seam)} of seam took {write_refused(needle)} of needle,"
                f" {write_refused(bobbin)} of bobbin thread",
                needed="each thread at least as long as the seam",
                do="pick out the measured length of seam, and measure both threads again",
            )
        return needle / seam, bobbin / seam
    if wishes.thread == "ratio":
        total = wishes.thread_ratio
    else:
        total = find_lockstitch_thread(wishes.layers_thickness, 1 / wishes.stitch_length)
    return total / 2, total / 2


def plan_thread(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> ThreadPlan:
    """Plan the thread of each colour, waste included, in whole bobbins and spools.

    An unknown path is estimated as area over spacing: parallel lines a distance d apart measure A / d.
    Piecing is estimated by the average ratio.

    Parameters
    ----------
    width, height
        Finished size of the quilt.
    """
    per_inch = find_thread_per_inch(wishes)
    paths = top.paths or ((QUILTING, width * height / wishes.quilting_spacing),)
    lines = [_plan_line(colour, path, per_inch, wishes) for colour, path in paths]
    if top.seam_length:
        half = wishes.thread_ratio / 2
        lines.insert(0, _plan_line(PIECING, top.seam_length, (half, half), wishes))
    return ThreadPlan(wishes.thread, per_inch, wishes.thread_waste, tuple(lines), estimated=not top.paths)


def _plan_line(colour: str, path: float, per_inch: tuple[float, float], wishes: FinishingWishes) -> ThreadLine:
    if path < 0:
        raise KitError(
            f"the path of `{colour}` is {write_refused(path)}",
            needed="zero or more",
            do="give the length of the stitched path",
        )
    needle, bobbin = (path * each * (1 + wishes.thread_waste) for each in per_inch)
    spools, bobbins = (
        ceil(length / of - SLACK) for length, of in ((needle, wishes.spool_length), (bobbin, wishes.bobbin_length))
    )
    return ThreadLine(colour, path, needle, bobbin, spools, bobbins)
