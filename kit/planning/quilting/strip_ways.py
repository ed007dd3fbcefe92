"""Ways of stitching along a strip: each draws along a frame, from end to end, and follows its room."""

from collections.abc import Callable
from math import pi

import numpy as np
from numpy.typing import NDArray

from kit.geometry.outlines import Outline
from kit.geometry.paths import Path
from kit.geometry.smooth_paths import draw_spline, join_paths, round_bends
from kit.geometry.strip_frames import StripFrame

Floats = NDArray[np.float64]

CLEAR = 0.86
"""The share of the room that is used; the rest stays between the stitches and the edge."""
LEAST_SWING = 0.08
"""Inches: a lower wave is not worth a turn of the machine; the line runs straight there."""
LEAF = np.array([
    (-0.3, 0.0), (-0.02, 0.02), (0.36, 0.14), (0.66, 0.48), (0.76, 0.9), (0.66, 1.16), (0.4, 1.1), (0.16, 0.78),
    (0.04, 0.4), (0.0, 0.06), (0.06, -0.16), (0.3, -0.18), (0.6, -0.02),
])  # fmt: skip
"""A leaf: from the stem up its front, round the point, down its back and over its own base (in parts of its height)."""
HOOK = np.array([
    (-0.2, 0.0), (0.06, 0.03), (0.22, 0.36), (0.26, 0.8), (0.46, 1.12), (0.84, 1.14), (1.06, 0.82), (0.9, 0.5),
    (0.6, 0.48), (0.46, 0.34), (0.52, 0.1), (0.8, 0.0),
])  # fmt: skip
"""A hook: up its back, over its head, in below the head, and down to the stem again."""
PLUME = np.array([
    (0.0, 0.0), (0.18, 0.16), (0.34, 0.4), (0.42, 0.68), (0.55, 0.92), (0.86, 1.04), (1.18, 0.96), (1.3, 0.72),
    (1.22, 0.42), (1.1, 0.18), (1.0, 0.0),
])  # fmt: skip
"""A plume of a feather, from the spine round to the spine (along in widths of a plume, aside in its height)."""


def wave(frame: StripFrame, spacing: float, _draw: np.random.Generator) -> list[Path]:
    """Return a serpentine: strokes from side to side, one spacing apart, joined by round turns."""
    length = frame.length
    count = max(2, round(length / spacing))
    if frame.closed:
        count += count % 2
    step = length / count
    along = np.linspace(0.5 * step, length - 0.5 * step, count)
    swing = CLEAR * frame.find_room(along)
    swing = np.minimum(swing, np.maximum(frame.find_room(along) - 0.25 * spacing, 0.6 * swing))
    if float(np.median(swing)) < 0.62 * step:
        return [_swing(frame, count, step, 0.5 * pi)]
    side = np.where(np.arange(count) % 2 == 0, 1.0, -1.0)
    flat = swing < max(0.3 * step, LEAST_SWING)
    size = np.where(flat, 0.0, swing)
    starts = np.stack([along, along], axis=1).ravel()
    offs = np.stack([-side * size, side * size], axis=1).ravel()
    if frame.closed:
        points = frame.place(starts, offs)
        points = np.concatenate([points, points[:1]])
        middle = (points[0] + points[1]) / 2
        ring = np.concatenate([middle[None], points[1:], middle[None]])
        return [round_bends(ring, step / 2)]
    tail = frame.place(np.array([0.0]), np.zeros(1)), frame.place(np.array([length]), np.zeros(1))
    offs[0], offs[-1] = 0.0, 0.0
    return [round_bends(np.concatenate([tail[0], frame.place(starts, offs), tail[1]]), step / 2)]


def _swing(frame: StripFrame, count: int, step: float, shift: float, *, most: float = np.inf) -> Path:
    """Return a sine along a frame, `count` half waves; at the ends of an open frame it fades out on the middle line."""
    along = np.linspace(0, frame.length, 16 * count + 1)
    size = np.minimum(CLEAR * frame.find_room(along), most)
    if not frame.closed:
        size = size * _fade(along, frame.length, 0.5 * step)
    path = frame.place(along, size * np.sin(_find_phase(frame, along, count) + shift))
    if frame.closed:
        path[-1] = path[0]
    return path


def _fade(along: Floats, length: float, over: float) -> Floats:
    """Return a factor that rises smoothly from 0 to 1 at the beginning and falls at the end."""
    share = np.clip(np.minimum(along, length - along) / over, 0, 1)
    return np.asarray(share * share * (3 - 2 * share))


def _find_phase(frame: StripFrame, along: Floats, count: int) -> Floats:
    """Return the phase along a frame, half a turn per count; round a border every side has a whole number of them.

    So corner meets corner: the same place of the pattern lies at every corner, and the last repeat meets the first.
    """
    if not frame.closed or len(frame.corners) < 2:
        return np.asarray(pi * count * along / frame.length)
    corners = np.array([*frame.corners, frame.corners[0] + frame.length])
    sides = np.diff(corners)
    each = np.maximum(2, 2 * np.round(sides / frame.length * count / 2))
    marks = np.concatenate([[0.0], np.cumsum(each)]) * pi
    turned = (along - corners[0]) % frame.length + corners[0]
    wraps = np.where(along < corners[0], marks[-1], 0.0)
    return np.asarray(np.interp(turned, corners, marks) - wraps)


def loops(frame: StripFrame, spacing: float, _draw: np.random.Generator) -> list[Path]:
    """Return a row of loops, one per spacing, as a pen writes a row of the letter e; where it is too low, a line."""
    count = max(1, round(frame.length / spacing))
    step = frame.length / count
    tau = np.linspace(0, frame.length, 40 * count + 1)
    middles = np.linspace(0.5 * step, frame.length - 0.5 * step, count)
    room = CLEAR * np.min([frame.find_room(middles + part * step) for part in (-0.6, -0.3, 0, 0.3, 0.6)], axis=0)
    high = np.where(room < 0.22 * step, 0.0, np.minimum(room, 0.55 * step))
    size = _ease_between(tau, middles, high, frame)
    wide = _ease_between(tau, middles, np.where(high > 0, 0.45 * step, 0.0), frame)
    phase = 2 * pi * tau / step + pi
    along = tau - wide * np.sin(phase)
    along = along % frame.length if frame.closed else np.clip(along, 0, frame.length)
    path = frame.place(along, -size * np.cos(phase))
    if frame.closed:
        path[-1] = path[0]
    return [path]


def _ease_between(along: Floats, marks: Floats, values: Floats, frame: StripFrame) -> Floats:
    """Return values that change smoothly from mark to mark; at the ends of an open frame they are 0."""
    if frame.closed:
        marks = np.concatenate([[marks[-1] - frame.length], marks, [marks[0] + frame.length]])
        values = np.concatenate([values[-1:], values, values[:1]])
    else:
        marks = np.concatenate([[0.0], marks, [frame.length]])
        values = np.concatenate([[0.0], values, [0.0]])
    k = np.clip(np.searchsorted(marks, along, side="right") - 1, 0, len(marks) - 2)
    share = np.clip((along - marks[k]) / (marks[k + 1] - marks[k]), 0, 1)
    share = share * share * (3 - 2 * share)
    return np.asarray(values[k] + share * (values[k + 1] - values[k]))


def chain(frame: StripFrame, spacing: float, _draw: np.random.Generator) -> list[Path]:
    """Return a chain of long links: two waves that cross once per link; a link is one and a half spacings long."""
    return _strands(frame, 1.5 * spacing, 0.6 * spacing, (0.0, pi))


def cable(frame: StripFrame, spacing: float, _draw: np.random.Generator) -> list[Path]:
    """Return a cable of three strands that pass over one another."""
    return _strands(frame, 1.5 * spacing, 0.7 * spacing, (0.0, 2 * pi / 3, 4 * pi / 3))


def _strands(frame: StripFrame, link: float, most: float, shifts: tuple[float, ...]) -> list[Path]:
    count = max(1, round(frame.length / link))
    if frame.closed:
        count += count % 2
    return [_swing(frame, count, frame.length / count, shift, most=most) for shift in shifts]


def pebbles(frame: StripFrame, spacing: float, draw: np.random.Generator) -> list[Path]:
    """Return a row of round pebbles that touch: two strands, each over one pebble and under the next."""
    sizes: list[float] = []
    at = 0.0
    while at < frame.length - 0.3 * spacing:
        size = float(spacing * draw.uniform(0.62, 1.08))
        room = float(frame.find_room(np.linspace(at, min(at + size, frame.length), 5)).min())
        size = min(size, 2 * CLEAR * max(room, 0.0))
        if size < 2 * LEAST_SWING:
            size = -0.25 * spacing
        sizes.append(size)
        at += abs(size)
    if frame.closed and len(sizes) % 2:
        sizes.pop()
    if not sizes:
        return []
    widths = np.abs(sizes) * frame.length / np.abs(sizes).sum()
    starts = np.concatenate([[0.0], np.cumsum(widths)])
    angle = np.linspace(0, pi, 17)
    strands = []
    for first in (1.0, -1.0):
        parts = []
        turn = first
        for begin, size, wide in zip(starts, sizes, widths, strict=False):
            radius = wide / 2
            flat = size < 0
            along = begin + radius * (1 - np.cos(angle))
            high = 0.0 if flat else min(radius, CLEAR * float(frame.find_room(along).min()))
            parts.append(frame.place(along, turn * high * np.sin(angle)))
            turn = turn if flat else -turn
        strands.append(join_paths(parts))
    return strands


def leaves(frame: StripFrame, spacing: float, _draw: np.random.Generator) -> list[Path]:
    """Return a stem with leaves on one side and hooks on the other, in turn, all in one line."""
    usual = min(CLEAR * float(np.median(frame.room)) / 1.04, 1.05 * spacing)
    count = max(1, round(frame.length / max(1.2 * usual, 3 * LEAST_SWING)))
    step = frame.length / count
    controls = [np.array([[0.0, 0.0], [0.1 * step, 0.0]])]
    for k in range(count):
        shape = (LEAF, HOOK)[k % 2]
        side = 1.0 if k % 2 == 0 else -1.0
        begin = k * step
        room = float(frame.find_room(np.linspace(begin, begin + step, 5)).min())
        high = min(CLEAR * room / 1.04, 1.05 * spacing, 0.9 * step)
        if high < 2.2 * LEAST_SWING:
            controls.append(np.array([[begin + 0.5 * step, 0.0]]))
            continue
        middle = 0.3 if k % 2 == 0 else 0.45
        controls.append(np.column_stack([begin + step / 2 + high * (shape[:, 0] - middle), side * high * shape[:, 1]]))
    controls.append(np.array([[frame.length - 0.1 * step, 0.0], [frame.length, 0.0]]))
    path = draw_spline(np.concatenate(controls), steps=8)
    along = path[:, 0] % frame.length if frame.closed else np.clip(path[:, 0], 0, frame.length)
    placed = frame.place(along, path[:, 1])
    if frame.closed:
        placed[-1] = placed[0]
    return [placed]


def feathers(frame: StripFrame, spacing: float, _draw: np.random.Generator) -> list[Path]:
    """Return a feather: its spine, and plumes on both sides, each from the spine round to the spine."""
    length = frame.length
    count = max(1, round(length / min(spacing, max(1.2 * float(np.median(frame.room)), 3 * LEAST_SWING))))
    step = length / count
    paths = [frame.centre]
    for side, room in ((1.0, frame.left), (-1.0, frame.right)):
        for k in range(count):
            begin = k * step
            reach = np.linspace(begin, min(begin + 1.4 * step, length), 6)
            high = min(CLEAR * float(np.interp(reach, frame.at, room).min()) / 1.0, 2.0 * spacing)
            if high < 2.5 * LEAST_SWING or (not frame.closed and begin + 1.25 * step > length):
                continue
            lean = np.column_stack([begin + step * PLUME[:, 0], side * high * PLUME[:, 1]])
            curve = draw_spline(lean, steps=8)
            along = curve[:, 0] % length if frame.closed else np.minimum(curve[:, 0], length)
            paths.append(frame.place(along, curve[:, 1]))
    return paths


def repeat_drawn(frame: StripFrame, spacing: float, drawn: Outline) -> list[Path]:
    """Return a hand-drawn line repeated from end to end, a whole number of times, as high as the room allows.

    Parameters
    ----------
    drawn
        Corners of the line from left to right, in any unit; it is rounded, and flows from one repeat into the next.
    """
    corners = np.array(drawn, dtype=np.float64)
    corners -= (corners.max(axis=0) + corners.min(axis=0)) / 2
    wide, high = (float(v) for v in np.maximum(np.ptp(corners, axis=0), 1e-6))
    reach = min(CLEAR * float(np.median(frame.room)), spacing)
    count = max(1, round(frame.length / (wide / high * 2 * reach)))
    step = frame.length / count
    size = step / wide
    parts = [np.array([[0.0, 0.0]])]
    for k in range(count):
        middle = (k + 0.5) * step
        room = CLEAR * float(frame.find_room(np.linspace(k * step, (k + 1) * step, 7)).min())
        scale = min(size, 2 * room / high)
        if scale < 0.6 * size:
            parts.append(np.array([[middle, 0.0]]))
            continue
        inner = corners[1:-1] if abs(corners[0, 0] - corners[-1, 0]) > 0.9 * wide else corners
        parts.append(np.column_stack([middle + scale * inner[:, 0], scale * inner[:, 1]]))
    path = draw_spline(np.concatenate([*parts, [[frame.length, 0.0]]]), steps=8)
    along = path[:, 0] % frame.length if frame.closed else np.clip(path[:, 0], 0, frame.length)
    placed = frame.place(along, path[:, 1])
    if frame.closed:
        placed[-1] = placed[0]
    return [placed]


STRIP_WAYS: dict[str, tuple[Callable[[StripFrame, float, np.random.Generator], list[Path]], float]] = {
    "serpentine": (wave, np.inf), "loops": (loops, 1.35), "chain": (chain, 1.5), "cable": (cable, 1.7),
    "pebbles": (pebbles, 0.95), "leaves": (leaves, 2.4), "feathers": (feathers, 4.4),
}  # fmt: skip
"""Way -> how it is drawn along a frame, and how high one row of it is, in spacings; higher areas get several rows."""
