"""Figures of a finished quilt: thread, time, money, washing and care. Lengths in inches."""

from dataclasses import dataclass

from kit.model.finishing_ways import Bought, Charged, ChargeUnit, Pack, SellingUnit, ThreadMethod, Work, WorkUnit


@dataclass(frozen=True, slots=True)
class ThreadLine:
    """Thread of one colour.

    Attributes
    ----------
    colour
        The maker's name for it.
    path
        Inches stitched with it.
    needle, bobbin
        Inches of needle and of bobbin thread, waste included.
    spools, bobbins
        Whole spools for the needle, whole bobbins.
    """

    colour: str
    path: float
    needle: float
    bobbin: float
    spools: int
    bobbins: int


@dataclass(frozen=True, slots=True)
class ThreadPlan:
    """Thread for piecing and quilting.

    Attributes
    ----------
    method
        "formula", "ratio" or "test".
    per_inch
        Inches of needle thread and of bobbin thread per inch of quilting.
    waste
        Part added for starts, stops and tension.
    lines
        One per colour.
    estimated
        No quilting path was given; it is estimated as area over spacing.
    """

    method: ThreadMethod
    per_inch: tuple[float, float]
    waste: float
    lines: tuple[ThreadLine, ...]
    estimated: bool


@dataclass(frozen=True, slots=True)
class TimeLine:
    """One kind of work: its amount in its unit, and its minutes."""

    work: Work
    amount: float
    unit: WorkUnit
    minutes: float


@dataclass(frozen=True, slots=True)
class Purchase:
    """One purchase.

    Attributes
    ----------
    what
        What it is for.
    name
        Name of the fabric, the batting or the thread; empty if it has none.
    quantity, unit
        The amount as the shop sells it, of "yd", "m" or "piece".
    price
        Price of one unit; None if unknown.
    pack
        What one piece is; "yardage" for a length of cloth.
    holds
        Inches: usable width of a roll of batting, thread on a spool; otherwise zero.
    """

    what: Bought
    name: str
    quantity: float
    unit: SellingUnit
    price: float | None
    pack: Pack = "yardage"
    holds: float = 0.0

    @property
    def cost(self) -> float | None:
        """Price of the bought amount, not of the used amount; None if the price is unknown."""
        return None if self.price is None else round(self.quantity * self.price, 2)


@dataclass(frozen=True, slots=True)
class Charge:
    """One line of charged work: an amount at a rate, and the result; a least charge is None if there is none."""

    what: Charged
    amount: float
    unit: ChargeUnit
    rate: float
    cost: float
    least: float | None = None


@dataclass(frozen=True, slots=True)
class CostSheet:
    """The cost of the quilt and its price.

    Attributes
    ----------
    purchases
        All purchases, by the bought length.
    charges
        Charged work.
    unpriced
        Purchases without a price.
    total
        Sum of all prices.
    margin, price
        Part added, and the result.
    deposit
        The sum due at the start.
    """

    purchases: tuple[Purchase, ...]
    charges: tuple[Charge, ...]
    unpriced: tuple[Purchase, ...]
    total: float
    margin: float
    price: float
    deposit: float


@dataclass(frozen=True, slots=True)
class CareCard:
    """Changes of the quilt in quilting and washing, and its care.

    Attributes
    ----------
    fibre
        Of top, batting and backing, in words.
    shrinkage
        Parts of the width and height of the quilt lost in the first wash.
    quilted, washed
        (width, height) expected after quilting and after the first wash.
    bleeding
        Fabrics that bled when tested.
    """

    fibre: str
    shrinkage: tuple[float, float]
    quilted: tuple[float, float]
    washed: tuple[float, float]
    bleeding: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GapVerdict:
    """The widest unquilted gap against the limit of the batting."""

    gap: float
    limit: float

    @property
    def passes(self) -> bool:
        """Whether every gap is within the limit of the batting."""
        return self.gap <= self.limit + 1e-9
