"""The commands that a user may call by name."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.rules.wording import amount, percent
from memlint.server.analysis import Judged
from memlint.server.documents import Document
from memlint.server.pages import Pages

WHICH = "memlint.whichConfiguration"
OVERVIEW = "memlint.overview"
COMMANDS = (WHICH, OVERVIEW)


@dataclass(frozen=True, slots=True)
class Taken:
    """What a root takes of a tier: exact blocks, and those that the device has."""

    root: str
    tier: str
    blocks: Fraction
    of: int

    def answer(self) -> dict[str, object]:
        """As JSON; halves of blocks count."""
        blocks = int(self.blocks) if self.blocks.denominator == 1 else float(self.blocks)
        return {"root": self.root, "tier": self.tier, "blocks": blocks, "of": self.of}


@dataclass(frozen=True, slots=True)
class Which:
    """By what a file is judged, in parts and as one message. `fill` has the tiers of known supply, for each
    root of the design."""

    message: str
    configuration: str | None
    device: str | None = None
    top: str | None = None
    fill: tuple[Taken, ...] = ()

    def answer(self) -> dict[str, object]:
        """As JSON."""
        return {
            "configuration": self.configuration,
            "device": self.device,
            "top": self.top,
            "fill": [one.answer() for one in self.fill],
            "message": self.message,
        }


def which(document: Document, config: Path | None, judged: Judged | None) -> Which:
    """Which configuration, device and top a file is judged by, and how full that device is."""
    name = document.path.name if document.path is not None else document.name
    configuration = str(config) if config is not None else None
    if judged is None:
        by = f"{config} cannot be used" if config is not None else "there is nothing to judge in it"
        return Which(f"{name} is not judged: {by}", configuration)
    settings, device = judged.settings, judged.judgement.device
    top = ", ".join(settings.top) or None
    if config is None:
        by = "no memlint.toml"
    elif judged.alone:
        by = f"{config}, whose sources do not name it: alone, at default parameters"
    else:
        by = str(config)
    of = _source(settings, device.files)
    seen_from = f"top {top}" if top else f"no top: from {', '.join(judged.design.roots) or 'no unit'}"
    message = f"{name} is judged by {by}; device {device.name}{of}; {seen_from}"
    fill = tuple(_fill(judged.judgement))
    if fill and len(judged.judgement.roots) == 1:
        message += f"; takes {', '.join(map(_said, fill))}"
    return Which(message, configuration, device.name, top, fill)


def _fill(judgement: Judgement) -> Iterator[Taken]:
    for one in judgement.totals:
        if one.available is not None and one.memories:
            yield Taken(one.root, one.tier, one.blocks, one.available)


def _said(taken: Taken) -> str:
    share = f" ({percent(taken.blocks / taken.of)})" if taken.of else ""
    return f"{amount(taken.blocks)} of {taken.of:,} {taken.tier}{share}"


def _source(settings: Settings, files: tuple[str, ...]) -> str:
    if not settings.device_given:
        return " (none is chosen)"
    return f" ({files[0]})" if files and settings.device.endswith(".toml") else ""


def overview(judged: Judged, pages: Pages) -> Path:
    """Writes the page about a project; its path. Raises OSError."""
    # Imported here: nothing else in the server needs it.
    from memlint.reports.html import report_html

    judgement = judged.judgement
    page = report_html(
        judgement,
        judgement.memories,
        judgement.findings,
        judgement.accepted,
        device_given=judged.settings.device_given,
    )
    return pages.write("memlint.html", page)
