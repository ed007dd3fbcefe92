"""The study: what a quilt follows from."""

import hashlib
from dataclasses import dataclass
from difflib import get_close_matches

from kit.designs import Family
from kit.errors import StudyError
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes
from kit.model.making import MakingWishes
from kit.model.patchwork import Patchwork
from kit.model.pattern import Measures
from kit.model.quilting_wishes import QuiltingWishes
from kit.model.rules import PLAIN, Rules
from kit.model.sewing import SewingWishes
from kit.study.overrides import Edition
from kit.study.write_file import write_study

AS_USUAL = SewingWishes()
USUAL_FINISH = FinishingWishes()
USUAL_QUILTING = QuiltingWishes()
ONE_BY_ONE = MakingWishes()


@dataclass(frozen=True)
class Study:
    """A study: what a quilt follows from. Lengths in inches.

    Attributes
    ----------
    title, edition
        As the file has them.
    seed
        What every random choice follows from.
    measures
        System, allowance, rounding, usable width.
    design
        The family with its keys.
    fabrics
        In the order of the file.
    rules
        What is asked of the placement of prints.
    sewing
        What is asked of the sewing.
    finishing
        What is asked of the finishing.
    quilting
        Where the quilt is stitched in which way, and the limits of batting and machine.
    cutting
        In which way units are made, and what decides where none is named.
    editions
        The editions of the study and what each changes; `kit.editions` makes the studies.
    date
        Of the pattern, as the file has it; empty where it gives none. No clock is asked, so that files repeat.
    """

    title: str
    edition: str
    seed: int
    measures: Measures
    design: Family
    fabrics: tuple[Fabric, ...]
    rules: Rules = PLAIN
    sewing: SewingWishes = AS_USUAL
    finishing: FinishingWishes = USUAL_FINISH
    quilting: QuiltingWishes = USUAL_QUILTING
    cutting: MakingWishes = ONE_BY_ONE
    editions: tuple[Edition, ...] = ()
    date: str = ""

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the study's canonical text."""
        return hashlib.sha256(write_study(self).encode()).hexdigest()

    def make_patchwork(self) -> Patchwork:
        """Return the verified patchwork of the design, once every slot is seen to have a fabric.

        Raises
        ------
        KitError
            A design that cannot be built, or a slot without fabric.
        """
        patchwork = self.design.patchwork(self.measures.seam_allowance).verify()
        filled = [fabric.slot for fabric in self.fabrics]
        for slot in patchwork.slots:
            if slot not in filled:
                near = get_close_matches(slot, filled, n=1)
                hint = f" (is `{near[0]}` meant?)" if near else ""
                raise StudyError(
                    f"No fabric fills slot `{slot}`{hint}",
                    needed=f"a fabric for each of the slots {', '.join(f'`{s}`' for s in patchwork.slots)}",
                    do=f'add a [[fabric]] with slot = "{slot}"',
                )
        return patchwork
