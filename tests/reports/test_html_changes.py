"""The page's part about what changed: the words and numbers of `memlint compare`, linked to the rest."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from chromium import Browser, needs_chromium
from report_pages import HOSTILE, embedded, page_of, plain
from revisions import PROJECT, Repository, needs_git

from memlint.cli.main import main

pytestmark = needs_git
FRONT = "sorter.u_front.pixels"


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """One memory of 2,048 x 24 in a commit; then a word more and a second one of 1,024 x 24, not committed.

    Of `block` (sorter-m.toml) 2,048 x 24 takes 2, 2,049 x 24 half a block more, 1,024 x 24 takes 1.
    """
    made = Repository(tmp_path / "sorter")
    made.write(PROJECT)
    made.replace("rtl/line_store.sv", "in block;", "in block; shape 2K x 24;")
    made.commit()
    made.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 2049")
    made.replace("rtl/sorter.sv", "endmodule", "  line_store u_rear (.q(q[1]), .*);\nendmodule")
    monkeypatch.chdir(made.folder)
    return made


def part(page: str) -> str:
    """The part about changes."""
    return page.partition('<section id="changes">')[2].partition("</section>")[0]


def report(*arguments: str) -> str:
    return page_of(Path("page.html"), *arguments)


def compared(capsys: pytest.CaptureFixture[str], *revisions: str) -> dict[str, Any]:
    capsys.readouterr()
    assert main(["compare", *revisions, "--format", "json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_it_says_what_changed_why_and_what_it_costs(repository: Repository) -> None:
    head = repository.git("rev-parse", "HEAD")[:10]
    text = plain(part(report("--since", "HEAD")))
    assert f"From HEAD ({head}) to working tree." in text
    assert "1 memory added and 1 reshaped; 2 new findings (2 warnings); block 2 → 3.5 of 220" in text
    assert "sorter.u_front.pixels shape 2,048 x 24 → 2,049 x 24 2 → 2.5 in block" in text
    assert "DEPTH 2,048 → 2,049 in rtl/cfg_pkg.sv:2" in text
    assert "sorter.u_rear.pixels added shape 1,024 x 24" in text
    assert "block 2 3.5 +1.5 220" in text
    assert "line_store block 2 3.5 +1.5" in text


def test_every_number_is_that_of_compare(repository: Repository, capsys: pytest.CaptureFixture[str]) -> None:
    text = plain(part(report("--since", "HEAD")))
    said = compared(capsys, "HEAD")
    assert [one["path"] for one in said["memories"]] == [FRONT, "sorter.u_rear.pixels"]
    for one in said["memories"]:
        assert one["path"] in text
        for change in one["changes"]:
            assert f"{change['before']} → {change['after']}" in text
        for cause in (*one["causes"], *(cause for change in one["changes"] for cause in change["causes"])):
            assert cause["text"].replace("`", "") in text
            assert f"{cause['file']}:{cause['line']}" in text
    for tier in said["tiers"]:
        before, after = tier["before"]["blocks"], tier["after"]["blocks"]
        assert f"{tier['tier']} {before:,} {after:,} +{after - before:,} {tier['available']:,}" in text
    for one in said["findings"]["new"]:
        assert one["message"].replace("`", "") in text
        assert f"{one['file']}:{one['line']}" in text


def test_new_findings_lead_to_the_findings_and_are_marked_there(repository: Repository) -> None:
    page = report("--since", "HEAD")
    links = re.findall(r'<a href="#(f-\d+)"><code>shape-drift</code></a>', part(page))
    assert len(links) == 2
    for key in links:
        item = page.partition(f'<li id="{key}"')[2].partition("</h3>")[0]
        assert "shape-drift" in item
        assert f"new since HEAD ({repository.git('rev-parse', 'HEAD')[:10]})" in plain(item)


def test_an_old_finding_is_not_marked(repository: Repository) -> None:
    repository.commit()
    page = report("--since", "HEAD")
    assert "shape-drift" in plain(page)
    assert "No memory changed; no finding new or gone." in plain(part(page))
    assert 'class="fresh"' not in page


def test_what_is_gone_is_told_with_its_place_on_the_old_side(repository: Repository) -> None:
    repository.commit()
    page = report("--since", "HEAD", "--at", "HEAD~1")
    text = plain(part(page))
    assert "Findings that are gone: 2" in text
    assert "HEAD:rtl/line_store.sv:12" in text
    # A memory that is no more has no row to lead to.
    assert "sorter.u_rear.pixels removed" in text
    assert "#m=sorter.u_rear.pixels" not in page
    assert [one["path"] for one in embedded(page)["memories"]] == [FRONT]


def test_two_revisions_without_a_look_at_the_working_tree(repository: Repository) -> None:
    repository.commit()
    repository.write({"rtl/sorter.sv": "module", "memlint.toml": "nonsense"})
    page = report("--since", "HEAD~1", "--at", "HEAD")
    assert "2,048 x 24 → 2,049 x 24" in plain(part(page))
    assert "HEAD:rtl/cfg_pkg.sv:2" in plain(part(page))
    assert [one["depth"] for one in embedded(page)["memories"]] == [2049, 1024]


def test_the_page_without_a_revision_has_no_such_part(repository: Repository) -> None:
    page = report()
    assert "changes" not in re.findall(r'(?:id|href)="#?(\w+)"', page)
    assert "since" not in embedded(page)


def test_paths_limit_what_is_told_and_not_the_blocks(repository: Repository) -> None:
    text = plain(part(report("rtl/cfg_pkg.sv", "--since", "HEAD")))
    assert "No memory changed; no finding new or gone; block 2 → 3.5 of 220" in text


def test_an_unknown_supply_draws_no_bar_and_another_device_is_said(repository: Repository) -> None:
    repository.commit()
    repository.replace("memlint.toml", "sorter-m", "sorter-m/sorter-l")
    repository.replace("rtl/line_store.sv", "in block;", "in registers;")
    page = part(report("--since", "HEAD"))
    text = plain(page)
    assert "device sorter-m → sorter-m/sorter-l" in text
    # 2,049 x 24 and 1,024 x 24 bits, a flip-flop each.
    assert f"registers flip-flops 0 {3073 * 24:,} +{3073 * 24:,} unknown" in text
    assert "block 3.5 0 -3.5 360" in text
    assert page.count('class="meter"') == 1


def test_the_same_revisions_give_the_same_bytes(repository: Repository) -> None:
    repository.commit()
    first = report("--since", "HEAD~1", "--at", "HEAD")
    assert report("--since", "HEAD~1", "--at", "HEAD") == first
    assert str(repository.folder) not in first


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--since", "nope"), "There is no revision `nope`"),
        (("--since", "HEAD", "--at", "nope"), "There is no revision `nope`"),
        (("--at", "HEAD"), "Give --since OLD as well"),
    ],
)
def test_what_cannot_be_done_is_said(
    repository: Repository, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], said: str
) -> None:
    assert main(["report", *arguments, "--output", "page.html"]) == 2
    assert said in capsys.readouterr().err
    assert not Path("page.html").exists()


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    """Memories whose names try to break out, one of them a word deeper than before, one of them gone."""
    made = Repository(tmp_path / "hostile")
    made.write({"memlint.toml": 'device = "sorter-m"\n', '<b>&"x.sv': HOSTILE})
    made.commit()
    made.replace('<b>&"x.sv', "d<i>`x` [0:1023];", "d<i>`x` [0:1024];")
    made.replace('<b>&"x.sv', "logic [7:0] \\x\u202eevil [0:1023]", "logic [7:0] \\y\u202eevil [0:1023]")
    page_of(made.folder / "page.html", str(made.folder), "--since", "HEAD")
    return made.folder / "page.html"


def test_names_are_text_and_turn_no_line_around(hostile: Path) -> None:
    page = hostile.read_text("utf-8")
    told = part(page)
    assert "1,024 x 8 → 1,025 x 8" in plain(told)
    assert "d&lt;i&gt;" in told
    assert not re.search(r"<(?:i|img|script)\b", told)
    static = re.sub(r'<script type="application/json".*?</script>', "", page, flags=re.DOTALL)
    assert "\u202e" not in static


@needs_chromium
def test_in_a_browser(window: Browser, repository: Repository) -> None:
    file = repository.folder / "page.html"
    report("--since", "HEAD")
    window.open(file)
    click = '[...document.querySelectorAll("#changes a")].find((one) => one.textContent === "{}").click()'
    window.run(click.format(FRONT))
    dialog = 'document.getElementById("details").innerText'
    assert "Changed since HEAD" in window.run(dialog)
    assert "2,048 x 24 → 2,049 x 24" in window.run(dialog)
    window.run('document.getElementById("details").close()')
    window.run(
        '(() => { const one = document.getElementById("by-show"); one.value = "changed";'
        'one.dispatchEvent(new Event("input", {bubbles: true})); })()'
    )
    assert window.run('document.getElementById("count").textContent') == "2 memories"
    window.run(click.format("shape-drift"))
    window.until('document.activeElement.id.startsWith("f-")')
    assert "new since HEAD" in window.run("document.activeElement.innerText")
    for width in (360, 1440):
        window.look(width, 800)
        assert window.run("document.documentElement.scrollWidth") <= width
    assert window.complaints == []
    assert set(window.requests) <= {file.as_uri(), "about:blank"}


@needs_chromium
def test_hostile_names_in_a_browser(window: Browser, hostile: Path) -> None:
    window.open(hostile)
    assert window.run('document.querySelectorAll("img, i, iframe, #changes b b").length') == 0
    window.run('document.querySelector("#changes .paths a").click()')
    assert window.run('document.getElementById("details").open') is True
    assert window.complaints == []
