"""The findings as they stand on the page, each with its line of source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from memlint.engine.judgement import Judgement
from memlint.reports.excerpt import excerpt
from memlint.reports.html.links import address
from memlint.reports.html.markup import Markup, join, memory_link, name, prose, tag
from memlint.reports.page import Page
from memlint.rules.finding import Finding
from memlint.text.source import Span

_WIDTH = 110
_PLAIN = Page()
_MOST_PATHS = 3


@dataclass(frozen=True, slots=True)
class Around:
    """What a finding is shown in: `known` are the memories with a row on the page, `links` the pattern of
    addresses of source lines, empty where there is none."""

    judgement: Judgement
    known: frozenset[str]
    links: str = ""


def finding_list(findings: Sequence[Finding], around: Around, fresh: Mapping[int, str]) -> Markup:
    """All findings in their order; `fresh` are the words at those that are new, by their index."""
    items = [_finding(one, f"f-{at}", around, fresh=fresh.get(at)) for at, one in enumerate(findings)]
    return tag("ol", items, class_="findings")


def accepted_list(findings: Sequence[Finding], around: Around) -> Markup:
    """Accepted findings, each with the reason that was given."""
    by_path = {view.memory.path: view for view in around.judgement.memories}
    items = []
    for at, one in enumerate(findings):
        reasons = [
            accept.reason
            for path in one.paths
            if path in by_path and (accept := by_path[path].accepted(one.rule)) is not None
        ]
        said = [tag("p", "Accepted because: ", tag("q", tag("bdi", text))) for text in dict.fromkeys(reasons)]
        items.append(_finding(one, f"a-{at}", around, join(said)))
    return tag("ol", items, class_="findings")


def _finding(
    one: Finding,
    key: str,
    around: Around,
    more: Markup | None = None,
    fresh: str | None = None,
) -> Markup:
    severity = str(one.severity)
    return tag(
        "li",
        tag(
            "h3",
            tag("span", severity, class_=f"severity {severity}"),
            tag("code", one.rule, class_="rule"),
            tag("span", fresh, class_="fresh") if fresh else None,
        ),
        tag("p", prose(one.message), class_="message"),
        more,
        _place(one.span, around),
        _paths(one.paths, around.known),
        tag("ul", [tag("li", prose(text)) for text in one.help], class_="help") if one.help else None,
        _related(one, around),
        id=key,
        data_severity=severity,
        tabindex=-1,
    )


def _place(span: Span, around: Around) -> Markup:
    """`file:line:column` and the line itself with the span marked."""
    sources = around.judgement.sources
    source = sources.get(span.file)
    line = None if source is None else source.position(span.start).line
    link = address(around.links, span.file, line)
    said = tag("code", tag("bdi", _PLAIN.place(span, sources)))
    where = tag("p", said if link is None else tag("a", said, href=link), class_="place")
    shown = None if source is None else excerpt(source, span, _WIDTH)
    if shown is None:
        return where
    start = len(shown.marks) - len(shown.marks.lstrip())
    before, marked, after = _split(shown.line, start, len(shown.marks))
    until = f"  to line {shown.last_line}" if shown.last_line is not None else None
    marks = tag("code", before, tag("mark", marked), after, until)
    return join(where, tag("pre", marks, dir="ltr", tabindex=0))


def _split(line: str, start: int, end: int) -> tuple[str, str, str]:
    return line[:start], line[start:end], line[end:]


def _paths(paths: Sequence[str], known: frozenset[str]) -> Markup | None:
    if not paths:
        return None
    shown = [tag("li", _path(path, known)) for path in paths[:_MOST_PATHS]]
    rest = [tag("li", _path(path, known)) for path in paths[_MOST_PATHS:]]
    if not rest:
        return tag("ul", shown, class_="paths")
    more = tag("details", tag("summary", f"and {len(rest):,} more"), tag("ul", rest, class_="paths"))
    return join(tag("ul", shown, class_="paths"), more)


def _path(path: str, known: frozenset[str]) -> Markup:
    return tag("a", name(path), href=memory_link(path)) if path in known else name(path)


def _related(one: Finding, around: Around) -> Markup | None:
    if not one.related:
        return None
    places = [
        tag("li", tag("p", prose(related.message)), _place(related.span, around)) for related in one.related
    ]
    count = len(one.related)
    title = "1 place that explains it" if count == 1 else f"{count} places that explain it"
    return tag("details", tag("summary", title), tag("ul", places, class_="related"))
