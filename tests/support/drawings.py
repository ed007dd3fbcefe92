"""What hypothesis draws line drawings from: a frame cut up by straight lines on a grid; every patch can be sewn."""

from dataclasses import dataclass

from hypothesis import strategies as st


@dataclass(frozen=True)
class Sheet:
    """A drawing: squares of the grid across and up, its lines as pairs of places, and how many patches they close."""

    across: int
    up: int
    lines: tuple[tuple[tuple[int, int], tuple[int, int]], ...]
    patches: int

    def keys(self, **more):
        """Return the [design] table."""
        lines = [" ".join(f"{x},{y}" for x, y in line) for line in self.lines]
        return {"family": "lines", "size": f"{self.across},{self.up}", "lines": lines} | more


def _cut(draw, left, bottom, right, top, depth):
    ways = ["leave", "rising", "falling", "crossed"]
    if depth and right - left > 1:
        ways.append("upright")
    if depth and top - bottom > 1:
        ways.append("level")
    way = draw(st.sampled_from(ways[:3] if not depth else ways[1:] if len(ways) > 4 else ways))
    a, b, c, d = (left, bottom), (right, bottom), (right, top), (left, top)
    if way == "upright":
        x = draw(st.integers(left + 1, right - 1))
        halves = [_cut(draw, left, bottom, x, top, depth - 1), _cut(draw, x, bottom, right, top, depth - 1)]
        return [((x, bottom), (x, top)), *halves[0][0], *halves[1][0]], halves[0][1] + halves[1][1]
    if way == "level":
        y = draw(st.integers(bottom + 1, top - 1))
        halves = [_cut(draw, left, bottom, right, y, depth - 1), _cut(draw, left, y, right, top, depth - 1)]
        return [((left, y), (right, y)), *halves[0][0], *halves[1][0]], halves[0][1] + halves[1][1]
    return {"leave": ([], 1), "rising": ([(a, c)], 2), "falling": ([(b, d)], 2), "crossed": ([(a, c), (b, d)], 4)}[way]


@st.composite
def sheets(draw, depth: int = 4) -> Sheet:
    """Draw a sheet."""
    across, up = draw(st.integers(2, 8)), draw(st.integers(2, 8))
    lines, patches = _cut(draw, 0, 0, across, up, depth)
    turned = [line[::-1] if draw(st.booleans()) else line for line in lines]
    return Sheet(across, up, tuple(draw(st.permutations(turned))), patches)
