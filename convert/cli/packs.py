"""How beads are sold, as the command line says it."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from convert.cli.palette_words import palette_named

if TYPE_CHECKING:
    from convert.shopping.packs import PackOf
    from shared.beads import BeadSizes


def known_packs(packs: Sequence[str], palette: str | None, bead_sizes: "BeadSizes") -> "PackOf":
    """Return how beads are sold: in packs that were chosen, else as a palette says.

    Raises
    ------
    HummockError
        When either cannot be read.
    """
    from convert.shopping.pack_words import parse_pack, with_chosen
    from convert.shopping.packs import pack_of

    known = pack_of(None if palette is None else palette_named(palette))
    return with_chosen([parse_pack(words) for words in packs], known, bead_sizes)
