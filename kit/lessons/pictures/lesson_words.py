"""The words of the lessons on units, ways of making, odd seams and reading a pattern."""

from kit.lessons.exercises.exercise import Terms


def tell_units(_: Terms) -> tuple[str, ...]:
    """Tell what a unit is."""
    return (
        "A top is not a heap of patches. A unit is a part that is made once and then again: equal pieces, equal steps,"
        " equal pressing. What is told once for a unit holds for every copy of it.",
        "Each unit has an unfinished size, with the allowance around it. Measure the first one before you make the"
        " others: a fault in it would be in all of them.",
    )


def tell_ways(_: Terms) -> tuple[str, ...]:
    """Tell why a way of making suits."""
    return (
        "The same unit can be made one by one from triangles, or several at a time from squares that are sewn first and"
        " cut afterwards. Each way has its price: cloth, cuts and seams, edges on the bias, units left over.",
        "Few units in many fabrics: one by one, or two at a time. Many equal ones: eight at a time. Stitch and flip is"
        " simple and cuts away the most cloth. Four at a time leaves every outer edge on the bias, which stretches.",
    )


def tell_odd_seams(_: Terms) -> tuple[str, ...]:
    """Tell set-in and partial seams."""
    return (
        "Where no seam runs straight through, a part is set in around a corner, in two seams that meet at a dot; or a"
        " seam is begun, left open, and finished last: a partial seam.",
        "Both can be avoided if a patch is split, and then the split has its price: more pieces, more seams, perhaps"
        " more cloth and time, and a seam across a patch that was whole. Compare, then choose.",
    )


def tell_reading(_: Terms) -> tuple[str, ...]:
    """Tell reading a pattern."""
    return (
        "Read a pattern before you cut. From the finished size of each patch follow its cut size and the unfinished"
        " size of its unit; from the number of blocks follow units and pieces, counted from the top down.",
        "If one figure does not go with the others, look for the first line that is wrong: what comes after it may only"
        " follow from it. Then ask which slip leads to that figure.",
    )
