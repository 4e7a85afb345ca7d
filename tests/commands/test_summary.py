import numpy as np
from strategies import SIZES, bead_of

from convert.cli.convert import summary
from convert.colouring.pattern_stats import PatternStats
from convert.pattern import Pattern
from convert.shopping.shopping_list import shopping_list
from shared.design import Design
from shared.grid import Grid


def test_the_figures_of_a_summary():
    """A strip of 21 beads counted by hand: 10 flat, 6 of 11/0, 3 of 8/0, 2 of 6/0; errors 0 … 20."""
    beads = tuple(bead_of(0, level) for level in range(4))
    cells = np.repeat([0, 1, 2, 3], [10, 6, 3, 2])
    design = Design("Cuff", Grid(3, 14), SIZES, beads, cells)
    moved = np.zeros(21, dtype=np.int64)
    moved[:4] = -1
    told = summary(
        Pattern(
            design,
            np.arange(21.0),
            moved,
            ("it was turned",),
            "photo",
            PatternStats(5, 3.25, 9.5),
            PatternStats(1, 2.5, 10),
        ),
        shopping_list(design, spare_percent=10),
    ).splitlines()
    assert told[0] == "Cuff"
    assert told[1] == "3 columns x 14 rows, odd-count flat peyote, 21 beads"
    assert told[2].startswith("3.9 mm (0.15 in) wide, 12.0 mm (0.47 in) long")
    assert told[5].split() == ["A", "cylinder", "11/0", "sand", "1", "10", "11", "0.06"]
    assert told[-4] == "1 colour; colour difference 10.0 on average, at most 19.0 for 95 % of the beads (CIEDE2000)"
    assert told[-3] == (
        "tidied: stray beads 5 to 1, changes of bead per row 2.2 to 1.5, colour difference 9.50 to 10.00"
    )
    assert told[-2] == (
        "raised: 6 round 11/0, 3 round 8/0, 2 round 6/0; the size-step rule changed the size of 4 beads"
    )
    assert told[-1] == "note: it was turned"
