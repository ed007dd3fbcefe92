"""What the picture of a screen shows: the outlines and the cloth of its patches, unpacked again."""

from base64 import b64decode

import numpy as np


def unpack(text, kind):
    return np.frombuffer(b64decode(text), kind)


def read_shown(parts):
    """Return (outline, name of the fabric) of each patch on the page, in order."""
    corners, sizes = unpack(parts["corners"], "<f4").reshape(-1, 2), unpack(parts["sizes"], "<u2")
    outlines = np.split(corners, np.cumsum(sizes)[:-1])
    cloths = unpack(parts["cloths"], "<u2")
    return [(outline, parts["names"][cloth]) for outline, cloth in zip(outlines, cloths, strict=True)]


def compare_shown(parts, sketch):
    """Refuse a picture whose patches, cloth or kinds are not those of a sketch."""
    shown = read_shown(parts)
    assert len(shown) == len(sketch.patchwork.patches)
    for (outline, cloth), patch in zip(shown, sketch.patchwork.patches, strict=True):
        assert outline.shape == (len(patch.outline), 2), patch.id
        assert np.allclose(outline, patch.outline, atol=1e-4), patch.id
        assert cloth == sketch.colouring.assignment[patch.id], patch.id
    kinds = [parts["ids"][kind] for kind in unpack(parts["kinds"], "<u2")]
    assert kinds == [sketch.cut_list.piece_of[patch.id].id for patch in sketch.patchwork.patches]
