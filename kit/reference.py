"""Reference pages: every public name with its docstring, one page per stage of the job, set by pdoc."""

import os
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType

import kit
from kit.errors import KitError

STAGES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    (
        "study_files",
        "A study file becomes a study, and back again; the keys that it may hold.",
        (
            "Study",
            "open_study",
            "read_study",
            "save_study",
            "write_study",
            "open_stash",
            "read_stash",
            "save_stash",
            "write_stash",
            "study_from_keys",
            "study_keys",
            "find_quilt",
            "editions",
            "add_edition",
            "list_keys",
            "describe_fabric_keys",
            "describe_pack_keys",
            "describe_cutting_keys",
            "describe_finishing_keys",
            "describe_quilting_keys",
            "Length",
            "read_length",
            "write_length",
        ),
    ),
    (
        "designing",
        "Designs, fabrics and sizes: what the quilt is to be.",
        (
            "FAMILIES",
            "Patchwork",
            "Notice",
            "Patch",
            "patchwork_from_outlines",
            "DrawnOutline",
            "read_outlines",
            "measure_area",
            "make_example",
            "list_unit_lengths",
            "solve_spacer",
            "Fabric",
            "read_cloth",
            "Fit",
            "Target",
            "aim",
            "fit",
            "friendly_sizes",
            "mix_parts",
            "read_beds",
            "enlarge_for_loss",
        ),
    ),
    (
        "planning",
        "Every plan of a study at once, or one after another.",
        (
            "Pattern",
            "Sketch",
            "make_pattern",
            "make_sketch",
            "redraft",
            "CutList",
            "Piece",
            "cut_list",
            "CuttingPlan",
            "Supply",
            "cutting_plan",
            "WidthTable",
            "compare_widths",
            "MakingPlan",
            "Colouring",
            "Rules",
            "colour_plan",
            "Recolouring",
            "recolour",
            "fix_by_swaps",
            "SewingPlan",
            "Step",
            "sewing_plan",
            "FoundationPlan",
            "foundation_plan",
            "list_foundation_cuts",
            "FinishingPlan",
            "FinishingWishes",
            "finishing_plan",
            "gather_top",
            "QuiltingPlan",
            "QuiltingWishes",
            "Stitching",
            "quilting_plan",
            "Stash",
            "StashCloth",
            "match_stash",
            "ClothPack",
            "compare_buying",
            "make_colourways",
            "fill_from_stash",
            "offer_stash",
            "put_back",
        ),
    ),
    (
        "proving",
        "The quilt sewn virtually, each plan checked, and the errors that say what is wrong.",
        (
            "Rehearsal",
            "rehearse",
            "HandRehearsal",
            "rehearse_by_hand",
            "find_allowance",
            "rehearse_batch",
            "prove",
            "ProofLine",
            "checks",
            "KitError",
            "CheckError",
            "LengthError",
            "NoPlanError",
            "PatchworkError",
            "StudyError",
            "CannotMakeError",
        ),
    ),
    (
        "showing",
        "Tables, pictures and screens.",
        (
            "tables",
            "compare",
            "pictures",
            "preview",
            "begin",
            "start_notebook",
            "list_facts",
            "show_picture",
            "show_step",
            "show_unit",
            "show_family",
            "show_studies",
            "show_sweep",
            "teach",
            "walk_through",
            "follow_route",
            "explore",
            "explore_cutting",
            "explore_finishing",
            "explore_papers",
            "explore_quilting",
            "choose_size",
            "draw",
            "compose",
            "ProgressBar",
        ),
    ),
    (
        "publishing",
        "The printed pattern, what is handed on, and what is compared.",
        (
            "write_document",
            "write_foundations",
            "set_document",
            "draw_page",
            "list_finishing_steps",
            "say_notices",
            "say_trade_off",
            "write_publication",
            "write_twin",
            "read_twin",
            "pack_study",
            "unpack_study",
            "store_result",
            "open_result",
            "compare_result",
            "write_tester_pack",
            "read_findings",
            "estimate_unfound",
            "find_errata",
            "audit",
            "Audit",
            "write_corrections",
            "write_form",
            "open_record",
            "Sweep",
            "sweep",
            "run_sweep",
        ),
    ),
    ("quick_sums", "One question, answered in words with its working.", ("sums", "quick")),
    ("teaching", "The class: lessons, exercises, sheets, and what a teacher packs.", ("lessons",)),
)
"""Stages of the job in their order: name of the page, what it holds, its public names."""


def write_reference(folder: str | os.PathLike[str]) -> list[Path]:
    """Write one page per stage of the job, one per public room, and an index.

    Each stage becomes a page of pdoc with the public names of that stage and their docstrings.

    Parameters
    ----------
    folder
        Where to; made if need be. Files of the same name are replaced.

    Returns
    -------
    list of Path
        What was written, the index first.

    Raises
    ------
    KitError
        pdoc is not installed, or a folder that cannot be written to.

    Notes
    -----
    Some seconds: every room is loaded. Nothing is fetched, and the pages ask for nothing from outside.
    """
    if find_spec("pdoc") is None:
        raise KitError("The reference is set by pdoc, and pdoc is not installed", needed="pdoc",
                       do="install seamproof[reference]")  # fmt: skip
    pages = _set_pages()
    place = Path(folder)
    try:
        place.mkdir(parents=True, exist_ok=True)
        for name, text in pages.items():
            (place / name).write_text(text, encoding="utf-8")
    except OSError as error:
        raise KitError(f"{place.name} cannot be written to ({error.strerror})", needed="a writable folder",
                       do="name another folder") from None  # fmt: skip
    return [place / name for name in pages]


def _set_pages() -> dict[str, str]:
    """Return name of the file -> page, the index first."""
    from pdoc import render  # noqa: PLC0415  an extra: only this command needs it
    from pdoc.doc import Module  # noqa: PLC0415  as above

    render.configure(docformat="numpy", show_source=False, footer_text=f"Seamproof {kit.__version__}")
    stages = {name: _gather(name, said, names) for name, said, names in STAGES}
    rooms = {
        name: getattr(kit, name) for _, _, names in STAGES for name in names
        if isinstance(getattr(kit, name), ModuleType)
    }  # fmt: skip
    for room in rooms.values():
        for one in room.__all__:
            getattr(room, one)  # loads it, for pdoc to find
    everything = {name: Module(room) for name, room in (stages | rooms).items()}
    index = ["# Seamproof: the public names by stage of the job", ""]
    for name, said, names in STAGES:
        listed = ", ".join(f"[{one}]({one}.html)" if one in rooms else f"`{one}`" for one in names)
        index += [f"## [{_spell(name)}]({name}.html)", "", said, "", listed, ""]
    front = ModuleType("kit")
    front.__doc__ = "\n".join(index)
    front.__dict__["__all__"] = []
    pages = {"index.html": render.html_module(Module(front), everything)}
    return pages | {f"{name}.html": render.html_module(page, everything) for name, page in everything.items()}


def _gather(name: str, said: str, names: tuple[str, ...]) -> ModuleType:
    """Return a module that holds the public names of a stage; rooms have pages of their own."""
    stage = ModuleType(name)
    found = {one: getattr(kit, one) for one in names}
    mine = [one for one, value in found.items() if not isinstance(value, ModuleType)]
    rooms = [f"[kit.{one}]({one}.html)" for one in names if one not in mine]
    stage.__doc__ = said + (f" Rooms with a page of their own: {', '.join(rooms)}." if rooms else "")
    stage.__dict__.update({one: found[one] for one in mine}, __all__=mine)
    return stage


def _spell(name: str) -> str:
    return name.replace("_", " ").capitalize()
