"""Files that come with the kit: inside the installed package, or in the checkout that it is read from.

Each file has one home, `data/` or `notebooks/` of the project; the wheel carries a copy in `kit/share`.
"""

from importlib.resources import files
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[1]
"""The folder above the package: the project, where the kit is read from a checkout."""


def is_checkout() -> bool:
    """Return True if the package lies in a checkout of the project."""
    return (CHECKOUT / "pyproject.toml").is_file() and (CHECKOUT / "notebooks").is_dir()


def find_shipped(name: str) -> Path:
    """Return where a file or folder of the project is, by its path within the project.

    Look into the installed package first, then into the checkout around it.

    Parameters
    ----------
    name
        For instance "data/published/bed_batting_sizes.csv"; it need not be there.

    Examples
    --------
    >>> find_shipped("data/published/bed_batting_sizes.csv").is_file()
    True
    """
    inside = Path(str(files("kit"))) / "share" / name
    return inside if inside.exists() else CHECKOUT / name
