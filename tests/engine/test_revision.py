"""A revision's files are those that a checkout of it would have, read without touching anything."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from revisions import CONFIG, PROJECT, Repository, needs_git

from memlint.engine import Engine, open_project
from memlint.engine.config import load_settings
from memlint.engine.files import Texts, file_set
from memlint.engine.revision import open_revision
from memlint.engine.settings import ProjectError, Settings
from memlint.engine.sides import revision_side
from memlint.engine.trees import Disk, matching

pytestmark = needs_git
SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"
NAMES = st.sampled_from(["rtl", "sim", "a.sv", "b.v", ".hidden", "c.svh", "d.vhd", "x[1].sv"])
PARTS = st.sampled_from(["**", "*", "*.sv", "rtl", "?.v", "[ab].*", "..", ".", ".*", "x[[]1].sv"])


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    made = Repository(tmp_path / "repo")
    made.write(PROJECT)
    made.commit()
    return made


def test_the_demo_project_is_the_same_from_a_revision(tmp_path: Path) -> None:
    made = Repository(tmp_path / "repo")
    root = made.folder / "hw"
    shutil.copytree(SORTER, root)
    made.commit()
    with open_revision(root, "HEAD") as tree:
        settings = load_settings(root / "memlint.toml", root, tree.load)
        from_git = Engine(settings, tree=tree)
        from_disk = open_project([str(root)])
        assert from_git.files() == from_disk.files()
        there, here = from_git.judge(), from_disk.judge()
    assert [view.memory for view in there.memories] == [view.memory for view in here.memories]
    assert there.findings == here.findings
    assert there.sources == here.sources


@given(
    files=st.lists(st.lists(NAMES, min_size=1, max_size=3).map("/".join), min_size=1, max_size=6),
    # The standard library of Python 3.11 cannot take a pattern of dots alone.
    pattern=st.lists(PARTS, min_size=1, max_size=4).filter(lambda parts: set(parts) != {"."}),
)
def test_globs_find_what_the_standard_library_finds(
    files: list[str], pattern: list[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    root = tmp_path_factory.mktemp("globs") / "inside"
    for file in files:
        try:
            (root / file).parent.mkdir(parents=True, exist_ok=True)
            (root / file).write_text("")
        except OSError:
            continue  # A file is already where a folder should be, or the other way round.
    # Up to Python 3.12 a `**` at the end finds folders alone, as it always does here.
    glob = "/".join([*pattern, "*"] if pattern[-1] == "**" else pattern)
    found = {os.path.normpath(path) for path in root.glob(glob) if path.is_file()}
    shown = [os.path.normpath(root / name) for name in matching(Disk(root), glob)]
    assert set(shown) == found
    assert len(shown) == len(set(shown))


SETTINGS = (
    {"sources": ("**/*.sv", "**/*.v")},
    {"sources": ("rtl",), "exclude": ("rtl/sim/*",)},
    {"sources": ("../lib/*.sv", "linked/*.sv", "rtl/link.sv")},
    {"sources": ("**/*.sv",), "exclude": ("**/sim/**",)},
    {"file_lists": ("files.f",)},
    {},
)


@pytest.mark.parametrize("given", SETTINGS, ids=lambda one: next(iter(one), "default"))
def test_a_project_has_the_same_files_in_a_revision(
    tmp_path: Path, given: dict[str, tuple[str, ...]]
) -> None:
    made = Repository(tmp_path / "repo")
    names = ["hw/rtl/a.sv", "hw/rtl/sim/t.sv", "hw/b.v", "lib/c.sv", "hw/node_modules/d.sv", "hw/rtl/e.vhd"]
    made.write({name: f"// {name}\n" for name in names})
    made.write({"hw/files.f": "rtl/a.sv\n-y rtl/sim\n../lib/c.sv\nrtl/gone.sv\n+libext+.sv\n"})
    (made.folder / "hw/linked").symlink_to("../lib")
    (made.folder / "hw/rtl/link.sv").symlink_to("../../lib/c.sv")
    made.commit()
    root = made.folder / "hw"
    settings = Settings(root=str(root), **given)
    with open_revision(root, "HEAD") as tree:
        texts, disk = Texts(tree), Texts(Disk(root))
        there, here = file_set(settings, texts), file_set(settings, disk)
        assert there == here
        assert there.files
        assert [texts.get(name) for name in there.files] == [disk.get(name) for name in here.files]


def test_the_root_may_be_reached_by_a_link(tmp_path: Path) -> None:
    made = Repository(tmp_path / "repo")
    made.write({f"hw/{name}": text for name, text in PROJECT.items()})
    made.commit()
    (tmp_path / "way").symlink_to(made.folder)
    root = tmp_path / "way" / "hw"
    with open_revision(root, "HEAD") as tree:
        assert tree.is_file(root / "memlint.toml")
        assert tree.load("rtl/cfg_pkg.sv") == PROJECT["rtl/cfg_pkg.sv"].encode()
        assert tree.from_disk == set()


def test_settings_and_profile_are_those_of_the_revision(repository: Repository) -> None:
    from memlint.device.profile import starter

    repository.write({"own.toml": starter(), "memlint.toml": CONFIG.replace("sorter-m", "own.toml")})
    first = repository.commit()
    name = open_project([str(repository.folder)]).device.name
    repository.replace("own.toml", f'name = "{name}"', 'name = "later"')
    engine = open_project([str(repository.folder)])
    assert engine.device.name == "later"
    config = repository.folder / "memlint.toml"
    old, _ = revision_side(repository.folder, first, config=config, instead=engine)
    assert (old.judgement.device.name, old.notes) == (name, ())


def test_without_settings_of_its_own_a_revision_takes_those_of_the_other_side(repository: Repository) -> None:
    (repository.folder / "memlint.toml").unlink()
    repository.commit()
    repository.write({"memlint.toml": CONFIG})
    engine = open_project([str(repository.folder)])
    config = repository.folder / "memlint.toml"
    old, _ = revision_side(repository.folder, "HEAD", config=config, instead=engine)
    assert old.settings == engine.settings
    assert old.notes == ("HEAD has no memlint.toml: read with the settings of the other side",)


def test_a_top_that_was_not_there_yet_is_said(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", "module sorter", "module grain_sorter")
    repository.write({"memlint.toml": CONFIG.replace('"sorter"', '"grain_sorter"')})
    engine = open_project([str(repository.folder)])
    old, _ = revision_side(repository.folder, "HEAD", overrides={"top": ("grain_sorter",)}, instead=engine)
    assert old.judgement.memories == ()
    assert old.notes == ("HEAD has no unit `grain_sorter` for a top: nothing of it is compared",)


def test_generated_sources_that_git_ignores_are_as_on_the_disk(repository: Repository) -> None:
    generated = PROJECT["rtl/line_store.sv"]
    (repository.folder / "rtl/line_store.sv").unlink()
    repository.write({".gitignore": "/build/\n*.gen.sv\n"})
    repository.commit()
    repository.write({"build/gen/line_store.sv": generated, "rtl/free.gen.sv": "// none\n"})
    engine = open_project([str(repository.folder)])
    old, _ = revision_side(repository.folder, "HEAD", config=None, instead=engine)
    assert [view.memory.path for view in old.judgement.memories] == ["sorter.u_front.pixels"]
    assert old.notes == (
        "git does not keep build/gen/line_store.sv, rtl/free.gen.sv: read for HEAD as on the disk",
    )


def test_new_sources_that_git_does_not_ignore_are_missing_in_the_revision(repository: Repository) -> None:
    repository.write({"rtl/new.sv": "// not added yet\n"})
    with open_revision(repository.folder, "HEAD") as tree:
        assert not tree.is_file("rtl/new.sv")
        assert tree.stamp("rtl/new.sv") is None
        with pytest.raises(OSError):
            tree.load("rtl/new.sv")


def test_a_submodule_is_read_at_the_commit_it_is_pinned_to(repository: Repository, tmp_path: Path) -> None:
    library = Repository(tmp_path / "lib")
    library.write({"line_store.sv": PROJECT["rtl/line_store.sv"]})
    library.commit()
    (repository.folder / "rtl/line_store.sv").unlink()
    repository.git("submodule", "--quiet", "add", str(library.folder), "lib")
    repository.commit()
    inside = repository.folder / "lib" / "line_store.sv"
    inside.write_text(inside.read_text().replace("in block", "in bulk"))
    engine = open_project([str(repository.folder)])
    old, _ = revision_side(repository.folder, "HEAD", instead=engine)
    tiers = [
        [view.tier.name for view in one.memories if view.tier] for one in (old.judgement, engine.judge())
    ]
    assert tiers == [["block"], ["bulk"]]
    # Without its checkout it is missing, and nothing else fails.
    shutil.rmtree(repository.folder / "lib")
    old, _ = revision_side(repository.folder, "HEAD", instead=engine)
    assert [unit.name for unit in old.judgement.missing] == ["line_store"]


def test_nothing_is_touched(repository: Repository) -> None:
    repository.write({"rtl/sorter.sv": "// half done\n"})
    index = (repository.folder / ".git/index").read_bytes()
    before = repository.git("status", "--porcelain"), sorted(repository.folder.rglob("*"))
    engine = open_project([str(repository.folder)], overrides={"top": ()})
    revision_side(repository.folder, "HEAD", instead=engine)
    assert (repository.folder / ".git/index").read_bytes() == index
    assert (repository.git("status", "--porcelain"), sorted(repository.folder.rglob("*"))) == before


def test_what_git_sets_for_hooks_does_not_lead_astray(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("GIT_INDEX_FILE", "nowhere")
    with open_revision(repository.folder, "HEAD") as tree:
        assert tree.is_file("rtl/sorter.sv")


@pytest.mark.parametrize("name", ["nope", "", "--help", "HEAD~7", "HEAD:rtl/sorter.sv", "two words"])
def test_a_revision_that_is_none(repository: Repository, name: str) -> None:
    with (
        pytest.raises(ProjectError, match=f"There is no revision `{name}`"),
        open_revision(repository.folder, name),
    ):
        pass


def test_a_folder_in_no_repository(tmp_path: Path) -> None:
    with pytest.raises(ProjectError, match="in no git repository"), open_revision(tmp_path, "HEAD"):
        pass


def test_a_machine_without_git(repository: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with (
        pytest.raises(ProjectError, match="There is no `git` command"),
        open_revision(repository.folder, "HEAD"),
    ):
        pass


def test_settings_that_cannot_be_read_at_the_revision_name_it(repository: Repository) -> None:
    repository.write({"memlint.toml": 'device = "sorter-m"\ntopp = "sorter"\n'})
    repository.commit()
    repository.write({"memlint.toml": CONFIG})
    engine = open_project([str(repository.folder)])
    with pytest.raises(ProjectError, match=r"(?s)HEAD: .*memlint\.toml:2: .*topp"):
        revision_side(repository.folder, "HEAD", config=repository.folder / "memlint.toml", instead=engine)


def test_no_process_of_git_is_left(repository: Repository) -> None:
    with open_revision(repository.folder, "HEAD") as tree:
        tree.load("rtl/sorter.sv")
        readers = list(tree._objects._readers.values())
        assert [reader.poll() for reader in readers] == [None]
    assert [reader.returncode for reader in readers] == [0]


def test_names_that_are_no_ascii(tmp_path: Path) -> None:
    made = Repository(tmp_path / "repo")
    made.write({"rtl/körner.sv": "// Körner\n", "rtl/a b.sv": "// blank\n"})
    made.commit()
    with open_revision(made.folder, "HEAD") as tree:
        assert matching(tree, "rtl/*.sv") == ["rtl/a b.sv", "rtl/körner.sv"]
        assert tree.load("rtl/körner.sv") == "// Körner\n".encode()
