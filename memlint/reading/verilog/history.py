"""What preprocessing a file did, as far as reading a part of the file again has to know."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from memlint.text.source import SourceText

if TYPE_CHECKING:
    from memlint.reading.verilog.macros import Macro


@dataclass(slots=True)
class History:
    """Offsets are those of the directive in the file itself, also for what an included file does.

    `defines`: (offset, name, macro), None for an `undef and the name empty for `undefineall. `branches`:
    (offset, word) of the `ifdefs and their kin, in inactive code too. `uses`: extents of macro uses with
    arguments. `includes`: offsets; `requests`: (name, including file, what was found). `expanded` is what
    macros put in, in tokens. `entangled`: something was met whose effect a part does not show.
    """

    here: int = 0
    defines: list[tuple[int, str, Macro | None]] = field(default_factory=list)
    branches: list[tuple[int, str]] = field(default_factory=list)
    uses: list[tuple[int, int]] = field(default_factory=list)
    includes: list[int] = field(default_factory=list)
    requests: list[tuple[str, str, SourceText | None]] = field(default_factory=list)
    expanded: int = 0
    entangled: bool = False
