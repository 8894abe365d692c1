"""What the configurations and their documentation name is what there is."""

from __future__ import annotations

import json
import re
import tomllib
from typing import Any

from real_editors import CONFIGS, ROOT

from memlint.server.commands import COMMANDS
from memlint.server.preferences import Preferences, preferences_of

VSCODE = CONFIGS / "vscode"
PACKAGE: dict[str, Any] = json.loads((VSCODE / "package.json").read_text(encoding="utf-8"))
OF_THE_EXTENSION = {"memlint.server.command"}
"""What the extension reads itself, before there is a server."""

README = (ROOT / "README.md").read_text(encoding="utf-8")
EVERYWHERE = ("verilog", "systemverilog", "vhdl")


def section(name: str, value: object) -> dict[str, Any]:
    """The section `memlint` of an editor's settings where only this one is set."""
    first, *inner = reversed(name.removeprefix("memlint.").split("."))
    settings: dict[str, Any] = {first: value}
    for key in inner:
        settings = {key: settings}
    return settings


def server_settings() -> dict[str, dict[str, Any]]:
    stated: dict[str, dict[str, Any]] = PACKAGE["contributes"]["configuration"]["properties"]
    assert set(stated) >= OF_THE_EXTENSION
    return {name: one for name, one in stated.items() if name not in OF_THE_EXTENSION}


def sources() -> str:
    return "\n".join(one.read_text(encoding="utf-8") for one in sorted((VSCODE / "src").glob("*.ts")))


def table(name: str) -> list[list[str]]:
    body = re.search(rf"<!-- {name} -->\n(.*?)<!-- /{name} -->", README, re.DOTALL)
    assert body is not None
    lines = [line for line in body[1].splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_every_setting_of_the_extension_changes_something_in_the_server() -> None:
    for name, stated in server_settings().items():
        assert stated["type"] == "boolean" and stated["description"]
        assert preferences_of(section(name, not stated["default"])) != Preferences(), name


def test_its_defaults_are_the_servers() -> None:
    for name, stated in server_settings().items():
        assert preferences_of(section(name, stated["default"])) == Preferences(), name


def test_the_extension_offers_every_setting_of_the_server() -> None:
    changed = [preferences_of(section(name, not one["default"])) for name, one in server_settings().items()]
    for field in Preferences.__dataclass_fields__:
        assert any(getattr(one, field) != getattr(Preferences(), field) for one in changed), field
    assert {kind for kind in Preferences().hints if any(kind not in one.hints for one in changed)} == set(
        Preferences().hints
    )


def test_the_extension_asks_for_commands_that_the_server_has() -> None:
    asked = re.findall(
        r'= "(memlint\.\w+)"', (VSCODE / "src" / "server_commands.ts").read_text(encoding="utf-8")
    )
    assert sorted(asked) == sorted(COMMANDS)


def test_every_command_of_the_palette_is_registered_and_none_is_the_servers() -> None:
    """The client library registers the server's own names as commands: registering one twice fails."""
    offered = {one["command"] for one in PACKAGE["contributes"]["commands"]}
    assert offered == set(re.findall(r'registerCommand\("([\w.]+)"', sources()))
    assert offered.isdisjoint(COMMANDS)


def test_the_extension_reads_no_setting_that_it_does_not_state() -> None:
    read = set(
        re.findall(r'= "(memlint\.[\w.]+)"', (VSCODE / "src" / "server.ts").read_text(encoding="utf-8"))
    )
    assert read == OF_THE_EXTENSION


def test_the_walkthrough_has_its_pages() -> None:
    for walkthrough in PACKAGE["contributes"]["walkthroughs"]:
        for step in walkthrough["steps"]:
            assert (VSCODE / step["media"]["markdown"]).is_file()


def test_the_lock_file_is_of_this_package_and_names_no_registry() -> None:
    lock = json.loads((VSCODE / "package-lock.json").read_text(encoding="utf-8"))
    root = lock["packages"][""]
    assert root["dependencies"] == PACKAGE["dependencies"]
    assert root["devDependencies"] == PACKAGE["devDependencies"]
    assert not [name for name, one in lock["packages"].items() if "resolved" in one]


def test_every_folder_has_a_readme_and_the_list_is_the_folders() -> None:
    folders = sorted(one.name for one in CONFIGS.iterdir() if one.is_dir())
    assert all((CONFIGS / name / "README.md").is_file() for name in folders)
    listed = [re.findall(r"editor_configs/([\w-]+)", row[1]) for row in table("editors")]
    assert sorted(name for names in listed for name in names) == folders


def test_the_settings_of_the_readme_are_the_extensions() -> None:
    stated = [(f"memlint.{row[0].strip('`')}", json.loads(row[1].strip("`"))) for row in table("settings")]
    assert stated == [(name, one["default"]) for name, one in server_settings().items()]


HELIX = {
    "language-server": {"command", "args", "config", "timeout", "environment", "required-root-patterns"},
    "language": {
        "name", "language-id", "scope", "injection-regex", "file-types", "shebangs", "roots", "auto-format",
        "diagnostic-severity", "comment-token", "comment-tokens", "block-comment-tokens", "indent", "language-servers",
        "grammar", "formatter", "soft-wrap", "text-width", "rulers", "path-completion", "workspace-lsp-roots",
    },
}  # fmt: skip
"""What its documentation lists under "Languages" (from memory); a key that it does not know is an error."""

SUBLIME = {
    "enabled", "command", "env", "selector", "priority_selector", "initializationOptions", "settings", "schemes",
    "auto_complete_selector", "diagnostics_mode", "disabled_capabilities", "experimental_capabilities", "tcp_port",
}  # fmt: skip
"""What the package LSP lists for a client (its documentation, "Client configuration"; from memory)."""


def test_editors_that_cannot_be_run_here_know_every_key() -> None:
    helix = tomllib.loads((CONFIGS / "helix" / "languages.toml").read_text(encoding="utf-8"))
    assert set(helix) == {"language", "language-server"}
    for server in helix["language-server"].values():
        assert set(server) <= HELIX["language-server"]
    for language in helix["language"]:
        assert set(language) <= HELIX["language"]
        assert set(language["language-servers"]) <= set(helix["language-server"])
    sublime = json.loads((CONFIGS / "sublime" / "LSP.sublime-settings").read_text(encoding="utf-8"))
    assert set(sublime) == {"clients", "show_inlay_hints"}
    for client in sublime["clients"].values():
        assert set(client) <= SUBLIME


def test_the_commands_named_in_the_readmes_are_the_servers() -> None:
    named = [
        name
        for readme in CONFIGS.glob("*/README.md")
        for name in re.findall(
            r"`?:lsp-workspace-command\s+(memlint\.\w+)", readme.read_text(encoding="utf-8")
        )
    ]
    assert sorted(named) == sorted(COMMANDS)


def test_every_configuration_starts_the_server_for_every_language() -> None:
    helix = tomllib.loads((CONFIGS / "helix" / "languages.toml").read_text(encoding="utf-8"))
    started = helix["language-server"]["memlint"]
    assert [started["command"], *started["args"]] == ["memlint", "serve"]
    # Helix takes Verilog and SystemVerilog files for one language.
    assert {one["name"] for one in helix["language"]} == {"verilog", "vhdl"}
    kate = json.loads((CONFIGS / "kate" / "settings.json").read_text(encoding="utf-8"))["servers"]
    assert kate["verilog"]["command"] == ["memlint", "serve"]
    assert set(kate) == set(EVERYWHERE)
    sublime = json.loads((CONFIGS / "sublime" / "LSP.sublime-settings").read_text(encoding="utf-8"))
    client = sublime["clients"]["memlint"]
    assert client["command"] == ["memlint", "serve"]
    assert client["selector"] == " | ".join(f"source.{one}" for one in EVERYWHERE)
    assert {one["id"] for one in PACKAGE["contributes"]["languages"]} == set(EVERYWHERE)
