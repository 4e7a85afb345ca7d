"""The file ``surface.glb``: the beads in three dimensions. Format: Khronos glTF 2.0 (ISO/IEC 12113:2022).

Metres, y up. Each kind of bead (a colour in a size) is one mesh, and each bead a node that places it; kinds of
one size share their triangles.
"""

import json
import struct
from importlib.metadata import version
from typing import Any

import numpy as np
from numpy.typing import NDArray

from convert.surface.render.solids import Mesh, make_bead_mesh, make_bead_solids, solid_of_size
from convert.surface.surface import Surface
from shared.arrays import Floats
from shared.colour import codes_from_hex, linear_from_srgb
from shared.design import Bead, Design

_FLOAT, _SHORT = 5126, 5123
_POINTS, _INDICES = 34962, 34963
_MM = 1e-3


def surface_glb(surface: Surface, design: Design) -> bytes:
    """Write the beads of a predicted surface, in the colours of its design, as a binary glTF file."""
    sizes = sorted({design.bead_sizes.level_of[bead.size] for bead in design.beads})
    buffer = _Buffer()
    pieces = {level: buffer.add_mesh(make_bead_mesh(solid_of_size(surface.bead_sizes.sizes[level]))) for level in sizes}
    root = {"name": design.title, "children": list(range(1, design.grid.count + 1))}
    values = {
        "asset": {"version": "2.0", "generator": f"Hummock {version('hummock')}"},
        "scene": 0,
        "scenes": [{"name": design.title, "nodes": [0]}],
        "nodes": [root, *_nodes(surface, design)],
        "meshes": [
            {"name": bead.kind, "primitives": [pieces[design.bead_sizes.level_of[bead.size]] | {"material": place}]}
            for place, bead in enumerate(design.beads)
        ],
        "materials": [_material(bead) for bead in design.beads],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    text = json.dumps(values, ensure_ascii=False, separators=(",", ":"))
    chunks = _chunk(b"JSON", text.encode(), b" ") + _chunk(b"BIN\0", bytes(buffer.data), b"\0")
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def quaternions(axes: Floats) -> Floats:
    """Return the rotations that bring the first axis to each of some directions, as x, y, z, w, shape (n, 4).

    The shortest turn: its quaternion is the sum of (cross product, dot product) and (0, 1), brought to length 1.
    """
    zero = np.zeros(len(axes))
    quaternion = np.stack([zero, -axes[:, 2], axes[:, 1], 1 + axes[:, 0]], axis=1)
    back = quaternion[:, 3] < 1e-9  # right about: any axis across will do
    quaternion[back] = (0.0, 1.0, 0.0, 0.0)
    return np.asarray(quaternion / np.linalg.norm(quaternion, axis=1, keepdims=True))


def _nodes(surface: Surface, design: Design) -> list[dict[str, Any]]:
    solids = make_bead_solids(surface, design)
    places = (np.round(solids.centres_mm * _MM, 7) + 0.0).tolist()
    rotations = (np.round(quaternions(solids.axes), 6) + 0.0).tolist()
    return [
        {"mesh": kind, "translation": place, "rotation": rotation}
        for kind, place, rotation in zip(design.cells.tolist(), places, rotations, strict=True)
    ]


def _material(bead: Bead) -> dict[str, Any]:
    linear = linear_from_srgb(codes_from_hex(bead.srgb) / 255)
    colour = [*(round(value, 6) for value in linear.tolist()), 1.0]
    surface = {"baseColorFactor": colour, "metallicFactor": 0.0, "roughnessFactor": 0.3}
    return {"name": f"{bead.kind} {bead.name}", "pbrMetallicRoughness": surface}


class _Buffer:
    """The binary part while it is put together."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []

    def add_mesh(self, mesh: Mesh) -> dict[str, Any]:
        """Add a mesh; return the primitive that draws it, without material."""
        points = (mesh.points_mm * np.float32(_MM)).astype("<f4")
        bounds = {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
        place = self._add(points, _FLOAT, "VEC3", _POINTS, bounds)
        normal = self._add(mesh.normals.astype("<f4"), _FLOAT, "VEC3", _POINTS, {})
        corners = self._add(mesh.triangles.astype("<u2").reshape(-1), _SHORT, "SCALAR", _INDICES, {})
        return {"attributes": {"POSITION": place, "NORMAL": normal}, "indices": corners}

    def _add(self, array: NDArray[Any], kind: int, shape: str, target: int, bounds: dict[str, Any]) -> int:
        self.data += b"\0" * (-len(self.data) % 4)
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": array.nbytes, "target": target})
        self.data += array.tobytes()
        self.accessors.append(
            {"bufferView": len(self.views) - 1, "componentType": kind, "count": len(array), "type": shape} | bounds
        )
        return len(self.accessors) - 1


def _chunk(kind: bytes, content: bytes, filling: bytes) -> bytes:
    content += filling * (-len(content) % 4)
    return struct.pack("<I4s", len(content), kind) + content
