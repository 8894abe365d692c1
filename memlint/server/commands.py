"""The commands that a user may call by name."""

from __future__ import annotations

import tempfile
from pathlib import Path

from memlint.engine.settings import Settings
from memlint.server.analysis import Judged
from memlint.server.documents import Document

WHICH = "memlint.whichConfiguration"
OVERVIEW = "memlint.overview"
COMMANDS = (WHICH, OVERVIEW)

FOLDER = "memlint-"
"""What the name of the folder with the overview pages begins with."""


def which(document: Document, config: Path | None, judged: Judged | None) -> dict[str, str | None]:
    """Which configuration, device and top a file is judged by, each by itself and as one message."""
    name = document.path.name if document.path is not None else document.name
    if judged is None:
        by = f"{config} cannot be used" if config is not None else "there is nothing to judge in it"
        message = f"{name} is not judged: {by}"
        return {"configuration": _text(config), "device": None, "top": None, "message": message}
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
    return {"configuration": _text(config), "device": device.name, "top": top, "message": message}


def _text(path: Path | None) -> str | None:
    return str(path) if path is not None else None


def _source(settings: Settings, files: tuple[str, ...]) -> str:
    if not settings.device_given:
        return " (none is chosen)"
    return f" ({files[0]})" if files and settings.device.endswith(".toml") else ""


def overview(judged: Judged, folder: str) -> Path:
    """Writes the page about a project; its path."""
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
    path = Path(folder) / "memlint.html"
    path.write_text(page, encoding="utf-8")
    return path


def pages_folder() -> tempfile.TemporaryDirectory[str]:
    """A new folder for pages, for this user alone; it goes with the process."""
    return tempfile.TemporaryDirectory(prefix=FOLDER, ignore_cleanup_errors=True)
