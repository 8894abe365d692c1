"""The page's colours, once for light and once for dark, as style sheet variables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from memlint.device.facts import Device

LIGHT: Mapping[str, str] = {
    "paper": "#f1f4f3",
    "card": "#ffffff",
    "sunk": "#e7ecea",
    "ink": "#17211f",
    "soft": "#52605c",
    "line": "#cdd6d3",
    "edge": "#7c8985",
    "accent": "#0d5f57",
    "on-accent": "#ffffff",
    "focus": "#b2451a",
    "error": "#a3241b",
    "warning": "#845200",
    "note": "#2c5c9a",
    "t0": "#7a5ba8",
    "t1": "#1c7a8f",
    "t2": "#a66c0c",
    "t3": "#566a80",
    "t4": "#8d5842",
    "t5": "#4b7d32",
    "t6": "#a84878",
}
"""`t0` to `t6` are tiers; `edge` outlines what must be seen, `line` what only divides."""

DARK: Mapping[str, str] = {
    "paper": "#101615",
    "card": "#18201e",
    "sunk": "#222c29",
    "ink": "#e4ece9",
    "soft": "#a3b2ad",
    "line": "#34413d",
    "edge": "#75857f",
    "accent": "#6fcdbb",
    "on-accent": "#0c1513",
    "focus": "#ffab7d",
    "error": "#ff9288",
    "warning": "#ecb75c",
    "note": "#94bcf0",
    "t0": "#b9a0de",
    "t1": "#63bfd4",
    "t2": "#e2b15a",
    "t3": "#a2b5ca",
    "t4": "#d5a38b",
    "t5": "#96c77b",
    "t6": "#e395bb",
}

_OF_ROLE = {"fabric": 0, "block": 1, "bulk": 2, "registers": 3, "external": 4}
_SPARE = (5, 6)


def variables() -> str:
    """The rules that set the colours: the system's choice, unless the page's switch says otherwise."""
    light, dark = _block(LIGHT, "light"), _block(DARK, "dark")
    return (
        f":root{{{light}}}\n"
        f"@media (prefers-color-scheme: dark){{:root:not([data-theme=light]){{{dark}}}}}\n"
        f":root[data-theme=dark]{{{dark}}}\n"
        f"@media print{{:root:root:root{{{light}}}}}\n"
    )


def _block(colours: Mapping[str, str], scheme: str) -> str:
    return f"color-scheme:{scheme};" + "".join(f"--{name}:{value};" for name, value in colours.items())


def tier_colours(device: Device) -> dict[str, str]:
    """The class of each tier's colour: by its role, a spare one for a role's further tiers."""
    found: dict[str, str] = {}
    taken: set[int] = set()
    for tier in (*device.tiers, *device.on_chip()[-1:]):
        wanted = _OF_ROLE.get(tier.role, _SPARE[0])
        index = next(_free((wanted, *_SPARE), taken), wanted)
        taken.add(index)
        found.setdefault(tier.name, f"t{index}")
    return found


def _free(wanted: Iterable[int], taken: set[int]) -> Iterator[int]:
    return (one for one in wanted if one not in taken)
