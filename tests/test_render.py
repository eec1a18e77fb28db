"""Templates: a shop may override them, a mistake in one is told, nothing is left unescaped."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path

import pytest

from kitmaker.errors import ExitCode, UnreadableError, UsageError
from kitmaker.paper import templating
from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets import (
    bagging,
    class_sheet,
    cutting_sheet,
    everything,
    guide,
    index,
    kit_cards,
    label_pages,
    packing_list,
    poster,
    pull_list,
    reading_page,
)
from kitmaker.paper.sheets.saying import printable
from kitmaker.paper.templating import make_environment, templates_dir
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan, LabelChoice

TEMPLATES = sorted(
    path.relative_to(templates_dir()).as_posix() for path in templates_dir().rglob("*.j2")
)
PAGES = [name for name in TEMPLATES if "/" not in name]
APART = {"breakdown.html.j2", "forms.html.j2", "order_list.html.j2", "season.html.j2"}
"""Pages that belong to no plan."""


def test_the_shipped_templates_are_found() -> None:
    assert PAGES == [
        "bagging.html.j2",
        "breakdown.html.j2",
        "class_sheet.html.j2",
        "cutting_sheet.html.j2",
        "everything.html.j2",
        "forms.html.j2",
        "guide.html.j2",
        "index.html.j2",
        "kit_cards.html.j2",
        "labels.html.j2",
        "order_list.html.j2",
        "packing_list.html.j2",
        "poster.html.j2",
        "pull_list.html.j2",
        "reading.html.j2",
        "season.html.j2",
    ]


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_template_is_read_without_a_mistake(name: str) -> None:
    make_environment().get_template(name)


@pytest.mark.parametrize("name", [name for name in PAGES if name not in APART])
def test_a_shop_overrides_any_template_with_its_own(
    small_plan: KitPlan, tmp_path: Path, name: str
) -> None:
    (tmp_path / name).write_text("<p>ours: {{ page.head.plan_number }}</p>\n", encoding="utf-8")
    reading = PatternReading(pattern=small_plan.pattern)
    pages = render_pages(small_plan, tmp_path, reading=reading)
    ours = [text for text in pages.files.values() if text == "<p>ours: K7F2-90AB</p>\n"]
    assert ours
    assert len(ours) < len(pages.files)


def test_a_shop_overrides_a_part_of_all_pages(small_plan: KitPlan, tmp_path: Path) -> None:
    (tmp_path / "partials").mkdir()
    (tmp_path / "partials" / "print.css.j2").write_text("/* our look */\n", encoding="utf-8")
    assert all(
        "/* our look */" in text for text in render_pages(small_plan, tmp_path).files.values()
    )


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("{% if %}", "pull_list.html.j2' has a mistake in line 1"),
        ("{{ page.no_such_thing }}", "no_such_thing"),
        ("{{ page.head + 1 }}", "cannot be used"),
        ("{% include 'gone.html' %}", "gone.html"),
        ("{{ 1 / 0 }}", "cannot be used"),
    ],
)
def test_a_mistake_in_a_shops_template_is_told(
    class_plan: KitPlan, tmp_path: Path, text: str, match: str
) -> None:
    (tmp_path / "pull_list.html.j2").write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableError, match=match) as caught:
        render_pages(class_plan, tmp_path, only=("Pull list",))
    assert caught.value.exit_code is ExitCode.UNREADABLE
    assert "take it out of the templates folder" in caught.value.problems[0].suggestion


ENDLESS = {
    "a loop in a loop in a loop": (
        "\n{% for a in range(9999) %}{% for b in range(9999) %}{% for c in range(9999) %}"
        "{% endfor %}{% endfor %}{% endfor %}",
        "line 2, cannot be used: it does not end",
    ),
    "a macro that calls itself twice": (
        "{% macro f(n) %}{% if n %}{{ f(n - 1) }}{{ f(n - 1) }}{% endif %}{% endmacro %}"
        "{{ f(60) }}",
        "it does not end",
    ),
    "a macro that calls itself": (
        "{% macro f() %}{{ f() }}{% endmacro %}\n{{ f() }}",
        "it calls itself without end",
    ),
    "a text doubled again and again": (
        '{% set all = namespace(text="x") %}{% for a in range(99) %}'
        "{% set all.text = all.text ~ all.text %}{% endfor %}",
        "line 1, cannot be used: it makes a text of more than",
    ),
    "a text times a number": ('{{ "x" * 999999999 }}', "it makes a text of more than"),
    "a power": ("{{ 9 ** 9 ** 9 }}", "'\\*\\*' is not for a template"),
    "a long range": ("{% for a in range(10 ** 12) %}{% endfor %}", "cannot be used"),
}


@pytest.mark.parametrize("kind", ENDLESS)
def test_a_template_without_end_is_ended_and_told_with_its_line(
    class_plan: KitPlan, tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    text, match = ENDLESS[kind]
    if "macro" in kind:  # a call is slow to count; a loop is ended at the bound itself
        monkeypatch.setattr(templating, "_MOST_TURNS", 20_000)
    (tmp_path / "pull_list.html.j2").write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableError, match=match) as caught:
        render_pages(class_plan, tmp_path, only=("Pull list",))
    assert "The template 'pull_list.html.j2'" in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "{{ page.__class__.__mro__ }}",
        "{{ ''.__class__.__base__.__subclasses__() }}",
        "{{ page.head.__init__.__globals__ }}",
        "{{ cycler.__init__.__globals__.os.environ }}",
    ],
)
def test_a_template_reaches_no_more_than_its_page(
    class_plan: KitPlan, tmp_path: Path, text: str
) -> None:
    (tmp_path / "pull_list.html.j2").write_text(f"\n\n{text}", encoding="utf-8")
    with pytest.raises(UnreadableError, match=r"'pull_list.html.j2', line 3, cannot be"):
        render_pages(class_plan, tmp_path, only=("Pull list",))


def test_shipped_templates_come_out_the_same_in_the_sandbox(
    class_plan: KitPlan, tmp_path: Path
) -> None:
    reading = PatternReading(pattern=class_plan.pattern)
    shipped = render_pages(class_plan, reading=reading)
    assert render_pages(class_plan, tmp_path, reading=reading) == shipped


def test_a_template_in_another_encoding_is_told(class_plan: KitPlan, tmp_path: Path) -> None:
    (tmp_path / "pull_list.html.j2").write_bytes("Größe".encode("latin-1"))
    with pytest.raises(UnreadableError, match="cannot be used"):
        render_pages(class_plan, tmp_path, only=("Pull list",))


def test_a_templates_folder_that_is_none_is_wrong_usage(
    class_plan: KitPlan, tmp_path: Path
) -> None:
    with pytest.raises(UsageError, match="not a folder"):
        render_pages(class_plan, tmp_path / "gone")


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("logo.html.j2", '<div class="line">By the mill since the flood</div>'),
        (
            "colors.css.j2",
            ":root { --ink: #102030; --soft: #405060; --hair: #777; --paper: #fff; }",
        ),
    ],
)
def test_logo_and_colors_are_parts_of_their_own(
    small_plan: KitPlan, tmp_path: Path, part: str, words: str
) -> None:
    (tmp_path / "partials").mkdir()
    (tmp_path / "partials" / part).write_text(words, encoding="utf-8")
    for name, text in render_pages(small_plan, tmp_path).files.items():
        if part == "colors.css.j2" or not name.startswith(("bag", "piece", "poster")):
            assert words in text, name


VIEWS = (
    ("index.html.j2", index.IndexView),
    ("class_sheet.html.j2", class_sheet.ClassSheetView),
    ("cutting_sheet.html.j2", cutting_sheet.CuttingSheetView),
    ("bagging.html.j2", bagging.BaggingView),
    ("poster.html.j2", poster.PosterView),
    ("kit_cards.html.j2", kit_cards.KitCardsView),
    ("everything.html.j2", everything.EverythingView),
    ("guide.html.j2", guide.GuideView),
    ("labels.html.j2", label_pages.LabelPageView),
    ("packing_list.html.j2", packing_list.PackingView),
    ("pull_list.html.j2", pull_list.PullListView),
    ("reading.html.j2", reading_page.ReadingView),
)


@pytest.mark.parametrize(("template", "view"), VIEWS, ids=[name for name, _ in VIEWS])
def test_the_contributor_guide_says_what_a_template_is_given(template: str, view: type) -> None:
    guide_text = (templates_dir().parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    row = next(line for line in guide_text.splitlines() if line.startswith(f"| `{template}`"))
    told = set(row.split("|")[3].replace("`", "").split())
    assert told == {one.name for one in fields(view)} - {"head"}
    assert view.__name__ in row


def test_no_template_calculates() -> None:
    printed = [path for path in templates_dir().rglob("*.html.j2") if path.parent.name != "counter"]
    for path in printed:
        inside = re.findall(r"\{[{%](.*?)[}%]\}", path.read_text(encoding="utf-8"), re.DOTALL)
        for words in inside:
            bare = re.sub(r"""(["']).*?\1""", "", words)
            assert not re.search(r"[-+*/]|\b(sort|sum|round|length|int|float)\b", bare), (
                path,
                words,
            )


def test_the_same_plan_gives_the_same_pages(
    class_plan: KitPlan, class_pages: Mapping[str, str]
) -> None:
    assert render_pages(class_plan).files == class_pages


def test_a_label_that_does_not_fit_is_named_and_every_page_is_still_made(
    class_plan: KitPlan, class_pages: Mapping[str, str]
) -> None:
    wordy = replace(
        class_plan,
        pattern=replace(class_plan.pattern, name="Harbor Lanterns " * 40),
        bag_labels=LabelChoice(sheet_id="letter-30", start=1),
    )
    pages = render_pages(wordy)
    refused = [problem for problem in pages.problems if "Bag labels" in problem.message]
    assert [problem.is_error for problem in refused] == [True], "one error names them all"
    assert all(f"'Kit {kit} of 12'" in refused[0].message for kit in range(1, 13))
    assert set(pages.files) == set(class_pages)
    assert "Kit 1 of 12: does not fit" in pages.files["bag-labels.html"]
    assert "even in the smallest type" in pages.files["index.html"]


def test_what_no_paper_shows_is_taken_out() -> None:
    assert printable("a\x00b\x1b[31m\u202ec\ud800d\u200b") == "ab[31mcd"
    assert printable("Zwölf ½-inch ″ 😀") == "Zwölf ½-inch ″ 😀"
