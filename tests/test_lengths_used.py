"""A fabric cut from several lengths: the sheet says what comes off which."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.jobs import on_one_table
from kitmaker.paper.sheets.lengths_used import share_out, view_lengths_used
from kitmaker.plan import CutLayout, KitPlan, StockPiece

F = Fraction


def layouts_of(*lengths: tuple[Fraction, int]) -> tuple[CutLayout, ...]:
    return tuple(
        CutLayout(
            name=f"Layout {number}",
            form_id="yardage",
            source="",
            sheet=(F(40), along),
            copies=copies,
            folded=True,
            steps=(),
            pieces=(),
            offcuts=(),
            levels=1,
        )
        for number, (along, copies) in enumerate(lengths, start=1)
    )


def straighten_only(strips: int) -> Fraction:
    return F(1, 2) if strips else F(0)


def test_each_layout_is_cut_as_often_as_planned_and_every_length_holds_its_share() -> None:
    layouts = layouts_of((F(60), 2), (F(13), 3), (F(5, 2), 7))
    lengths = (F(121, 2) + 13, F(60) + 26 + F(35, 2) + F(1, 2))
    shares = share_out(layouts, lengths, straighten_only)
    assert [sum(column) for column in zip(*shares, strict=True)] == [2, 3, 7]
    for share, length in zip(shares, lengths, strict=True):
        cut = sum(count * one.sheet[1] for count, one in zip(share, layouts, strict=True))
        assert cut + straighten_only(sum(share)) <= length


def test_no_share_is_named_where_a_cut_would_run_across_the_gap() -> None:
    assert share_out(layouts_of((F(60), 1)), (F(40), F(40)), straighten_only) == []


def test_the_loss_counts_on_each_length() -> None:
    layouts = layouts_of((F(10), 2))
    assert share_out(layouts, (F(10), F(11)), straighten_only) == []
    assert share_out(layouts, (F(21, 2), F(21, 2)), straighten_only) == [(1,), (1,)]


@pytest.fixture
def split_plan(class_plan: KitPlan) -> KitPlan:
    """The background comes off two rows of the stock."""
    table = next(one for one in on_one_table(class_plan) if one.is_cut and one.form.by_length)
    assert table.job is not None
    first, *rest = (one.sheet[1] for one in table.job.layouts for _ in range(one.copies))
    takes = (first + 1, sum(rest, F(0)) + 4)
    pieces = tuple(
        StockPiece(where=f"Stock!A{row}", dye_lot="7", at_hand=take, take=take, left=F(0))
        for row, take in enumerate(takes, start=2)
    )
    pull = tuple(
        replace(line, pieces=pieces, forms=()) if line.sku == table.first.sku else line
        for line in class_plan.pull
    )
    return replace(class_plan, pull=pull)


def test_the_cutting_sheet_says_what_comes_off_which_length(split_plan: KitPlan) -> None:
    files = render_pages(split_plan).files
    told = [name for name, text in files.items() if "What is cut off which length" in text]
    assert len(told) == 1
    assert "Stock, row 2" in files[told[0]]
    assert "× Layout 1" in files[told[0]]


def test_one_length_needs_no_table(class_plan: KitPlan) -> None:
    one = replace(
        class_plan,
        pull=tuple(replace(line, pieces=line.pieces[:1]) for line in class_plan.pull),
    )
    assert all(view_lengths_used(one, table) == () for table in on_one_table(one))
