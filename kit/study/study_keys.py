"""The whole study file but for the design: which tables there are."""

from typing import Any

from pydantic import Field

from kit.designs.keys import Keys
from kit.designs.units.unit_keys import MOST_UNITS
from kit.study.colourway_keys import MOST as MOST_COLOURWAYS
from kit.study.colourway_keys import ColourwayKeys
from kit.study.cover_keys import CoverKeys
from kit.study.cutting_keys import CuttingKeys
from kit.study.finishing_keys import FinishingKeys
from kit.study.pack_keys import PackKeys
from kit.study.quilting_keys import QuiltingKeys
from kit.study.tables import ColouringKeys, FabricKeys, MeasureKeys, Name, SewingKeys, StashKeys


class StudyKeys(Keys):
    """The whole file except the design: its family knows those keys."""

    title: Name
    edition: Name = "1"
    date: Name | None = None
    seed: int = Field(default=0, ge=0, le=2**53)
    measures: MeasureKeys = MeasureKeys()
    design: dict[str, Any]
    unit: dict[str, Any] = Field(default={}, max_length=MOST_UNITS)
    fabric: tuple[FabricKeys, ...] = Field(default=(), max_length=2_000)
    pack: tuple[PackKeys, ...] = Field(default=(), max_length=100)
    colouring: ColouringKeys = ColouringKeys()
    sewing: SewingKeys = SewingKeys()
    finishing: FinishingKeys = FinishingKeys()
    quilting: QuiltingKeys = QuiltingKeys()
    cutting: CuttingKeys = CuttingKeys()
    stash: StashKeys | None = None
    cover: CoverKeys = CoverKeys()
    colourway: tuple[ColourwayKeys, ...] = Field(default=(), max_length=MOST_COLOURWAYS)
