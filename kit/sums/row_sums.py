"""Sums on rows and strips: rows that add up, equal strips across a block, how often a fabric may occur."""

from collections import Counter
from math import ceil

from kit.errors import KitError
from kit.geometry.outlines import Outline, make_rectangle
from kit.lengths import Length, round_up
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_shapes
from kit.sums.sum_terms import Lengths, Number, take_terms
from kit.sums.unit_sums import find_given, refuse_lost, say_ruler

FRIENDLY = 0.5
"""Inches: a strip that finishes a multiple of this is easy to cut (a choice of this kit)."""


def rows_of(rows: str, height: Lengths, *, times: Number = 1, system: str | None = None) -> SumAnswer:
    """Rows of blocks and parts: whether every row is equally wide, the size of the top, and the counts.

    Parameters
    ----------
    rows
        Finished widths of the blocks of each row, rows parted by "/": "9 of 9 in / 3 in, 8 of 9 in, 6 in".
    height
        Finished height of a row, or of each.
    times
        How often each of these rows occurs.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "width", "height", "rows", "blocks" (of the width that occurs most), "parts", "agree".

    Raises
    ------
    KitError
        Heights that are not one per row.

    Examples
    --------
    >>> answer = rows_of("9 of 9 in / 3 in, 8 of 9 in, 6 in", "6 in", times=5)
    >>> answer["width"], answer["height"], answer["blocks"], answer["parts"], answer["agree"]
    (81.0, 60.0, 85, 10, True)
    """
    terms = take_terms(rows, height, system=system)
    listed = [terms.lengths(row, "blocks") for row in str(rows).split("/") if row.strip(" 0123456789") or row.strip()]
    high = terms.lengths(height, "height")
    often = terms.count(times, "times")
    high = high * len(listed) if len(high) == 1 else high
    if len(high) != len(listed):
        raise KitError(
            f"there are {len(listed)} rows and {len(high)} heights",
            needed="one height for each row, or one",
            do="correct the list",
        )
    widths = [sum(row) for row in listed]
    agree = max(widths) - min(widths) < 1e-6
    sizes = Counter(round(w, 6) for row in listed for w in row)
    whole = max(sizes, key=lambda w: (sizes[w], w))
    blocks, total = sizes[whole] * often, sum(sizes.values()) * often
    tall = sum(high) * often
    says = [f"The top finishes {terms.say(round(max(widths), 6))} by {terms.say(tall)}."] if agree else [
        "The rows are not equally wide: " + ", ".join(terms.say(round(w, 6)) for w in widths) + "."
    ]  # fmt: skip
    says.append(
        f"{blocks} blocks of {terms.say(whole)} and {total - blocks} other parts in {len(listed) * often} rows."
    )
    shapes: list[tuple[Outline, str]] = []
    y = 0.0
    for row, one in zip(listed, high, strict=True):
        x = 0.0
        for w in row:
            shapes.append((make_rectangle(x, y, w, one), "block" if abs(w - whole) < 1e-6 else "part"))
            x += w
        y += one
    return SumAnswer(
        f"{len(listed) * often} rows of blocks", tuple(says),
        tuple(f"Row {k}: " + terms.say(round(w, 6)) for k, w in enumerate(widths, 1)),
        ("Finished sizes: seams are counted already.",),
        {"width": max(widths), "height": tall, "rows": len(listed) * often, "blocks": blocks, "parts": total - blocks,
         "agree": agree},
        terms.system, draw_shapes(shapes, "The rows, one of each"),
    )  # fmt: skip


def equal_strips(
    block: Length | None = None, count: Number = 7, *, cut: Length | None = None, allowance: Length | None = None,
    system: str | None = None,
) -> SumAnswer:  # fmt: skip
    """Equal strips across a block: the exact cut width, or a mixture that fits; or the block that strips make.

    Parameters
    ----------
    block
        Finished size of the block.
    count
        Strips across it.
    cut
        Cut width of the strips on hand, in place of the block.
    allowance, system
        Seam allowance; "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "cut" exact, "wide", "narrow" on the ruler, "wide strips", "narrow strips", "all wide" (what the wide
        ones alone would finish), "below", "above" (blocks that divide well), "block".

    Raises
    ------
    KitError
        Strips that are lost in their seams, or not exactly one of block and cut.

    Examples
    --------
    >>> equal_strips(cut="2 1/2 in", count=5)["block"]
    10.0
    >>> answer = equal_strips("12 in", 7)
    >>> answer["wide strips"], answer["wide"], answer["narrow strips"], answer["narrow"], answer["all wide"]
    (5, 2.25, 2, 2.125, 12.25)
    """
    terms = take_terms(block, cut, system=system, allowance=allowance)
    n, a2 = terms.count(count, "strips"), 2 * terms.allowance
    if n > 200:
        raise KitError(f"{n} strips across a block", needed="at most 200", do="correct the count")
    backwards = find_given(block=block, cut=cut) == "cut"
    if backwards:
        size = n * (terms.length(cut or 0, "cut width") - a2)
        refuse_lost(size, "strip", terms)
    else:
        size = terms.length(block or 0, "block")
    each = size / n + a2
    wide = terms.up(each)
    narrow = wide - terms.step
    exact = abs(wide - each) < 1e-6
    many = n if exact else round((size - n * (narrow - a2)) / terms.step, 6)
    step = FRIENDLY if terms.system == "inch" else FRIENDLY / 1.27  # half an inch, or a centimetre
    below, above = n * step * int(size / n / step + 1e-9), n * round_up(size / n, step)
    figures: dict[str, Figure] = {"block": size, "cut": each, "wide": wide, "narrow": narrow,
                                  "all wide": n * (wide - a2), "below": below, "above": above}  # fmt: skip
    if exact:
        says = [f"All {n} are cut {terms.say(wide)}."]
    elif many == int(many) and narrow > a2:
        figures |= {"wide strips": int(many), "narrow strips": n - int(many)}
        says = [f"{int(many)} of {terms.say(wide)} and {n - int(many)} of {terms.say(narrow)} make {terms.say(size)}."]
    else:
        says = [f"No mixture of {terms.say(wide)} and {terms.say(narrow)} makes {terms.say(size)} exactly."]
    if not exact:
        says.append(f"All cut {terms.say(wide)}, they make {terms.say(n * (wide - a2))}: trim, or change the block.")
        says.append(f"Blocks of {terms.say(round(below, 6))} and {terms.say(round(above, 6))} divide well." if below
                    else f"A block of {terms.say(round(above, 6))} divides well.")  # fmt: skip
    if backwards:
        says.insert(0, f"They make a block that finishes {terms.say(round(size, 4))}.")
    strips = [(make_rectangle(k * size / n, 0, size / n, size), ("odd", "even")[k % 2]) for k in range(n)]
    return SumAnswer(
        f"{n} equal strips across a block of {terms.say(round(size, 4))}", tuple(says),
        (f"{terms.say(size)} ÷ {n} + {terms.say(a2)} = {each:.3f} in exactly." if terms.system == "inch"
         else f"{terms.say(size)} ÷ {n} + {terms.say(a2)} = {terms.say(each)} exactly.",),
        say_ruler(terms), figures, terms.system, draw_shapes(strips, f"{n} strips across a block"),
    )  # fmt: skip


def colour_limit(columns: Number, rows: Number, *, corners: str = "may touch") -> SumAnswer:
    """How often one fabric may occur on a grid if equals may not lie side by side.

    Parameters
    ----------
    columns, rows
        Squares across and down.
    corners
        "may touch", or "may not": equals do not meet at a corner either.

    Returns
    -------
    SumAnswer
        Figures: "most".

    Raises
    ------
    KitError
        An unknown wish.

    Notes
    -----
    Edge to edge: every second square of a chessboard, ⌈mn/2⌉; corners too: one of each two by two, ⌈m/2⌉·⌈n/2⌉.

    Examples
    --------
    >>> colour_limit(6, 7)["most"], colour_limit(6, 7, corners="may not")["most"]
    (21, 12)
    """
    terms = take_terms()
    m, n = terms.count(columns, "columns"), terms.count(rows, "rows")
    if corners not in ("may touch", "may not"):
        raise KitError(f"corners `{corners!s:.30}`", needed="may touch or may not", do="write one of these")
    strict = corners == "may not"
    most = ceil(m / 2) * ceil(n / 2) if strict else ceil(m * n / 2)
    drawing = None
    if m * n <= 2000:
        shapes = [(make_rectangle(x, n - 1 - y, 1, 1),
                   "one" if (x % 2 == 0 and y % 2 == 0 if strict else (x + y) % 2 == 0) else "others")
                  for y in range(n) for x in range(m)]  # fmt: skip
        drawing = draw_shapes(shapes, f"One fabric {most} times on {m} by {n}")
    return SumAnswer(
        f"One fabric on a grid of {m} by {n}, corners {corners}",
        (f"At most {most} times.",),
        (f"Of each two by two squares one at most: {ceil(m / 2)} × {ceil(n / 2)}." if strict
         else f"Every second square, as on a chessboard: {m * n} ÷ 2, rounded up.",),
        ("Any arrangement is allowed; the other fabrics fill the rest.",), {"most": most}, "inch", drawing,
    )  # fmt: skip
