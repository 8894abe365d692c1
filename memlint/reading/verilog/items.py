"""Items of a module, interface, package or generate block: found by a cheap scan, parsed one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from memlint.reading.facts.expressions import Binary, Expr, Unary
from memlint.reading.facts.items import (
    AttributeFact,
    ContinuousAssign,
    Defparam,
    Item,
    Modport,
    Process,
    Skipped,
)
from memlint.reading.facts.statements import Block, Event
from memlint.reading.verilog import declarations
from memlint.reading.verilog.cursor import STOPS, Cursor, find, split
from memlint.reading.verilog.events import event_control
from memlint.reading.verilog.generate import generate
from memlint.reading.verilog.instances import instances, is_instance
from memlint.reading.verilog.leaves import BUILTIN_TYPES, expression, names, slice_span
from memlint.reading.verilog.quick import assignment as quick_assignment
from memlint.reading.verilog.statements import statement
from memlint.reading.verilog.subprograms import local_items, subprogram
from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

_PROCESSES = frozenset(["always", "always_ff", "always_comb", "always_latch", "initial", "final"])
_EQUALS = frozenset(("=",))
_GATES = {"buf": "", "not": "~", "and": "&", "nand": "&", "or": "|", "nor": "|", "xor": "^", "xnor": "^"}
_OTHER_GATES = frozenset(
    """
    bufif0 bufif1 notif0 notif1 nmos pmos cmos rnmos rpmos rcmos tran tranif0 tranif1 rtran rtranif0
    rtranif1 pullup pulldown
    """.split()
)
_DECLARATIONS = (
    BUILTIN_TYPES | declarations.NETS | frozenset("""
    struct union enum var const static automatic
    """.split())
)
# A construct that runs to its own end word and holds no memory of the design.
_ENCLOSED = {
    "specify": "endspecify",
    "property": "endproperty",
    "sequence": "endsequence",
    "covergroup": "endgroup",
    "clocking": "endclocking",
    "checker": "endchecker",
    "class": "endclass",
    "table": "endtable",
    "config": "endconfig",
}
ENDS = frozenset(
    """
    endmodule endinterface endpackage endprogram endgenerate end endprimitive endfunction endtask
    """.split()
)


def items(cursor: Cursor, until: frozenset[str], depth: int = 0) -> list[Item]:
    """Items up to (not over) one of the end words in `until`, a unit's start, or the end of the text."""
    found: list[Item] = []
    while not cursor.ended:
        token = cursor.token
        if token.kind == "kw" and (token.text in until or token.text in ("module", "macromodule")):
            break
        before = cursor.at
        found.extend(item(cursor, depth))
        if cursor.at == before:
            cursor.take()
    return found


def _read(cursor: Cursor, until: frozenset[str] | None, depth: int) -> list[Item]:
    return item(cursor, depth) if until is None else items(cursor, until, depth)


def item(cursor: Cursor, depth: int = 0) -> list[Item]:
    """The items one statement declares (often one, or none)."""
    attribute_facts = declarations.attributes(cursor)
    token = cursor.token
    if token.kind == "kw":
        return _keyword(cursor, attribute_facts, depth)
    if token.kind == "id":
        return _identifier(cursor, attribute_facts)
    cursor.take()
    return []


def _keyword(cursor: Cursor, attribute_facts: tuple[AttributeFact, ...], depth: int) -> list[Item]:
    word = cursor.token.text
    if word in _PROCESSES:
        return [_process(cursor)]
    if word in _DECLARATIONS:
        return _with_attributes(cursor, attribute_facts)
    if word in declarations.DIRECTIONS:
        tokens, _done = declarations.statement_tokens(cursor)
        found, skipped = declarations.port_declaration(tokens)
        return [*(replace(port, attributes=attribute_facts) for port in found), *skipped]
    if word in ("if", "for", "case", "begin", "generate"):
        return generate(cursor, depth, _read)
    if word in _ENCLOSED:
        return _enclosed(cursor, _ENCLOSED[word])
    if word in _GATES or word in _OTHER_GATES:
        return _gates(cursor)
    match word:
        case "assign":
            return _assign(cursor)
        case "parameter" | "localparam":
            tokens, _done = declarations.statement_tokens(cursor)
            return list(declarations.parameters(tokens, word == "localparam"))
        case "genvar":
            tokens, _done = declarations.statement_tokens(cursor)
            return []
        case "typedef":
            return _typedef(cursor)
        case "import":
            return _import(cursor)
        case "export":
            _past_semicolon(cursor)
            return []
        case "assert" | "assume" | "cover" | "restrict":
            # With its action block: `assert property (…) else $error(…);`
            statement(cursor, local_items)
            return []
        case "function" | "task":
            return [subprogram(cursor)]
        case "defparam":
            return _defparam(cursor)
        case "modport":
            return _modport(cursor)
        case "bind":
            start = cursor.at
            tokens, _done = declarations.statement_tokens(cursor)
            return [Skipped("`bind`", names(tokens), span=cursor.span(start))]
        case _:
            return _ignored(cursor, word)


def _ignored(cursor: Cursor, word: str) -> list[Item]:
    """Statements that say nothing about memories: assertions, exports, default clocking and their kin."""
    if word in ENDS or (word in STOPS and word not in ("import",)):
        cursor.take()
        return []
    start = cursor.at
    tokens, _done = declarations.statement_tokens(cursor)
    if cursor.at == start:
        cursor.take()
    if word in ("default", "timeunit", "timeprecision", "extern"):
        return []
    if word in (
        "let",
        "nettype",
        "alias",
        "global",
        "property",
        "endproperty",
        "specparam",
        "event",
        "virtual",
    ):
        return []
    return [Skipped(f"`{word}`", names(tokens), span=cursor.span(start))]


def _with_attributes(cursor: Cursor, attribute_facts: tuple[AttributeFact, ...]) -> list[Item]:
    start = cursor.at
    tokens, done = declarations.statement_tokens(cursor)
    if not done and tokens:
        # The declaration is unfinished: it may have swallowed the next line, which is read again.
        again = _next_line_declaration(cursor, start)
        if again is not None:
            tokens = cursor.tokens[start:again]
            cursor.at = again
    return declarations.variables(tokens, attribute_facts)


def _next_line_declaration(cursor: Cursor, start: int) -> int | None:
    for at in range(start + 1, cursor.at):
        token = cursor.tokens[at]
        if (
            token.kind == "kw"
            and token.text in _DECLARATIONS
            and token.text in ("logic", "reg", "wire", "var")
        ):
            return at
    return None


def _typedef(cursor: Cursor) -> list[Item]:
    tokens, _done = declarations.statement_tokens(cursor)
    return declarations.typedef(tokens[1:])


def _import(cursor: Cursor) -> list[Item]:
    if cursor.peek().kind == "str":
        # A DPI import declares a foreign function; it may be called, but its value is never known.
        _past_semicolon(cursor)
        return []
    cursor.take()
    tokens, _done = declarations.statement_tokens(cursor)
    return declarations.imports(tokens)


def _past_semicolon(cursor: Cursor) -> None:
    """Step over a statement in which words like `function` start nothing."""
    while not cursor.ended and not cursor.is_op(";"):
        if cursor.token.kind == "kw" and cursor.token.text in ENDS:
            return
        cursor.take()
    cursor.accept(";")


def _process(cursor: Cursor) -> Item:
    start = cursor.at
    kind = cursor.take().text
    events: tuple[Event, ...] = ()
    star = False
    if kind not in ("always_comb", "initial", "final") and cursor.accept("@"):
        events, star = event_control(cursor)
    body = statement(cursor, local_items) or Block((), span=cursor.span(start))
    return Process(kind, events, star, body, span=cursor.span(start))


def _assign(cursor: Cursor) -> list[Item]:
    start = cursor.at
    quick = quick_assignment(cursor.tokens, start + 1, _EQUALS)
    if quick is not None:
        target, _op, value, end = quick
        cursor.at = end + 1
        return [ContinuousAssign(target, value, span=cursor.span(start))]
    tokens, _done = declarations.statement_tokens(cursor)
    rest = tokens[1:]
    # Drive strength and delay say nothing about memories.
    if rest and rest[0].text == "(" and len(rest) > 1 and rest[1].kind == "kw":
        end = next((at for at, one in enumerate(rest) if one.text == ")"), 0)
        rest = rest[end + 1 :]
    if rest and rest[0].text == "#" and rest[0].kind == "op":
        rest = rest[2:] if len(rest) > 1 and rest[1].text != "(" else rest[_close(rest, 1) + 1 :]
    found: list[Item] = []
    for part in split(rest):
        pair = declarations.assigned(part) if part else None
        if pair is None:
            if part:
                found.append(Skipped("an assignment without `=`", names(part), span=slice_span(part)))
            continue
        found.append(
            ContinuousAssign(*pair, span=cursor.span(start) if len(found) == 0 else slice_span(part))
        )
    return found


def _close(tokens: Sequence[Token], opening: int) -> int:
    depth = 0
    for at in range(opening, len(tokens)):
        depth += (tokens[at].text == "(") - (tokens[at].text == ")")
        if depth == 0:
            return at
    return len(tokens) - 1


def _defparam(cursor: Cursor) -> list[Item]:
    tokens, _done = declarations.statement_tokens(cursor)
    found: list[Item] = []
    for part in split(tokens[1:]):
        pair = declarations.assigned(part)
        if pair is not None:
            found.append(Defparam(*pair, span=slice_span(part)))
    return found


def _modport(cursor: Cursor) -> list[Item]:
    tokens, _done = declarations.statement_tokens(cursor)
    found: list[Item] = []
    for part in split(tokens[1:]):
        if len(part) < 3 or part[0].kind != "id":
            continue
        direction = "input"
        listed: list[tuple[str, str]] = []
        for port in split(part[2:-1]):
            if port and port[0].kind == "kw":
                direction, port = port[0].text, port[1:]
            if port and port[0].kind == "id":
                listed.append((direction, port[0].text))
        found.append(Modport(part[0].text, tuple(listed), span=slice_span(part[:1])))
    return found


def _gates(cursor: Cursor) -> list[Item]:
    """Gate primitives as assignments: their output is the first terminal."""
    start = cursor.at
    word = cursor.take().text
    tokens, _done = declarations.statement_tokens(cursor)
    if word in _OTHER_GATES:
        return []
    span = cursor.span(start)
    found: list[Item] = []
    for part in split(tokens):
        opening = find(part, frozenset(("(",)))
        while opening is not None and opening == 1 and part[0].text == "#":
            part = part[_close(part, opening) + 1 :]
            opening = find(part, frozenset(("(",)))
        if opening is None:
            continue
        terminals = [expression(one) for one in split(part[opening + 1 : _close(part, opening)])]
        if len(terminals) < 2:
            continue
        if word in ("buf", "not"):
            value = terminals[-1]
            value = Unary("~", value, span=value.span) if word == "not" else value
            found.extend(ContinuousAssign(target, value, span=span) for target in terminals[:-1])
            continue
        value = _gate_value(terminals[1:], _GATES[word], word in ("nand", "nor", "xnor"), span)
        found.append(ContinuousAssign(terminals[0], value, span=span))
    return found


def _gate_value(inputs: list[Expr], op: str, inverted: bool, span: Span) -> Expr:
    value = inputs[0]
    for one in inputs[1:]:
        value = Binary(op, value, one, span=span)
    return Unary("~", value, span=span) if inverted else value


def _enclosed(cursor: Cursor, end: str) -> list[Item]:
    """Step over a construct with its own end word; a missing end word costs only the next line."""
    start = cursor.at
    for at in range(start + 1, len(cursor.tokens)):
        token = cursor.tokens[at]
        if token.kind == "kw" and token.text == end:
            cursor.at = min(at + 1, len(cursor.tokens) - 1)
            if cursor.is_op(":"):
                cursor.take()
                cursor.take()
            return []
        if token.kind == "kw" and token.text in ("endmodule", "endpackage", "endinterface", "module"):
            break
    declarations.statement_tokens(cursor)
    if cursor.at == start:
        cursor.take()
    return []


def _identifier(cursor: Cursor, attribute_facts: tuple[AttributeFact, ...]) -> list[Item]:
    following = cursor.peek()
    if following.kind == "op" and following.text == ":":
        cursor.take()
        cursor.take()
        return []
    if is_instance(cursor):
        return instances(cursor)
    if following.kind == "id" or following.text in ("::", "["):
        return _with_attributes(cursor, attribute_facts)
    if following.text == "." and cursor.peek(2).kind == "id" and cursor.peek(3).kind == "id":
        return _with_attributes(cursor, attribute_facts)
    start = cursor.at
    if cursor.token.text.startswith("`"):
        return _macro(cursor)
    tokens, _done = declarations.statement_tokens(cursor)
    if cursor.at == start:
        cursor.take()
        return []
    return [Skipped("a statement", names(tokens), span=cursor.span(start))]


def _macro(cursor: Cursor) -> list[Item]:
    """A macro nobody defined, alone or with arguments: nothing tells where its text would end, so it ends
    here, and what follows is read."""
    start = cursor.at
    name = cursor.take().text
    if cursor.is_op("("):
        cursor.inside()
    tokens = cursor.tokens[start + 1 : cursor.at]
    cursor.accept(";")
    return [Skipped(f"the undefined macro {name}", names(tokens), span=cursor.span(start))]
