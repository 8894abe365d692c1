"""Helpers of the intent tests: comments and statements found in a piece of source, the simple way."""

import re
from dataclasses import dataclass
from typing import Literal

from memlint.reading.facts.items import Problem
from memlint.reading.intent.attach import Attachment, StatementPlace, attach, read_comments
from memlint.reading.intent.clauses import Intent
from memlint.reading.intent.comments import Comment, Piece
from memlint.reading.intent.format import format_intent
from memlint.reading.intent.reader import read_intents
from memlint.text.source import SourceText

FILE = "line_store.sv"


@dataclass(frozen=True)
class Read:
    intents: tuple[Intent, ...]
    problems: tuple[Problem, ...]
    text: str

    def word(self, index: int = 0) -> str:
        """The text a problem points at."""
        span = self.problems[index].span
        assert span.file == FILE
        return self.text[span.start : span.end]


def read(*lines: str) -> Read:
    """Each line as a comment `// @mem …` of one group."""
    pieces = []
    text = ""
    for line in lines:
        start = len(text)
        text += f"// @mem {line}"
        pieces.append(Piece(start + len("// @mem"), f" {line}", (start, len(text))))
        text += "\n"
    intents, problems = read_intents(pieces, SourceText(FILE, text))
    return Read(intents, problems, text)


def comments_of(text: str) -> list[Comment]:
    comments = []
    for match in re.finditer(r"//[^\r\n]*|--[^\r\n]*|/\*.*?(?:\*/|\Z)", text, re.DOTALL):
        before = re.split(r"[\r\n]", text[: match.start()])
        comments.append(
            Comment(
                match.start(),
                match.end(),
                match[0],
                own_line=not before[-1].strip(),
                line=len(re.findall(r"\r\n|\r|\n", text[: match.start()])) + 1,
                block=match[0].startswith("/*"),
            )
        )
    return comments


def statements_of(text: str) -> list[StatementPlace]:
    """Code up to each `;`, and lone `begin`, `end…`; names starting with mem or u_ take an intent."""
    blank = text
    for comment in comments_of(text):
        blank = blank[: comment.start] + " " * len(comment.text) + blank[comment.end :]
    places = []
    for match in re.finditer(r"(\(\*.*?\*\)\s*)?(\bbegin\b|\bend\w*|[^\s;][^;]*;)", blank, re.DOTALL):
        takes = re.search(r"\b(mem|u_)", match[2]) is not None
        kind: Literal["memory-or-instance", "other"] = "memory-or-instance" if takes else "other"
        places.append(StatementPlace(match.start(), match.end(), kind, match.start(2)))
    return places


def attached(text: str) -> tuple[dict[str, str], Attachment]:
    """The first lines of statements with the intents they got, as text; and the whole answer."""
    source = SourceText(FILE, text)
    groups, problems = read_comments(comments_of(text), source)
    assert not problems
    statements = statements_of(text)
    answer = attach(groups, statements, source)
    shown = {
        text[statements[index].after_attributes : statements[index].end].split("\n")[0]: " | ".join(
            format_intent(intent) for intent in intents
        )
        for index, intents in answer.statements.items()
    }
    return shown, answer
