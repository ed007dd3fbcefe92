"""The finishing of a quilt: what she wishes, what is known of the top, and the plan. Lengths in inches."""

from dataclasses import dataclass, field, fields, replace

from kit.errors import KitError
from kit.lengths import YARD, Inches, MaybeInches, System, write_length
from kit.model.fabrics import USABLE_WIDTH
from kit.model.finishing_figures import CareCard, CostSheet, GapVerdict, Purchase, ThreadPlan, TimeLine
from kit.model.finishing_parts import BackingPlan, BattingPlan, BindingPlan, BorderPlan, Label, SleevePlan
from kit.model.finishing_ways import (
    BackingWish,
    BattingWish,
    BindingGrain,
    BorderWish,
    Corner,
    Fold,
    JoinKind,
    ThreadMethod,
)
from kit.model.notices import Notice

PACKAGES = (
    ("craft", 34.0, 45.0), ("crib", 45.0, 60.0), ("twin", 72.0, 90.0), ("full", 81.0, 96.0),
    ("queen", 90.0, 108.0), ("king", 120.0, 120.0),
)  # fmt: skip
"""Name, width and length of batting packages (data/published/bed_batting_sizes.csv)."""
MOST_THREAD = 1e6
"""Inches of thread on a bobbin or spool that are believed."""


@dataclass(frozen=True)
class FinishingWishes:
    """What she decides about the finishing; the keys of the [finishing] table.

    Each length is inches, or a text with its unit. Defaults are common practice, no source, where nothing else is said.

    Attributes
    ----------
    overhang_sides, overhang_ends
        Backing and batting beyond the top, at each side and at each end.
    border_join, border_cloth, mitre_extra, ease_limit
        How border strips are joined; which way they are cut; what a mitred strip gets on top of side and two borders;
        the part of an edge that may be eased in.
    measured_widths, measured_heights
        What her top measures, raw edges included, inside its last border; empty: as designed.
    backing, backing_fabric, backing_width, backing_allowance, backing_one_way, wide_width, on_hand
        Which way; the fabric of the study that it is of, empty for another; usable width of the cloth (None: that of
        the fabric or of the study) and of wide cloth (None: there is none); allowance of its seams; a print that has a
        top; (width, length) of pieces that may be sewn together.
    batting, batting_packages, batting_rolls, batting_limit
        "fewest joins", "package" or "roll"; packages and widths of rolls; the widest gap without quilting that its
        maker allows.
    binding_fabric, binding_finished, binding_cut, binding_fold, binding_grain, binding_join, binding_width,
    binding_loft, binding_extra, join_clear, left_over_first
        The fabric of the study that it is of; width that shows; cut width of strips that are there already (None: as it
        comes); usable width of its cloth; what one layer takes to go round the edge; length for corners and closing;
        how far joins stay from corners; whether cloth left over from the top is used first (of its fabric, where one is
        named).
    sleeve, sleeve_short, sleeve_height
        Whether there is one; how much shorter than the quilt; its finished height.
    date
        For the label; empty leaves a line to fill in.
    thread, stitch_length, layers_thickness, thread_ratio, thread_test, thread_waste, bobbin_length, spool_length
        "formula", "ratio" or "test"; both measures of the formula; thread for one of seam in all; her own test piece
        as (seam, needle thread, bobbin thread); part added; inches on a full bobbin and on a spool.
    quilting_spacing, quilting_speed
        Distance between lines and inches a minute, for the estimate while the quilting is not planned.
    cut_seconds, seam_seconds, binding_speed, hand_speed, basting_minutes
        Her own speeds: for a cut and a seam; inches a minute sewing binding on and closing it by hand (16 in in ten
        minutes in one log); minutes of basting for a square yard, or a square metre in a metric study.
    draw_in, wash_width, wash_height, prewash, squaring_up
        Parts that quilting and the first wash take of the quilt (None: the estimate of the quilting plan, DRAW_IN at
        least); part that cloth loses when it is washed before
        cutting; inches that squaring up one length takes.
    fibre, bleeding
        Of the materials; fabrics that bled in her test.
    backing_price, wide_price, binding_price, batting_price, batting_roll_price, spool_price
        For a yard or metre, a package, a spool; None when not known.
    hour_rate, quilting_rate, quilting_minimum, binding_rate, margin, deposit
        Money for an hour, a square inch of quilting, the least for quilting, an inch of binding (centimetres in a
        metric study); parts.
    for_sale
        Whether it is made for sale.
    """

    overhang_sides: Inches = Inches(4.0)
    overhang_ends: Inches = Inches(4.0)
    border_join: JoinKind = "straight"
    border_cloth: BorderWish = "least cloth"
    mitre_extra: Inches = Inches(3.0)
    ease_limit: float = 0.01
    measured_widths: tuple[float, ...] = ()
    measured_heights: tuple[float, ...] = ()
    backing: BackingWish = "least cloth"
    backing_fabric: str = ""
    backing_width: MaybeInches = MaybeInches()
    backing_allowance: Inches = Inches(0.5)
    backing_one_way: bool = False
    wide_width: MaybeInches = MaybeInches(106.0)
    on_hand: tuple[tuple[float, float], ...] = ()
    batting: BattingWish = "fewest joins"
    batting_packages: tuple[tuple[str, float, float], ...] = PACKAGES
    batting_rolls: tuple[float, ...] = (90.0, 120.0)
    batting_limit: Inches = Inches(8.0)
    binding_fabric: str = ""
    binding_finished: Inches = Inches(0.375)
    binding_cut: MaybeInches = MaybeInches()
    binding_fold: Fold = "double"
    binding_grain: BindingGrain = "straight"
    binding_join: JoinKind = "diagonal"
    binding_width: MaybeInches = MaybeInches()
    binding_loft: Inches = Inches(0.125)
    binding_extra: Inches = Inches(12.0)
    join_clear: Inches = Inches(4.0)
    left_over_first: bool = False
    sleeve: bool = True
    sleeve_short: Inches = Inches(2.0)
    sleeve_height: Inches = Inches(4.0)
    date: str = ""
    thread: ThreadMethod = "formula"
    stitch_length: Inches = Inches(0.1)
    layers_thickness: Inches = Inches(0.1)
    thread_ratio: float = 2.5
    thread_test: tuple[float, float, float] | None = None
    thread_waste: float = 0.15
    bobbin_length: Inches = Inches(50 * YARD, longest=MOST_THREAD)
    spool_length: Inches = Inches(200 * YARD, longest=MOST_THREAD)
    quilting_spacing: Inches = Inches(2.0)
    quilting_speed: float = 30.0
    cut_seconds: float = 20.0
    seam_seconds: float = 60.0
    binding_speed: float = 30.0
    hand_speed: float = 1.6
    basting_minutes: float = 20.0
    draw_in: float | None = None
    wash_width: float = 0.03
    wash_height: float = 0.03
    prewash: float = 0.0
    squaring_up: Inches = Inches(1.0)
    fibre: str = "cotton throughout"
    bleeding: tuple[str, ...] = ()
    backing_price: float | None = None
    wide_price: float | None = None
    binding_price: float | None = None
    batting_price: float | None = None
    batting_roll_price: float | None = None
    spool_price: float | None = None
    hour_rate: float = 0.0
    quilting_rate: float = 0.0
    quilting_minimum: float = 0.0
    binding_rate: float = 0.0
    margin: float = 0.0
    deposit: float = 0.5
    for_sale: bool = False

    def __post_init__(self) -> None:
        for name in (f.name for f in fields(self)):
            value = getattr(self, name)
            if isinstance(value, bool) or not isinstance(value, int | float):
                continue
            if not 0 <= value < 1e6:
                raise KitError(f"`{name}` is {value:g}", needed="nought or more", do=f"correct {name} or leave it out")
            if name in ABOVE_NOUGHT and not value:
                raise KitError(f"`{name}` is nought", needed="more than nought", do=f"leave {name} out for its default")
            if name in PARTS and value >= 0.5:
                raise KitError(
                    f"`{name}` is {value:g}", needed="a part below 0.5", do="write 0.03 for three in a hundred"
                )
        if self.thread == "test" and (self.thread_test is None or min(self.thread_test) <= 0):
            raise KitError(
                "thread is worked back from a test piece, but `thread_test` is not there or holds nought",
                needed="inches of seam, of needle thread and of bobbin thread",
                do="stitch a line of known length, pick it out, measure both threads",
            )
        if self.quilting_spacing > self.batting_limit:
            raise KitError(
                f"the quilting lines lie {write_length(self.quilting_spacing)} apart and the batting allows gaps of"
                f" {write_length(self.batting_limit)}",
                needed="lines no farther apart than the batting's limit",
                do="quilt closer, or take a batting that may be quilted wider",
            )


DRAW_IN = 0.02
"""Part that quilting takes of width and height at least (common practice, no source)."""
PARTS = frozenset(["ease_limit", "thread_waste", "draw_in", "wash_width", "wash_height", "prewash"])
"""Keys that hold a part of something, 0.03 for three in a hundred."""
ABOVE_NOUGHT = frozenset(
    [
        "backing_width", "wide_width", "batting_limit", "binding_finished", "binding_cut", "binding_width",
        "sleeve_height", "stitch_length", "layers_thickness", "thread_ratio", "bobbin_length", "spool_length",
        "quilting_spacing", "quilting_speed", "binding_speed", "hand_speed",
    ]
)  # fmt: skip
"""Keys that may not be nought."""


def _cm(centimetres: float) -> float:
    """Return inches, the very number that the text of as many centimetres is read as."""
    return centimetres * 50 / 127


METRIC = {
    "overhang_sides": _cm(10), "overhang_ends": _cm(10), "mitre_extra": _cm(8), "backing_allowance": _cm(1.25),
    "wide_width": _cm(270), "batting_limit": _cm(20), "binding_finished": _cm(1), "binding_loft": _cm(0.3),
    "binding_extra": _cm(30), "join_clear": _cm(10), "sleeve_short": _cm(5), "sleeve_height": _cm(10),
    "stitch_length": _cm(0.25), "layers_thickness": _cm(0.25), "bobbin_length": _cm(5000),
    "spool_length": _cm(20000),
    "quilting_spacing": _cm(5), "quilting_speed": _cm(75), "binding_speed": _cm(75), "hand_speed": _cm(4),
    "squaring_up": _cm(2.5), "basting_minutes": 24.0,
}  # fmt: skip
"""What is usual where centimetres are; common practice, no source."""
METRIC_ROLLS = (_cm(230), _cm(300))


def find_usual(system: System) -> FinishingWishes:
    """Return what is usual where nothing else is said, in round inches or in round centimetres.

    Examples
    --------
    >>> find_usual("inch").overhang_sides, round(find_usual("metric").overhang_sides * 2.54, 6)
    (4.0, 10.0)
    """
    usual = FinishingWishes()
    if system == "inch":
        return usual
    return replace(usual, batting_rolls=METRIC_ROLLS, **METRIC)  # type: ignore[arg-type]  # every value is a float


@dataclass(frozen=True)
class TopFacts:
    """What is known of the top, besides its finished width and height.

    Attributes
    ----------
    title
        For the label.
    system
        "inch" or "metric": how lengths are bought and written.
    allowance, step, usable_width
        Seam allowance, what cut sizes are rounded up to, usable width of cloth.
    borders, corners, ends_first, border_width, border_cloth
        Finished widths of the borders that the top has, the innermost first; their corners (empty: butted); whether the
        level strips of a butted one are sewn first (empty: the upright ones are); usable width of their cloth (None:
        the usual); inches of cloth that the cutting plan takes for each (None where it holds other pieces too).
    cuts, seams, seam_length
        How many pieces are cut and seams sewn, and their length.
    paths, quilting_minutes
        Thread colour and inches of quilting path, and what it takes; empty and None: not planned yet.
    gap, gap_limit
        Widest unquilted gap; None: not known yet. What the quilting plan holds it against; None: as wished.
    draw_in
        Parts of width and height that the quilting plan is estimated to take; None: not planned yet.
    purchases
        What is bought for the top.
    left_over
        (width, length) of cloth that the top leaves.
    """

    title: str = "Quilt"
    system: System = "inch"
    allowance: float = 0.25
    step: float = 0.125
    usable_width: float = USABLE_WIDTH
    borders: tuple[float, ...] = ()
    corners: tuple[Corner, ...] = ()
    ends_first: tuple[bool, ...] = ()
    border_width: float | None = None
    border_cloth: tuple[float | None, ...] = ()
    cuts: int = 0
    seams: int = 0
    seam_length: float = 0.0
    paths: tuple[tuple[str, float], ...] = ()
    quilting_minutes: float | None = None
    gap: float | None = None
    gap_limit: float | None = None
    draw_in: tuple[float, float] | None = None
    purchases: tuple[Purchase, ...] = ()
    left_over: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class FinishingPlan:
    """How the quilt is finished.

    Attributes
    ----------
    width, height
        Finished size of the top.
    wishes, top
        What it follows from.
    borders, backing, batting, binding, sleeve, label
        Its parts; no sleeve where none is wanted.
    thread, time, cost, care
        Its figures.
    gap
        Widest gap against the batting's limit; None while no gap is known.
    cautions
        What has to be minded while working.
    assumptions
        What is printed with the result.
    warnings
        What the maker should look at.
    """

    width: float
    height: float
    wishes: FinishingWishes
    top: TopFacts
    borders: tuple[BorderPlan, ...]
    backing: BackingPlan
    batting: BattingPlan
    binding: BindingPlan
    sleeve: SleevePlan | None
    label: Label
    thread: ThreadPlan
    time: tuple[TimeLine, ...]
    cost: CostSheet
    care: CareCard
    gap: GapVerdict | None
    cautions: tuple[Notice, ...]
    assumptions: tuple[Notice, ...]
    warnings: tuple[Notice, ...] = field(default=())

    @property
    def hours(self) -> float:
        """Hours of work in all."""
        return sum(line.minutes for line in self.time) / 60
