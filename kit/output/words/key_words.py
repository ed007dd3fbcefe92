"""A key of the study file in plain words, for tables and labels: "unit.arm.strip_cut" is "Arm: strip, cut"."""

TABLES = ("design", "measures", "unit", "sewing", "finishing", "quilting", "colouring", "cutting", "cloth")
"""Tables whose name says nothing more than their keys do."""
OWN = {"seed": "deal of the scraps", "usable_width": "usable width of cloth", "round_cuts_to": "cuts rounded up to"}
"""Keys that have another name on the screens."""
ENDS = ("finished", "cut")


def name_key(key: str) -> str:
    """Return a key of the study file in plain words.

    Parameters
    ----------
    key
        As it stands in the file, with dots between its steps; `design.` may be left out.

    Examples
    --------
    >>> [name_key(key) for key in ("design.columns", "strip_cut", "unit.arm.pairs", "design.border.2.finished")]
    ['Columns', 'Strip, cut', 'Arm: pairs', 'Border 2: finished']
    >>> name_key("fabric.1.price"), name_key("seed"), name_key("measures.seam_allowance")
    ('Fabric 1: price', 'Deal of the scraps', 'Seam allowance')
    """
    *before, last = key.split(".")
    if before and before[0] in TABLES:
        before = before[1:]
    told = OWN.get(last) or last.replace("_", " ")
    for end in ENDS:
        if told.endswith(f" {end}"):
            told = f"{told.removesuffix(f' {end}')}, {end}"
    where = " ".join(before).replace("_", " ")
    said = f"{where}: {told}" if where else told
    return said[:1].upper() + said[1:]
