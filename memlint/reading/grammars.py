"""The lark grammars of `grammar/` as parsers, each built once, on first use, and their prepared tables."""

from __future__ import annotations

import json
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from lark import Lark, Transformer
    from lark.lexer import Lexer

    from memlint.reading.lalr import Prepared

_PACKAGE = Path(__file__).resolve().parent.parent
# A wheel carries the grammars inside the package; a checkout has them beside it.
_FOLDERS = (_PACKAGE / "grammar", _PACKAGE.parent / "grammar")


def grammar_file(name: str) -> Path:
    """Where `<name>.lark` lies.

    Raises FileNotFoundError naming the places looked in, when the installation is incomplete.
    """
    for folder in _FOLDERS:
        path = folder / f"{name}.lark"
        if path.is_file():
            return path
    places = " or ".join(str(folder) for folder in _FOLDERS)
    raise FileNotFoundError(f"grammar {name} is missing in {places}: install memlint again")


@cache
def grammar_text(name: str) -> str:
    """The text of `grammar/<name>.lark`. Raises FileNotFoundError as `grammar_file` does."""
    return grammar_file(name).read_text(encoding="utf-8")


def fingerprint(name: str) -> str:
    """What tells whether a table was made of the grammar as it is now."""
    return sha256(grammar_text(name).encode()).hexdigest()


def prepared(name: str) -> Prepared:
    """The parse table of a grammar: from its file, or where that is missing or older, made anew."""
    from memlint.reading.lalr import Prepared, PreparedRule

    file = grammar_file(name).with_suffix(".json")
    data = json.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}
    if data.get("grammar") != fingerprint(name):
        from memlint.reading.prepare import prepare

        return prepare(name)
    rows: list[dict[str, int]] = data["rows"]
    shifts, reductions, gotos = zip(*data["states"], strict=True)
    return Prepared(
        [PreparedRule(*rule) for rule in data["rules"]],
        [rows[number] for number in shifts],
        [rows[number] for number in reductions],
        [rows[number] for number in gotos],
        data["starts"],
        data["ends"],
        [(name, pattern) for name, pattern in data["terminals"]],
    )


@cache
def parser(
    name: str,
    start: str | tuple[str, ...] = "start",
    *,
    lexer: type[Lexer] | Literal["contextual", "basic"] = "contextual",
    transformer: Transformer[Any, Any] | None = None,
    propagate_positions: bool = False,
    maybe_placeholders: bool = True,
) -> Lark:
    """The LALR(1) parser of grammar `name`; equal arguments give the same object.

    `lexer` is one of lark's own or a Lexer class whose `lex(data)` yields lark Tokens from what was
    given to `Lark.parse`. With `transformer` (compared by identity) its callbacks run while parsing,
    and no tree is built. Lark's on-disk cache is never used: it is a pickle in a shared folder.
    """
    # Importing lark takes tens of milliseconds that a run without any HDL should not pay.
    from lark import Lark

    return Lark(
        grammar_text(name),
        parser="lalr",
        start=[start] if isinstance(start, str) else list(start),
        lexer=lexer,
        transformer=transformer,
        propagate_positions=propagate_positions,
        maybe_placeholders=maybe_placeholders,
    )
