"""The study: everything that determines a quilt."""

import hashlib
from dataclasses import dataclass, field
from difflib import get_close_matches

from kit.designs import Family
from kit.errors import StudyError
from kit.lengths import use_system
from kit.model.cover import CoverWords
from kit.model.cutting import ClothWishes
from kit.model.fabrics import Fabric
from kit.model.finishing import FinishingWishes
from kit.model.making import MakingWishes
from kit.model.other_cloths import Colourway
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
USUAL_MAKING = MakingWishes()
IN_ROWS = ClothWishes()
NOTHING_SAID = CoverWords()


@dataclass(frozen=True)
class Study:
    """A study: everything that determines a quilt. Lengths in inches.

    Attributes
    ----------
    title, edition
        As the file has them.
    seed
        The start of every random choice.
    measures
        System, allowance, rounding, usable width.
    design
        The family with its keys.
    fabrics
        In the order of the file.
    rules
        The wishes for the placement of prints.
    sewing
        The wishes for the sewing.
    finishing
        The wishes for the finishing.
    quilting
        The way of stitching for each part, and the limits of batting and machine.
    cutting
        How units are made, and how the kit decides if no way is named.
    cloth
        How cloth is cut into rows or nested, and how much more of it is bought.
    editions
        The editions of the study and their changes; `kit.editions` makes the studies.
    date
        The date of the pattern, as in the file; empty if the file has none. The clock is never read, so files repeat.
    stash
        The file of the cloth on hand, from the folder of the study; None without one. `fabrics` already hold what they
        take from it.
    cover
        What the maker says on the cover of the pattern and on its last page.
    folder
        Where the pictures of cloth are: the folder of the study file, None for a study without one. It says nothing of
        the quilt, and two studies that differ in it alone are equal.
    colourways
        The quilt in other fabrics; `kit.colourways` plans each.
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
    cutting: MakingWishes = USUAL_MAKING
    cloth: ClothWishes = IN_ROWS
    editions: tuple[Edition, ...] = ()
    date: str = ""
    stash: str | None = None
    cover: CoverWords = NOTHING_SAID
    folder: str | None = field(default=None, compare=False, repr=False)
    colourways: tuple[Colourway, ...] = ()

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the study's canonical text."""
        return hashlib.sha256(write_study(self).encode()).hexdigest()

    def lay_out(self) -> Patchwork:
        """Return the patchwork of the design, not verified; what it refuses is said in the lengths of this study.

        Raises
        ------
        KitError
            A design that cannot be built.
        """
        with use_system(self.measures.system):
            return self.design.patchwork(self.measures.seam_allowance)

    def make_patchwork(self, made: Patchwork | None = None) -> Patchwork:
        """Check that every slot has a fabric, and return the verified patchwork of the design.

        Parameters
        ----------
        made
            The patchwork of the design, where it was made already for this allowance.

        Raises
        ------
        KitError
            A design that cannot be built, or a slot without fabric.
        """
        with use_system(self.measures.system):
            patchwork = (self.lay_out() if made is None else made).verify()
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
