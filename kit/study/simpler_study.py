"""The same study with a plan made in a simpler way: what is tried when a check has refused the kit's own plan."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kit.model.making import MakingWishes
from kit.model.notices import NoticeKind
from kit.model.quilting_wishes import find_usual_quilting
from kit.study.study_record import Study


@dataclass(frozen=True)
class SimplerStudy:
    """A study with some plans made in a simpler way, and the notices of what was given up."""

    study: Study
    given_up: tuple[NoticeKind, ...]


def list_simpler(study: Study) -> Iterator[SimplerStudy]:
    """Yield a study in simpler ways, those that give up least first.

    Pieces are cut and sewn one by one; cloth is cut in rows without nesting; both; quilting is in the ditch alone; all
    of these. The design, its colours, its fabrics and its order of sewing stay.
    """
    singly = replace(study, cutting=MakingWishes(make="one by one"))
    rows = replace(study.cloth, nesting="never")
    ditch = find_usual_quilting(study.measures.system)
    yield SimplerStudy(singly, ("made-singly",))
    yield SimplerStudy(replace(study, cloth=rows), ("cut-in-rows",))
    yield SimplerStudy(replace(singly, cloth=rows), ("made-singly", "cut-in-rows"))
    yield SimplerStudy(replace(study, quilting=ditch), ("quilted-plainly",))
    whole = replace(singly, cloth=rows, quilting=ditch)
    yield SimplerStudy(whole, ("made-singly", "cut-in-rows", "quilted-plainly"))
