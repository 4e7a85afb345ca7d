from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.chart.bead_shapes import drawn_size_mm
from convert.chart.inks import choose_ink, luminance
from shared.beads import BeadSize, BeadSizes, default_bead_sizes

SLOT_MM2 = 1.3 * 1.6


def test_a_cylinder_of_the_flat_size_fills_its_slot():
    assert drawn_size_mm(default_bead_sizes(), 0) == (1.3, 1.6)


def test_round_beads_keep_their_proportion_bulge_more_per_level_and_stay_countable():
    bead_sizes = default_bead_sizes()
    sizes = [drawn_size_mm(bead_sizes, level) for level in (1, 2, 3)]
    areas = [pi / 4 * length * diameter / SLOT_MM2 for length, diameter in sizes]
    assert areas == sorted(areas)
    assert areas[-1] <= 1.3
    for (length, diameter), size in zip(sizes, bead_sizes.sizes[1:], strict=True):
        assert length / diameter == pytest.approx(size.length_mm / size.diameter_mm)
        assert diameter > 1.6 * 1.1
        # The next bead of the row is two lengths away, the next of the column one diameter.
        assert length < 2 * 1.3 - 0.9
        assert diameter < 1.5 * 1.6


@given(
    st.tuples(st.floats(0.5, 12), st.floats(0.5, 8)),
    st.lists(st.tuples(st.floats(0.5, 20), st.sampled_from(["round", "cylinder"])), min_size=1, max_size=5),
)
def test_no_set_of_sizes_makes_a_bead_reach_over_the_next_but_one(flat, others):
    sizes = [BeadSize("cylinder 99/0", *flat, 0.1, 100)]
    for place, (length, shape) in enumerate(others):
        sizes.append(BeadSize(f"{shape} {place + 1}/0", length, flat[1] + place, 0.1, 100))
    for level in range(len(sizes)):
        length, diameter = drawn_size_mm(BeadSizes(tuple(sizes)), level)
        assert 0 < length <= 1.5001 * flat[0]
        assert 0 < diameter <= 1.5001 * flat[1]


@given(st.binary(min_size=3, max_size=3))
def test_the_number_stands_out_from_any_colour(codes):
    # W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3: 4.5 to 1; relative luminance as
    # defined there, from the codes.
    def relative_luminance(rgb):
        parts = [v / 255 / 12.92 if v / 255 <= 0.04045 else ((v / 255 + 0.055) / 1.055) ** 2.4 for v in rgb]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    colour = "#" + codes.hex()
    bead = relative_luminance(codes)
    ink = relative_luminance(bytes.fromhex(choose_ink(colour)[1:]))
    lighter, darker = max(bead, ink), min(bead, ink)
    assert (lighter + 0.05) / (darker + 0.05) >= 4.5
    assert luminance(colour) == pytest.approx(bead)
