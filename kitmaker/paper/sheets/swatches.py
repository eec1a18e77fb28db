"""What a fabric looks like on paper: its picture, its color, or a box to staple a snip into."""

from __future__ import annotations

import base64
from collections.abc import Iterable
from dataclasses import dataclass

from kitmaker.paper.sheets.contents import own_pieces
from kitmaker.paper.sheets.saying import say_stock
from kitmaker.plans import FabricPlan, KitPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class SwatchView:
    """A swatch; with neither color nor picture a box to staple one into.

    Attributes:
        name: Of the fabric, for those who do not see it.
        caption: What stands below it, as readable in gray: letters, number.
        color: As ``#rrggbb``; "".
        picture: The name of its picture on the page; letters, digits and hyphens; "".
    """

    name: str
    caption: str
    color: str = ""
    picture: str = ""


def view_swatch(plan: KitPlan, fabric: FabricPlan, page: str, caption: str = "") -> SwatchView:
    """Return the swatch of a fabric, captioned with its number where nothing else is said.

    The page's short name keeps any two pages from calling two pictures alike.
    """
    name = say_stock(fabric.sku, fabric.print_name) or fabric.name
    for at, swatch in enumerate(plan.shop.swatches):
        if fabric.sku and swatch.sku.casefold() == fabric.sku.casefold():
            picture = f"{page}-picture-{at}" if swatch.picture else ""
            return SwatchView(
                name=name, caption=caption or fabric.sku, color=swatch.color, picture=picture
            )
    return SwatchView(name=name, caption=caption or fabric.sku)


def pictures_of(plan: KitPlan, views: Iterable[SwatchView]) -> tuple[tuple[str, str], ...]:
    """Return each picture that swatches show once: its name, and an address that holds it."""
    found = []
    for name in dict.fromkeys(view.picture for view in views if view.picture):
        picture = plan.shop.swatches[int(name.rpartition("-")[2])].picture
        kind = "png" if picture.startswith(b"\x89PNG") else "jpeg"
        text = base64.b64encode(picture).decode("ascii")
        found.append((name, f"data:image/{kind};base64,{text}"))
    return tuple(found)


def say_letters(fabrics: Iterable[FabricPlan]) -> str:
    """Say the letters of some fabrics' pieces: ``A B C``; of many ``A to W``."""
    letters = list(
        dict.fromkeys(piece.letter for fabric in fabrics for piece in own_pieces(fabric))
    )
    if len(letters) > 4 and all(len(letter) == 1 for letter in letters):
        return f"{letters[0]} to {letters[-1]}"
    return " ".join(letters)
