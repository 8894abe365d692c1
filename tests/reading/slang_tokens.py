"""Tokens as an independent implementation, the pyslang library, reads them: the oracle of these tests."""

from __future__ import annotations

import pytest

pyslang = pytest.importorskip("pyslang")
from pyslang import parsing, syntax  # noqa: E402


def lexed(text: str) -> list[tuple[int, str]]:
    """Offset and text of each token, without preprocessing."""
    manager = pyslang.SourceManager()
    lexer = parsing.Lexer(manager.assignText(text), pyslang.BumpAllocator(), pyslang.Diagnostics(), manager)
    found = []
    while (token := lexer.lex()).kind != parsing.TokenKind.EndOfFile:
        found.append((token.location.offset, token.rawText))
    return found


def preprocessed(
    text: str = "", path: str = "", folders: tuple[str, ...] = ()
) -> tuple[list[str], list[str]]:
    """Text of each token after preprocessing, and the names of the errors found."""
    manager = pyslang.SourceManager()
    for folder in folders:
        manager.addUserDirectories(folder)
    tree = syntax.SyntaxTree.fromFile(path, manager) if path else syntax.SyntaxTree.fromText(text, manager)
    found: list[str] = []
    pending = [tree.root]
    while pending:
        node = pending.pop()
        if isinstance(node, parsing.Token):
            found.extend(_texts(node))
        elif node is not None:
            pending.extend(node[at] for at in reversed(range(len(node))))
    errors = [str(each.code)[len("DiagCode(") : -1] for each in tree.diagnostics if each.isError()]
    return found, errors


def keywords(version: str, words: list[str]) -> set[str]:
    """Those of the words that a version of the standard reserves."""
    text = "".join(f'`begin_keywords "{version}"\n{word} `end_keywords\n' for word in words)
    manager = pyslang.SourceManager()
    tree = syntax.SyntaxTree.fromText(text, manager)
    found = set()
    pending = [tree.root]
    while pending:
        node = pending.pop()
        if isinstance(node, parsing.Token):
            read = [each for each in (*_skipped(node), node) if not each.isMissing]
            found |= {each.rawText for each in read if str(each.kind).endswith("Keyword")}
        elif node is not None:
            pending.extend(node[at] for at in range(len(node)))
    return found & set(words)


def _skipped(token: parsing.Token) -> list[parsing.Token]:
    kind = parsing.TriviaKind.SkippedTokens
    return [each for trivia in token.trivia if trivia.kind == kind for each in trivia.getSkippedTokens()]


def _texts(token: parsing.Token) -> list[str]:
    before = [text for each in _skipped(token) for text in _texts(each)]
    return before if token.isMissing else [*before, token.rawText]
