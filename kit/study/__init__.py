"""The study file: TOML text in, a frozen Study out, and back again. Files are data: nothing in one is executed."""

from kit.study.colourway_keys import put_in_colourway
from kit.study.editions import add_edition, editions
from kit.study.read_file import join_units, open_study, read_study, study_from_keys
from kit.study.save_file import save_study
from kit.study.save_stash import save_stash
from kit.study.stash_file import open_stash, read_stash, stash_keys, write_stash
from kit.study.study_record import Study
from kit.study.write_file import study_keys, write_study

__all__ = [
    "Study",
    "add_edition",
    "editions",
    "join_units",
    "open_stash",
    "open_study",
    "put_in_colourway",
    "read_stash",
    "read_study",
    "save_stash",
    "save_study",
    "stash_keys",
    "study_from_keys",
    "study_keys",
    "write_stash",
    "write_study",
]
