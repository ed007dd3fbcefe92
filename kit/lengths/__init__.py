"""Lengths at the edge: reading, writing and rounding them. The only place that knows how lengths are written.

Inside the kit a length is a float in inches; 1 in = 25.4 mm exactly. pint knows the units, this module the
notation (pint's own reader takes "2 1/2 inch" for one inch). A text is read as an exact fraction, scaled by an
exact fraction and rounded once to the nearest float, so every way of writing one length gives the same number.
"""

from kit.lengths.given import Inches, Length, MaybeInches, take_length, take_lengths
from kit.lengths.handwriting import HandLength, read_hand_count, read_handwriting
from kit.lengths.reading import read_length, read_number
from kit.lengths.refusing import number_refused, write_refused, write_refused_area, write_refused_place
from kit.lengths.systems import CM, LONGEST, MM, SLACK, YARD, System
from kit.lengths.weights import read_weight, write_weight
from kit.lengths.writing import (
    PLAIN_NOTATION,
    Notation,
    buying_length,
    find_system,
    round_up,
    use_notation,
    use_system,
    write_buying,
    write_decimal,
    write_exact,
    write_faithful,
    write_fraction,
    write_length,
    write_nearest,
    write_plain,
    write_thread,
)

__all__ = [
    "CM",
    "LONGEST",
    "MM",
    "PLAIN_NOTATION",
    "SLACK",
    "YARD",
    "HandLength",
    "Inches",
    "Length",
    "MaybeInches",
    "Notation",
    "System",
    "buying_length",
    "find_system",
    "number_refused",
    "read_hand_count",
    "read_handwriting",
    "read_length",
    "read_number",
    "read_weight",
    "round_up",
    "take_length",
    "take_lengths",
    "use_notation",
    "use_system",
    "write_buying",
    "write_decimal",
    "write_exact",
    "write_faithful",
    "write_fraction",
    "write_length",
    "write_nearest",
    "write_plain",
    "write_refused",
    "write_refused_area",
    "write_refused_place",
    "write_thread",
    "write_weight",
]
