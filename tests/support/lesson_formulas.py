"""What the question of an exercise asks, worked out from its printed words alone."""

import re
from fractions import Fraction
from math import ceil, floor, sqrt

BUILT = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8)}
NUMBER = re.compile(
    r"(?P<whole>\d+)?(?:\u202f)?(?:(?P<over>\d+)\u2044(?P<under>\d+)|(?P<built>[½¼¾⅛⅜⅝⅞]))|\d+(?:\.\d+)?"
)


def read_figures(question):
    """Return every number of a question in its order, as it is printed, read by a reader of the test's own."""
    found = []
    for match in NUMBER.finditer(question.replace("45°", "")):
        whole, over, under, built = match["whole"], match["over"], match["under"], match["built"]
        if built:
            found.append(int(whole or 0) + Fraction(*BUILT[built]))
        elif over and whole and "\u202f" not in match[0]:
            digits = whole + over
            found.append(Fraction(int(digits), int(under)))
        elif over:
            found.append(int(whole or 0) + Fraction(int(over), int(under)))
        else:
            found.append(Fraction(match[0]))
    return [float(number) for number in found]


def times(room, size):
    return floor(room / size + 1e-6)


ROOT2 = sqrt(2)


def list_formulas(root=ROOT2):
    """Return kind -> what is asked, from the printed figures; a is the allowance, root stands for √2."""
    return {
        "square": lambda f, a: f + 2 * a,
        "rectangle": lambda _w, f, a: f + 2 * a,
        "finished from cut": lambda w, a: w - 2 * a,
        "another size": lambda b, c, a, other: (c - 2 * a) * other / b + 2 * a,
        "border": lambda w, _h, b, a: w + 2 * b + 2 * a,
        "half-square triangle": lambda f, a: f + (2 + root) * a,
        "quarter-square triangle": lambda f, a: f + (2 + 2 * root) * a,
        "blocks on point": lambda b, n: n * root * b,
        "side triangle": lambda b, a: root * b + 2 * (1 + root) * a,
        "corner triangle": lambda b, a: b / root + (2 + root) * a,
        "squares from cloth": lambda u, long, c, _f: times(u, c) * times(long, c),
        "strips": lambda n, f, u, a: ceil(n / times(u, f + 2 * a)),
        "cloth to buy": lambda n, f, a, q, *_: n * (f + 2 * a) + q,
        "width of a strip set": lambda n, w, a: n * (w - 2 * a) + 2 * a,
        "number of strip sets": lambda n, f, u, a: ceil(n / times(u, f + 2 * a)),
        "braid": lambda w, a, k: k * (w - 2 * a) * root,
        "mirror pairs": lambda columns, pairs, _w: columns * pairs,
        "whirl": lambda f, w, a: f + w + 2 * a,
        "short row": lambda n, _wide, e: (n - 1) * 2 * e,
        "unfinished unit": lambda n, _n, f, a: n * f + 2 * a,
        "eight at a time": lambda f, a: 2 * f + 2 * (2 + root) * a,
        "squares for units": lambda n, makes: ceil(n / makes),
        "partial seams": lambda rows, blocks: rows * blocks,
        "true allowance": lambda n, w, m: (n * w - m) / (2 * (n - 1)),
    }


ROOTED = {
    "half-square triangle",
    "quarter-square triangle",
    "blocks on point",
    "side triangle",
    "corner triangle",
    "braid",
    "eight at a time",
}
ROUNDED_UP = {
    "half-square triangle",
    "quarter-square triangle",
    "side triangle",
    "corner triangle",
    "another size",
    "eight at a time",
}
MEASURED = {"blocks on point", "braid"}


def work_out(kind, question, root=ROOT2):
    """Return the answer to a printed question, in its own unit or as a count."""
    if kind == "wrong line":
        return find_wrong_line(question)
    for word, figure in (("two", "2"), ("four", "4"), ("eight", "8")):
        question = question.replace(f"units are made {word} at a time, each time", f"units are made {figure} at a time")
    return list_formulas(root)[kind](*read_figures(question))


def find_wrong_line(question):
    """Return the number of the first line that does not follow from the finished size and the rows of blocks."""
    head, *lines = question.split("\n")
    (a,) = read_figures(head)
    told = [read_figures(line.split(". ", 1)[1]) for line in lines]
    (f, _), (rows, blocks, _) = told[0], told[8]
    step, count = (0.1 if "cm" in head else 0.125), rows * blocks
    cut = ceil((f + (2 + ROOT2) * a) / step - 1e-3) * step
    right = [f + 2 * a, 2 * count, cut, 4 * count, f + 2 * a, 2 * count, 2 * f + 2 * a, count, 2 * f * blocks + 2 * a]
    return next(n for n, (line, value) in enumerate(zip(told, right, strict=True), 1) if abs(line[-1] - value) > 0.006)
