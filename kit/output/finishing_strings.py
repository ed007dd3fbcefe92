"""The sentences of the finishing, in one place so that they can be translated; braces hold what the plan gives."""

from collections.abc import Mapping
from types import MappingProxyType

FINISHING: Mapping[str, str] = MappingProxyType(
    {
        # borders
        "borders": "Borders",
        "border_measure": "Border {number}: measure the top through the middle and along both edges before you cut its"
        " strips to length. The mean of the three is the length of both strips of a pair.",
        "border_sides": "Sides of border {number}: {first}, two strips of {sides}; {then}, two strips of {ends}.",
        "border_first": "sewn first",
        "border_last": "sewn last, across the others",
        "border_both": "sewn to the other two edges",
        "border_stones": "Sew a square to either end of the two end strips: its seams meet those of the sides.",
        "border_mitred": "Sew each strip to its edge, middle on middle, from one corner of the seam lines to the"
        " other, and leave the rest hanging. Fold the top at the corner, draw the line at 45°, sew outward from the"
        " corner, and cut off what is over.",
        "border_ease": "Mark the quarters of strip and edge, pin mark on mark, and ease in between. Up to {sides} along"
        " a side and {ends} along an end is no harm, a quarter of it between two marks; where it is more, look for the"
        " seam that is out.",
        # backing
        "backing": "Backing",
        "backing_one": "Cut one length of {size}.",
        "backing_many": "Cut ({count}) {size}.",
        "backing_diagonal": "Cut one length of {size}, selvages off, and cut it once from corner to corner. Slide the"
        " halves along the cut until they cover {covers}, and sew them together.",
        "backing_wide": "Take wide cloth, {width} usable.",
        "backing_selvage": "Cut off the selvages: they do not give.",
        "backing_seam_one": "Sew the parts together with an allowance of {allowance}. Press the seam open.",
        "backing_seams": "Sew the parts together in ({count}) seams with an allowance of {allowance}. Press them open.",
        "backing_trim": "Trim the backing to {size}.",
        "backing_left": "Keep what is left over: {pieces}.",
        "backing_sleeve": "The sleeve is cut of it.",
        # layers
        "layers": "Layers",
        "batting_package": "Take one package of batting, {size}, and trim it to {needed}.",
        "batting_roll": "Take {length} of batting off a roll {width} wide, and trim it to {needed}.",
        "batting_join": "Lay its lengths edge to edge, without overlap, and sew them with a wide zigzag: {joins}.",
        "layers_lay": "Lay the backing wrong side up, the batting on it, and the top right side up on both. Backing and"
        " batting reach {sides} beyond the top at each side, {ends} at each end.",
        "layers_baste": "Baste from the middle outward, and count the pins.",
        # quilting
        "quilting": "Quilting and thread",
        "quilting_threads": "Quilt along the drawn lines, or as you like. As drawn it takes ({count}) threads; a dot"
        " marks where one begins or ends.",
        "quilting_one": "Quilt along the drawn lines, or as you like. As drawn it takes one thread; a dot marks where"
        " it begins and ends.",
        "quilting_gap": "As planned the widest place without a stitch is {gap}. The batting allows {limit}: leave none"
        " wider, and read its wrapper.",
        "quilting_limit": "Leave no place wider than {limit} without a stitch, and read the wrapper of your batting.",
        "quilting_thread": "Thread for {work}: {needle} for the needle ({spools}), {bobbin} below ({bobbins}).",
        "quilting_estimate": "The thread is reckoned for lines {spacing} apart over the whole quilt.",
        "spool_one": "1 spool",
        "spool_many": "{count} spools",
        "bobbin_one": "1 bobbin",
        "bobbin_many": "{count} bobbins",
        # binding
        "binding": "Binding",
        "binding_trim_outside": "Trim batting and backing {distance} outside the raw edge of the top.",
        "binding_trim_inside": "Trim all layers {distance} inside the raw edge of the top.",
        "binding_trim_even": "Trim batting and backing even with the raw edge of the top.",
        "binding_left_over": "Cut ({count}) strips {width} wide of what the top left over: {lengths} long.",
        "binding_strips": "Cut ({count}) strips {width} wide across the cloth.",
        "binding_first": "Cut the first of them to {length}, so that no join comes to a corner.",
        "binding_bias": "Cut ({count}) strips {width} wide at 45° to the selvage, each {length} long.",
        "binding_square": "Cut a square of {side}. Cut it once from corner to corner, sew two straight edges together"
        " to a slanting panel, and draw lines {width} apart along the bias. Sew the other two straight edges to a tube,"
        " one line out of step, and cut along the lines.",
        "binding_join_diagonal": "Join strips at a right angle, right sides together, from corner to corner; cut off"
        " the corner and press open. {total} in all.",
        "binding_join_straight": "Join strips end to end with a straight seam and press it open. {total} in all.",
        "binding_whole": "One strip goes all round: {total}.",
        "binding_fold": "Fold it in half along its length, wrong sides together, and press.",
        "binding_single": "Press one long edge under by a quarter of the width.",
        "binding_begin": "Begin at the {side}, {along} from the {corner} corner, with the quilt at the left of the"
        " needle, and leave a hand's length loose. So no join comes nearer to a corner than {clear}.",
        "binding_sew": "Lay it on the front, raw edges on the trimmed edge, and sew {seam} from that edge. Stop {seam}"
        " before each corner, fold the strip up at 45° and down again along the next edge, and go on.",
        "binding_ends": "At the end let the two ends overlap by {overlap}, join them as the others, and sew the rest.",
        "binding_close": "Fold the binding to the back over the raw edges and sew it down. It shows {finished} on"
        " either face.",
        # sleeve, label, care
        "sleeve": "Hanging sleeve",
        "sleeve_offcut": "Cut one piece of {size} from the backing that is left over.",
        "sleeve_one": "Cut one piece of {size}.",
        "sleeve_strips": "Cut ({count}) strips {height} wide across the cloth, join them, and trim to {size}.",
        "sleeve_sew": "Turn in both short ends twice and sew. Sew the long edges to a tube and sew it along the upper"
        " edge of the back, through the backing only: {finished} when done.",
        "label": "Label",
        "label_lines": "Write on the label: {lines}",
        "care": "Washing and care",
    }
)


def tell(key: str, **facts: object) -> str:
    """Return a sentence of the finishing with its facts filled in.

    Examples
    --------
    >>> tell("spool_many", count=3)
    '3 spools'
    """
    return FINISHING[key].format(**facts)
