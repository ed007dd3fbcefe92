"""The whole of what is known of one study's quilt."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from kit.lengths import System
from kit.model.cutting import CutList, CuttingPlan
from kit.model.fabrics import Colouring, Fabric
from kit.model.finishing import FinishingPlan, FinishingWishes
from kit.model.making import MakingPlan, MakingWishes
from kit.model.notices import Notice
from kit.model.patchwork import Patchwork
from kit.model.quilting import QuiltingPlan
from kit.model.quilting_wishes import QuiltingWishes
from kit.model.sewing import Rehearsal, SewingPlan, SewingWishes


@dataclass(frozen=True)
class Measures:
    """How a study measures; lengths in inches.

    Attributes
    ----------
    system
        "inch" or "metric": how lengths are shown and in what cloth is bought.
    seam_allowance
        Width of the seam allowance.
    round_cuts_to
        Cut sizes are rounded up to a multiple of this.
    usable_width
        Of yardage, between the selvages, for fabrics that do not give their own.
    """

    system: System = "inch"
    seam_allowance: float = 0.25
    round_cuts_to: float = 0.125
    usable_width: float = 40.0


class StudyFacts(Protocol):
    """What the passes and the output need to know of a study; `kit.study.Study` is one."""

    @property
    def title(self) -> str:
        """Title of the quilt."""

    @property
    def edition(self) -> str:
        """Edition of the pattern."""

    @property
    def seed(self) -> int:
        """What every random choice follows from."""

    @property
    def measures(self) -> Measures:
        """How it measures."""

    @property
    def fabrics(self) -> tuple[Fabric, ...]:
        """Its fabrics in the order of the file."""

    @property
    def sewing(self) -> SewingWishes:
        """What is asked of the sewing."""

    @property
    def finishing(self) -> FinishingWishes:
        """What is asked of the finishing."""

    @property
    def quilting(self) -> QuiltingWishes:
        """What is asked of the quilting."""

    @property
    def cutting(self) -> MakingWishes:
        """In which way units are to be made."""


@dataclass(frozen=True)
class Sketch:
    """What follows a slider: the design, its colours, its pieces and its cloth.

    `making` says which units are made several at a time; what is cut is `making.pieces`, the pieces of the cut list
    where there are none. `notices` is what the maker should know, with its figures; `warnings` says it in sentences.
    """

    study: StudyFacts
    patchwork: Patchwork
    colouring: Colouring
    cut_list: CutList
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
        In which order the pieces go together.
    rehearsal
        What comes out when the cut list and the steps are followed; it agrees with the design.
    quilting
        Where the quilt is stitched through its layers, in which order, and whether the batting is held.
    finishing
        Backing, batting, binding and what else closes the quilt, with thread, time and cost.
    colophon
        What made it: the study's fingerprint, its edition and seed, the versions.
    """

    sewing: SewingPlan
    rehearsal: Rehearsal
    quilting: QuiltingPlan
    finishing: FinishingPlan
    colophon: Mapping[str, str]
