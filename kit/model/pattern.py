"""Everything known about the quilt of one study."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

from kit.lengths import System
from kit.model.assemblies import PriceAssemblies, price_nothing
from kit.model.chains import Chain
from kit.model.cover import CoverWords
from kit.model.cutting import ClothWishes, CutList, CuttingPlan
from kit.model.fabrics import Colouring, Fabric
from kit.model.finishing import FinishingPlan, FinishingWishes
from kit.model.making import MakingPlan, MakingWishes
from kit.model.notices import Notice
from kit.model.patchwork import Patchwork
from kit.model.printed import WordsCut
from kit.model.printed_sewing import WordsSewn
from kit.model.quilting import QuiltingPlan
from kit.model.quilting_wishes import QuiltingWishes
from kit.model.sewing import Rehearsal, SewingPlan, SewingWishes


@dataclass(frozen=True)
class Measures:
    """The measures of a study; lengths in inches.

    Attributes
    ----------
    system
        "inch" or "metric", for showing lengths and buying cloth.
    seam_allowance
        Width of the seam allowance.
    round_cuts_to
        Cut sizes are rounded up to a multiple of this.
    usable_width
        Width of yardage between the selvages, for fabrics without their own.
    round_sizes_to
        The lengths of the design are rounded to multiples of this; None: they stay as they are.
    """

    system: System = "inch"
    seam_allowance: float = 0.25
    round_cuts_to: float = 0.125
    usable_width: float = 40.0
    round_sizes_to: float | None = None


class StudyFacts(Protocol):
    """The facts about a study for planning and output; `kit.study.Study` is one."""

    @property
    def folder(self) -> str | None:
        """The folder of its pictures; None for a study that has none."""

    @property
    def title(self) -> str:
        """Title of the quilt."""

    @property
    def edition(self) -> str:
        """Edition of the pattern."""

    @property
    def date(self) -> str:
        """Date of the pattern, empty if it has none."""

    @property
    def cover(self) -> CoverWords:
        """What the maker says on the cover and on the last page."""

    @property
    def seed(self) -> int:
        """The start of every random choice."""

    @property
    def measures(self) -> Measures:
        """Its measures."""

    @property
    def fabrics(self) -> tuple[Fabric, ...]:
        """Its fabrics in the order of the file."""

    @property
    def sewing(self) -> SewingWishes:
        """The wishes for the sewing."""

    @property
    def finishing(self) -> FinishingWishes:
        """The wishes for the finishing."""

    @property
    def quilting(self) -> QuiltingWishes:
        """The wishes for the quilting."""

    @property
    def cutting(self) -> MakingWishes:
        """The wished ways of making units."""

    @property
    def cloth(self) -> ClothWishes:
        """How cloth is cut into rows or nested, and how much more of it is bought."""


@dataclass(frozen=True)
class ColouredTop:
    """A design and its colours: what there is to see of a top."""

    study: StudyFacts
    patchwork: Patchwork
    colouring: Colouring


@dataclass(frozen=True)
class DrawnTop(ColouredTop):
    """What a picture of the top needs that tells what lies under the pointer: its pieces too; no cloth is planned."""

    cut_list: CutList


@dataclass(frozen=True)
class Sketch(DrawnTop):
    """The plans that follow a slider: the design, its colours, its pieces and its cloth.

    `making` says which units are made several at a time; what is cut is `making.pieces`, the pieces of the cut list
    where there are none. `notices` is what the maker should know, with its figures; `warnings` says it in sentences.
    """

    cutting: CuttingPlan
    notices: tuple[Notice, ...]
    warnings: tuple[str, ...]
    making: MakingPlan


@dataclass(frozen=True)
class Pattern(Sketch):
    """Every plan of a study, each checked.

    Attributes
    ----------
    sewing
        The order of sewing.
    rehearsal
        The result of following the cut list and the steps; it agrees with the design.
    quilting
        The lines of stitching through the layers, their order, and the hold on the batting.
    finishing
        Borders, backing, batting, binding, sleeve and label, with thread, time and cost.
    colophon
        The origin: the study's fingerprint, its edition and seed, the versions.
    words_cut
        What came of cutting cloth by the printed lines alone.
    words_sewn
        What came of sewing by the printed words alone.
    price_assemblies
        Prices the ways in which the top may go together; `kit.tables.assemblies` asks it.
    chains
        The seams in as few rounds at the machine as the order allows.
    """

    sewing: SewingPlan
    rehearsal: Rehearsal
    quilting: QuiltingPlan
    finishing: FinishingPlan
    colophon: Mapping[str, str]
    words_cut: WordsCut
    words_sewn: WordsSewn
    price_assemblies: PriceAssemblies = field(default=price_nothing, compare=False, repr=False)
    chains: tuple[Chain, ...] = ()
