"""Quick sums: one question of a maker, answered in words with its working, its assumptions and a picture.

Every function takes texts with units ("9 1/2 in", "24 cm"); a number, or a text without a unit, is in inches, or in
centimetres where `system="metric"`. A sum is metric where one of its texts is. Each returns a `SumAnswer`, which shows
itself; its figures are read by name: `answer["squares"]`. Many questions are answered backwards as well: give what is
on hand in place of what is wanted.

>>> print(squares("9 1/2 in", out_of="2 yd", width="42 in").says[0])
28 squares.
>>> cut_size(cut="5 in")["finished"]
4.5
"""

from kit.sums.answer import SumAnswer
from kit.sums.back_sums import backing, batting
from kit.sums.bias_sums import bias_square, bias_strips
from kit.sums.binding_sums import binding
from kit.sums.border_sums import border_length, borders, join_cost
from kit.sums.cloth_sums import rectangles, squares
from kit.sums.edge_sums import round_edge, scallops
from kit.sums.goose_sums import geese, half_rectangles, square_in_square
from kit.sums.money_sums import break_even, quote
from kit.sums.point_sums import halved_block, on_point, setting_triangles
from kit.sums.question_list import ask_sum, list_quick_sums
from kit.sums.row_sums import colour_limit, equal_strips, rows_of
from kit.sums.seam_sums import row_drift, seam, slip, unequal
from kit.sums.setting_sums import braid, frame
from kit.sums.shape_sums import diamonds, hexagons, kites, octagons
from kit.sums.size_sums import bed, cut_size, resize, shrink
from kit.sums.strip_sums import precuts, strip_sets, strips
from kit.sums.sum_card import save_card
from kit.sums.triangle_sums import triangles
from kit.sums.unit_sums import half_squares, quarter_squares
from kit.sums.wheel_sums import wheels
from kit.sums.work_sums import quilting_gap, thread, work_time

__all__ = [
    "SumAnswer",
    "ask_sum",
    "backing",
    "batting",
    "bed",
    "bias_square",
    "bias_strips",
    "binding",
    "border_length",
    "borders",
    "braid",
    "break_even",
    "colour_limit",
    "cut_size",
    "diamonds",
    "equal_strips",
    "frame",
    "geese",
    "half_rectangles",
    "half_squares",
    "halved_block",
    "hexagons",
    "join_cost",
    "kites",
    "list_quick_sums",
    "octagons",
    "on_point",
    "precuts",
    "quarter_squares",
    "quilting_gap",
    "quote",
    "rectangles",
    "resize",
    "round_edge",
    "row_drift",
    "rows_of",
    "save_card",
    "scallops",
    "seam",
    "setting_triangles",
    "shrink",
    "slip",
    "square_in_square",
    "squares",
    "strip_sets",
    "strips",
    "thread",
    "triangles",
    "unequal",
    "wheels",
    "work_time",
]
