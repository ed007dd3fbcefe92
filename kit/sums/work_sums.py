"""Sums on the work: gaps in quilting, thread, time, a quote, and what breaks even."""

from dataclasses import replace

from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.lengths import Length, write_thread
from kit.model.finishing import MOST_THREAD, TopFacts, find_usual
from kit.planning.finishing.batting import compare_gap
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.thread_length import find_lockstitch_thread, find_thread_per_inch, plan_thread
from kit.sums.answer import Figure, SumAnswer
from kit.sums.cut_figures import draw_bars, draw_shapes
from kit.sums.sum_terms import Number, Size, take_terms
from kit.sums.unit_sums import find_given


def quilting_gap(gap: Length, limit: Length, *, system: str | None = None) -> SumAnswer:
    """The widest gap without quilting against what the batting allows.

    Parameters
    ----------
    gap
        Widest open place.
    limit
        What the wrapper of the batting allows.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "passes", "over".

    Raises
    ------
    KitError
        A gap or a limit that is not a length.

    Examples
    --------
    >>> quilting_gap("2 in", "3 in")["passes"], quilting_gap("5 in", "3 in")["passes"]
    (True, False)
    """
    terms = take_terms(gap, limit, system=system)
    verdict = compare_gap(terms.length(gap, "gap"), terms.length(limit, "limit"))
    over = verdict.gap - verdict.limit
    said = (
        "It holds." if verdict.passes else f"It is {terms.say(over)} too wide: quilt closer, or take another batting."
    )
    return SumAnswer(
        f"A gap of {terms.say(verdict.gap)} in a batting that allows {terms.say(verdict.limit)}",
        (said,),
        (
            f"{terms.say(verdict.gap)} against {terms.say(verdict.limit)}: {terms.say(abs(over))}"
            f" {'over' if over > 0 else 'to spare'}.",
        ),
        ("The gap is the widest circle without a stitch; the limit stands on the wrapper of the batting.",),
        {"passes": verdict.passes, "over": over},
        terms.system,
        draw_shapes(
            [(make_rectangle(0, 0, verdict.limit, verdict.limit), "allowed")],
            "What is allowed, the gap dashed",
            dashed=[make_rectangle(0, 0, verdict.gap, verdict.gap)],
        ),
    )


def thread(
    path: Length | None = None,
    *,
    quilt: Size | None = None,
    spacing: Length | None = None,
    thickness: Length | None = None,
    stitches: Number | None = None,
    constant: Number = 2,
    test_piece: "str | tuple[Length, ...] | None" = None,
    waste: Number = "15 %",
    spool: Length | None = None,
    bobbin: Length | None = None,
    spools: Number | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Thread for a stitched path or a quilt, in spools and bobbins; or how far spools on hand go.

    Parameters
    ----------
    path
        Length of the stitched lines.
    quilt, spacing
        Size of the quilt and the distance of its lines, in place of the path.
    thickness
        Thickness of the layers as sewn; left out: a tenth of an inch.
    stitches
        Stitches in an inch, or in a centimetre; left out: ten in an inch.
    constant
        Threads along the seam: 2 for a lockstitch.
    test_piece
        Your own test piece in place of the formula: "10, 13, 12 in" of seam, needle thread and bobbin thread.
    waste
        Part added for starts and stops.
    spool, bobbin
        Length on a spool and on a bobbin.
    spools
        Spools of needle thread on hand, in place of path and quilt: the answer is the path that they stitch.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "per inch" (both threads), "needle", "bobbin", "total" in inches with waste, "spools", "bobbins".

    Raises
    ------
    KitError
        Neither path nor quilt nor spools, spools beside another of them, or a test piece with less thread than seam.

    Examples
    --------
    >>> thread("100 in", thickness="0.01 in", stitches=10)["per inch"]
    2.2
    """
    terms = take_terms(path, quilt, spacing, thickness, spool, bobbin, test_piece, system=system)
    usual = find_usual(terms.system)

    def read(value: Length | None, name: str, else_: float) -> float:
        return else_ if value in (None, "") else terms.length(value or 0, name, longest=MOST_THREAD)

    more, thick = terms.part(waste, "waste"), read(thickness, "thickness", usual.layers_thickness)
    many = 1 / usual.stitch_length
    if stitches not in (None, ""):
        many = terms.number(stitches or 0, "stitches", least=0.5, most=100) * (1 if terms.system == "inch" else 2.54)
    each = terms.number(constant, "constant", least=2, most=6)
    total = find_lockstitch_thread(thick, many, constant=each)
    gap = read(spacing, "spacing", usual.quilting_spacing)
    wishes = replace(
        usual,
        thread="ratio",
        thread_ratio=total,
        thread_waste=more,
        quilting_spacing=gap,
        batting_limit=max(gap, 8.0),
        spool_length=read(spool, "spool", usual.spool_length),
        bobbin_length=read(bobbin, "bobbin", usual.bobbin_length),
    )
    how = (
        f"{each:g} + 2 × {thick:g} in × {many:g} stitches = {total:.3f} of thread for each length of seam, needle and"
        " bobbin together."
    )
    if test_piece not in (None, ""):
        piece = terms.lengths(test_piece or "", "test piece")
        if len(piece) != 3:
            raise KitError(f"the test piece has {len(piece)} lengths", needed="seam, needle thread and bobbin thread",
                           do='write "10, 13, 12 in"')  # fmt: skip
        wishes = replace(wishes, thread="test", thread_test=(piece[0], piece[1], piece[2]))
        total = sum(find_thread_per_inch(wishes))
        how = f"Your test piece: {total:.3f} of thread for each length of seam."
    if spools not in (None, ""):
        find_given(path=path, quilt=quilt, spools=spools)
        have = terms.count(spools or 0, "spools")
        path = have * wishes.spool_length / (find_thread_per_inch(wishes)[0] * (1 + more))
        long, size, facts = path, (1.0, 1.0), TopFacts(system=terms.system, paths=(("thread", path - 1e-6),))
        how_long = f"{have} spool{'s' * (have != 1)} of {write_thread(wishes.spool_length, terms.system, 'held')}."
    elif path in (None, ""):
        if quilt in (None, ""):
            raise KitError("neither a path nor a quilt is given", needed="one of both", do='write quilt "60 x 80 in"')
        size = terms.size(quilt or 0, "quilt")
        facts = TopFacts(system=terms.system)
        how_long = f"Lines {terms.say(gap)} apart over {terms.say_size(size)}: area ÷ distance."
    else:
        long = terms.length(path or 0, "path", longest=MOST_THREAD)
        size, facts = (1.0, 1.0), TopFacts(system=terms.system, paths=(("thread", long),))
        how_long = f"A path of {write_thread(long, terms.system)}."
    line = plan_thread(*size, wishes, facts).lines[0]
    whole = line.needle + line.bobbin
    figures: dict[str, Figure] = {
        "per inch": total, "path": line.path, "needle": line.needle, "bobbin": line.bobbin, "total": whole,
        "spools": line.spools, "bobbins": line.bobbins,
    }  # fmt: skip
    picture = draw_bars(
        [("needle", line.needle, write_thread(line.needle, terms.system)),
         ("bobbin", line.bobbin, write_thread(line.bobbin, terms.system)),
         ("stitched path", line.path, write_thread(line.path, terms.system))],
        "Thread above and below beside the stitched path",
    )  # fmt: skip
    return SumAnswer(
        f"Thread for {write_thread(line.path, terms.system)} of stitching",
        (f"{write_thread(whole, terms.system)} in all: {line.spools} spool{'s' * (line.spools != 1)} above,"
         f" {line.bobbins} bobbin{'s' * (line.bobbins != 1)} below.",),
        (how_long, how, f"{100 * more:g} % for waste."),
        (f"Spools of {write_thread(wishes.spool_length, terms.system, 'held')}, bobbins of"
         f" {write_thread(wishes.bobbin_length, terms.system, 'held')}.",), figures, terms.system, picture,
    )  # fmt: skip


def work_time(
    quilt: Size,
    *,
    cuts: Number = 0,
    seams: Number = 0,
    cut_seconds: Number = 20,
    seam_seconds: Number = 60,
    spacing: Length | None = None,
    quilting_speed: Length | None = None,
    hours: Number | None = None,
    system: str | None = None,
) -> SumAnswer:
    """Hours of work on a quilt, kind by kind, at your own speeds; or how close hours on hand let you quilt.

    Parameters
    ----------
    quilt
        Finished size.
    cuts, seams
        Pieces to cut and seams to sew.
    cut_seconds, seam_seconds
        Seconds for one of each.
    spacing
        Distance of the quilting lines.
    quilting_speed
        Length quilted in a minute.
    hours
        Hours on hand: the answer is the distance of the quilting lines that they allow, in place of `spacing`.
    system
        "inch" or "metric".

    Returns
    -------
    SumAnswer
        Figures: "hours", "spacing", and the minutes of each kind of work.

    Raises
    ------
    KitError
        Numbers out of range, or hours that the rest of the work takes already.

    Examples
    --------
    >>> round(work_time("60 x 80 in", cuts=300, seams=299)["piecing"])
    299
    """
    terms = take_terms(quilt, spacing, quilting_speed, system=system)
    usual, size = find_usual(terms.system), terms.size(quilt, "quilt")
    gap = usual.quilting_spacing if spacing in (None, "") else terms.length(spacing or 0, "spacing")
    speed = usual.quilting_speed if quilting_speed in (None, "") else terms.length(quilting_speed or 0, "speed")
    if terms.system == "metric" and quilting_speed in (None, ""):
        speed = usual.quilting_speed
    wishes = replace(
        usual, cut_seconds=terms.number(cut_seconds, "seconds for a cut", most=3600), quilting_spacing=gap,
        seam_seconds=terms.number(seam_seconds, "seconds for a seam", most=3600), quilting_speed=speed, sleeve=False,
        batting_limit=max(gap, usual.batting_limit), batting="roll",
    )  # fmt: skip
    facts = TopFacts(system=terms.system, cuts=terms.count(cuts, "cuts", 0), seams=terms.count(seams, "seams", 0))
    plan = finishing_plan(*size, wishes, facts)
    names = {"sewing-binding": "sewing the binding on", "closing-binding": "closing the binding by hand"}
    figures: dict[str, Figure] = {names.get(line.work, line.work): line.minutes for line in plan.time}
    figures |= {"hours": plan.hours, "spacing": gap}
    says = [f"{plan.hours:.1f} hours."]
    if hours not in (None, ""):
        find_given(hours=hours, spacing=spacing)
        have, quilting = 60 * terms.number(hours or 0, "hours"), float(figures.get("quilting", 0.0))  # type: ignore[arg-type]  # minutes
        rest = 60 * plan.hours - quilting
        if have <= rest + 1:
            raise KitError(f"{have / 60:g} hours are on hand and {rest / 60:.1f} go into the rest of the work",
                           needed="more hours than that", do="plan more, or leave out work")  # fmt: skip
        apart = gap * quilting / (have - rest)
        figures["spacing"] = apart
        says = [f"Quilting lines {terms.say(round(apart, 2))} apart, or farther.",
                f"{(have - rest) / 60:.1f} of the {have / 60:g} hours are left for quilting."]  # fmt: skip
    picture = draw_bars(
        [(names.get(line.work, line.work), line.minutes, f"{line.minutes:.0f} min") for line in plan.time],
        "The minutes of each kind of work",
    )
    return SumAnswer(
        f"Work on a quilt of {terms.say_size(size)}", tuple(says),
        tuple(f"{names.get(line.work, line.work).capitalize()}: {line.minutes:.0f} min." for line in plan.time),
        ("Unpicking is not included.",
         f"Quilting in lines {terms.say(gap)} apart, as the working counts it."), figures, terms.system, picture,
    )  # fmt: skip
