"""Straight-edged outlines from a picture of lines (SVG): rectangles, polygons, closed polylines and closed paths.

The file is read as a stream, and nothing in it is fetched or executed: a document type, an entity, a script, a link out
of the drawing or a style sheet ends the reading. Curves are refused with their element, id and line. Named groups, and
groups that the drawing uses again, are its units.

References
----------
W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), 2011, sections 7 to 9: units, viewBox, transforms, shapes.
W3C, CSS Values and Units Module Level 3, section 6.2: 1in = 96px = 72pt = 6pc = 2.54cm (both from memory).
"""

import os
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn
from xml.parsers import expat

from kit.designs.drawn_units import settle_groups
from kit.designs.svg_shapes import (
    Matrix,
    Shape,
    join_matrices,
    read_element,
    read_measure,
    read_shift,
    read_transform,
)
from kit.designs.svg_tree import DEEPEST, DrawnElement, ElementPlacer, PlacedOutline
from kit.errors import KitError, PatchworkError
from kit.geometry.outlines import Outline, measure_box, tidy_outline
from kit.lengths import write_refused
from kit.model.patchwork import LIMIT, Group

LARGEST = 5_000_000
"""Bytes: a longer file is refused unread."""
MOST_CORNERS = 500
"""Corners of one outline."""

SVG = "http://www.w3.org/2000/svg"
SHAPES = ("rect", "polygon", "polyline", "path")
SILENT = ("title", "desc", "metadata")
"""Invisible elements; they are skipped with their contents."""
CURVED = ("circle", "ellipse")
HARMLESS = re.compile(r"fill|stroke|opacity|color|paint-order|shape-rendering|vector-effect|font|text-|line-|-|writing")
"""Properties that do not change an outline."""
BENDING = ("transform-origin", "clip-path", "mask", "filter", "marker-start", "marker-mid", "marker-end", "display",
           "visibility", "pathLength", "requiredFeatures", "systemLanguage", "requiredExtensions")  # fmt: skip
"""Attributes that change an outline without changing its figures."""


@dataclass(frozen=True, slots=True)
class DrawnOutline:
    """An outline in a drawing.

    Attributes
    ----------
    outline
        Finished inches, x right, y up, counter-clockwise; the lower left corner of the whole drawing is the origin.
    slot
        The element's class, or else its fill, or else "patch".
    name
        The element with its id, or with its line in the file: "path `sail`", "rect on line 12".
    group
        The copies of units that hold it, from the outermost in.
    """

    outline: Outline
    slot: str
    name: str
    group: Group = ()


def read_outlines(path: str | os.PathLike[str]) -> tuple[DrawnOutline, ...]:
    """Read the straight-edged outlines of an SVG file, in its own size.

    Rectangles, polygons, closed polylines and paths of straight closed lines, in groups with any transforms, and copies
    of them (`use`). A group with a name of its own, or one that is used again, is a unit where it holds two outlines
    or more that make one piece. The size follows from width, height and viewBox; a width without unit is in px, 96 to
    the inch, as the standard has it.

    Parameters
    ----------
    path
        An SVG file of at most five megabytes.

    Returns
    -------
    tuple
        The outlines in the order of the file.

    Raises
    ------
    KitError
        A file that cannot be read; a curve, an arc, text, a picture, a script, a document type or an entity; an open
        line; a missing size; a link out of the drawing; a group that uses itself. Names the element, its id and line.
    """
    place = Path(path)
    name = place.name or str(place)
    try:
        if place.is_file() and place.stat().st_size > LARGEST:
            raise PatchworkError(f"{name} is over {LARGEST / 1e6:.0f} megabytes", needed="a drawing", do="simplify it")
        data = place.read_bytes()
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise PatchworkError(
            f"The drawing {name} cannot be read ({why})", needed="an SVG file", do="check the name and the folder"
        ) from None
    return read_svg(data, name)


def read_svg(data: bytes, name: str = "drawing") -> tuple[DrawnOutline, ...]:
    """Read the straight-edged outlines of SVG text; see `read_outlines`.

    Examples
    --------
    >>> text = b'<svg xmlns="http://www.w3.org/2000/svg" width="4in" height="4in"><rect width="96" height="48"/></svg>'
    >>> read_svg(text)[0].outline
    ((0.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.0, 0.5))
    """
    reader = _Reader(name)
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    reader.parser = parser
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.StartDoctypeDeclHandler = reader.refuse_type
    parser.EntityDeclHandler = reader.refuse_type
    parser.ExternalEntityRefHandler = reader.refuse_type
    parser.ProcessingInstructionHandler = reader.refuse_instruction
    try:
        parser.Parse(data, True)  # noqa: FBT003  expat's own sign of the last part
    except expat.ExpatError as error:
        raise PatchworkError(f"{name} is not SVG: {error}", needed="a whole SVG file", do="save it again") from None
    except (ValueError, LookupError) as error:
        raise PatchworkError(f"{name} cannot be read ({error})", needed="UTF-8 text", do="save it again") from None
    assert reader.root is not None  # text without an element is not well-formed  # noqa: S101
    return _place(ElementPlacer(reader.root, reader.by_id, name).place(), name)


def _place(found: list[PlacedOutline], name: str) -> tuple[DrawnOutline, ...]:
    """Return the outlines with y up and the lower left corner of them all at the origin."""
    if not found:
        raise PatchworkError(
            f"{name} holds no outline", needed="rect, polygon, polyline or path elements", do="draw the patches so"
        )
    left, _, _, bottom = measure_box(point for one in found for point in one.points)
    outlines = [
        tidy_outline([(x - left, bottom - y) for x, y in one.points], name=f"{name}: {one.called}") for one in found
    ]
    groups = settle_groups([one.group for one in found], outlines)
    return tuple(
        DrawnOutline(outline, one.slot, one.called, group)
        for one, outline, group in zip(found, outlines, groups, strict=True)
    )


@dataclass
class _Reader:
    """Follows the elements of a file; `stack` holds the open ones, `hidden` counts those of them in `defs`."""

    name: str
    stack: list[DrawnElement] = field(default_factory=list)
    silent: int = 0
    hidden: int = 0
    count: int = 0
    by_id: dict[str, DrawnElement] = field(default_factory=dict)
    root: DrawnElement | None = None
    parser: expat.XMLParserType | None = None

    @property
    def line(self) -> int:
        return self.parser.CurrentLineNumber if self.parser else 0

    def refuse_type(self, *_: object) -> NoReturn:
        """Refuse a document type or an entity before reading any of it."""
        raise PatchworkError(
            f"{self.name}, line {self.line}: a document type or entity",
            needed="plain SVG that declares and fetches nothing",
            do="save the drawing as plain SVG, or delete that line",
        )

    def refuse_instruction(self, target: str, _: str) -> NoReturn:
        """Refuse a processing instruction, for instance a style sheet."""
        self._refuse(f"the instruction <?{target:.30}?>", "plain SVG", "delete that line")

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Take an element."""
        space, _, tag = name.rpartition(" ")
        passed = self.hidden and tag not in (*SHAPES, "g", "use", "defs")
        if self.silent or (space not in ("", SVG)) or tag in SILENT or passed:
            if tag in ("script", "foreignObject", "image"):
                self._refuse(self._call(tag, attributes), "plain outlines", "take it out")
            self.silent += 1
            self._check_depth(len(self.stack) + self.silent)
            return
        self._check_depth(len(self.stack) + 1)
        element = DrawnElement(tag, self.line, self._call(tag, attributes), attributes.get("id", ""))
        try:
            self._read(element, attributes)
        except PatchworkError as error:
            if not self.hidden:
                raise
            element.refusal = error
        if self.stack:
            self.stack[-1].children.append(element)
        else:
            self.root = element
        if element.label and tag in (*SHAPES, "g", "use"):
            self.by_id.setdefault(element.label, element)
        self.hidden += bool(self.hidden or tag == "defs")
        self.stack.append(element)

    def end(self, _: str) -> None:
        """Leave an element."""
        if self.silent:
            self.silent -= 1
        else:
            self.stack.pop()
            self.hidden -= bool(self.hidden)

    def _read(self, element: DrawnElement, attributes: dict[str, str]) -> None:
        """Read what an element says."""
        tag, called = element.tag, element.called
        self._check_attributes(called, attributes)
        if not self.stack:
            if tag != "svg":
                self._refuse(called, "an <svg> element around the drawing", "save it as SVG")
            element.own = self._read_size(attributes)
            return
        try:
            element.own = read_transform(attributes.get("transform", ""))
            if tag in SHAPES:
                self._take(element, read_element(tag, attributes), attributes)
            elif tag == "use":
                element.own = join_matrices(element.own, read_shift(attributes))
                element.target = _find_target(attributes)
            elif tag not in ("g", "defs"):
                needed = (
                    "outlines of straight lines" if tag in CURVED else "rect, polygon, polyline, path, g and use alone"
                )
                self._refuse(called, needed, "redraw it with straight lines, or remove it")
        except KitError as error:
            if error.found.startswith(self.name):
                raise
            self._refuse(f"{called}: {error.found}", error.needed, error.do)

    def _take(self, element: DrawnElement, shape: Shape, attributes: dict[str, str]) -> None:
        self.count += len(shape)
        if self.count > LIMIT:
            self._refuse("more outlines than a top may have", f"at most {LIMIT:,}", "draw a block and repeat it")
        for corners in shape:
            if len(corners) > MOST_CORNERS:
                self._refuse(
                    f"{element.called} has {len(corners):,} corners", f"at most {MOST_CORNERS}",
                    "divide it into patches",
                )  # fmt: skip
        element.shape, element.slot = shape, _find_slot(attributes)

    def _read_size(self, attributes: dict[str, str]) -> Matrix:
        """Return the scale from the drawing's own units to inches."""
        box = attributes.get("viewBox")
        sizes = [attributes.get(key) for key in ("width", "height")]
        if None in sizes or any("%" in str(size) for size in sizes):
            self._refuse(
                "the drawing does not give its size",
                "width and height with a unit on the <svg> element",
                'write for instance width="12in" height="12in"',
            )
        wide, high = (self._read_side(str(size)) for size in sizes)
        if box is None:
            return (1 / 96, 0.0, 0.0, 1 / 96, 0.0, 0.0)
        try:
            left, top, across, down = (float(word) for word in re.split(r"[\s,]+", box.strip()))
        except ValueError:
            self._refuse(f'viewBox="{box:.40}"', "four numbers", "correct it")
        if not (0 < across < 1e9 and 0 < down < 1e9):
            self._refuse(f'viewBox="{box:.40}"', "a width and a height over zero", "correct it")
        scale, other = wide / across, high / down
        if abs(scale / other - 1) > 1e-3:
            self._refuse(
                f"{write_refused(wide, high)} for a viewBox of {across:g} x {down:g}: one of them is stretched",
                "width and height in the proportion of the viewBox",
                "correct one of them",
            )
        scale = min(scale, other)
        return (scale, 0.0, 0.0, scale, -left * scale, -top * scale)

    def _read_side(self, text: str) -> float:
        try:
            inches = read_measure(text) / 96
        except KitError as error:
            self._refuse(f"the size of the drawing: {error.found}", error.needed, error.do)
        if not 0 < inches < 10_000:
            self._refuse(f"the size of the drawing is {text:.30}", "the size of a quilt", "correct it")
        return inches

    def _check_attributes(self, called: str, attributes: dict[str, str]) -> None:
        for key, value in attributes.items():
            tag = key.rpartition(" ")[2]
            if tag.startswith("on"):
                self._refuse(f"{called} has a script (`{tag:.30}`)", "plain outlines", "take it out")
            if tag == "href" and called.startswith("use ") and value.startswith("#"):
                continue
            if tag in BENDING or tag == "href":
                self._refuse(f"{called} has `{tag}`", "outlines that match their figures", "take it out")
            if tag == "style":
                for part in value.split(";"):
                    word = part.partition(":")[0].strip()
                    if (word and not HARMLESS.match(word)) or "url(" in part.replace(" ", "").lower():
                        self._refuse(f"{called} has the style `{part.strip():.40}`", "colours alone", "take it out")

    def _check_depth(self, depth: int) -> None:
        if depth > DEEPEST:
            self._refuse(f"elements {depth} deep", f"at most {DEEPEST}", "take the drawing out of its groups")

    def _call(self, tag: str, attributes: dict[str, str]) -> str:
        known = attributes.get("id")
        return f"{tag:.30} `{known:.40}`" if known else f"{tag:.30} on line {self.line}"

    def _refuse(self, found: str, needed: str, do: str) -> NoReturn:
        raise PatchworkError(f"{self.name}, line {self.line}: {found}", needed=needed, do=do)


def _find_target(attributes: dict[str, str]) -> str:
    """Return the id that a `use` refers to; only ids of its own drawing come so far."""
    return next((value[1:] for key, value in attributes.items() if key.rpartition(" ")[2] == "href"), "")


def _find_slot(attributes: dict[str, str]) -> str:
    """Return the role of an outline: its class, its fill from the style or the attribute, or "patch"."""
    styles = dict(part.split(":", 1) for part in attributes.get("style", "").split(";") if ":" in part)
    fill = {key.strip(): value for key, value in styles.items()}.get("fill", attributes.get("fill", ""))
    word = " ".join((attributes.get("class") or ("" if fill.strip() == "none" else fill)).split())
    return "".join(c for c in word if c.isprintable() and c != ":")[:60].strip() or "patch"
