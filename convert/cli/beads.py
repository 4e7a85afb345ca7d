"""``hummock beads``: sizes and palettes, and a stash read from a photograph."""

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from convert.cli.outputs import check_outputs, check_png, shown
from convert.cli.parameters import palette_named
from convert.files import MOST_WORDS_MEGABYTES, place, read_bytes, read_text
from convert.options import Options
from shared.beads import parse_bead_sizes
from shared.errors import BadChoiceError
from shared.plural import counted

if TYPE_CHECKING:
    from palettes.palette import Palette
    from shared.beads import BeadSizes


def beads(
    photo: Annotated[
        Path | None,
        typer.Argument(metavar="[PHOTO]", help="A photograph of beads, read at the points of --at."),
    ] = None,
    *,
    palette: Annotated[
        str | None, typer.Option(metavar="FILE|NAME", help="Show what a palette covers, instead of the list.")
    ] = None,
    at: Annotated[
        list[str] | None,
        typer.Option(
            metavar="X,Y", help="A point on beads in the photograph, in pixels, and a name: '120,340 deep teal'; often."
        ),
    ] = None,
    paper: Annotated[
        str | None, typer.Option(metavar="X,Y", help="A point on white paper in it, to judge the light by.")
    ] = None,
    grey: Annotated[
        str | None, typer.Option(metavar="X,Y,W,H", help="Or a box well inside a grey card (18 %) in it.")
    ] = None,
    sizes: Annotated[
        str, typer.Option(metavar="SIZES", help="Sizes of the beads in the photograph, like 11c 8.")
    ] = "all",
    bead_sizes: Annotated[
        Path | None, typer.Option("--measures", metavar="FILE", help="Your bead measures, a TOML file.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Where the stash (.csv) or the picture of a palette (.png) goes."),
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """List bead sizes and palettes, show what a palette covers, or read a stash from a photograph."""
    measures = (
        Options().bead_sizes
        if bead_sizes is None
        else parse_bead_sizes(read_text(bead_sizes, megabytes=MOST_WORDS_MEGABYTES), source=str(bead_sizes))
    )
    if photo is not None:
        table = out or photo.with_name(f"{photo.stem}-stash.csv")
        words = {"at": at or [], "paper": paper, "grey": grey, "sizes": sizes}
        told = _read_photo(photo, bead_sizes, words, table, force=force, quiet=quiet)
    elif palette is not None:
        if out is not None:
            check_outputs(out.parent, (out.name,), inputs=(palette, bead_sizes), force=force)
            check_png(out, "the picture of a palette")
        told = _covered(palette_named(palette), measures, out, force=force)
    elif at or paper is not None or grey is not None or out is not None:
        raise BadChoiceError("--at, --paper, --grey and --out go with a photograph, --out also with --palette")
    else:
        told = _listed(measures)
    if not quiet:
        typer.echo(told)


def _listed(bead_sizes: "BeadSizes") -> str:
    """List the sizes and the palettes that come with Hummock."""
    from palettes.bundled import NAMES, load

    heads = f"{'size':16}{'length':>9}{'diameter':>10}{'hole':>8}{'per gram':>10}"
    rows = [
        f"{s.name:16}{s.length_mm:6.2f} mm{s.diameter_mm:7.2f} mm{s.hole_mm:5.2f} mm{s.per_gram:10g}"
        for s in bead_sizes.sizes
    ]
    palettes = [f"{name:16}{len(load(name).entries)} colours" for name in NAMES]
    return "\n".join([heads, *rows, "", "palettes that come along (invented colours):", *palettes])


def _covered(palette: "Palette", bead_sizes: "BeadSizes", out: Path | None, *, force: bool) -> str:
    """Say how many colours a palette has in each size and finish; paint what it covers if asked."""
    counts = palette.exists(bead_sizes).sum(axis=0).tolist()
    lines = [f"{palette.name}: {counted(len(palette.entries), 'colour')}"]
    lines += [f"  {size.name:16}{count:5} colours" for size, count in zip(bead_sizes.sizes, counts, strict=True)]
    finishes = Counter(colour.finish for colour in palette.entries)
    if set(finishes) != {""}:
        lines += [f"  {finish or 'finish unknown':16}{count:5} colours" for finish, count in sorted(finishes.items())]
    if out is not None:
        from convert.chart.gamut import gamut_picture

        place({out.name: gamut_picture(palette, bead_sizes)}, out.parent, force=force)
        lines.append(f"wrote {out}")
    lines += [f"note: {notice}" for notice in palette.notices]
    return "\n".join(lines)


def _read_photo(
    photo: Path, bead_sizes: Path | None, words: dict[str, Any], out: Path, *, force: bool, quiet: bool
) -> str:
    """Read a stash from a photograph; write it, and the photograph with the points marked."""
    from convert.image.decode import Source, decode
    from convert.shopping.stash import read_photographed_stash

    checking = out.with_suffix(".png")
    if out.suffix.lower() != ".csv":
        raise BadChoiceError(f"a stash is a table; give --out a name that ends in .csv, not '{out.name}'")
    if photo.resolve() in (out.resolve(), checking.resolve()):
        raise BadChoiceError(
            f"{checking.name}, the picture next to the table, would replace your photograph; give another --out"
        )
    check_outputs(out.parent, (out.name, checking.name), inputs=(photo, bead_sizes), force=force)
    with shown(quiet=quiet) as progress:
        progress("reading the photograph")
        source = Source(str(photo), read_bytes(photo))
        codes = decode(source, max_pixels=Options().max_pixels).pixels().codes
        stash = read_photographed_stash(codes, **words, name=out.stem)
        place({out.name: stash.table, checking.name: stash.checking}, out.parent, force=force)
    wrote = f"wrote {out.name} and {checking.name} to {out.parent}"
    return f"{stash.told}\n{wrote}; look at the picture before you use the table"
