"""Templates: a shop may override them, a mistake in one is told, nothing is left unescaped."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kitmaker.errors import ExitCode, UnreadableError, UsageError
from kitmaker.paper.render import make_environment, render_pages, templates_dir
from kitmaker.paper.sheets.saying import printable
from kitmaker.plan import KitPlan, LabelChoice

TEMPLATES = sorted(
    path.relative_to(templates_dir()).as_posix() for path in templates_dir().rglob("*.j2")
)
PAGES = [name for name in TEMPLATES if "/" not in name]


def test_the_shipped_templates_are_found() -> None:
    assert PAGES == [
        "cutting_sheet.html.j2",
        "guide.html.j2",
        "index.html.j2",
        "labels.html.j2",
        "packing_list.html.j2",
        "pull_list.html.j2",
    ]


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_template_is_read_without_a_mistake(name: str) -> None:
    make_environment().get_template(name)


@pytest.mark.parametrize("name", PAGES)
def test_a_shop_overrides_any_template_with_its_own(
    class_plan: KitPlan, tmp_path: Path, name: str
) -> None:
    (tmp_path / name).write_text("<p>ours: {{ page.head.plan_number }}</p>\n", encoding="utf-8")
    pages = render_pages(class_plan, tmp_path)
    ours = [text for text in pages.files.values() if text == "<p>ours: K7F2-90AB</p>\n"]
    assert ours
    assert len(ours) < len(pages.files)


def test_a_shop_overrides_a_part_of_all_pages(class_plan: KitPlan, tmp_path: Path) -> None:
    (tmp_path / "partials").mkdir()
    (tmp_path / "partials" / "print.css.j2").write_text("/* our look */\n", encoding="utf-8")
    assert all(
        "/* our look */" in text for text in render_pages(class_plan, tmp_path).files.values()
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
        render_pages(class_plan, tmp_path)
    assert caught.value.exit_code is ExitCode.UNREADABLE
    assert "take it out of the templates folder" in caught.value.problems[0].suggestion


def test_a_template_in_another_encoding_is_told(class_plan: KitPlan, tmp_path: Path) -> None:
    (tmp_path / "pull_list.html.j2").write_bytes("Größe".encode("latin-1"))
    with pytest.raises(UnreadableError, match="cannot be used"):
        render_pages(class_plan, tmp_path)


def test_a_templates_folder_that_is_none_is_wrong_usage(
    class_plan: KitPlan, tmp_path: Path
) -> None:
    with pytest.raises(UsageError, match="not a folder"):
        render_pages(class_plan, tmp_path / "gone")


def test_the_same_plan_gives_the_same_pages(class_plan: KitPlan) -> None:
    assert render_pages(class_plan) == render_pages(class_plan)


def test_a_label_that_does_not_fit_is_named_and_every_page_is_still_made(
    class_plan: KitPlan,
) -> None:
    wordy = replace(
        class_plan,
        pattern=replace(class_plan.pattern, name="Harbor Lanterns " * 40),
        bag_labels=LabelChoice(sheet_id="letter-30", start=1),
    )
    pages = render_pages(wordy)
    refused = [problem for problem in pages.problems if "Bag labels" in problem.message]
    assert len(refused) == 12
    assert all(problem.is_error for problem in refused)
    assert "'Kit 1 of 12'" in refused[0].message
    assert set(pages.files) == set(render_pages(class_plan).files)
    assert "Kit 1 of 12: does not fit" in pages.files["bag-labels.html"]
    assert "even in the smallest type" in pages.files["index.html"]


def test_what_no_paper_shows_is_taken_out() -> None:
    assert printable("a\x00b\x1b[31m\u202ec\ud800d\u200b") == "ab[31mcd"
    assert printable("Zwölf ½-inch ″ 😀") == "Zwölf ½-inch ″ 😀"
