"""Every page can be used by people who cannot see it: axe-core finds nothing against it.

The rules asked are WCAG 2.0 and 2.1, levels A and AA, and axe-core's best practice.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from headless import AXE_TAGS, run

from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan

pytestmark = pytest.mark.browser

ASK = """<script>
addEventListener("load", () => {
  axe.run(document, {runOnly: TAGS, resultTypes: ["violations"]}).then(found => {
    const out = document.createElement("pre");
    out.id = "found";
    out.textContent = JSON.stringify({
      rules: found.passes.length + found.violations.length,
      faults: found.violations.map(one => [one.id, one.impact, one.nodes.length,
        one.nodes[0].html.slice(0, 200)]),
    });
    document.body.append(out);
  });
});
</script></body>""".replace("TAGS", json.dumps(AXE_TAGS))


def ask(chromium: str, folder: Path, text: str, axe: str) -> Any:
    """Return what axe-core has against a page."""
    script = axe.replace("</script", "<\\/script")
    open_page = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    head, body = open_page.split("</head>", 1)
    whole = f"{head}<script>{script}</script></head>{body.replace('</body>', ASK)}"
    folder.mkdir(exist_ok=True)
    page = folder / "page.html"
    page.write_text(whole, encoding="utf-8")
    dumped = run(chromium, folder, "--virtual-time-budget=60000", "--dump-dom", page.as_uri())
    found = re.search(r'<pre id="found">(.*?)</pre>', dumped, re.DOTALL)
    assert found is not None
    return json.loads(html.unescape(found.group(1)))


def kinds_of_page(files: dict[str, str]) -> list[str]:
    """Return one file of each kind, and every cutting sheet that is not like the one before."""
    sheets = [name for name in files if name.startswith("cutting-sheet")]
    posters = [name for name in files if name.startswith("poster")]
    alike = {*sheets[3:], *posters[1:], "everything.html"}
    return [name for name in files if name not in alike]


def test_no_page_has_a_fault_that_axe_finds(
    chromium: str, tmp_path: Path, class_plan: KitPlan, axe: str
) -> None:
    files = dict(render_pages(class_plan).files)
    faults = {}
    for name in kinds_of_page(files):
        found = ask(chromium, tmp_path / "axe", files[name], axe)
        assert found["rules"] > 15, name
        if found["faults"]:
            faults[name] = found["faults"]
    assert faults == {}


HARMS: dict[str, tuple[Callable[[str], str], str]] = {
    "gray on white": (
        lambda text: text.replace("--soft: #5b5349", "--soft: #bbb"),
        "color-contrast",
    ),
    "no language": (lambda text: text.replace(' lang="en"', ""), "html-has-lang"),
    "a nameless picture": (
        lambda text: text.replace("<main>", '<main><div role="img" style="width:9px"></div>'),
        "role-img-alt",
    ),
    "an empty heading": (lambda text: text.replace("<main>", "<main><h2></h2>"), "empty-heading"),
}


@pytest.mark.parametrize("harm", HARMS)
def test_axe_finds_what_it_is_asked_for(
    chromium: str, tmp_path: Path, class_plan: KitPlan, axe: str, harm: str
) -> None:
    change, rule = HARMS[harm]
    text = render_pages(class_plan).files["pull-list.html"]
    harmed = change(text)
    assert harmed != text
    found = ask(chromium, tmp_path / "axe", harmed, axe)
    assert rule in [fault[0] for fault in found["faults"]]
