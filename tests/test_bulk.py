"""In bulk: what costs least, cloth and the minutes at the table together."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from types import SimpleNamespace
from typing import Any, cast

from quilt import priced_catalogue

from kitmaker.cutting.desk import plan_length
from kitmaker.cutting.problem import Demand
from kitmaker.cutting.purchase import Purchase, StripLoss
from kitmaker.cutting_jobs import CuttingJob, Yield
from kitmaker.kits.bulk import cheapest_to_cut
from kitmaker.kits.fabrics import Entry
from kitmaker.kits.yields import MORE, Taken
from kitmaker.lengths import YARD, Unit
from kitmaker.paper.sheets.saying import say_eased
from kitmaker.shop import Ease, Shop

F = Fraction


def _taken(yards: str) -> Taken:
    length = F(yards) * YARD
    return Taken(Yield(count=1, lower_bound=1, proven=True, buy="", buy_length=length), ())


def _chosen(
    minutes: dict[str, int], deep: str = "", shop: Shop | None = None, form: str = "yardage"
) -> Taken:
    """Return what is chosen of lengths in yards, each with its minutes."""
    least, *others = ((_taken(yards), yards) for yards in minutes)
    named = {one.amount.buy_length: yards for one, yards in (least, *others) if one.amount}

    def job_of(one: Taken) -> CuttingJob:
        assert one.amount is not None
        yards = named[one.amount.buy_length]
        job = SimpleNamespace(minutes=F(minutes[yards]), levels=4 if yards == deep else 3)
        return cast("CuttingJob", job)

    at = shop or Shop()
    basis = SimpleNamespace(shop=at)
    entry = cast("Entry", SimpleNamespace(sku="", form=at.catalogue.find(form), basis=basis))
    taken = Taken(least[0].amount, (), easier=tuple(one for one, _ in others))
    return cheapest_to_cut(taken, cast("Callable[[Taken], Any]", job_of), entry)


def _yards(taken: Taken) -> F:
    assert taken.amount is not None
    return (taken.amount.buy_length or F(0)) / YARD


def test_cloth_is_bought_for_time_where_the_time_is_dearer() -> None:
    """A quarter of a yard is $3.00 at $12; 61 minutes are $18.30 at $18 an hour."""
    found = _chosen({"2": 100, "9/4": 39})
    assert _yards(found) == F(9, 4)
    assert found.eased is not None
    assert (found.eased.more, found.eased.minutes_less) == (9, 61)
    assert found.eased.defaults == ("cloth", "labor")
    said = say_eased(found.eased, Unit.INCH, Shop())
    assert said.startswith("¼ yd more than the shortest, $3.00, saves about 1 h 1 min")
    assert "fabric at $12.00 a yard, assumed; work at $18.00 an hour, assumed" in said

    saved_too_little = _chosen({"2": 100, "9/4": 91})  # 9 minutes are $2.70
    assert _yards(saved_too_little) == 2
    assert saved_too_little.eased is None


def test_the_shops_own_rates_come_before_the_defaults() -> None:
    found = _chosen({"2": 100, "9/4": 91}, shop=Shop(labor_per_hour=Decimal(24)))
    assert _yards(found) == F(9, 4)
    assert found.eased is not None
    assert found.eased.defaults == ("cloth",)


def test_wide_backing_counts_with_its_own_cost() -> None:
    """A quarter of a yard at $16 is $4.00; 10 minutes are $3.00 at $18 an hour."""
    at = Shop(catalogue=priced_catalogue(wide_backing="16.00", yardage="8.00"))
    assert _yards(_chosen({"2": 100, "9/4": 90}, shop=at)) == F(9, 4)
    assert _yards(_chosen({"2": 100, "9/4": 90}, shop=at, form="wide-backing")) == 2


def test_what_costs_the_same_is_cut_in_fewer_rounds() -> None:
    assert _yards(_chosen({"2": 100, "9/4": 90}, deep="2")) == F(9, 4)
    assert _yards(_chosen({"2": 100, "9/4": 90}, deep="9/4")) == 2


def test_no_more_is_tried_than_the_shop_allows() -> None:
    assert Ease().shares(MORE) == MORE
    assert Ease(share=F(0)).shares(MORE) == ()
    assert Ease(share=F(1, 100)).shares(MORE) == (F(1, 400), F(1, 200), F(1, 100))
    sold = Purchase(F(9, 2), StripLoss(), more=MORE, most_more=F(2))
    assert sold.longer(F(400)) == [401, 402]


def test_each_easier_plan_holds_the_demand_within_its_share() -> None:
    demands = [
        Demand("a", F(9, 2), F(6), 96),
        Demand("b", F(5, 2), F(11), 64),
        Demand("c", F(29, 8), F(29, 8), 120),
    ]
    sold = Purchase(F(9, 2), StripLoss(F(1, 2), F(1, 4)), more=MORE)
    answer = plan_length(demands, F(40), sold)
    assert len(answer.easy) == 1 + len(MORE)
    for share, easy in zip(MORE, answer.easy[1:], strict=True):
        assert easy.length <= answer.length * (1 + share)
        made = {one.key: 0 for one in demands}
        for layout in easy.layouts:
            for key, count in layout.sheet.tally().items():
                made[key] += count * layout.copies
        assert all(made[one.key] >= one.count for one in demands)
