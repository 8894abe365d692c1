"""A Verilog file read again after an edit: only the unit that the edit lies in, where that is safe.

The facts are those of reading the whole file, spans and all. Units before the edit stay the same objects;
those after it are moved when somebody asks for what they hold (`memlint.reading.facts.moved`).
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, replace
from operator import attrgetter

from memlint.reading.facts.items import FileFacts, Item, Problem, Unit
from memlint.reading.facts.moved import moved, moved_later, span_moved
from memlint.reading.verilog.history import History
from memlint.reading.verilog.macros import Macro, MacroChanges
from memlint.reading.verilog.phases import Phases
from memlint.reading.verilog.preprocess import MacroTable, Preprocessed, PreprocessOptions, preprocess
from memlint.reading.verilog.read import FindInclude, VerilogReading, language_of, read_verilog
from memlint.reading.verilog.trail import Part, Trail, parts, undecided
from memlint.reading.verilog.units import Found, units
from memlint.text.source import SourceText

# A problem that tells a line by its number is wrong once lines were put in before it.
_TELLS_A_LINE = re.compile(r"\bline \d")
# The one problem of preprocessing that nothing within a unit can bring about or mend.
_NOT_FOUND = 'included file "'


def reread_verilog(
    previous_text: str,
    previous: VerilogReading,
    source: SourceText,
    macros: MacroTable,
    find_include: FindInclude,
    options: PreprocessOptions | None = None,
) -> VerilogReading:
    """The facts of `source`, a later state of the file that `previous` was read from as `previous_text`.

    Equal, spans and all, to what `read_verilog` gives for the same arguments; never raises either.
    """
    options = options or PreprocessOptions()
    trail = previous.trail
    if trail is not None and previous.facts.file == source.file and trail.options == options:
        edit = _difference(previous_text, source.text)
        at = _edited(trail, edit)
        if at is not None and _same_around(trail, macros, find_include):
            reading = _reread(previous, trail, at, edit, source, macros)
            if reading is not None:
                return reading
    return read_verilog(source, macros, find_include, options)


@dataclass(frozen=True, slots=True)
class _Edit:
    """The text between `start` and `old_end` became that between `start` and `new_end`."""

    start: int
    old_end: int
    new_end: int
    lines: bool
    """Whether a line end is among what was taken out or put in, or may be."""

    @property
    def by(self) -> int:
        """How far what stands behind it moved."""
        return self.new_end - self.old_end


def _difference(old: str, new: str) -> _Edit:
    start = _common(old, new, min(len(old), len(new)))
    low, high = 0, min(len(old), len(new)) - start
    while low < high:
        middle = (low + high + 1) // 2
        if old[len(old) - middle : len(old) - low] == new[len(new) - middle : len(new) - low]:
            low = middle
        else:
            high = middle - 1
    old_end, new_end = len(old) - low, len(new) - low
    # A line end of two characters may have been parted.
    touched = old[max(start - 1, 0) : old_end + 1] + new[start:new_end]
    return _Edit(start, old_end, new_end, "\n" in touched or "\r" in touched)


def _common(old: str, new: str, longest: int) -> int:
    low, high = 0, longest
    while low < high:
        middle = (low + high + 1) // 2
        if old[low:middle] == new[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def _edited(trail: Trail, edit: _Edit) -> int | None:
    """The unit that the edit lies in, if it can be read by itself."""
    history = trail.history
    if history.entangled or any(not one.message.startswith(_NOT_FOUND) for one in trail.preprocessing):
        return None
    at = bisect_right(trail.parts, edit.start, key=attrgetter("start")) - 1
    if at < 0:
        return None
    part = trail.parts[at]
    if not part.alone or edit.start <= part.start or edit.old_end >= part.end:
        return None
    if any(start < edge < end for start, end in history.uses for edge in (part.start, part.end)):
        return None
    reaching = [*(offset for offset, _name, _macro in history.defines), *history.includes]
    if any(part.start <= offset < part.end for offset in reaching):
        return None
    branches = [word for offset, word in history.branches if part.start <= offset < part.end]
    return at if _balanced(branches) else None


def _balanced(words: Iterable[str]) -> bool:
    """Whether every conditional among these directives is opened and closed among them."""
    depth = 0
    for word in words:
        if word in ("`ifdef", "`ifndef"):
            depth += 1
        elif depth == 0:
            return False
        elif word == "`endif":
            depth -= 1
    return depth == 0


def _same_around(trail: Trail, macros: MacroTable, find_include: FindInclude) -> bool:
    """Whether the macros before the file and the files it includes are as they were."""
    if macros is not trail.macros and macros != trail.macros:
        return False
    for name, including, before in trail.history.requests:
        now = find_include(name, including)
        if now is not before and (
            now is None or before is None or (now.file, now.text) != (before.file, before.text)
        ):
            return False
    return True


def _reread(
    previous: VerilogReading,
    trail: Trail,
    at: int,
    edit: _Edit,
    source: SourceText,
    macros: MacroTable,
) -> VerilogReading | None:
    """The file with the unit at an index read anew; None where that is not safe after all."""
    old = trail.parts[at]
    first, last = old.start, old.end + edit.by
    table = _macros_before(trail.history, macros, first)
    done = preprocess(source, table, lambda _name, _including: None, trail.options, (first, last))
    if done.problems or not _self_contained(done.history, trail):
        return None
    language = language_of(source.file)
    found = units(done.tokens, language)
    part = _sole_part(found, done, source, (first, last), language == "verilog")
    if part is None or edit.start < done.tokens[0].end:
        return None
    kept = (one.newer for index, one in enumerate(trail.parts) if index != at)
    if undecided(part.newer.union(trail.newer, *kept)):
        return None
    read, intents = found.units, Phases()
    if done.comments:
        from memlint.reading.verilog.places import with_intents

        read, _outside, phases = with_intents(read, (), done.tokens, done.comments, {source.file: source})
        intents = phases[0]
    merged = _merged(trail.intents, intents, old, edit, source.file)
    others = _others(previous.facts, at, old, edit)
    if merged is None or others is None:
        return None
    before, after, outside = others
    preprocessing = tuple(_moved_problem(one, old, edit, source.file) for one in trail.preprocessing)
    facts = FileFacts(
        source.file,
        language,
        (*before, read[0], *after),
        outside,
        (*preprocessing, *merged.all),
        previous.facts.includes,
    )
    history = _joined(trail.history, done.history, old, edit, source.file)
    moved_parts = tuple(_moved_part(one, old, edit) for one in trail.parts)
    return VerilogReading(
        facts,
        _macros_after(previous, trail, history, old, edit, macros),
        Trail(
            macros,
            trail.options,
            history,
            (*moved_parts[:at], part, *moved_parts[at + 1 :]),
            trail.newer,
            preprocessing,
            merged,
        ),
    )


def _self_contained(history: History, trail: Trail) -> bool:
    """Whether a unit's text does nothing that reaches beyond it."""
    expanded = trail.history.expanded + history.expanded
    return not (
        history.entangled
        or history.defines
        or history.includes
        or expanded > trail.options.max_expanded
    )


def _sole_part(
    found: Found, done: Preprocessed, source: SourceText, extent: tuple[int, int], may_be_older: bool
) -> Part | None:
    """The part's place, if one unit fills it, written out and ended by its own end word."""
    tokens = done.tokens
    if len(found.units) != 1 or found.outside or len(tokens) < 3:
        return None
    (only,) = found.extents
    if only.first != 0 or only.behind != len(tokens) - 1 or not only.closed:
        return None
    start, end = extent
    begin, last = tokens[0], tokens[-2]
    if begin.start != start or last.end != end or last.kind not in ("kw", "id"):
        return None
    if not source.text.startswith(begin.text, start) or source.text[last.start : end] != last.text:
        return None
    (part,) = parts(tokens, found.extents, source.file, may_be_older)
    return replace(part, alone=True)


def _macros_before(history: History, macros: MacroTable, offset: int) -> MacroTable:
    """The macros in force at an offset of the file."""
    return _table(macros, (one for one in history.defines if one[0] < offset))


def _macros_after(
    previous: VerilogReading, trail: Trail, history: History, old: Part, edit: _Edit, macros: MacroTable
) -> MacroTable:
    """The macros in force behind the file; the very table of before where nothing about it moved."""
    still = not edit.by or all(offset < old.start for offset, _name, _macro in trail.history.defines)
    return previous.macros if macros is trail.macros and still else _table(macros, history.defines)


def _table(macros: MacroTable, defines: Iterable[tuple[int, str, Macro | None]]) -> MacroTable:
    cleared = False
    changes: dict[str, Macro | None] = {}
    for _offset, name, macro in defines:
        if name:
            changes[name] = macro
        else:
            cleared = True
            changes.clear()
    return macros.with_changes(MacroChanges(cleared, changes))


def _others(
    facts: FileFacts, at: int, old: Part, edit: _Edit
) -> tuple[tuple[Unit, ...], tuple[Unit, ...], tuple[Item, ...]] | None:
    """The other units and what stands outside them, moved; None where they are not in order."""
    before, after = facts.units[:at], facts.units[at + 1 :]
    file, by = facts.file, edit.by
    if any(one.whole.file == file and one.whole.end > old.start for one in before):
        return None
    if any(one.whole.file == file and one.whole.start < old.end for one in after):
        return None
    if not by:
        return before, after, facts.items
    outside: list[Item] = []
    for one in facts.items:
        if one.span.file == file and one.span.end > old.start:
            if one.span.start < old.end:
                return None
            one = moved(one, file, by)
        outside.append(one)
    return (
        before,
        tuple(moved_later(one, file, by) if one.whole.file == file else one for one in after),
        tuple(outside),
    )


def _merged(before: Phases, inside: Phases, old: Part, edit: _Edit, file: str) -> Phases | None:
    """The problems of intents with those of the unit replaced; None where one tells of a line that moved."""
    merged: list[tuple[Problem, ...]] = []
    for kept, new in (
        (before.text, inside.text),
        (before.unattached, inside.unattached),
        (before.repeated, inside.repeated),
        (before.lost, inside.lost),
    ):
        behind = [one for one in kept if one.span.start >= old.end]
        if edit.lines and any(_TELLS_A_LINE.search(one.message) for one in behind):
            return None
        merged.append(
            (
                *(one for one in kept if one.span.start < old.start),
                *new,
                *(moved(one, file, edit.by) if edit.by else one for one in behind),
            )
        )
    return Phases(*merged)


def _moved_problem(problem: Problem, old: Part, edit: _Edit, file: str) -> Problem:
    if not edit.by or problem.span.file != file or problem.span.start < old.end:
        return problem
    return replace(problem, span=span_moved(problem.span, file, edit.by))


def _moved_part(part: Part, old: Part, edit: _Edit) -> Part:
    if not edit.by or part.start < old.end:
        return part
    return Part(part.start + edit.by, part.end + edit.by, part.alone, part.newer)


def _joined(before: History, inside: History, old: Part, edit: _Edit, file: str) -> History:
    """The history of the whole file with that of the unit replaced."""
    by = edit.by

    def place(offset: int) -> int:
        return offset + by if offset >= old.end else offset

    def placed(macro: Macro | None) -> Macro | None:
        if not by or macro is None or macro.span.file != file or macro.span.start < old.end:
            return macro
        return replace(macro, span=span_moved(macro.span, file, by))

    behind = [(place(offset), word) for offset, word in before.branches if offset >= old.end]
    return History(
        defines=[(place(offset), name, placed(macro)) for offset, name, macro in before.defines],
        branches=[*(one for one in before.branches if one[0] < old.start), *inside.branches, *behind],
        uses=[
            *(one for one in before.uses if one[0] < old.start),
            *inside.uses,
            *((place(start), place(end)) for start, end in before.uses if start >= old.end),
        ],
        includes=[place(offset) for offset in before.includes],
        requests=before.requests,
        expanded=before.expanded + inside.expanded,
    )
