"""Sizes of a form side by side: one piece is cut alike in all, and systems keep one scale."""

from statistics import median

from kit.auditing.form_pieces import PieceFacts
from kit.auditing.form_reading_terms import SAME, FormSize


def compare_sizes(sizes: list[tuple[FormSize, dict[str, PieceFacts]]]) -> None:
    """Compare pieces of one name between sizes: one finished size is cut alike, and systems keep one scale."""
    for k, (form, pieces) in enumerate(sizes):
        for other, others in sizes[:k]:
            both = [name for name in pieces if name in others and pieces[name].cut and others[name].cut]
            if form.terms.system == other.terms.system and abs(form.terms.allowance - other.terms.allowance) < SAME:
                for name in both:
                    mine, theirs = pieces[name], others[name]
                    if (
                        mine.finished
                        and mine.finished == theirs.finished
                        and mine.shape == theirs.shape
                        and mine.cut != theirs.cut
                    ):
                        form.tell(
                            mine.entry,
                            "cut",
                            "not decidable",
                            note=f"Size {other.name} cuts the same piece {theirs.entry.texts.get('cut')}",
                        )
            elif form.terms.system != other.terms.system:
                _compare_scales(form, pieces, other, others, both)


def _compare_scales(
    form: FormSize, pieces: dict[str, PieceFacts], other: FormSize, others: dict[str, PieceFacts], both: list[str]
) -> None:
    scales = {
        name: sum(pieces[name].finished or ()) / sum(others[name].finished or ())
        for name in both
        if pieces[name].finished and others[name].finished
    }
    if len(scales) < 3:
        return
    usual = median(scales.values())
    for name, scale in scales.items():
        if abs(scale / usual - 1) > 0.06:
            form.tell(
                pieces[name].entry,
                "finished",
                "wrong",
                since=(f"{other.name}, piece {name}: finished",),
                note=f"Other pieces are {usual:.3f} times those of size {other.name}, this one {scale:.3f}",
            )
