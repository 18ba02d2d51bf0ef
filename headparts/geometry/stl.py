"""Reading STL, binary or text: triangles in mm, believed only when they are the skin of one solid."""

from __future__ import annotations

import struct

import numpy as np

from headparts.errors import GeometryError
from headparts.geometry.skin import Floats, Skin, trusted

_RECORD = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_HEAD = 84


def read_stl(data: bytes) -> Skin:
    """The skin in an STL file; the file has no unit, its numbers are taken as mm.

    The stored normals are not used: the order of the corners says which side is out.

    Raises:
        GeometryError: torn, no STL, or not the skin of one solid (see ``skin.trusted``).
    """
    corners = _binary(data)
    if corners is None:
        corners = _text(data)
    triangles = np.arange(3 * len(corners), dtype=np.int64).reshape(-1, 3)
    return trusted(corners.reshape(-1, 3), triangles)


def _binary(data: bytes) -> Floats | None:
    """(m, 3, 3), or None where the length is not that of a binary file."""
    if len(data) < _HEAD:
        return None
    (count,) = struct.unpack_from("<I", data, _HEAD - 4)
    if len(data) == _HEAD + 50 * count:
        return np.frombuffer(data, _RECORD, count, _HEAD)["corners"].astype(np.float64)
    if data[:5].lower() == b"solid":
        return None
    raise GeometryError(
        f"it is torn: {count} triangles make {_HEAD + 50 * count} bytes, the file has {len(data)}"
    )


def _text(data: bytes) -> Floats:
    words = data.split()
    if not words or words[0].lower() != b"solid":
        raise GeometryError("it is no STL file")
    if b"endsolid" not in (word.lower() for word in words[-64:]):
        raise GeometryError("it is torn: its end is missing")
    places = [k for k, word in enumerate(words) if word.lower() == b"vertex"]
    try:
        values = np.array([[float(each) for each in words[k + 1 : k + 4]] for k in places], dtype=np.float64)
        return values.reshape(-1, 3, 3)
    except ValueError:
        raise GeometryError("a triangle does not have three corners of three numbers") from None
