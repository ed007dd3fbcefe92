"""Figures of a finished quilt: thread, time, money, washing and care. Lengths in inches."""

from dataclasses import dataclass

from kit.model.finishing_ways import SellingUnit, ThreadMethod


@dataclass(frozen=True, slots=True)
class ThreadLine:
    """Thread of one colour.

    Attributes
    ----------
    colour
        What she calls it.
    path
        Inches that are stitched with it.
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
        Inches of needle thread and of bobbin thread in an inch of quilting.
    waste
        Part added for starts, stops and tension.
    lines
        One a colour.
    estimated
        The quilting path was not given and was taken as area over spacing.
    """

    method: ThreadMethod
    per_inch: tuple[float, float]
    waste: float
    lines: tuple[ThreadLine, ...]
    estimated: bool


@dataclass(frozen=True, slots=True)
class TimeLine:
    """One kind of work: how much of it, at which rate, and how many minutes it takes."""

    work: str
    amount: float
    unit: str
    minutes: float


@dataclass(frozen=True, slots=True)
class Purchase:
    """One thing that is bought.

    Attributes
    ----------
    what
        Its name.
    amount
        How much, in words as the shop sells it.
    quantity, unit
        The same as a number, of "yd", "m" or "piece".
    price
        For one unit; None when not known.
    """

    what: str
    amount: str
    quantity: float
    unit: SellingUnit
    price: float | None

    @property
    def cost(self) -> float | None:
        """Price of what is bought, not of what is used; None when the price is not known."""
        return None if self.price is None else round(self.quantity * self.price, 2)


@dataclass(frozen=True, slots=True)
class Charge:
    """One line of work that is charged: how it is reckoned, in words, and what it comes to."""

    what: str
    reckoned: str
    cost: float


@dataclass(frozen=True, slots=True)
class CostSheet:
    """What the quilt costs and what may be asked for it.

    Attributes
    ----------
    purchases
        Everything that is bought, by the bought length.
    charges
        Work that is charged.
    unpriced
        What has no price yet.
    total
        Sum of all that has a price.
    margin, price
        Part added, and what comes out.
    deposit
        What is asked for at the start.
    """

    purchases: tuple[Purchase, ...]
    charges: tuple[Charge, ...]
    unpriced: tuple[str, ...]
    total: float
    margin: float
    price: float
    deposit: float


@dataclass(frozen=True, slots=True)
class CareCard:
    """What happens to the quilt in quilting and washing, and how it is kept.

    Attributes
    ----------
    fibre
        Of top, batting and backing, in words.
    shrinkage
        Part of its width, and of its height, that the quilt loses in the first wash.
    quilted, washed
        (width, height) expected after quilting and after the first wash.
    bleeding
        Fabrics that bled in her test.
    lines
        Sentences for the card.
    """

    fibre: str
    shrinkage: tuple[float, float]
    quilted: tuple[float, float]
    washed: tuple[float, float]
    bleeding: tuple[str, ...]
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GapVerdict:
    """The widest unquilted gap against what the batting allows."""

    gap: float
    limit: float

    @property
    def passes(self) -> bool:
        """Whether no place lies farther from a stitch than the batting allows."""
        return self.gap <= self.limit + 1e-9
