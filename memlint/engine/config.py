"""memlint.toml: finding it, reading it, saying what is wrong with it.

device = "sorter-m"                  # a built-in profile, family/member, or the path of a profile
target_mhz = 200
sources = ["rtl/**/*.sv"]            # globs from here; left out: every HDL file below
exclude = ["rtl/sim/*"]
file_lists = ["sorter.f"]
include_dirs = ["include"]
defines = ["SYNTHESIS", "JETS=128"]  # or a table: [defines] JETS = 128
top = "sorter_top"                   # or several: ["sorter_top", "bench"]

[libraries]
optics = ["vhdl/optics/*.vhd"]       # VHDL library = its files

[parameters]
LINES = 12                           # of the top unit

[assume]                             # parameters that HDL alone does not settle
LANES = 4                            # in any unit
"line_buffer.PIXELS" = 4096          # in one unit; the same as a table:
[assume.valve_map]
JETS = 128

[clocks]
same = [["sorter_top.clk", "sorter_top.u_pll.clk_out"]]

[reserve]
bulk = 4                             # blocks kept free, by tier

[rules]
intent-missing = "note"              # "off", "note", "warning", "error"
[rules.shallow-wide]                 # or a table, with the thresholds `memlint explain RULE` lists
severity = "error"
shallow_fill = 0.2

[[rules_for]]                        # the same for some paths; later ones win, and win over [rules]
paths = ["rtl/legacy/**"]
shallow-wide = "off"

[assumed_tier]                       # what nobody asks for goes to registers up to so many bits,
registers_bits = 64                  # to fabric up to so many bits, or so few words
fabric_bits = 1024
fabric_depth = 32

[attributes]
storage = "block"                    # a synthesis attribute, or "name=value", and what it asks for:
"storage=big" = "bulk"               # block, logic, or a tier

[[intent]]
memory = "sorter_top.u_camera[*].u_ram.mem"
intent = "in block; ports 1w 1r"

[[black_box]]
unit = "grain_fifo"
depth = "2 ** ADDR_BITS"             # expressions over its parameters, or numbers
width = "WIDTH"
ports = "1w 1r"
clocks = ["wr_clk", "rd_clk"]        # names of its ports
tier = "block"

[reconcile]                          # the table `memlint reconcile` reads, where its headings differ
path = "Instance"
tier = "Kind"
blocks = "Used"
[reconcile.tiers]                    # and its names of our tiers
"big memory" = "bulk"

[[measured]]                         # a count that a build gave, known and wanted
memory = "sorter_top.u_stats.counters"
tier = "block"
blocks = 1.5
because = "the build pads every word to 36 bits"
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from memlint.device.errors import ProfileError
from memlint.device.lines import line_map, line_of
from memlint.device.places import Layer, problems
from memlint.device.toml_text import parse_toml
from memlint.engine.files import VERILOG, VHDL
from memlint.engine.settings import (
    BlackBox,
    CountsFormat,
    IntentEntry,
    MeasuredCount,
    ProjectError,
    RuleSettings,
    Settings,
)
from memlint.mapping.assume import FABRIC_BITS, FABRIC_DEPTH, REGISTER_BITS
from memlint.text.files import read_file

CONFIG_NAME = "memlint.toml"
EVERY_SOURCE = tuple(f"**/*{ending}" for ending in (*VERILOG, *VHDL))
"""`sources` where a memlint.toml names neither sources nor file lists."""

_DEFAULT_DEVICE = Settings(root="").device


def find_config(start: Path, is_file: Callable[[Path], bool] = os.path.isfile) -> Path | None:
    """The memlint.toml of the project that a file or folder lies in: in its folder or the nearest above."""
    absolute = Path(os.path.abspath(start))
    for folder in (absolute, *absolute.parents):
        if is_file(folder / CONFIG_NAME):
            return folder / CONFIG_NAME
    return None


def load_settings(
    path: Path | None, start: Path, load: Callable[[Path], bytes] = read_file
) -> Settings:
    """The settings in a memlint.toml; without one, every default, with `start`'s folder as the root.

    `load` gives a file's bytes, or raises OSError. Raises ProjectError with a line
    `file:line: what is wrong. what to do.` for each mistake.
    """
    if path is None:
        absolute = os.path.abspath(start)
        return Settings(root=absolute if os.path.isdir(absolute) else os.path.dirname(absolute))
    shown = shown_path(path)
    try:
        raw = load(path)
    except OSError as failed:
        raise ProjectError(
            f"{shown}: The file cannot be read: {failed.strerror or failed}. Correct the path."
        ) from failed
    try:
        text, data = parse_toml(raw, shown)
        _validate(Layer(path, shown, text, data, is_builtin=False))
    except ProfileError as wrong:
        raise ProjectError(str(wrong)) from wrong
    absolute = os.path.abspath(path)
    return _settings(data, line_map(text), os.path.dirname(absolute), os.path.basename(absolute))


def place_of(settings: Settings, *key: str | int, load: Callable[[Path], bytes] = read_file) -> str:
    """Where a project says something, as messages begin: `memlint.toml:3`."""
    path = Path(settings.root, settings.file)
    try:
        text, _ = parse_toml(load(path), settings.file)
    except (OSError, ProfileError):
        return shown_path(path)
    _, line = line_of(line_map(text), key)
    return shown_path(path) if line is None else f"{shown_path(path)}:{line}"


def shown_path(path: Path) -> str:
    """A path as messages name it: from the working folder where it lies below, else whole."""
    absolute = Path(os.path.abspath(path))
    try:
        return absolute.relative_to(Path.cwd()).as_posix()
    except ValueError:
        return absolute.as_posix()


def _validate(layer: Layer) -> None:
    # Imported here: a run without memlint.toml needs none of these.
    from memlint.device.profile_validation import structure_mistakes
    from memlint.engine.config_checks import assumption_mistakes, rule_mistakes
    from memlint.engine.config_models import ProjectTable

    data = layer.data
    mistakes = [*structure_mistakes(data, ProjectTable), *rule_mistakes(data), *assumption_mistakes(data)]
    if mistakes:
        raise problems(mistakes, [layer], data)


def _settings(
    data: Mapping[str, Any], lines: Mapping[tuple[str | int, ...], int], root: str, file: str
) -> Settings:
    from memlint.engine.config_checks import assumptions, rule_settings
    from memlint.engine.config_models import ProjectTable

    table = ProjectTable.model_validate(data)
    return Settings(
        root=root,
        file=file,
        device=table.device or _DEFAULT_DEVICE,
        device_given=table.device is not None,
        target_mhz=table.target_mhz,
        sources=tuple(table.sources) or (() if table.file_lists else EVERY_SOURCE),
        exclude=tuple(table.exclude),
        file_lists=tuple(table.file_lists),
        include_dirs=tuple(table.include_dirs),
        defines=table.defines,
        top=tuple(table.top),
        libraries={name: tuple(files) for name, files in table.libraries.items()},
        parameters=table.parameters,
        assume=assumptions(data),
        same_clocks=tuple(tuple(nets) for nets in table.clocks.same),
        reserve=table.reserve,
        rules=(*_assumed_tier(table.assumed_tier.model_dump()), *rule_settings(data)),
        attributes=table.attributes,
        intents=tuple(
            IntentEntry(one.memory, one.intent, lines["intent", index, "intent"])
            for index, one in enumerate(table.intent)
        ),
        black_boxes=tuple(
            BlackBox(
                unit=one.unit,
                depth=one.depth,
                width=one.width,
                ports=one.ports,
                clocks=tuple(one.clocks),
                tier=one.tier or "",
                line=lines["black_box", index, "unit"],
            )
            for index, one in enumerate(table.black_box)
        ),
        counts_format=CountsFormat(**table.reconcile.model_dump()),
        measured=tuple(
            MeasuredCount(
                one.memory,
                one.tier,
                Fraction(str(one.blocks)),
                one.because,
                lines["measured", index, "memory"],
            )
            for index, one in enumerate(table.measured)
        ),
    )


def _assumed_tier(given: Mapping[str, float | None]) -> tuple[RuleSettings, ...]:
    keys = {"registers_bits": REGISTER_BITS, "fabric_bits": FABRIC_BITS, "fabric_depth": FABRIC_DEPTH}
    limits = {f"assumed_tier.{keys[name]}": value for name, value in given.items() if value is not None}
    return (RuleSettings(thresholds=limits),) if limits else ()
