"""The study file: TOML text in, a frozen Study out, and back again. Files are data: nothing in one is executed."""

from kit.study.editions import add_edition, editions
from kit.study.reading import open_study, read_study, study_from_keys
from kit.study.record import Study
from kit.study.writing import save_study, study_keys, write_study

__all__ = [
    "Study",
    "add_edition",
    "editions",
    "open_study",
    "read_study",
    "save_study",
    "study_from_keys",
    "study_keys",
    "write_study",
]
