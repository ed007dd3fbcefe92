"""The ways in which a quilt can be finished, each by the word that the study file has for it."""

from typing import Literal, TypeAlias

JoinKind: TypeAlias = Literal["straight", "diagonal"]
Corner: TypeAlias = Literal["butted", "mitred", "cornerstones"]
BorderWay: TypeAlias = Literal["crosswise", "lengthwise"]
BorderWish: TypeAlias = Literal["least cloth", BorderWay]
BackingWay: TypeAlias = Literal["lengthwise", "crosswise", "diagonal", "wide", "on hand"]
BackingWish: TypeAlias = Literal["least cloth", BackingWay]
BattingWay: TypeAlias = Literal["package", "roll"]
BattingWish: TypeAlias = Literal["fewest joins", BattingWay]
Fold: TypeAlias = Literal["double", "single"]
BindingGrain: TypeAlias = Literal["straight", "bias square", "bias lengths"]
ThreadMethod: TypeAlias = Literal["formula", "ratio", "test"]
SellingUnit: TypeAlias = Literal["yd", "m", "piece"]
