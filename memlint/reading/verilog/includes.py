"""The `include directive (IEEE Std 1800-2017 22.4)."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.reading.verilog.expansion import put_in
from memlint.reading.verilog.tokens import Token
from memlint.reading.verilog.working import Stream, Work


def include(work: Work, stream: Stream, at: int) -> int:
    """Read the file that the directive at an index names; the index behind the directive."""
    token = stream.tokens[at]
    operand = stream.peek(at + 1)
    end = at + 2
    found: Sequence[Token] = [operand]
    if operand.kind == "dir" and stream.same_line(token, operand):
        expansion: list[Token] = []
        end = put_in(work, stream, at + 1, expansion)
        found = expansion
    elif operand.text == "<":
        while stream.peek(end).text != ">" and stream.same_line(token, stream.peek(end)):
            end += 1
        end += 1
        found = stream.tokens[at + 1 : end]
    name = _include_name(found)
    if name is None or not stream.same_line(token, operand):
        work.report(
            "`include names no file",
            token.span,
            'write `include "file" or `include <file>',
            "or a macro that gives one",
        )
        return at + 1
    place = stream.place or token._replace(end=stream.tokens[end - 1].end)
    _read_include(work, name, place)
    return end


def _include_name(tokens: Sequence[Token]) -> str | None:
    if len(tokens) == 1 and tokens[0].kind == "str":
        return tokens[0].text
    if len(tokens) > 2 and tokens[0].text == "<" and tokens[-1].text == ">":
        return "".join(token.text for token in tokens[1:-1])
    return None


def _read_include(work: Work, name: str, place: Token) -> None:
    options = work.options
    if len(work.files) > options.max_include_depth:
        loop = " includes ".join(work.files[-3:])
        work.report(
            f"files include each other more than {options.max_include_depth} deep ({loop} includes {name})",
            place.span,
            "guard the file with `ifndef, `define and `endif",
            once=True,
        )
        return
    if work.included > options.max_included:
        work.report(
            f"included files put in more than {options.max_included} tokens; no more are read",
            place.span,
            "guard the files with `ifndef, `define and `endif",
            once=True,
        )
        return
    source = work.find_include(name, place.file)
    work.history.includes.append(work.history.here)
    work.history.requests.append((name, place.file, source))
    work.includes[name] = source.file if source else work.includes.get(name)
    if source is None:
        work.report(
            f'included file "{name}" is not found',
            place.span,
            "add its folder to include_dirs in memlint.toml, or to a file list as +incdir+",
            once=True,
            missing=name,
        )
        return
    before = len(work.out)
    work.read_file(work, source)
    # Even a file that puts nothing in takes its time.
    work.included += len(work.out) - before + 256
