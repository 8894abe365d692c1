"""The reference for constants of VHDL: the GHDL simulator, which prints them at elaboration."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

GHDL = shutil.which("ghdl")
REASON = "the reference simulator `ghdl` is not installed"
_REPORTED = re.compile(r"\(report note\): (\w+) = (.*)$|note\): (\w+) = (.*)$")


def constants(text: str, names: dict[str, str], folder: Path) -> dict[str, str]:
    """The printed values of constants of the last entity's architecture, `rtl`.

    `names` maps each name to the expression that prints it.
    """
    shown = "\n".join(f'    report "{name} = " & {image};' for name, image in names.items())
    whole = text.replace("-- SHOW", f"  process begin\n{shown}\n    wait;\n  end process;")
    source = folder / "constants.vhd"
    source.write_text(whole)
    entity = re.findall(r"entity (\w+) is", text)[-1]
    _run(["ghdl", "-a", "--std=08", "-frelaxed", str(source)], folder)
    output = _run(["ghdl", "-r", "--std=08", entity, "--stop-time=1ns"], folder)
    found: dict[str, str] = {}
    for line in output.splitlines():
        match = _REPORTED.search(line)
        if match:
            found[match[1] or match[3]] = (match[2] or match[4] or "").strip()
    return found


def _run(command: list[str], folder: Path) -> str:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    output = done.stdout + done.stderr
    assert done.returncode == 0, output
    return output
