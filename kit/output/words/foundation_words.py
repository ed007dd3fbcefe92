"""The words of paper foundations."""

from collections.abc import Mapping, Sequence
from typing import Any

from kit.lengths import System, write_length
from kit.model.foundations import FoundationPlan, PaperPiece, SectionJoin
from kit.output.words.sizes import write_size
from kit.output.words.strings import TEXTS, say, say_name

WORDS: Mapping[str, Any] = TEXTS["foundations"]
CARE = ("care_cutter", "care_iron", "care_needle")
STEPS = 7


def say_foundation(key: str, **facts: object) -> str:
    """Return a sentence of the foundations with its facts filled in.

    Examples
    --------
    >>> say_foundation("paper", name="2")
    'Paper 2'
    """
    return str(WORDS[key].format(**facts))


def write_foundation_texts(
    plan: FoundationPlan,
    size: tuple[float, float],
    system: System,
    *,
    scale: float,
    mirrored: bool,
    form: str = "paper",
) -> dict[str, object]:
    """Return every text of the printed foundations but those on the papers.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    size
        Finished width and height of the block as printed, inches.
    system
        Of the measures.
    scale, mirrored, form
        As the papers are drawn.
    """
    allowance = write_length(plan.allowance, system)
    name = say_name(plan.name)
    facts = {"name": name, "allowance": allowance, "copies": plan.copies}
    apart = form == "templates"
    facing = ("back" if mirrored else "front") if apart else ("mirrored" if mirrored else "straight")
    about = [
        say_foundation("each_apart", count=len(plan.target)) if apart else _say_count(plan),
        say_foundation(facing),
    ]
    if plan.set_in:
        about.append(say_foundation("set_in" if plan.set_in > 1 else "set_in_one", count=plan.set_in))
    if plan.mirrored:
        about.append(say_foundation("mirror_images", mirrored=plan.mirrored, copies=plan.copies))
    if scale != 1:
        about.append(say_foundation("scaled", percent=f"{100 * scale:g}", allowance=allowance))
    return {
        "title": say_foundation("title", name=f"{name[0].upper()}{name[1:]}"),
        "about": say_foundation("about", finished=write_size(size, system), **facts),
        "notes": about,
        "how": [say_foundation(key, **facts) for key in _list_steps(form)],
        "cloth_note": say_foundation("cloth_note", ease=write_length(plan.ease, system)),
        "cloth_head": [say_foundation(key, **facts) for key in ("role", "size", "where", "grain", "one", "all")],
        "cloth": list_cloth_rows(plan, system),
        "joins": [say_join(join) for join in plan.joins],
        "care": [say(key) for key in CARE],
    }


def _list_steps(form: str) -> list[str]:
    own = {"paper": "how", "freezer paper": "freezer", "templates": "template"}[form]
    return [f"{own}_{n}" for n in range(1, STEPS + 1) if f"{own}_{n}" in WORDS]


def _say_count(plan: FoundationPlan) -> str:
    count = len(plan.sections)
    if count == 1:
        return say_foundation("counts_one")
    return say_foundation("counts_least" if plan.least == count else "counts_bound", count=count, least=plan.least)


def label_paper(plan: FoundationPlan, name: str, *, image: bool = False) -> str:
    """Return the words under a paper, or under a piece by itself: its name, and how many to print of it.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    name
        Of the paper, or of the paper and the piece: "2", "2: 1".
    image
        For the mirror images among the copies.
    """
    key = ("piece_label" if ": " in name else "paper_label") + ("_mirror" if image else "")
    return say_foundation(key, name=name, copies=plan.mirrored if image else plan.copies - plan.mirrored)


def say_join(join: SectionJoin) -> str:
    """Return the sentence of a join between papers."""
    first, second = (_name_papers(names) for names in (join.first, join.second))
    return say_foundation("join" if join.kind == "straight" else "join_set_in", first=first, second=second)


def _name_papers(names: Sequence[str]) -> str:
    if len(names) == 1:
        return say_foundation("paper_named", name=names[0])
    joined = say_foundation("paper_and", first=", ".join(names[:-1]), last=names[-1])
    return say_foundation("papers_named", names=joined)


def list_cloth_rows(plan: FoundationPlan, system: System) -> list[list[str]]:
    """Return the rows of the cloth: role, size, where it lies, off grain, for one block, for all."""
    rows: dict[tuple[str, float, float, float], list[tuple[str, PaperPiece]]] = {}
    for section in plan.sections:
        for piece in section.pieces:
            rows.setdefault((piece.slot, piece.width, piece.height, round(piece.grain)), []).append(
                (section.name, piece)
            )
    return [
        [
            f"{plan.roles[slot]} {say_name(slot)}",
            f"{write_length(width, system)} × {write_length(height, system)}",
            ", ".join(f"{name}: {piece.number}" for name, piece in found),
            say_foundation("grain_off", degrees=off) if off else say_foundation("grain_none"),
            str(len(found)),
            str(len(found) * plan.copies),
        ]
        for (slot, width, height, off), found in sorted(
            rows.items(), key=lambda row: (row[0][0], -row[0][1], -row[0][2])
        )
    ]
