"""Labels for the bags of kits: one HTML page to print, which holds all it needs."""

from convert.documents.html import read_part, render_page
from convert.documents.paper import SHEETS, Paper, PaperSheet
from convert.shopping.shopping_list import Purchase
from shared.plural import counted

_PACKAGE = "convert.documents"


def labels_page(title: str, items: tuple[Purchase, ...], *, paper: Paper) -> str:
    """Write the labels of all bags, kit by kit.

    Each says in words what its swatch shows: no meaning hangs on colour alone.

    Parameters
    ----------
    items
        The bags of each kit; those without a bead are left out.
    """
    sheet = SHEETS[paper]
    bags = [item for item in items if item.with_spare]
    labels = [
        {"kit": kit, "item": item, "beads": counted(item.with_spare, "bead"), "place": place, "bags": len(bags)}
        for kit in range(1, items[0].works + 1)
        for place, item in enumerate(bags, start=1)
    ]
    each = sheet.across * sheet.down
    page = render_page(
        _PACKAGE,
        "kit_labels.html",
        style=_style(sheet),
        title=title,
        kits=items[0].works,
        pages=[labels[first : first + each] for first in range(0, len(labels), each)],
    )
    return f"{page}\n"


def _style(sheet: PaperSheet) -> str:
    """Fill the measures into the style sheet: the page's policy allows no style on an element."""
    rules = read_part(_PACKAGE, "kit_labels.css")
    width = (sheet.width_mm - 2 * sheet.side_mm) / sheet.across
    height = (sheet.height_mm - 2 * sheet.top_mm) / sheet.down
    values = {"across": str(sheet.across), "width": f"{width:.2f}mm", "height": f"{height:.2f}mm"}
    values |= {"page-width": f"{sheet.width_mm:g}mm", "page-height": f"{sheet.height_mm:g}mm"}
    values |= {"side": f"{sheet.side_mm:g}mm", "top": f"{sheet.top_mm:g}mm"}
    for name, value in values.items():
        rules = rules.replace(f"${name}$", value)
    return rules
