"""The two systems of lengths, and the size of their units in inches."""

from typing import Literal, TypeAlias

System: TypeAlias = Literal["inch", "metric"]

YARD = 36.0
"""Inches in a yard."""
CM = 1 / 2.54
"""Inches in a centimetre."""
MM = 1 / 25.4
"""Inches in a millimetre."""
LONGEST = 500.0
"""Inches: a longer length is taken for a slip of the pen."""
SLACK = 1e-6
"""Inches: the rounding error of arithmetic that a length may carry; far below the marks of a ruler."""
