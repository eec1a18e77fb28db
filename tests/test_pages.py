"""What stands on the pages of a plan, and that it is sound HTML."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from html.parser import HTMLParser
from typing import Any
from urllib.parse import unquote

import plan_builder
import pytest
from plan_builder import page_of

from kitmaker.errors import error, warning
from kitmaker.lengths import Unit
from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.index import say_use
from kitmaker.paper.sheets.saying import say_bolt_left, say_metric, say_money
from kitmaker.paper.templating import templates_dir
from kitmaker.plans import KitPlan, LabelChoice, say_too_few_kits
from kitmaker.shop import Bag

VOID = {"meta", "br", "link", "img", "input", "hr"}
GUIDE = "students-cutting-guide-blue-evening.html"
SCRIPT = (templates_dir() / "partials" / "ticks.js.j2").read_text(encoding="utf-8")
CAUTION = "Close the blade after every cut"
KINDS = {
    "index.html": "Whole kit",
    "pull-list.html": "Pull list",
    "packing-list.html": "Packing list",
    "everything.html": "Everything",
    "class-sheet.html": "Class sheet",
    "kit-cards.html": "Kit cards",
    "cutting-and-bagging-sheet.html": "Cutting and bagging sheet",
    "bag-labels.html": "Bag labels",
    "piece-labels.html": "Piece labels",
    "students-cutting-guide-blue-evening.html": "Student’s cutting guide",
    "students-cutting-guide-red-dawn.html": "Student’s cutting guide",
}


class Page(HTMLParser):
    """A page's elements, with the text inside each; unbalanced tags are a fault."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None], list[str]]] = []
        self.open: list[int] = []
        self.faults: list[str] = []
        self.feed(text)
        self.close()
        self.faults += [self.elements[at][0] for at in self.open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs), []))
        if tag not in VOID:
            self.open.append(len(self.elements) - 1)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs), []))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.elements[self.open[-1]][0] != tag:
            self.faults.append(f"</{tag}>")
            return
        self.open.pop()
        if tag in {"td", "th", "div"}:
            self.handle_data(" ")

    def handle_data(self, data: str) -> None:
        for at in self.open:
            self.elements[at][2].append(data)

    def all(self, tag: str) -> list[tuple[dict[str, str | None], str]]:
        return [
            (attributes, " ".join("".join(text).split()))
            for name, attributes, text in self.elements
            if name == tag
        ]

    def texts(self, tag: str) -> list[str]:
        return [text for _, text in self.all(tag)]

    def of_class(self, name: str) -> list[tuple[dict[str, str | None], str]]:
        return [
            (attributes, " ".join("".join(text).split()))
            for _, attributes, text in self.elements
            if name in (attributes.get("class") or "").split()
        ]


@pytest.fixture(scope="module")
def pages(class_pages: Mapping[str, str]) -> dict[str, Page]:
    return {name: Page(text) for name, text in class_pages.items()}


def sheets(pages: dict[str, Page]) -> dict[str, Page]:
    return {name: page for name, page in pages.items() if name.startswith("cutting-sheet")}


def body(page: Page) -> str:
    return page.texts("body")[0]


def test_every_page_is_balanced_html_with_language_title_and_one_heading(
    pages: dict[str, Page],
) -> None:
    for name, page in pages.items():
        assert page.faults == [], name
        assert page.all("html")[0][0]["lang"] == "en"
        assert len(page.texts("title")) >= 1
        assert len(page.texts("h1")) == (1 if name != "everything.html" else len(pages) - 2), name
        assert len(page.texts("main")) == 1, name
        assert all(attributes.get("scope") for attributes, _ in page.all("th")), name


def test_no_page_loads_anything_or_runs_more_than_its_boxes(class_pages: Mapping[str, str]) -> None:
    for name, text in class_pages.items():
        text = text.replace(f"<script>{SCRIPT}</script>", "", 1)
        assert not re.search(r"<(script|link|img|iframe|object|form)\b|@import|url\(", text), name
        assert not re.search(r"\b(src|on\w+)=", text), name
        addresses = set(re.findall(r"https?://[^\s\"'<]+", text))
        assert addresses <= {"http://www.w3.org/2000/svg"}, name


def test_titles_say_what_a_page_is_and_no_two_are_alike(pages: dict[str, Page]) -> None:
    titles = {name: page.texts("title")[0] for name, page in pages.items()}
    assert len(set(titles.values())) == len(titles)
    for name, title in titles.items():
        said = KINDS.get(name, "Table poster" if name.startswith("poster") else "Cutting sheet")
        assert said.casefold() in title.casefold()
        assert "K7F2-90AB" in title


def test_the_index_links_every_file(pages: dict[str, Page]) -> None:
    links = pages["index.html"].all("a")
    linked = {unquote(attributes["href"] or "") for attributes, _ in links}
    assert linked == (set(pages) - {"index.html"}) | {"results.xlsx", "plan.json"}


def test_file_names_are_plain_even_for_a_hostile_fabric_name(class_plan: KitPlan) -> None:
    fabrics = tuple(replace(one, role="../../x\x00<b>" + "y" * 90) for one in class_plan.fabrics)
    for name in render_pages(replace(class_plan, fabrics=fabrics)).files:
        assert re.fullmatch(r"[a-z0-9-]{1,80}\.html", name)


def test_every_page_says_its_plan_number_and_page(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        assert "K7F2-90AB" in body(page), name
        assert re.search(r"[Pp]age \d+ of \d+", body(page)), name
        if not name.startswith(("bag", "piece", "poster")):
            assert 'counter(page) " of " counter(pages)' in page.texts("style")[0]


def test_every_fabric_has_its_heading_on_a_cutting_sheet(
    pages: dict[str, Page], class_plan: KitPlan
) -> None:
    headings = [
        text
        for page in (*sheets(pages).values(), pages["cutting-and-bagging-sheet.html"])
        for text in page.texts("h2")
    ]
    for fabric in class_plan.fabrics:
        assert any(text.startswith(fabric.role) for text in headings)


def test_pieces_of_both_colorways_from_one_bolt_share_a_sheet(pages: dict[str, Page]) -> None:
    found = [page for page in sheets(pages).values() if "Background" in page.texts("h2")]
    assert len(found) == 1
    assert "Blue evening" in body(found[0])
    assert "Red dawn" in body(found[0])


def test_a_drawing_for_each_layout_stands_where_it_is_cut(
    pages: dict[str, Page], class_plan: KitPlan
) -> None:
    for page in sheets(pages).values():
        fabric = next(one for one in class_plan.fabrics if one.role in page.texts("h2"))
        assert fabric.job is not None
        assert len(page.all("svg")) == len(fabric.job.layouts)
    assert len(pages[GUIDE].all("svg")) == 2


def test_each_colorway_has_a_guide_of_its_own(pages: dict[str, Page]) -> None:
    blue, red = pages[GUIDE], pages["students-cutting-guide-red-dawn.html"]
    assert blue.texts("title") != red.texts("title")
    assert "JT-210" in body(blue)
    assert "JT-214" not in body(blue)
    assert "JT-214" in body(red)


def test_the_tally_holds_needed_and_made(pages: dict[str, Page]) -> None:
    background = next(page for name, page in pages.items() if "background" in name)
    rows = [text for text in background.texts("tr") if text.startswith("B Sky square")]
    assert len(rows) == 1
    assert re.search(r"32 224 224 0$", rows[0])
    assert "Looks like C: keep apart" in rows[0]
    guide = pages[GUIDE]
    assert any(re.search(r"A Lantern body .*20 20 0$", text) for text in guide.texts("tr"))


def test_cautions_stand_on_each_cutting_sheet_and_the_guide(pages: dict[str, Page]) -> None:
    told = (GUIDE, "cutting-and-bagging-sheet.html")
    for page in [*sheets(pages).values(), *(pages[name] for name in told)]:
        assert CAUTION in body(page)


def test_a_cut_sheet_asks_for_a_check_and_has_a_box_for_each_stack_and_run(
    pages: dict[str, Page], class_plan: KitPlan
) -> None:
    fabric = next(one for one in class_plan.fabrics if one.role == "Binding")
    page = next(page for page in sheets(pages).values() if "Binding" in page.texts("h2"))
    assert "Check every piece against the pattern" in body(page)
    assert "Measure first" in body(page)
    assert "staple a swatch" in body(page)
    assert "Cut by" in body(page)
    assert "Checked by" in body(page)
    assert fabric.job is not None
    steps = [step for layout in fabric.job.layouts for step in layout.steps]
    boxes = sum(len(step.runs or step.stacks) for step in steps)
    labels = [attributes.get("aria-label") or "" for attributes, _ in page.all("input")]
    assert sum(", step " in label for label in labels) == boxes


def test_a_shortage_is_said_in_a_word_on_index_and_pull_list(pages: dict[str, Page]) -> None:
    assert "JT-335 Charcoal solid (Binding, Red dawn): Short by ⅞ yd" in body(
        pages["pull-list.html"]
    )
    assert "JT-335 Charcoal solid: Binding, Red dawn: Short by ⅞ yd." in body(pages["index.html"])
    for name in ("index.html", "pull-list.html"):
        assert "Complete kits possible: 9" in body(pages[name])


def test_the_index_says_each_shortage_once_with_what_would_help(class_plan: KitPlan) -> None:
    short = next(line for line in class_plan.pull if line.short)
    told = (
        error(short.shortage, None, "Restock it."),
        warning(say_too_few_kits(9, class_plan.runs_out)),
    )
    plan = replace(class_plan, problems=told)
    said = body(Page(render_pages(plan).files["index.html"]))
    assert "Short by ⅞ yd. Restock it." in said
    assert said.casefold().count("short by") == 1
    assert said.casefold().count("complete kits possible") == 1
    assert said.casefold().count("runs out") == 1


def test_fabrics_cut_together_show_their_amount_once(pages: dict[str, Page]) -> None:
    rows = [text for text in pages["index.html"].texts("tr") if "cut into pieces" in text]
    assert len(rows) > 1
    later = [text for text in rows if "cut together with a fabric above" in text]
    assert later
    assert not any("% used" in text for text in later)


def test_what_is_left_over_counts_all_that_is_in_the_bag(class_plan: KitPlan) -> None:
    fabric = next(one for one in class_plan.fabrics if one.form.by_length and one.job)
    assert fabric.job is not None
    used = sum((one.sheet[1] * one.copies for one in fabric.job.layouts), Fraction(0))
    twice = replace(fabric, bag=Bag.UNCUT, per_kit=replace(fabric.per_kit, buy_length=2 * used))
    left = re.search(r"(\d+) % left over", say_use(twice))
    assert left is not None
    assert int(left[1]) >= 50


def test_pages_are_numbered_without_gaps_over_the_whole_folder(class_plan: KitPlan) -> None:
    for only in (None, ("Cutting sheet", "Pull list")):
        files = render_pages(class_plan, only=only).files
        numbers = []
        for text in files.values():
            said = re.search(r"Page (\d+) of (\d+)", text)
            assert said is not None
            assert int(said[2]) == len(files)
            numbers.append(int(said[1]))
        assert sorted(numbers) == list(range(1, len(files) + 1))


def test_a_pull_list_without_a_shelf_asks_for_nothing_to_be_put_back(class_plan: KitPlan) -> None:
    plan = replace(class_plan, shop=replace(class_plan.shop, stock=None))
    said = body(Page(page_of(plan, "pull-list.html")))
    for words in ("Put back", "Goes back", "On hand", "not known", "Take"):
        assert words not in said


def test_a_bare_shortage_gets_its_word(class_plan: KitPlan) -> None:
    pull = tuple(replace(line, short="⅞ yd" if line.short else "") for line in class_plan.pull)
    text = page_of(replace(class_plan, pull=pull), "pull-list.html")
    assert "Short: ⅞ yd" in text


def test_problems_come_first_on_the_index_errors_before_warnings(pages: dict[str, Page]) -> None:
    said = body(pages["index.html"])
    assert said.index("Fix this") < said.index("Look at this") < said.index("What each kit takes")


def test_the_index_says_in_plain_words_how_sure_a_count_is(pages: dict[str, Page]) -> None:
    said = body(pages["index.html"])
    assert "2 fat quarters – fewest possible; 1 would do if all measure 21 × 17½ in" in said


def test_an_unproven_count_gives_what_is_sure(class_plan: KitPlan) -> None:
    first = class_plan.fabrics[0]
    loose = replace(first, per_kit=replace(first.per_kit, proven=False, lower_bound=1))
    plan = replace(class_plan, fabrics=(loose, *class_plan.fabrics[1:]))
    said = body(Page(render_pages(plan).files["index.html"]))
    assert "2 fat quarters – fewer than 1 is impossible" in said


def test_bag_labels_come_in_the_kits_order_and_name_their_own_colorway(
    pages: dict[str, Page],
) -> None:
    labels = pages["bag-labels.html"].of_class("label")
    assert [attributes["aria-label"] for attributes, _ in labels] == [
        f"Kit {kit} of 12" for kit in range(1, 13)
    ]
    for at, (_, text) in enumerate(labels):
        own, other = (("JT-210", "JT-214"), ("JT-214", "JT-210"))[at >= 7]
        assert own in text
        assert other not in text
        assert ("Blue evening" in text) is (at < 7)
        assert ("Red dawn" in text) is (at >= 7)
        assert "Not included: Backing (sold separately); Batting" in text
        assert "Class March 12, 2027 · $54.50" in text
        assert "22 × 18 in (55 cm × 45 cm)" in text


def test_a_piece_label_names_one_sku_and_every_uncut_form_has_one(
    pages: dict[str, Page], class_plan: KitPlan
) -> None:
    texts = [text for _, text in pages["piece-labels.html"].of_class("label")]
    skus = {fabric.sku for fabric in class_plan.fabrics}
    for text in texts:
        assert sum(sku in text for sku in skus) == 1
    forms = [text for text in texts if text.startswith("A B C · fat quarter")]
    assert len(forms) == 12 * 2
    assert len(texts) == 12 * (2 + 3 + 22 + 1)
    assert any(
        text.startswith("B · 2½ × 2½ in Kit 1 of 12 · Blue evening 32 pieces: Sky square")
        for text in (text.replace("\u00a0", " ") for text in texts)
    )


def test_labels_start_at_the_label_asked_for(class_plan: KitPlan) -> None:
    plan = replace(class_plan, bag_labels=LabelChoice(sheet_id="letter-10", start=10))
    page = Page(page_of(plan, "bag-labels.html"))
    first, second = (attributes["style"] for attributes, _ in page.of_class("label")[:2])
    assert first == "left:110.3312mm;top:215.9mm"
    assert second == "left:3.9688mm;top:12.7mm"
    assert len(page.of_class("sheet")) == 3


def test_a_label_page_states_its_paper_and_other_pages_do_not(pages: dict[str, Page]) -> None:
    for name, page in pages.items():
        style = page.texts("style")[0]
        if "labels" in name:
            assert "@page { size: letter; margin: 0; }" in style
        elif name.startswith("poster"):
            assert "@page { size: landscape;" in style
        else:
            assert not re.search(r"[{;\s]size:", style), name
            assert re.search(r"@page \{ margin: ", style)


def test_a_metric_label_sheet_prints_on_a4(class_plan: KitPlan) -> None:
    plan = replace(class_plan, piece_labels=LabelChoice(sheet_id="a4-21", start=1))
    text = page_of(plan, "piece-labels.html")
    assert "@page { size: A4; margin: 0; }" in text
    assert "this line is 2 in; print at 100 %" in text


def test_a_plan_with_lines_left_out_says_so_everywhere(class_plan: KitPlan) -> None:
    plan = replace(class_plan, not_complete=("Cutting!C9: 'cut some squares'",))
    files = render_pages(plan).files
    for name, text in files.items():
        assert "NOT COMPLETE" in text, name
    for name in ("bag-labels.html", "piece-labels.html"):
        labels = Page(files[name]).of_class("label")
        assert labels
        assert all(text.startswith("NOT COMPLETE") for _, text in labels), "each label says so"


def test_the_packing_list_has_a_box_for_each_thing_in_each_kit(pages: dict[str, Page]) -> None:
    page = pages["packing-list.html"]
    assert [f"Kit {kit}" in page.texts("th") for kit in range(1, 13)] == [True] * 12
    assert len(page.of_class("box")) == (4 + 1 + 1) * 12


def test_the_guide_says_what_is_in_the_bag_and_whom_to_call(pages: dict[str, Page]) -> None:
    said = body(pages[GUIDE])
    assert "Count what is in the bag" in said
    assert "call Juniper & Thread Quilt Shop, 555-0142" in said
    assert "you need the pattern itself" in said
    assert "Already cut for you" in said


def test_ready_cut_squares_must_not_be_washed(class_plan: KitPlan) -> None:
    strips = plan_builder.Catalogue().find("strip-2.5")
    first = replace(class_plan.fabrics[0], form=strips, job=None)
    plan = replace(class_plan, fabrics=(first, *class_plan.fabrics[1:]))
    assert "Do not prewash" in page_of(plan, GUIDE)
    assert "Do not prewash" not in page_of(class_plan, GUIDE)


HOSTILE = ("<script>alert(1)</script>", "{{ 7 * 7 }}{% raw %}", "=cmd|' /C calc'!A0", '"><b onx="')


def poison(value: Any, text: str) -> Any:
    """Return a value in which every text that a workbook can hold has a hostile end."""
    if isinstance(value, Enum | bool | int | Fraction | Decimal) or value is None:
        return value
    if isinstance(value, str):
        return value + text if value else value
    if isinstance(value, tuple):
        return tuple(poison(one, text) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        kept = {"key", "form_id", "sheet_id", "paper", "grade", "cell", "catalogue", "skus"}
        return replace(
            value,
            **{
                one.name: poison(getattr(value, one.name), text)
                for one in fields(value)
                if one.name not in kept and one.init
            },
        )
    return value


@pytest.mark.parametrize("text", HOSTILE)
def test_text_from_a_workbook_is_never_markup_or_template(
    class_plan: KitPlan, class_pages: Mapping[str, str], text: str
) -> None:
    plan = poison(replace(class_plan, bag_labels=LabelChoice(sheet_id="letter-10", start=1)), text)
    clean = {name: Page(page) for name, page in class_pages.items()}
    for page in map(Page, render_pages(plan).files.values()):
        assert page.faults == []
        assert set(page.texts("script")) == {" ".join(SCRIPT.split())}
        assert {tag for tag, _, _ in page.elements} <= {
            tag for one in clean.values() for tag, _, _ in one.elements
        } | {"br", "section"}
        assert not any("onx" in attributes for _, attributes, _ in page.elements)
        assert "49" not in "".join(page.texts("h1"))


def test_the_poison_reaches_the_page(class_plan: KitPlan) -> None:
    plan = poison(class_plan, HOSTILE[0])
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in render_pages(plan).files["index.html"]


def sorted_words(pages: dict[str, Page]) -> Iterator[str]:
    for page in pages.values():
        yield from page.texts("p")


def test_a_plan_without_colorways_class_shop_or_costs_is_printed_too(class_plan: KitPlan) -> None:
    bare = replace(
        class_plan,
        shop=plan_builder.Shop(),
        class_sheet=plan_builder.ClassSheet(),
        colorways=(plan_builder.Colorway(name="", kits=None, skus={}),),
        fabrics=tuple(
            replace(one, colorway="", sku="", print_name="", cost=None, cut_with=())
            for one in class_plan.fabrics[:1]
        ),
        left_out=(),
        pull=(),
        kits_possible=None,
        runs_out="",
        costs=(),
        fabric_cost=None,
        price_per_kit=None,
        problems=(),
        choices=(),
    )
    files = render_pages(bare).files
    assert "No problems found" in files["index.html"]
    assert files["bag-labels.html"].count('class="label"') == 12
    assert "colorway" not in " ".join(sorted_words({n: Page(t) for n, t in files.items()}))
    assert "the pattern" in files["bag-labels.html"]


def test_a_fabric_with_an_amount_only_is_bagged_as_it_stands(class_plan: KitPlan) -> None:
    first = class_plan.fabrics[0]
    stated = replace(first, job=None, per_kit=replace(first.per_kit, estimated=True))
    files = render_pages(replace(class_plan, fabrics=(stated, *class_plan.fabrics[1:]))).files
    assert "gives an amount but no pieces" in files[GUIDE]
    assert "the pattern&#39;s own amount" in files["index.html"]


def test_no_page_speaks_of_steps_that_it_does_not_have(class_plan: KitPlan) -> None:
    """In a kit of stated amounts only, and in one of cut pieces only."""
    amounts = tuple(
        replace(one, job=None, bag=Bag.UNCUT, cut_with=()) for one in class_plan.fabrics[:1]
    )
    files = render_pages(replace(class_plan, fabrics=amounts)).files
    for name, text in files.items():
        assert "order of the steps" not in text, name
        assert "shows how every piece" not in text, name
    assert "Cut it as the pattern says" in files[GUIDE]
    cut = tuple(one for one in class_plan.fabrics if one.bag is Bag.PIECES)
    guide = page_of(replace(class_plan, fabrics=cut), GUIDE)
    for words in ("order of the steps", "Measure every", "usable size", "Press"):
        assert words not in guide
    whole = page_of(class_plan, GUIDE)
    assert "order of the steps" in whole


def test_without_a_single_cost_there_is_no_table_of_costs(class_plan: KitPlan) -> None:
    costs = tuple(replace(line, total=None, per_kit=None) for line in class_plan.costs)
    said = body(Page(render_pages(replace(class_plan, costs=costs)).files["index.html"]))
    assert "No costs are known" in said
    assert "Price of a kit" not in said
    assert "Time at the cutting table" in said


def test_problems_found_while_printing_stand_on_the_index(class_plan: KitPlan) -> None:
    plan = replace(class_plan, problems=(error("Something is wrong", None, "Fix it."),))
    assert "Something is wrong. <em>Fix it.</em>" in render_pages(plan).files["index.html"]


def test_ruler_positions_start_anew_behind_a_trued_edge(pages: dict[str, Page]) -> None:
    page = next(page for page in sheets(pages).values() if "Binding" in page.texts("h2"))
    said = body(page)
    assert "(ruler at 2½, 5; mat at 7½, 10, 12½, 15; and again from each new edge)" in said


@pytest.mark.parametrize(
    ("inches", "unit", "said"),
    [
        (Fraction(81, 2), Unit.INCH, "1⅛ yd"),
        (Fraction(1, 4), Unit.INCH, "nothing"),
        (Fraction(100), Unit.INCH, "2¾ yd"),
        (Fraction(5000, 127), Unit.CENTIMETER, "1 m"),
        (Fraction(50), Unit.CENTIMETER, "1.27 m"),
    ],
)
def test_what_lies_on_the_shelf_is_rounded_down(inches: Fraction, unit: Unit, said: str) -> None:
    assert say_bolt_left(inches, unit) == said


def test_a_label_never_promises_more_metric_than_there_is() -> None:
    assert [say_metric(Fraction(inches)) for inches in (2, 18, 22, 36, 45)] == [
        "5 cm", "45 cm", "55 cm", "91 cm", "1.14 m",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("amount", "currency", "said"),
    [
        (None, "$", "not known"),
        (Decimal("1234.5"), "$", "$1,234.50"),
        (Decimal("-0.005"), "€", "−€0.01"),
        (Decimal("3"), "CHF", "CHF 3.00"),
    ],
)
def test_money_is_said_to_the_cent(amount: Decimal | None, currency: str, said: str) -> None:
    assert say_money(amount, currency) == said
