"""A proposed memlint.toml as text."""

from __future__ import annotations

import json
from collections.abc import Sequence

from memlint.engine.drafting import Proposal

_HEAD = """\
# Proposed by `memlint init`: read it, correct it, keep it under version control.

# Which device the design is for: until it is named, the demo device counts. `memlint devices` lists the
# built-in profiles, `memlint devices --starter FILE` begins one of your own.
# device = "family/member"
"""


def config_text(proposal: Proposal) -> str:
    """The file, each choice with its reason. Ends in a line end."""
    parts = [_HEAD]
    if proposal.file_lists:
        parts.append(
            f"# Lists of sources; every file they name is there.\n{_entry('file_lists', proposal.file_lists)}"
        )
    if proposal.sources:
        what = "Sources that no list names." if proposal.file_lists else "Where the sources are."
        parts.append(f"# {what}\n{_entry('sources', proposal.sources)}")
    if proposal.include_dirs:
        parts.append(f"# Where included files were found.\n{_entry('include_dirs', proposal.include_dirs)}")
    if proposal.not_found:
        names = ", ".join(proposal.not_found)
        parts.append(f'# Not found here, or in several folders: {names}\n# include_dirs = ["…"]\n')
    parts.append(_top(proposal))
    return "\n".join(parts)


def _top(proposal: Proposal) -> str:
    benches = ", ".join(proposal.benches)
    also = f" Units without ports, taken for test benches: {benches}." if benches else ""
    match proposal.tops:
        case (top,):
            return f"# The unit that nobody instantiates.{also}\n{_entry('top', top)}"
        case ():
            return f'# No unit with ports is left that nobody instantiates.{also}\n# top = "…"\n'
        case tops:
            return (
                f"# Units that nobody instantiates: each is a root of its own until one is named.{also}\n"
                f"# {_entry('top', tops)}"
            )


def _entry(key: str, value: str | Sequence[str]) -> str:
    # A JSON text or array of texts is one of TOML's.
    shown = value if isinstance(value, str) else list(value)
    return f"{key} = {json.dumps(shown, ensure_ascii=False)}\n"
