"""The layers of cloth at each junction after pressing."""

from cmath import phase
from collections.abc import Mapping, Sequence
from math import pi

from kit.model.patchwork import Patchwork
from kit.model.pressing import Press
from kit.planning.pressing.crossings import STRAIGHT, SeamPlace, list_rays
from kit.planning.pressing.seam_graph import OTHER
from kit.planning.pressing.spun_centres import SpunCentres


def count_layers(
    patchwork: Patchwork,
    places: Sequence[SeamPlace],
    presses: Mapping[tuple[int, int], Press],
    spun: SpunCentres | None = None,
) -> tuple[int, tuple[float, float]]:
    """Return the most layers at a junction within the top, and its place.

    Between two neighbouring seams of a junction there is one layer of cloth. A seam pressed to a side adds both
    allowances there, each as thick as its own cloth; a seam pressed open adds one on each side. The seams of a
    junction are laid in the order of sewing. The allowances of spun seams lie evenly round their centre.

    Returns
    -------
    tuple of int and (float, float)
        1 and the lower left corner for a top without inner junctions.
    """
    worst, where = 1, (patchwork.box[0], patchwork.box[1])
    nodes = patchwork.mesh.nodes
    centres = set(spun.nodes.values()) if spun else set()
    for node, rays in sorted(list_rays(patchwork, places).items()):
        here = {key: OTHER[presses[key]] if spun and spun.is_beyond(key, node) else presses[key] for _, key, _ in rays}
        sectors = _lay(rays, here)
        layers = -(-sum(sectors) // len(sectors)) if node in centres else max(sectors)
        if layers > worst:
            worst, where = layers, (float(nodes[node, 0]), float(nodes[node, 1]))
    return worst, (round(where[0] - patchwork.box[0], 6), round(where[1] - patchwork.box[1], 6))


def _lay(rays: Sequence[tuple[complex, tuple[int, int], bool]], presses: Mapping[tuple[int, int], Press]) -> list[int]:
    """Return the layers around one junction; sector i lies between ray i and the next one counter-clockwise."""
    rays = sorted(rays, key=lambda ray: phase(ray[0]) % (2 * pi))
    n = len(rays)
    sectors = [1] * n
    done: set[int] = set()
    for i in sorted(range(n), key=lambda i: (rays[i][1], i)):
        if i in done:
            continue
        run, key, onward = rays[i]
        done.add(i)
        across = next((j for j in range(n) if rays[j][1] == key and abs(rays[j][0] + run) < STRAIGHT), None)
        if across is None:
            left, right = [i], [i - 1]
        else:
            done.add(across)
            left = [(i + k) % n for k in range((across - i) % n)]
            right = [(i - 1 - k) % n for k in range((i - across) % n)]
        sectors = _fold(sectors, left, right, presses[key], onward=onward)
    return sectors


def _fold(
    sectors: Sequence[int], left: Sequence[int], right: Sequence[int], press: Press, *, onward: bool
) -> list[int]:
    """Lay the allowances of one seam; the sectors on each side are given in order from the ray."""
    laid = list(sectors)
    if press == "open":
        for k in (*left, *right):
            laid[k] = 2 * sectors[k]
        return laid
    first, second = (left, right) if onward else (right, left)
    to, off = (first, second) if press == "first" else (second, first)
    for place, k in enumerate(to):
        mirror = off[min(place * len(off) // len(to), len(off) - 1)]
        laid[k] = 2 * sectors[k] + sectors[mirror]
    return laid
