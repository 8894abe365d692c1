"""Scripts by which shells complete memlint's command line."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OptionWords:
    """An option: its name, what it does, the words it takes (none: a file or free text, or no value)."""

    name: str
    help: str
    takes_value: bool
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CommandWords:
    """A command: its options, and the words that may stand as its argument (none: files)."""

    name: str
    help: str
    options: tuple[OptionWords, ...]
    words: tuple[str, ...] = ()


def bash(commands: Sequence[CommandWords]) -> str:
    """For bash 3.2 and later: source it, or put it where completions are loaded from."""
    cases = "".join(_bash_case(one) for one in commands)
    names = " ".join(one.name for one in commands)
    return f"""\
# memlint completion for bash
_memlint() {{
    local current="${{COMP_WORDS[COMP_CWORD]}}" previous="${{COMP_WORDS[COMP_CWORD-1]}}"
    local options="" words="" values=""
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "{names} --help --version" -- "$current"))
        return
    fi
    case "${{COMP_WORDS[1]}}" in
{cases}    esac
    if [ -n "$values" ]; then
        COMPREPLY=($(compgen -W "$values" -- "$current"))
    elif [ "${{current#-}}" != "$current" ]; then
        COMPREPLY=($(compgen -W "$options" -- "$current"))
    else
        COMPREPLY=($(compgen -W "$words" -- "$current") $(compgen -f -- "$current"))
    fi
}}
complete -o filenames -F _memlint memlint
"""


def _bash_case(command: CommandWords) -> str:
    lines = [f"    {command.name})", f'        options="{" ".join(one.name for one in command.options)}"']
    if command.words:
        lines.append(f'        words="{" ".join(command.words)}"')
    return "\n".join(
        [*lines, *_values(command, lambda words: f'values="{" ".join(words)}"'), "        ;;", ""]
    )


def _values(command: CommandWords, said: Callable[[Sequence[str]], str]) -> list[str]:
    valued = [one for one in command.options if one.words]
    if not valued:
        return []
    cases = [f"        {one.name}) {said(one.words)} ;;" for one in valued]
    return ['        case "$previous" in', *cases, "        esac"]


def zsh(commands: Sequence[CommandWords]) -> str:
    """For zsh: a file `_memlint` in a folder of `fpath`, or sourced after `compinit`."""
    cases = "".join(_zsh_case(one) for one in commands)
    names = " ".join(f"'{one.name}:{_quoted(one.help)}'" for one in commands)
    return f"""\
#compdef memlint
# memlint completion for zsh
_memlint() {{
    local previous="${{words[CURRENT-1]}}"
    local -a commands options arguments values
    commands=({names})
    if (( CURRENT == 2 )); then
        _describe command commands
        return
    fi
    case "${{words[2]}}" in
{cases}    esac
    if (( $#values )); then
        compadd -a values
    elif [[ "$PREFIX" == -* ]]; then
        _describe option options
    else
        (( $#arguments )) && compadd -a arguments
        _files
    fi
}}
if [ "$funcstack[1]" = "_memlint" ]; then _memlint; else compdef _memlint memlint; fi
"""


def _zsh_case(command: CommandWords) -> str:
    options = " ".join(f"'{one.name}:{_quoted(one.help)}'" for one in command.options)
    lines = [f"    {command.name})", f"        options=({options})"]
    if command.words:
        lines.append(f"        arguments=({' '.join(command.words)})")
    return "\n".join(
        [*lines, *_values(command, lambda words: f"values=({' '.join(words)})"), "        ;;", ""]
    )


def fish(commands: Sequence[CommandWords]) -> str:
    """For fish: a file `memlint.fish` among its completions, or sourced."""
    lines = ["# memlint completion for fish"]
    for command in commands:
        lines.append(
            f"complete -c memlint -n __fish_use_subcommand -f -a {command.name} -d '{_quoted(command.help)}'"
        )
    for command in commands:
        start = f"complete -c memlint -n '__fish_seen_subcommand_from {command.name}'"
        if command.words:
            lines.append(f"{start} -a '{' '.join(command.words)}'")
        for one in command.options:
            value = f" -x -a '{' '.join(one.words)}'" if one.words else " -r" if one.takes_value else ""
            lines.append(f"{start} -l {one.name.lstrip('-')}{value} -d '{_quoted(one.help)}'")
    return "\n".join([*lines, ""])


def _quoted(text: str) -> str:
    """Text that may stand within single quotes, and before or after a colon, in each of the shells."""
    return text.replace("'", "’").replace(":", ",")


SHELLS: Mapping[str, Callable[[Sequence[CommandWords]], str]] = {"bash": bash, "zsh": zsh, "fish": fish}
