"""``--prefer``: for each fabric the first of some forms that holds its pieces, else yardage."""

from __future__ import annotations

from dataclasses import replace

from kitmaker.forms import Form
from kitmaker.kits.choices import FabricInKit, Resolved
from kitmaker.kits.fabrics import Entry, entries_in
from kitmaker.kits.mixes import demands_of
from kitmaker.pattern import Pattern
from kitmaker.plans import Choice
from kitmaker.shop import Shop


def take_preferred(pattern: Pattern, shop: Shop, resolved: Resolved) -> Resolved:
    """Return the choices with a form for each fabric that has some in order of preference.

    What may be sewn of shorter parts counts as held.
    """
    fabrics: list[FabricInKit] = []
    choices = list(resolved.choices)
    for chosen in resolved.fabrics:
        if not chosen.preferred:
            fabrics.append(chosen)
            continue
        holding = (
            form
            for form in chosen.preferred
            if all(map(_fits, entries_in(pattern, shop, resolved, chosen, form)))
        )
        form = next(holding, shop.catalogue.yardage)
        fabrics.append(replace(chosen, form=form, preferred=()))
        at = next(at for at, choice in enumerate(choices) if choice.label == chosen.fabric.role)
        choices[at] = _say(choices[at], chosen, form)
    return replace(resolved, fabrics=tuple(fabrics), choices=tuple(choices))


def _fits(entry: Entry) -> bool:
    of_prints = entry.fabric.prints or any(piece.from_each for _, piece, _ in entry.pieces)
    if entry.form.mix and of_prints:
        return False
    return not demands_of(entry.pieces, entry.form, entry.basis).why


def _say(choice: Choice, chosen: FabricInKit, form: Form) -> Choice:
    """Say which form was taken, and which that are preferred do not hold the pieces."""
    passed: list[str] = []
    for one in chosen.preferred:
        if one is form:
            break
        passed.append(one.name)
    asked, comma, more = choice.source.partition(", ")
    why = f" ({' and '.join(passed)} won't fit)" if passed else ""
    value = f"{form.name}, {chosen.bag.value}"
    return replace(choice, value=value, source=f"{asked}{why}{comma}{more}")
