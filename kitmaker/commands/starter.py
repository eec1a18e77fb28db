"""``starter``: a blank, explained workbook to fill in. Nothing is ever overwritten."""

from __future__ import annotations

from pathlib import Path

from kitmaker.errors import UsageError
from kitmaker.paper.one_file import write_new
from kitmaker.paper.starter_book import build_starter
from kitmaker.paper.starter_words import StarterKind


def write_starter(
    path: Path, kind: StarterKind = StarterKind.PATTERN, shop: Path | None = None
) -> None:
    """Write a blank workbook.

    Its drop-downs offer the SKUs and forms of the shop's workbook, where there is one.

    Raises:
        UsageError: The name does not end in .xlsx.
        UnreadableError: The shop's workbook cannot be read.
        OutputError: Something of that name already exists, or it cannot be written.
    """
    if path.suffix.lower() != ".xlsx":
        raise UsageError(f"'{path.name}' is not a name for a workbook.", "End it in .xlsx.")
    offered = _offered(kind, shop) if shop is not None else {}
    write_new(path, build_starter(kind, offered))


def _offered(kind: StarterKind, path: Path) -> dict[str, tuple[str, ...]]:
    """Return what the drop-downs offer by heading: the shop's SKUs, prints and forms."""
    from kitmaker.shopbooks.shopbook import read_shop

    shop = read_shop(path).shop
    stock = shop.stock or ()
    offered = {"Form": tuple(form.form_id for form in shop.catalogue)}
    if kind is not StarterKind.SHOP:
        offered["SKU"] = tuple(dict.fromkeys(row.sku for row in stock))
    if kind is StarterKind.STASH:
        prints = (f"{row.sku} {row.print_name}".strip() for row in stock)
        offered["Fabric"] = tuple(dict.fromkeys(prints))
    return offered


def starter_text(path: Path, kind: StarterKind) -> str:
    """Return what is said when it is written."""
    then = {
        StarterKind.PATTERN: f"kitmaker check {path.name}",
        StarterKind.SHOP: f"kitmaker plan PATTERN --shop {path.name}",
        StarterKind.CLASS: f"kitmaker plan --class {path.name}",
        StarterKind.MEASURED: f"the plan again with --measured {path.name}",
        StarterKind.STASH: f"kitmaker breakdown {path.name} --into 5",
    }
    return f"{path} is written. Fill it in, then run: {then[kind]}"
