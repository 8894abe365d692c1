"""memlint.toml: how it is found, what it says, and how its mistakes are told."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.engine import config
from memlint.engine.config import EVERY_SOURCE, find_config, load_settings, place_of
from memlint.engine.settings import BlackBox, IntentEntry, ProjectError, Settings
from memlint.rules.finding import Severity


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def loaded(text: str, name: str = "memlint.toml") -> Settings:
    """The settings of a file with this text, in the working folder."""
    Path(name).write_text(text, encoding="utf-8")
    return load_settings(Path(name), Path())


def refusal(text: str) -> list[str]:
    """What a person reads, line by line."""
    with pytest.raises(ProjectError) as refused:
        loaded(text)
    return str(refused.value).splitlines()


# Finding it


def test_the_nearest_configuration_above_a_file_is_found(tmp_path: Path) -> None:
    inner = tmp_path / "sorter" / "rtl" / "link"
    inner.mkdir(parents=True)
    (tmp_path / "memlint.toml").touch()
    assert find_config(inner / "replay.sv") == tmp_path / "memlint.toml"
    (tmp_path / "sorter" / "memlint.toml").touch()
    assert find_config(inner) == tmp_path / "sorter" / "memlint.toml"
    assert find_config(Path("sorter/rtl")) == tmp_path / "sorter" / "memlint.toml"


def test_a_file_need_not_exist_yet_and_a_folder_of_that_name_is_none(tmp_path: Path) -> None:
    (tmp_path / "memlint.toml").touch()
    (tmp_path / "new" / "memlint.toml").mkdir(parents=True)
    assert find_config(tmp_path / "new" / "unsaved.sv") == tmp_path / "memlint.toml"


def test_without_a_configuration_everything_is_at_its_default(tmp_path: Path) -> None:
    (tmp_path / "belt.sv").touch()
    assert load_settings(None, tmp_path) == Settings(root=str(tmp_path))
    assert load_settings(None, tmp_path / "belt.sv") == Settings(root=str(tmp_path))


# What it says


def test_the_example_in_the_documentation_says_what_it_seems_to_say() -> None:
    example = inspect.cleandoc(config.__doc__ or "").partition("\n\n")[2]
    settings = loaded(re.sub(r"(?m)^    ", "", example))
    everywhere, legacy = [one for one in settings.rules if one.severities]
    assert settings.device_given
    assert settings.defines == {"SYNTHESIS": "1", "JETS": "128"}
    assert settings.libraries == {"optics": ("vhdl/optics/*.vhd",)}
    assert settings.assume == {"LANES": 4, "line_buffer.PIXELS": 4096, "valve_map.JETS": 128}
    assert everywhere.severities == {"intent-missing": Severity.NOTE, "shallow-wide": Severity.ERROR}
    assert everywhere.thresholds == {"shallow-wide.shallow_fill": 0.2}
    assert legacy.severities == {"shallow-wide": None}
    assert legacy.paths == ("rtl/legacy/**",)
    assert settings.attributes == {"storage": "block", "storage=big": "bulk"}
    assert settings.intents[0].memory == "sorter_top.u_camera[*].u_ram.mem"
    assert settings.black_boxes[0].depth == "2 ** ADDR_BITS"


def test_an_empty_file_is_a_project_of_every_source_below(tmp_path: Path) -> None:
    settings = loaded("")
    assert settings == Settings(root=str(tmp_path), file="memlint.toml", sources=EVERY_SOURCE)
    assert set(EVERY_SOURCE) == {"**/*.v", "**/*.sv", "**/*.vhd", "**/*.vhdl"}


def test_a_file_list_replaces_every_source() -> None:
    assert loaded('file_lists = ["sorter.f"]').sources == ()


def test_one_text_does_for_a_list_of_one() -> None:
    settings = loaded('top = "sorter_top"\nsources = "rtl/*.sv"\nfile_lists = "sorter.f"')
    assert (settings.top, settings.sources) == (("sorter_top",), ("rtl/*.sv",))
    assert settings.file_lists == ("sorter.f",)


def test_macros_stand_in_a_list_or_in_a_table() -> None:
    listed = loaded('defines = ["SYNTHESIS", "JETS=128", "NAME=a=b", "NONE="]').defines
    tabled = loaded('[defines]\nSYNTHESIS = true\nJETS = 128\nNAME = "a=b"\nNONE = ""').defines
    assert listed == tabled == {"SYNTHESIS": "1", "JETS": "128", "NAME": "a=b", "NONE": ""}


def test_parameters_are_whole_numbers_texts_and_switches() -> None:
    text = '[parameters]\nLINES = 12\nMASK = 0xFF\nMODE = "fast"\nUSE_ECC = true\n'
    assert loaded(text).parameters == {"LINES": 12, "MASK": 255, "MODE": "fast", "USE_ECC": 1}


def test_a_units_assumption_may_be_a_table_or_a_dotted_name() -> None:
    assert loaded('[assume]\n"belt.DEPTH" = 8').assume == {"belt.DEPTH": 8}
    assert loaded("[assume]\nbelt.DEPTH = 8").assume == {"belt.DEPTH": 8}
    assert loaded("[assume.belt]\nDEPTH = 8").assume == {"belt.DEPTH": 8}
    assert loaded("[assume]\nDEPTH = 8").assume == {"DEPTH": 8}


def test_clocks_and_reserve() -> None:
    settings = loaded('[clocks]\nsame = [["top.a", "top.b"]]\n[reserve]\nbulk = 4\nblock = 10.5')
    assert settings.same_clocks == (("top.a", "top.b"),)
    assert settings.reserve == {"bulk": 4, "block": 10.5}


def test_a_severity_may_stand_alone_or_beside_thresholds() -> None:
    text = '[rules]\nport-drift = "off"\n[rules.shallow-wide]\nseverity = "note"\nshallow_depth = 1\n'
    (rules,) = loaded(text).rules
    assert rules.severities == {"port-drift": None, "shallow-wide": Severity.NOTE}
    assert rules.thresholds == {"shallow-wide.shallow_depth": 1}
    assert rules.paths == ()


def test_rules_for_paths_come_after_those_for_everything_in_their_order() -> None:
    text = (
        '[[rules_for]]\npaths = ["rtl/legacy"]\nport-drift = "off"\n'
        '[[rules_for]]\npaths = "rtl/*.vhd"\n[rules_for.port-drift]\nseverity = "error"\n'
        '[rules]\nport-drift = "note"\n'
    )
    found = [(one.paths, one.severities["port-drift"]) for one in loaded(text).rules]
    assert found == [
        ((), Severity.NOTE),
        (("rtl/legacy", "rtl/legacy/*"), None),  # a folder means what is below it
        (("rtl/*.vhd",), Severity.ERROR),
    ]


def test_thresholds_of_the_assumed_tier_reach_the_rules_settings() -> None:
    (rules,) = loaded("[assumed_tier]\nregisters_bits = 128\n").rules
    assert list(rules.thresholds.values()) == [128]


def test_intents_and_black_boxes_know_their_line() -> None:
    settings = loaded(
        'device = "sorter-m"\n'
        "[[intent]]\n"
        'memory = "top.*.mem"\n'
        'intent = "in bulk; one clock"\n'
        "[[black_box]]\n"
        'unit = "grain_fifo"\n'
        "depth = 512\n"
        'width = "WIDTH + 1"\n'
        'clocks = "clk"\n'
    )
    assert settings.intents == (IntentEntry("top.*.mem", "in bulk; one clock", 4),)
    assert settings.black_boxes == (BlackBox("grain_fifo", "512", "WIDTH + 1", "1w 1r", ("clk",), "", 6),)


def test_the_root_is_the_files_folder_and_its_name_is_kept(tmp_path: Path) -> None:
    (tmp_path / "board").mkdir()
    settings = loaded("", "board/other.toml")
    assert (settings.root, settings.file) == (str(tmp_path / "board"), "other.toml")


def test_where_a_project_says_something(tmp_path: Path) -> None:
    settings = loaded('device = "sorter-m"\n[reserve]\nbulk = 4\n')
    assert place_of(settings, "reserve", "bulk") == "memlint.toml:3"
    assert place_of(settings, "target_mhz") == "memlint.toml"
    assert place_of(settings) == "memlint.toml"


# Mistakes; line numbers are counted by hand.

MISTAKES = [
    ('devise = "x"', 1, "devise: Unknown key `devise`. Did you mean `device`?"),
    ("\n[clock]\nsame = []", 2, "clock: Unknown key `clock`. Did you mean `clocks`?"),
    ('[[intent]]\nmemory = "a"\nintent = "fifo"\nintnt = ""', 4, "intent[0].intnt: Unknown key `intnt`."),
    ('[[black_box]]\nunit = "u"\ndepth = 1\nwidth = 1\nport = "rom"', 5, "Did you mean `ports`?"),
    ("[assumed_tier]\nregister_bits = 1", 2, "Did you mean `registers_bits`?"),
    ('target_mhz = "fast"', 1, 'target_mhz: "fast" is not a number.'),
    ("target_mhz = 0", 1, "target_mhz: 0 is too small. Write a number above 0."),
    ("target_mhz = inf", 1, "target_mhz: Infinity is not a finite number."),
    ("device = 3", 1, "device: 3 is not a text in quotes."),
    ('device = " "', 1, "device: This text is empty."),
    ('sources = ["a.sv",\n 4]', 2, "sources[1]: 4 is not a text in quotes."),
    ('sources = ["a\\u0000.sv"]', 1, "sources[0]: This text holds a NUL character."),
    ("top = 3", 1, "top: This is neither a text nor a list of texts."),
    ('defines = ["+JETS=1"]', 1, "defines: `+JETS` is no macro name."),
    ("[defines]\nJETS = false", 1, "defines: `JETS = false` defines nothing. Leave it out"),
    ("[parameters]\nA = 1\nLINES = 1.5", 3, "parameters.LINES: This is neither a whole number nor a text."),
    ("[assume]\nbelt.u.DEPTH = 1", 2, "assume.belt.u: A table is no parameter's value."),
    ('[assume]\n"belt.DEPTH" = 1\nbelt.DEPTH = 2', 3, "assume.belt.DEPTH: `belt.DEPTH` is assumed twice."),
    ("assume = 3", 1, "assume: 3 is not a table."),
    ('[clocks]\nsame = [["top.a"]]', 2, "clocks.same[0]: One net alone is equal to nothing."),
    ("[reserve]\nbulk = -1", 2, "reserve.bulk: -1 is too small. Write a number of at least 0."),
    ('[rules]\nshalow-wide = "off"', 2, "There is no rule `shalow-wide`. Did you mean `shallow-wide`?"),
    ('[rules]\nxyzzy = "off"', 2, "rules.xyzzy: There is no rule `xyzzy`. The rules are acceptance-unused,"),
    ('[rules]\nport-drift = "warn"', 2, 'rules.port-drift: "warn" is no severity. Did you mean "warning"?'),
    ("[rules]\nport-drift = false", 2, "rules.port-drift: false is no severity. Write"),
    ('[rules.port-drift]\nseverity = "high"', 2, 'rules.port-drift.severity: "high" is no severity.'),
    (
        "[rules.shallow-wide]\nshallow_fil = 1",
        2,
        "has no setting `shallow_fil`. Did you mean `shallow_fill`?",
    ),
    ("[rules.shallow-wide]\nshallow_fill = true", 2, "shallow-wide.shallow_fill: true is no threshold."),
    ("rules = []", 1, "rules: [] is not a table."),
    ('[[rules_for]]\nport-drift = "off"', 1, "rules_for[0]: `paths` is missing."),
    ("[[rules_for]]\npaths = []", 2, "rules_for[0].paths: This is no list of paths."),
    ('\n[[rules_for]]\npaths = "a"\npot-drift = "off"', 4, "rules_for[0].pot-drift: There is no"),
    ('[attributes]\nstorage = ["bulk"]', 2, 'attributes.storage: ["bulk"] is not a text in quotes.'),
    ('[[intent]]\nmemory = "a"', 1, "intent[0].intent: `intent` is missing. Add `intent = …`."),
    ('[[black_box]]\nunit = "u"\ndepth = [1]\nwidth = 1', 3, "depth: This is neither a whole number"),
    (
        '[[black_box]]\nunit = "u"\ndepth = 1\nwidth = 1\nports = "2 write"',
        5,
        '"2 write" does not say ports.',
    ),
    ("device = ", 1, "This is not TOML"),
    ('device = "a"\ndevice = "b"', 2, "This is not TOML"),
]


@pytest.mark.parametrize(("text", "line", "said"), MISTAKES, ids=[said for _, _, said in MISTAKES])
def test_a_mistake_is_told_with_its_line_and_a_remedy(text: str, line: int, said: str) -> None:
    (told,) = refusal(text)
    assert told.startswith(f"memlint.toml:{line}: ")
    assert said in told
    assert re.search(r"\. \S.*[.?…]$", told), told


def test_all_mistakes_are_told_in_the_order_of_their_lines() -> None:
    text = 'top = 3\n[rules]\nnone-such-xyz = "off"\n[reserve]\nbulk = "many"\n'
    assert [told.split(": ")[0] for told in refusal(text)] == [f"memlint.toml:{line}" for line in (1, 3, 5)]


def test_bytes_that_are_no_utf_8_are_told_with_their_line() -> None:
    Path("memlint.toml").write_bytes(b'device = "sorter-m"\n# caf\xe9\n')
    with pytest.raises(ProjectError, match=r"memlint\.toml:2: The file is not UTF-8\. Save it as UTF-8\."):
        load_settings(Path("memlint.toml"), Path())


def test_a_file_that_is_not_there_is_told() -> None:
    with pytest.raises(ProjectError, match=r"^other\.toml: The file cannot be read: No such file"):
        load_settings(Path("other.toml"), Path())


def test_a_file_above_the_working_folder_is_named_in_full(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "memlint.toml").write_text("top = 3\n")
    (tmp_path / "rtl").mkdir()
    monkeypatch.chdir(tmp_path / "rtl")
    with pytest.raises(ProjectError) as refused:
        load_settings(find_config(Path()), Path())
    assert str(refused.value).startswith(f"{tmp_path.as_posix()}/memlint.toml:1: top: ")


KEYS = (
    "device target_mhz sources exclude file_lists include_dirs defines top libraries parameters assume "
    "clocks clocks.same reserve rules rules.port-drift rules.shallow-wide rules.shallow-wide.severity "
    "rules_for assumed_tier attributes intent black_box assume.a assume.a.b other"
).split()
VALUES = (
    '1 -1 2.5 nan true "" "off" "a" [] [1] ["a"] [["a","b"]] {} {a=1} [{}] {severity="off"} 1979-05-27'
).split()


@given(st.lists(st.tuples(st.sampled_from(KEYS), st.sampled_from(VALUES)), max_size=4))
def test_no_file_does_more_than_load_or_be_refused_in_lines(pairs: list[tuple[str, str]]) -> None:
    text = "".join(f"{key} = {value}\n" for key, value in pairs)
    try:
        loaded(text)
    except ProjectError as refused:
        assert all(re.match(r"memlint\.toml:\d+: .+", told) for told in str(refused).splitlines()), refused
