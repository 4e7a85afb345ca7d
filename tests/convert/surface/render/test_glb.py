"""The binary glTF file, read back by a parser of our own and judged by the Khronos validator."""

import json
import struct
import subprocess

import numpy as np
import pytest
from npm_checkers import npm_package
from size_levels import middle, rings
from strategies import SIZES, bead_of

from convert.surface.overlap import hole_axes
from convert.surface.render.glb import quaternions, surface_glb
from convert.surface.render.solids import make_bead_mesh, solid_of_size
from convert.surface.solve import solve_surface
from shared.colour import codes_from_hex, linear_from_srgb
from shared.design import Design
from shared.grid import Grid

VALIDATOR = "gltf-validator@2.0.0-dev.3.10"
"""npm package of the Khronos Group: https://github.com/KhronosGroup/glTF-Validator."""

CHECK = (
    "const v = require('gltf-validator'), fs = require('fs');"
    "v.validateBytes(new Uint8Array(fs.readFileSync(process.argv[1])))"
    ".then(report => console.log(JSON.stringify(report)));"
)


def domed(columns=11, rows=24):
    grid = Grid(columns, rows)
    levels = rings(grid, middle(grid), radii=(0.5, 1.5, 2.5))
    beads = tuple(bead_of(colour, level) for colour in range(2) for level in range(4))
    cells = levels + 4 * (grid.column_of % 2)
    used, cells = np.unique(cells, return_inverse=True)
    return Design("Limpet <&> é", grid, SIZES, tuple(beads[kind] for kind in used), cells)


def parsed(data):
    """Take a .glb apart by the words of the standard, section "GLB File Format"."""
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    chunks, at = {}, 12
    while at < length:
        size, kind = struct.unpack_from("<I4s", data, at)
        assert size % 4 == 0
        chunks[kind] = data[at + 8 : at + 8 + size]
        at += 8 + size
    values = json.loads(chunks[b"JSON"])

    def read(accessor):
        entry = values["accessors"][accessor]
        view = values["bufferViews"][entry["bufferView"]]
        dtype = {5126: "<f4", 5123: "<u2"}[entry["componentType"]]
        per = {"SCALAR": 1, "VEC3": 3}[entry["type"]]
        return np.frombuffer(chunks[b"BIN\0"], dtype, entry["count"] * per, view["byteOffset"]).reshape(-1, per)

    return values, read


@pytest.fixture(scope="module")
def made():
    design = domed()
    surface = solve_surface(design.grid, design.bead_sizes, design.levels)
    return design, surface, surface_glb(surface, design)


def rotated(quaternion, vector):
    """Turn a vector by x, y, z, w: v + 2 w (q x v) + 2 q x (q x v)."""
    q, w = np.array(quaternion[:3]), quaternion[3]
    return vector + 2 * w * np.cross(q, vector) + 2 * np.cross(q, np.cross(q, vector))


def test_every_bead_is_a_node_of_its_kind_at_its_place_in_metres(made):
    design, surface, data = made
    values, _ = parsed(data)
    nodes = [values["nodes"][child] for child in values["nodes"][0]["children"]]
    assert len(nodes) == design.grid.count
    assert [values["meshes"][node["mesh"]]["name"] for node in nodes] == [
        design.beads[cell].kind for cell in design.cells
    ]
    x, y, z = surface.centres_mm.T / 1000
    places = np.array([node["translation"] for node in nodes])
    np.testing.assert_allclose(places, np.stack([x, z, y], axis=1), atol=1e-7)


def test_the_first_axis_of_each_bead_is_turned_along_its_hole(made):
    _, surface, data = made
    values, _ = parsed(data)
    for node, (x, y, z) in zip(values["nodes"][1:], hole_axes(surface), strict=True):
        np.testing.assert_allclose(rotated(node["rotation"], np.array([1.0, 0, 0])), [x, z, y], atol=1e-5)


def test_a_turn_right_round_is_a_turn_too():
    for axis in np.array([[-1.0, 0, 0], [1.0, 0, 0], [0, -1.0, 0], [-0.6, 0, 0.8]]):
        quaternion = quaternions(axis[None])[0]
        assert np.linalg.norm(quaternion) == pytest.approx(1)
        np.testing.assert_allclose(rotated(quaternion, np.array([1.0, 0, 0])), axis, atol=1e-9)


def test_meshes_have_the_measures_of_their_size_and_colours_in_linear_light(made):
    design, _, data = made
    values, read = parsed(data)
    assert len(values["meshes"]) == len(design.beads)
    for bead, mesh in zip(design.beads, values["meshes"], strict=True):
        (primitive,) = mesh["primitives"]
        size = design.bead_sizes.sizes[design.bead_sizes.level_of[bead.size]]
        extent = np.ptp(read(primitive["attributes"]["POSITION"]), axis=0) * 1000
        np.testing.assert_allclose(extent, [size.length_mm, size.diameter_mm, size.diameter_mm], rtol=0.02)
        assert extent[0] == pytest.approx(size.length_mm, rel=1e-6)
        factor = values["materials"][primitive["material"]]["pbrMetallicRoughness"]["baseColorFactor"]
        np.testing.assert_allclose(factor[:3], linear_from_srgb(codes_from_hex(bead.srgb) / 255), atol=1e-6)


def test_kinds_of_one_size_share_their_triangles(made):
    design, _, data = made
    values, _ = parsed(data)
    shapes = {json.dumps(mesh["primitives"][0]["attributes"], sort_keys=True) for mesh in values["meshes"]}
    assert len(shapes) == len({bead.size for bead in design.beads}) < len(design.beads)


@pytest.mark.parametrize("size", SIZES.sizes, ids=lambda size: size.name)
def test_a_bead_is_closed_faces_outwards_and_has_the_volume_of_its_solid(size):
    mesh = make_bead_mesh(solid_of_size(size))
    corners = mesh.points_mm[mesh.triangles].astype(float)
    faces = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    np.testing.assert_allclose(faces.sum(axis=0), 0, atol=1e-5)
    assert ((faces * mesh.normals[mesh.triangles].mean(axis=1)).sum(axis=1) > 0).all()
    volume = (corners[:, 0] * faces).sum() / 6
    half, radius, swell, hole = solid_of_size(size)
    along = np.linspace(-half, half, 2001)
    ring = np.pi * (radius**2 * (1 - swell * along**2) - hole**2)
    assert volume == pytest.approx(np.trapezoid(ring, along), rel=0.06)


def validated(data, folder):
    node, home = npm_package(VALIDATOR)
    path = folder / "surface.glb"
    path.write_bytes(data)
    run = subprocess.run([node, "-e", CHECK, str(path)], cwd=home, capture_output=True, text=True, check=True)
    return json.loads(run.stdout)["issues"]


@pytest.mark.outside
def test_the_khronos_validator_has_no_complaint(made, tmp_path):
    issues = validated(made[2], tmp_path)
    assert (issues["numErrors"], issues["numWarnings"], issues["numInfos"], issues["numHints"]) == (0, 0, 0, 0), issues


@pytest.mark.outside
def test_the_validator_can_complain(made, tmp_path):
    assert validated(made[2].replace(b'"VEC3"', b'"VEC2"', 1), tmp_path)["numErrors"] > 0


def test_same_surface_same_bytes(made):
    design, surface, data = made
    assert surface_glb(surface, design) == data
