"""Mixes at least cost, and breakdowns of the greatest worth, with their bounds."""

from __future__ import annotations

import itertools
import random
from fractions import Fraction

import pytest

from kitmaker.cutting.desk import plan_forms
from kitmaker.cutting.least_cost import cheapest_numbers
from kitmaker.cutting.mixed import Sheet
from kitmaker.cutting.mixed_desk import MixForm, WorthPiece, best_worth, plan_mix
from kitmaker.cutting.problem import Demand

F = Fraction


def test_the_cheaper_of_two_forms_is_taken_where_both_would_do() -> None:
    # Eight 5-inch squares fit a 20 × 10 sheet; one at 3 is less than two 10 × 10 at 2.
    squares = [Demand("a", F(5), F(5), 8)]
    forms = [MixForm("large", F(20), F(10), F(3)), MixForm("small", F(10), F(10), F(2))]
    answer = plan_mix(squares, forms)
    assert answer is not None
    assert (answer.counts, answer.cost, answer.cost_lower_bound) == ({"large": 1}, 3, 3)


def test_two_kinds_of_form_are_mixed_where_that_costs_least() -> None:
    # Twelve squares: one large (8) and one small (4) cost 5; two large 6, three small 6.
    squares = [Demand("a", F(5), F(5), 12)]
    forms = [MixForm("large", F(20), F(10), F(3)), MixForm("small", F(10), F(10), F(2))]
    answer = plan_mix(squares, forms)
    assert answer is not None
    assert answer.counts == {"large": 1, "small": 1}
    assert answer.proven


def test_no_more_forms_are_taken_than_are_at_hand() -> None:
    squares = [Demand("a", F(5), F(5), 16)]
    forms = [MixForm("large", F(20), F(10), F(3), 1), MixForm("small", F(10), F(10), F(2), 2)]
    answer = plan_mix(squares, forms)
    assert answer is not None
    assert answer.counts == {"large": 1, "small": 2}
    assert (answer.cost, answer.cost_lower_bound) == (7, 7)


def test_forms_at_hand_that_do_not_suffice_give_no_plan() -> None:
    squares = [Demand("a", F(5), F(5), 17)]
    forms = [MixForm("large", F(20), F(10), F(3), 1), MixForm("small", F(10), F(10), F(2), 2)]
    assert plan_mix(squares, forms) is None


def test_a_piece_that_fits_one_form_only_is_cut_from_it() -> None:
    demands = [Demand("long", F(2), F(18), 1), Demand("a", F(5), F(5), 4)]
    forms = [MixForm("large", F(20), F(10), F(3)), MixForm("small", F(10), F(10), F(1))]
    answer = plan_mix(demands, forms)
    assert answer is not None
    assert set(answer.layouts) == {"large"}
    assert answer.layouts["large"][0].sheet.tally() == {"long": 1, "a": 4}
    assert answer.cost_lower_bound <= answer.cost == 3


def test_a_piece_that_fits_no_form_is_a_fault_of_the_caller() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        plan_mix([Demand("a", F(30), F(5), 1)], [MixForm("small", F(10), F(10), F(1))])


@pytest.mark.parametrize("count", range(1, 14))
def test_the_least_cost_of_squares_is_that_of_trying_all_numbers(count: int) -> None:
    forms = [
        MixForm("large", F(20), F(10), F(7, 2), 1),
        MixForm("small", F(10), F(10), F(2)),
        MixForm("strip", F(40), F(5), F(29, 10), 1),
    ]
    best = min(
        F(7, 2) * large + 2 * small + F(29, 10) * strip
        for large, small, strip in itertools.product(range(2), range(5), range(2))
        if 8 * large + 4 * small + 8 * strip >= count
    )
    answer = plan_mix([Demand("a", F(5), F(5), count)], forms)
    assert answer is not None
    assert answer.cost == best
    assert answer.cost_lower_bound <= best


def test_the_worth_of_what_is_at_hand_is_found_and_bounded() -> None:
    # 10 × 10: four 5-inch squares at 40 are worth more than sixteen of 2½ at 9.
    at_hand = [MixForm("square", F(10), F(10), F(0), 3)]
    pieces = [
        WorthPiece("5", F(5), F(5), F(40, 100)),
        WorthPiece("2½", F(5, 2), F(5, 2), F(9, 100)),
    ]
    answer = best_worth(at_hand, pieces)
    assert answer.pieces == {"5": 12}
    assert answer.worth == answer.worth_upper_bound == F(12 * 40, 100)


def test_a_most_is_kept_and_the_rest_becomes_the_next_best() -> None:
    at_hand = [MixForm("square", F(10), F(10), F(0), 3)]
    pieces = [
        WorthPiece("5", F(5), F(5), F(40, 100), most=5),
        WorthPiece("2½", F(5, 2), F(5, 2), F(9, 100)),
    ]
    answer = best_worth(at_hand, pieces)
    assert answer.pieces == {"5": 5, "2½": 28}
    assert answer.worth <= answer.worth_upper_bound


def test_forms_of_several_sizes_are_broken_down_together() -> None:
    at_hand = [MixForm("quarter", F(20), F(16), F(0), 2), MixForm("rest", F(7), F(5), F(0), 3)]
    pieces = [WorthPiece("5", F(5), F(5), F(2)), WorthPiece("2½ × 5", F(5, 2), F(5), F(9, 10))]
    answer = best_worth(at_hand, pieces)
    made = dict.fromkeys(answer.pieces, 0)
    for form, layouts in answer.layouts.items():
        assert sum(layout.copies for layout in layouts) <= {"quarter": 2, "rest": 3}[form]
        for layout in layouts:
            for key, count in layout.sheet.tally().items():
                made[key] += count * layout.copies
    assert made == answer.pieces
    assert answer.worth <= answer.worth_upper_bound


def test_among_equals_the_breakdown_with_fewer_ruler_settings_is_taken() -> None:
    # A square of 5 or four of 2½ are worth the same: one size is simpler than two.
    at_hand = [MixForm("square", F(10), F(10), F(0), 1)]
    pieces = [
        WorthPiece("5", F(5), F(5), F(4)),
        WorthPiece("2½", F(5, 2), F(5, 2), F(1)),
    ]
    answer = best_worth(at_hand, pieces)
    assert answer.worth == 16
    assert len(answer.pieces) == 1


def test_a_size_that_fits_nothing_does_not_come_out() -> None:
    at_hand = [MixForm("square", F(5), F(5), F(0), 2)]
    pieces = [WorthPiece("6", F(6), F(6), F(9)), WorthPiece("5", F(5), F(5), F(1))]
    assert best_worth(at_hand, pieces).pieces == {"5": 2}


def test_numbers_of_sheets_that_break_a_rule_bound_the_cost() -> None:
    """Ten pieces, four to the dear sheet and one to the cheap: two and two cost least.

    With five cheap ones at least, it is one and six.
    """
    dear, cheap = Sheet(1, 1, F(3), None), Sheet(1, 1, F(1), None)
    rules = [((4, 1), 10)]
    assert cheapest_numbers([dear, cheap], [3, 1], rules, 100) == 8
    assert cheapest_numbers([dear, cheap], [3, 1], [*rules, ((0, 1), 5)], 100) == 9
    assert cheapest_numbers([dear, cheap], [3, 1], rules, 7) == 7, "never above what is known"
    few = Sheet(1, 1, F(1), 1)
    assert cheapest_numbers([dear, few], [3, 1], rules, 100) == 9


def test_drawn_mixes_are_nearly_all_proven_cheapest() -> None:
    forms = [
        MixForm("fat quarter", F(20), F(16), F(3)),
        MixForm("fat eighth", F(20), F(8), F(17, 10)),
        MixForm("square", F(5), F(5), F(2, 5)),
        MixForm("strip", F(40), F(5, 2), F(11, 10)),
    ]
    proven = 0
    for seed in range(10):
        draw = random.Random(seed)  # noqa: S311
        several = [forms[0], *draw.sample(forms[1:], draw.choice((1, 2)))]
        demands = [
            Demand(f"{at}", F(draw.randint(8, 40), 8), F(draw.randint(8, 56), 8), count)
            for at, count in enumerate(draw.choices((1, 2, 4, 8, 12), k=draw.randint(1, 4)))
        ]
        answer = plan_mix(demands, several)
        assert answer is not None
        assert answer.cost_lower_bound <= answer.cost
        alone = plan_forms(demands, F(20), F(16))
        assert answer.cost <= 3 * alone.count, "never dearer than fat quarters alone"
        proven += answer.proven
    assert proven >= 9
