"""The house strings: every sentence that the printed pattern says of itself, in one place so that it can be translated.

Braces hold what the model gives. A translation is another mapping with the same keys and the same braces; names, sizes
and steps come from `kit.output.words` and `kit.output.instructions`.
"""

from collections.abc import Mapping
from types import MappingProxyType

LANGUAGE = "en"

ENGLISH: Mapping[str, str] = MappingProxyType(
    {
        # parts, in the trade's order
        "requirements": "What you need",
        "notes": "Before you begin",
        "cautions": "Take care",
        "key": "Fabric key",
        "pieces": "The pieces",
        "cutting": "Cutting",
        "units": "Sewing",
        "assembly": "The top",
        "assembly_join": "Join the parts",
        "map": "Where each fabric goes",
        "finishing": "Finishing",
        "templates": "Templates",
        "colouring": "Colouring page",
        "proof": "Proof sheet",
        "colophon": "About this pattern",
        "supplies": "Supply list for the class",
        "before": "Before the day",
        "before_read": "Read this list well before the class, and press the cloth.",
        "before_label": "Put a label with its letter on every fabric.",
        # cover
        "finished": "Finished size",
        "top_finished": "{size}, width first, without the binding",
        "counts": "{patches} patches in {kinds} kinds of piece, {fabrics} fabrics",
        "skill": "Skill",
        "skill_straight": "Straight seams only.",
        "skill_bias": "Straight seams, some of them along bias edges.",
        "skill_partial": "Straight seams, and {count} sewn in two stages: begun, left open, finished later.",
        "skill_set_in": "For patient hands: {count} set in at a corner.",
        "seam_one": "one seam",
        "seam_many": "{count} seams",
        "edition": "Edition {edition}",
        "editions": "({count}) sizes in one pattern",
        # tables
        "letter": "Letter",
        "fabric": "Fabric",
        "role": "Role",
        "swatch": "Swatch",
        "value": "Value",
        "buy": "Buy",
        "used": "Needed",
        "piece": "Piece",
        "shape": "Shape",
        "hand": "Hand",
        "count": "Count",
        "cut": "Cut",
        "finished_head": "Finished",
        "passed": "Result",
        "line": "What is proved",
        "figures": "Figures",
        "pass": "pass",
        "fail": "FAIL",
        "none": "–",
        "hand_lower": "hand",
        "count_lower": "count",
        "of_yardage": "{length}",
        "of_units": "({count})",
        "strips_form": "({count}) strips {width} wide, at least {length} long",
        "strips_form_one": "(1) strip {width} wide, at least {length} long",
        "squares_form": "({count}) squares {width}",
        "squares_form_one": "(1) square {width}",
        "other_form": "({count}) {form}",
        "requirement_note": "“Needed” is the length that the strips take, squaring up included, on cloth of the"
        " usable width that stands under “Before you begin”; “Buy” is that length rounded up to what a shop cuts.",
        "requirement_note_sizes": "Lengths are what the strips take with squaring up, rounded up to what a shop cuts.",
        "need_backing": "Backing",
        "need_batting": "Batting",
        "need_binding": "Binding",
        "need_sleeve": "Hanging sleeve",
        "need_role": "finishing",
        "need_width": "{length} of cloth {width} wide",
        "need_on_hand": "({count}) pieces that are there",
        "need_package": "(1) package {width} × {length}",
        "need_roll": "{length} off a roll {width} wide",
        "need_strips": "({count}) strips {width} wide",
        "need_strip": "(1) strip {width} wide",
        "need_square": "(1) square {side}",
        "need_left_over": "left over from the top",
        # notes
        "note_allowance": "Seam allowance: {allowance} everywhere. Every cut size includes it.",
        "note_sizes": "“Finished” is a size from seam to seam, “unfinished” a sewn size with the allowance round"
        " it, “cut” the size to cut. Width comes first, then length.",
        "note_rounding": "Cut sizes are rounded up to {step}; none is rounded down. Where a cut end runs long after"
        " that, lay the seam line, not the raw edge, at its place.",
        "note_about": "“About” stands before a measured size that falls between two marks of the ruler.",
        "note_sides": "Sew right sides together. Every picture shows the right side of the cloth.",
        "note_pictures": "In the pictures the part that is added has the heavy outline; the seam to sew is dashed.",
        "note_pictures_partial": "In the pictures the part that is added has the heavy outline; the seam to sew is"
        " dashed. Of a seam that is sewn in two stages, the stretch to sew now is drawn whole as far as a dot.",
        "note_detail": "Where a unit is large, the picture shows only the place where the new part goes.",
        "note_runs": "Where several steps share a picture, its colours are pale and every part carries the number of"
        " the step that adds it. A long part may be drawn lying down, its lower end at the left.",
        "note_pressing": "Pressing: where a step says so, follow it, and the arrow in its picture. Where it does"
        " not, press to the darker side.",
        "note_arrows": "An arrow across a seam points to the side that it is pressed to; one with two heads means"
        " open.",
        "note_counts": "A number in brackets is a count: (4) {size} is four of that size.",
        "note_letters": "A letter alone is a fabric; a letter with a number is a piece.",
        "note_hands": "“Left” and “right” pieces are mirror images. Laid right side up with the long side at the"
        " bottom, a left one has its sharp end at the left.",
        "note_label": "Read the whole pattern before you cut. Put a label on every pile of pieces.",
        "note_straight": "Strips run across the width of the cloth, from selvage to selvage, unless a line says"
        " otherwise.",
        "note_assumed": "Assumed of the cloth: {sentence}.",
        "note_words": "Abbreviations: {list}.",
        "abbreviation_in": "in, inch",
        "abbreviation_yd": "yd, yard",
        "abbreviation_cm": "cm, centimetre",
        "abbreviation_m": "m, metre",
        "tools": "Tools",
        "tools_list": "Sewing machine, thread, pins, iron, cutting mat, ruler with eighths, rotary cutter.",
        "tools_list_metric": "Sewing machine, thread, pins, iron, cutting mat, ruler with millimetres, rotary cutter.",
        "tools_angles": "A ruler that shows {angles}.",
        "tools_templates": "Card or template plastic, and a pencil that washes out.",
        # cautions
        "care_cutter": "Rotary cutter: cut away from yourself, keep fingers behind the edge of the ruler, and close"
        " the guard after every cut.",
        "care_iron": "Iron: switch it off when you leave it, and keep its cord out of the way.",
        "care_needle": "Needles and pins: keep fingers behind the presser foot, take pins out before they reach the"
        " needle, and count them when you stop.",
        "care_sale": "Goods for sale: rules on labels, fibres and safety differ from place to place; those of your"
        " place apply.",
        # key
        "swatch_of": "Swatch of fabric",
        "key_scrap": "Several fabrics share a role; the map on a later page shows which goes where.",
        # cutting
        "cut_order": "Cut in this order: the widest strips come first, and the end of a strip serves a smaller piece.",
        "cut_hint": "Tick each line when it is cut.",
        "cut_fabric": "Fabric {letter}: {name} ({role})",
        "cut_fabrics": "Fabrics {names}: the same from each",
        "cut_named": "{letter} {name} ({role})",
        "cut_across": "Cut ({count}) {strips} {height} × {length}.",
        "cut_lengthwise": "Cut ({count}) {strips} {height} × {length}, parallel to the selvages.",
        "cut_strips": "Take ({count}) {strips} {height} wide.",
        "cut_squares": "Take ({count}) {squares} {height} × {length}.",
        "cut_other": "Take ({count}) {form}, and lay out {height} × {length} of {each}.",
        "cut_folded": "Fold {each} across the middle, right sides together, and cut through both layers.",
        "cut_part": "({count}) {size}, to be joined for piece\u00a0{piece}",
        "cut_joined": "Sew the ({count}) lengths for piece\u00a0{piece} end to end, with straight seams of the usual"
        " allowance, and cut:",
        "strip": "strip",
        "strips": "strips",
        "square": "square",
        "squares": "squares",
        "each_one": "it",
        "each_many": "each",
        "sub_cut": "{what}: piece\u00a0{piece}",
        "sub_result": "{what}: {triangles} triangles\u00a0{piece}",
        "sub_result_spare": "{what}: {triangles} triangles\u00a0{piece}, of which {spare} spare",
        "sub_template": "({count}) with template {piece}",
        "hand_word": "{hand} hand",
        "ends_alike": "both ends at {angle}",
        "ends_square": "one end square, the other at {angle}",
        "ends_other": "ends at {first} and {second}",
        "blank_trapezoid": "({count}) angled pieces {strip} wide, long side {long_side}, short side {short_side},"
        " {ends}",
        "blank_trapezoid_one": "(1) angled piece {strip} wide, long side {long_side}, short side {short_side}, {ends}",
        "blank_parallelogram": "({count}) angled pieces {strip} wide, cut every {step} along the strip at {angles}",
        "blank_parallelogram_one": "(1) angled piece {strip} wide, {step} along the strip, cut at {angles}",
        "blank_triangle": "({count}) 60° triangles {strip} high, side {side}, turned head to foot along the strip",
        "blank_triangle_one": "(1) 60° triangle {strip} high, side {side}",
        # sewing
        "make": "make {count}",
        "make_detail": "make {count} (detail)",
        "make_heading": "{name}: make {count}",
        "unit_size": "Check: {size} unfinished.",
        "unit_parts": "Each takes {parts}.",
        "unit_top": "It takes {parts}.",
        "unit_sets": "Some are pressed the other way, so that seams nest: {sets}. Keep the sets apart.",
        "unit_set": "set {number} is ({count}) of them",
        "step": "Step {number}",
        "steps": "Steps {first} to {last}",
        "run_alt": "Steps {first} to {last}: each part carries the number of its step. {said}",
        "detail": "Detail. {said}",
        "partial_why": "A seam that waits. No seam runs straight through here, so this one is begun now and"
        " finished in a later step: stop at the dot and secure the threads. What lies beyond the dot stays open, so"
        " that the next part can be sewn across the whole edge.",
        "close_why": "Now the seam that waited is finished. Lay the open edges right sides together, begin at the"
        " dot where the stitching stopped, and sew to the end.",
        "set_in_why": "A seam set in at a corner. Sew from the outer edge to the corner of the seam lines, stop"
        " with the needle down, turn the work, and sew the next edge. The allowances at the corner stay free.",
        "trim_why": "Measure twice: the trimmed edge lies the allowance outside the points.",
        "map_intro": "Each patch carries the letter of its fabric. Lay the pieces out by this map before you sew"
        " them.",
        "map_alt": "Map of the top: each patch carries the letter of its fabric. {counts}.",
        "map_count": "{letter} {count}",
        "colour_intro": "The top in outline, to try other colours.",
        "colour_alt": "The top in outline, with nothing filled in",
        # proof
        "proof_intro": "Every number in this pattern was computed from one model. Before it was printed, the"
        " cutting and the steps were followed by computation, seam by seam, and what came out was compared with the"
        " design.",
        # colophon
        "colo_edition": "Edition {edition} of {title}.",
        "colo_seed": "Placement of prints: seed {seed}.",
        "colo_print": "Fingerprint of the study: {fingerprint}.",
        "colo_kit": "Made with Seamproof {version}.",
        "colo_errata": "If you find a mistake, tell whoever gave you this pattern, and quote the edition and the"
        " first eight signs of the fingerprint: {short}.",
        "page_word": "page",
        "of_word": "of",
        "sheet_word": "template sheet",
        # templates
        "template_intro": "Print at full size (100 %), not fitted to the page. Measure both test squares on every"
        " page before you cut: the one is 1 in, the other 3 cm.",
        "template_lines": "Whole line: cut. Dashed line: sew. Dots: match them. Arrow: straight grain. Right side up.",
        "template_square_in": "1 in",
        "template_square_cm": "3 cm",
        "template_test": "Test squares",
        "template_name": "{piece} {name}",
        "template_cut": "cut {count} of {role}",
        "template_reversed": "cut {count} of {role}, reversed",
        "template_grain": "grain",
        "template_tile": "Part {part} of {parts}: join along the marked lines, crosses together.",
        "template_alt": "Template",
        # errors
        "pattern_of": "Quilt pattern",
    }
)


def say(key: str, **facts: object) -> str:
    r"""Return a house string with its facts filled in.

    Parameters
    ----------
    key
        Name of the string.
    **facts
        What stands between its braces.

    Examples
    --------
    >>> say("step", number=3)
    'Step 3'
    """
    return ENGLISH[key].format(**facts)
