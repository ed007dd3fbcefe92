"""The forms in which cloth is bought or kept."""

from typing import Literal, TypeAlias, get_args

Form: TypeAlias = Literal["yardage", "strips", "squares", "fat quarter", "fat eighth", "remnant"]
FORMS: tuple[str, ...] = get_args(Form)
