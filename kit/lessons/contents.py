"""The lessons of the class, in their order: the words, the dials and the exercises of each."""

from kit.errors import KitError
from kit.lessons.exercises.exercise import Terms
from kit.lessons.lesson import Control, Lesson
from kit.lessons.pictures.error_pictures import draw_errors
from kit.lessons.pictures.lesson_words import tell_odd_seams, tell_reading, tell_units, tell_ways
from kit.lessons.pictures.size_pictures import draw_allowance, draw_sizes, draw_triangle
from kit.lessons.pictures.strip_pictures import draw_braid, draw_on_point, draw_pairs, draw_strips
from kit.lessons.pictures.unit_pictures import SHOWN, TOPS, UNITS, draw_odd_seams, draw_reading, draw_units, draw_ways
from kit.lessons.pictures.whirl_picture import draw_whirl

ROOT2 = 2**0.5


def find_lesson(name: str) -> Lesson:
    """Return the lesson of a name.

    Raises
    ------
    KitError
        An unknown name.

    Examples
    --------
    >>> find_lesson("braid").kinds
    ('braid',)
    """
    if name not in LESSONS:
        raise KitError(f"There is no lesson `{name}`", needed=", ".join(LESSONS), do="choose one of these")
    return LESSONS[name]


def _tell_allowance(terms: Terms) -> tuple[str, ...]:
    a = terms.write(terms.allowance)
    return (
        "A seam allowance is the cloth between the line of stitches and the raw edge. It lies unseen at the back of the"
        " quilt, and it keeps the seam from pulling open.",
        f"Every sewn edge gives up one allowance. The usual one is {a}. Sew wider, and every patch finishes"
        " smaller by twice the difference; the row adds it up.",
        "Move the allowance and watch what is left of squares that are already cut.",
    )


def _tell_sizes(terms: Terms) -> tuple[str, ...]:
    two = terms.write(2 * terms.allowance)
    return (
        "Three sizes belong to every patch, and each has its own word. Cut is what the ruler shows at the cutting mat."
        " Unfinished is a sewn unit with the allowance still around it. Finished is the size seen in the quilt.",
        f"From finished to cut, add two allowances, {two}, once for the piece. From the sum of the finished sizes to"
        f" the unfinished row, add {two} once for the whole row, not once for each patch.",
        "To make a block in another size, take the allowances away, scale the finished size, and add them again.",
    )


def _tell_triangles(terms: Terms) -> tuple[str, ...]:
    half, quarter = (terms.write((2 + k * ROOT2) * terms.allowance) for k in (1, 2))
    trade = "+ ⅞ and + 1¼" if terms.system == "inch" else "+ 2.6 and + 3.7"
    return (
        "A triangle needs more than two allowances, because its points are sharp: the allowance runs past the corner of"
        " the patch by more than its own width. Move every edge out by one allowance, let the edges meet, and measure.",
        f"A half-square triangle (the square is cut once) needs (2 + √2) allowances, {half}. A quarter-square triangle"
        f" (cut twice) needs (2 + 2√2) allowances, {quarter}. The trade rounds them up to {trade}.",
        "The straight grain decides between them: along the short sides, cut once; along the long side, cut twice.",
    )


def _tell_on_point(_: Terms) -> tuple[str, ...]:
    return (
        "A block on point stands on a corner. Its width is then its diagonal: its side times √2, about 1.414.",
        "Side triangles and corner triangles fill the gaps at the edges. A side triangle is a quarter square, with the"
        " diagonal of the block as its long side; a corner triangle is a half square, with the side of the block as its"
        " long side. So the straight grain lies at the outside of the top and keeps the edge from stretching.",
    )


def _tell_strips(_: Terms) -> tuple[str, ...]:
    return (
        "Strips are counted, not divided. First: how many whole pieces lie in one strip? Round down. Then: how many"
        " strips for all the pieces? Round up. Then lengths: strips times their cut width, and squaring up on top.",
        "Dividing the area of the cloth by that of a piece promises too many. The end of a strip is cloth, too, but if"
        " it is too short for a piece, it gives none.",
    )


def _tell_braid(_: Terms) -> tuple[str, ...]:
    return (
        "In a braid, strips are laid at 45° from the left and from the right in turn; each covers the end of the one"
        " before. A left and a right strip together, a pair, lift the top by the diagonal of their finished width.",
        "Two slips are common: counting the lift for each strip instead of each pair, and taking the cut width.",
    )


def _tell_errors(terms: Terms) -> tuple[str, ...]:
    little = terms.write(1 / 32) if terms.system == "inch" else "half a millimetre"
    return (
        f"{little} is the width of a few threads. But a seam takes it out of both patches, and a row has many seams."
        " The picture sews one row a thousand times, each time with small errors of the hand.",
        "Chance errors, now deeper, now shallower, make rows scatter around the design. A seam that is"
        " always too deep shifts them all; only a truer allowance helps. Sew a test set and measure it.",
    )


def _tell_pairs(_: Terms) -> tuple[str, ...]:
    return (
        "A strip with one slanted end, or a parallelogram, is not its own mirror image: there is a left one and a right"
        " one, and turning it over would show the wrong side of the cloth.",
        "Fold the cloth and cut through both layers: since the layers face opposite ways, each cut gives one of each"
        " hand. Stack single strips all right side up, and every piece has the same hand.",
        "Take care: cut away from yourself, and close the guard of the rotary cutter after every cut.",
    )


def _tell_whirl(_: Terms) -> tuple[str, ...]:
    return (
        "Four rectangles whirl around a square: each ends against the side of the next. Sew them on one after another,"
        " in any order. At the latest the fourth would have to be sewn along two sides at once.",
        "The cure is a partial seam. Sew the first rectangle on for only half the side of the square, go around in the"
        " right direction, and finish that seam when the last rectangle is on. Try both directions.",
    )


_ALLOWANCE = Control("allowance", "Allowance sewn", "length", 1 / 8, 3 / 8, 1 / 32, 1 / 4, (0.4, 1.2, 0.05, 0.75))

_LAYERS = ("folded, the layers facing", "single layers, all right side up")

LESSONS = {
    lesson.name: lesson
    for lesson in (
        Lesson(
            "allowance",
            "What a seam allowance is",
            _tell_allowance,
            (_ALLOWANCE, Control("cut", "Squares, cut side", "length", 1.5, 5, 0.5, 2.5, (4, 12, 0.5, 6.5))),
            draw_allowance,
            ("square", "rectangle", "finished from cut"),
        ),
        Lesson(
            "sizes",
            "Finished, unfinished, cut",
            _tell_sizes,
            (
                Control("count", "Squares in the row", "count", 1, 8, 1, 4),
                Control("finished", "Squares, finished side", "length", 1, 4, 0.5, 2, (2, 10, 0.5, 5)),
            ),
            draw_sizes,
            ("width of a strip set", "another size", "border"),
        ),
        Lesson(
            "triangles",
            "Why triangles need more",
            _tell_triangles,
            (
                Control("shape", "Triangle", "choice", choices=("half-square, cut once", "quarter-square, cut twice")),
                Control("allowance", "Allowance", "length", 1 / 8, 1 / 2, 1 / 16, 1 / 4, (0.4, 1.2, 0.05, 0.75)),
                Control("finished", "Finished side", "length", 1, 6, 0.5, 3, (3, 15, 0.5, 8)),
            ),
            draw_triangle,
            ("half-square triangle", "quarter-square triangle"),
        ),
        Lesson(
            "on point",
            "Blocks on point",
            _tell_on_point,
            (
                Control("columns", "Blocks across", "count", 1, 6, 1, 3),
                Control("rows", "Blocks down", "count", 1, 4, 1, 2),
                Control("block", "Block, finished side", "length", 4, 14, 0.5, 8, (10, 36, 1, 20)),
            ),
            draw_on_point,
            ("blocks on point", "side triangle", "corner triangle"),
        ),
        Lesson(
            "strips",
            "Strips are counted",
            _tell_strips,
            (
                Control("need", "Squares needed", "count", 5, 80, 1, 30),
                Control("cut", "Squares, cut side", "length", 2, 9, 0.5, 8.5, (5, 23, 0.5, 21.5)),
                Control("usable", "Usable width of the cloth", "length", 36, 44, 1, 42, (90, 112, 1, 105)),
            ),
            draw_strips,
            ("strips", "squares from cloth", "cloth to buy", "number of strip sets"),
        ),
        Lesson(
            "braid",
            "How a braid grows",
            _tell_braid,
            (
                Control("pairs", "Pairs in the column", "count", 4, 8, 1, 6),
                Control("strip_cut", "Strips, cut width", "length", 1.5, 4, 0.25, 2.5, (4, 10, 0.5, 6.5)),
            ),
            draw_braid,
            ("braid",),
        ),
        Lesson(
            "errors",
            "How a little grows over a row",
            _tell_errors,
            (
                Control("bias", "Every seam too deep by", "length", 0, 1 / 16, 1 / 64, 1 / 32, (0, 0.15, 0.05, 0.1)),
                Control("spread", "A seam varies by", "length", 0, 1 / 32, 1 / 128, 1 / 64, (0, 0.1, 0.02, 0.04)),
                Control("patches", "Patches in the row", "count", 2, 16, 1, 12),
            ),
            draw_errors,
            ("short row", "true allowance"),
        ),
        Lesson(
            "pairs",
            "Left and right from folded cloth",
            _tell_pairs,
            (
                Control("layers", "Cloth", "choice", choices=_LAYERS),
                Control("cuts", "Cuts", "count", 1, 6, 1, 4),
            ),
            draw_pairs,
            ("mirror pairs",),
        ),
        Lesson("whirl", "Why a whirl needs a partial seam", _tell_whirl, (), draw_whirl, ("whirl",)),
        Lesson(
            "units",
            "Units: made once, made again",
            tell_units,
            (
                Control("squares", "Squares along a unit", "count", 2, 4, 1, 3),
                Control("across", "Units across", "count", 1, 5, 1, 3),
                Control("down", "Units down", "count", 1, 5, 1, 2),
            ),
            draw_units,
            ("unfinished unit",),
        ),
        Lesson(
            "ways",
            "Which way of making suits",
            tell_ways,
            (
                Control("unit", "Unit", "choice", choices=tuple(UNITS)),
                Control("count", "Units needed", "count", 2, 96, 1, 24),
                Control("finished", "Finished side, or height", "length", 1, 6, 0.5, 3, (3, 15, 0.5, 8)),
            ),
            draw_ways,
            ("eight at a time", "squares for units"),
        ),
        Lesson(
            "odd seams",
            "Set-in and partial seams, and their price",
            tell_odd_seams,
            (Control("top", "Top", "choice", choices=tuple(TOPS)),),
            draw_odd_seams,
            ("partial seams",),
        ),
        Lesson(
            "reading",
            "Reading a pattern critically",
            tell_reading,
            (
                Control("number", "Pattern number", "count", 1, 20, 1, 1),
                Control("show", "Show", "choice", choices=SHOWN),
            ),
            draw_reading,
            ("wrong line",),
        ),
    )
}  # fmt: skip
"""Name -> lesson."""
