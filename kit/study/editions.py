"""Editions: one study kept in several sizes, each a study of its own that differs in a few keys."""

from kit.study.reading import read_edition
from kit.study.record import Study


def editions(study: Study) -> tuple[Study, ...]:
    """Return every edition of a study as a study of its own, in the order of the file.

    Each is what a study file would give that held the study's keys with the edition's in their place; its `edition` is
    the number and the edition's name.

    Parameters
    ----------
    study
        From `open_study`.

    Returns
    -------
    tuple of Study
        The study itself where it has no editions.

    Raises
    ------
    StudyError
        Names the edition, the key and the remedy; a study that was opened from a file has been tried already.

    Examples
    --------
    >>> from kit.study import open_study
    >>> [one.edition for one in editions(open_study("data/studies/lamplight.toml"))]
    ['1, wall', '1, throw', '1, queen']
    """
    if not study.editions:
        return (study,)
    return tuple(read_edition(study, edition.name, edition.overrides()) for edition in study.editions)
