"""The finishing of a quilt: the wishes, the facts about the top, and the plan. Lengths in inches."""

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
    """The maker's choices for the finishing; the keys of the [finishing] table.

    Each length is inches, or a text with its unit. Defaults are common practice, no source, unless stated otherwise.

    Attributes
    ----------
    overhang_sides, overhang_ends
        Backing and batting beyond the top, at each side and at each end.
    border_join, border_cloth, mitre_extra, ease_limit
        How border strips are joined; which way they are cut; extra length of a mitred strip beyond the side and two
        borders; the part of an edge that may be eased in.
    measured_widths, measured_heights
        Measurements of the top, raw edges included, inside its last border; empty: as designed.
    backing, backing_fabric, backing_width, backing_allowance, backing_one_way, wide_width, on_hand
        The way; its fabric in the study, empty for another fabric; usable width of the cloth (None: that of the fabric
        or of the study) and of wide cloth (None: no wide cloth); allowance of its seams; whether the print has a top;
        (width, length) of pieces that may be sewn together.
    batting, batting_packages, batting_rolls, batting_limit
        "fewest joins", "package" or "roll"; packages and widths of rolls; the widest unquilted gap allowed by its
        maker.
    binding_fabric, binding_finished, binding_cut, binding_fold, binding_grain, binding_join, binding_width,
    binding_loft, binding_extra, join_clear, left_over_first
        Its fabric in the study; visible width; cut width of strips already cut (None: computed); usable width of its
        cloth; length that one layer takes around the edge; length for corners and closing; least distance of joins from
        corners; whether cloth left over from the top is used first (only its own fabric, if one is named).
    sleeve, sleeve_short, sleeve_height
        Whether the quilt has a sleeve; how much shorter than the quilt it is; its finished height.
    date
        Date for the label; empty leaves a line to fill in.
    thread, stitch_length, layers_thickness, thread_ratio, thread_test, thread_waste, bobbin_length, spool_length
        "formula", "ratio" or "test"; both measures of the formula; total thread per length of seam; the maker's test
        piece as (seam, needle thread, bobbin thread); part added; inches on a full bobbin and on a spool.
    quilting_spacing, quilting_speed
        Distance between lines and inches per minute, for the estimate before the quilting is planned.
    cut_seconds, seam_seconds, binding_speed, hand_speed, basting_minutes
        The maker's own speeds: for a cut and a seam; inches per minute of binding sewn on and closed by hand (16 in in
        ten minutes in one log); minutes of basting per square yard, or per square metre in a metric study.
    draw_in, wash_width, wash_height, prewash, squaring_up
        Parts of the quilt lost in quilting and in the first wash (None: the estimate of the quilting plan, DRAW_IN at
        least); part of cloth lost in a wash before cutting; inches for squaring up one length.
    fibre, bleeding
        Fibre of the materials; fabrics that bled when tested.
    backing_price, wide_price, binding_price, batting_price, batting_roll_price, spool_price
        Price per yard or metre, per package, per spool; None if unknown.
    hour_rate, quilting_rate, quilting_minimum, binding_rate, margin, deposit
        Money per hour, per square inch of quilting, the least for quilting, per inch of binding (centimetres in a
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
                raise KitError(f"`{name}` is {value:g}", needed="zero or more", do=f"correct {name} or leave it out")
            if name in ABOVE_ZERO and not value:
                raise KitError(f"`{name}` is zero", needed="more than zero", do=f"leave {name} out for its default")
            if name in PARTS and value >= 0.5:
                raise KitError(
                    f"`{name}` is {value:g}", needed="a part below 0.5", do="write 0.03 for three in a hundred"
                )
        if self.thread == "test" and (self.thread_test is None or min(self.thread_test) <= 0):
            raise KitError(
                "thread is computed from a test piece, but `thread_test` is missing or holds zero",
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
"""Least part of width and height lost in quilting (common practice, no source)."""
PARTS = frozenset(["ease_limit", "thread_waste", "draw_in", "wash_width", "wash_height", "prewash"])
"""Keys that hold a part of a whole, 0.03 for three in a hundred."""
ABOVE_ZERO = frozenset(
    [
        "backing_width", "wide_width", "batting_limit", "binding_finished", "binding_cut", "binding_width",
        "sleeve_height", "stitch_length", "layers_thickness", "thread_ratio", "bobbin_length", "spool_length",
        "quilting_spacing", "quilting_speed", "binding_speed", "hand_speed",
    ]
)  # fmt: skip
"""Keys that may not be zero."""


def _cm(centimetres: float) -> float:
    """Return inches, exactly as a text with this many centimetres is read."""
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
"""The usual values in the metric system; common practice, no source."""
METRIC_ROLLS = (_cm(230), _cm(300))


def find_usual(system: System) -> FinishingWishes:
    """Return the usual values, in round inches or in round centimetres.

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
    """The facts about the top, besides its finished width and height.

    Attributes
    ----------
    title
        For the label.
    system
        "inch" or "metric", for buying and for writing lengths.
    allowance, step, usable_width
        Seam allowance, the step for rounding up cut sizes, usable width of cloth.
    borders, corners, ends_first, border_width, border_cloth
        Finished widths of the borders of the top, the innermost first; their corners (empty: butted); whether the
        level strips of a butted border are sewn first (empty: the upright ones are); usable width of their cloth (None:
        the usual width); inches of cloth for each in the cutting plan (None if it holds other pieces too).
    cuts, seams, seam_length
        The number of cut pieces and of seams, and the length of the seams.
    paths, quilting_minutes
        Thread colour and inches of quilting path, and its minutes; empty and None: not planned yet.
    gap, gap_limit
        Widest unquilted gap; None: unknown yet. Its limit in the quilting plan; None: as wished.
    draw_in
        Estimated parts of width and height lost in quilting; None: not planned yet.
    purchases
        Purchases for the top.
    left_over
        (width, length) of cloth left over from the top.
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
    """The finishing of the quilt.

    Attributes
    ----------
    width, height
        Finished size of the top.
    wishes, top
        The wishes and facts behind the plan.
    borders, backing, batting, binding, sleeve, label
        Its parts; the sleeve only if wanted.
    thread, time, cost, care
        Its figures.
    gap
        Widest gap against the batting's limit; None while the gap is unknown.
    cautions
        Safety advice for the work.
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
