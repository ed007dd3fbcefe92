"""The ways in which a quilt can be finished, each by the word that the study file has for it."""

from typing import Literal, TypeAlias

from kit.model.forms import Form

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
StripPart: TypeAlias = Literal["strip", "border", "backing", "binding", "sleeve"]
Bought: TypeAlias = Literal[
    "cloth", "backing", "wide-backing", "batting", "batting-roll", "binding", "sleeve", "thread"
]
"""What a purchase is for; "cloth" is cloth of the top."""
Pack: TypeAlias = Literal[Form, "package", "spool"]
"""What is bought by the piece, and the yardage that is not."""
Work: TypeAlias = Literal["cutting", "piecing", "basting", "quilting", "sewing-binding", "closing-binding"]
WorkUnit: TypeAlias = Literal["cuts", "seams", "in", "cm", "square-yards", "square-metres"]
Charged: TypeAlias = Literal["quilting", "binding", "work"]
ChargeUnit: TypeAlias = Literal["in", "cm", "square-inches", "square-centimetres", "hours"]
