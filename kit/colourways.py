"""The colourways of a quilt: each planned as a whole and checked, with every patch where it lies in the first."""

from kit.model.pattern import Pattern
from kit.pipeline import make_pattern
from kit.progress import Progress, keep_quiet, report
from kit.study import Study, put_in_colourway


def make_colourways(pattern: Pattern, progress: Progress = keep_quiet) -> tuple[tuple[str, Pattern], ...]:
    """Return the title and the pattern of each colourway of a study, in the order of the file.

    Every patch has the cloth that takes the place of its own, so the map of the fabrics, the letters and the cutting
    stay those of the study.

    Parameters
    ----------
    pattern
        Every plan of a study.
    progress
        Called as the work goes on.

    Returns
    -------
    tuple
        Empty for a study without colourways.

    Raises
    ------
    KitError
        A plan refused by its check.

    Notes
    -----
    Each takes as long as `make_pattern`.
    """
    studies, found = recolour_study(pattern), []
    for number, (title, study) in enumerate(studies):
        report(progress, f"colourway {title}", number, len(studies))
        found.append((title, make_pattern(study)))
    return tuple(found)


def recolour_study(pattern: Pattern) -> tuple[tuple[str, Study], ...]:
    """Return the title of each colourway of a pattern's study, and the study in its fabrics.

    Parameters
    ----------
    pattern
        Every plan of a study; of a pattern without a study there are none.
    """
    study = pattern.study
    if not isinstance(study, Study):
        return ()
    return tuple((one.title, put_in_colourway(study, one, pattern.colouring.assignment)) for one in study.colourways)
