"""The rule unknown-tier."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from memlint.reading.intent.clauses import Budget, Clause, In
from memlint.rules import wording
from memlint.rules.base import Edit, Finding, Fix, Rule, Severity
from memlint.rules.near import by_likeness, close_name
from memlint.rules.view import DesignView
from memlint.text.source import Span

_NAMING = (In, Budget)
_UNCOUNTED = "until the intent names one of them, its memories are in no total and no budget"


class UnknownTier(Rule):
    """An intent names a tier that the device does not have.

    Why it costs:
        `in` and `budget` speak in the words of the device's profile. A name it lacks, misspelt or left
        over from another device, leaves the memory without a home to be checked against. An error,
        because nothing else about the clause can be said. `registers` is a tier of every device. The
        offered renaming is not applied unasked: the nearest word is a guess at what was meant.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulks
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule

    Mended:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk
            logic [39:0] line [0:8191];
            always_ff @(posedge clk) begin
                if (we) line[wa] <= d;
                q <= line[ra];
            end
        endmodule
    """

    name = "unknown-tier"
    family = "intent"
    severity = Severity.ERROR

    def check_design(self, view: DesignView) -> Iterable[Finding]:
        known = [*(tier.name for tier in view.device.tiers), "registers"]
        wrong: dict[tuple[str, Span], set[str]] = {}
        homeless: set[Span] = set()
        for path, clause in _clauses(view):
            for name, span in _tiers(clause):
                if name not in known:
                    wrong.setdefault((name, span), set()).add(path)
                    if isinstance(clause, In) and not any(one in known for one in clause.tiers):
                        homeless.add(span)
        for (name, span), paths in wrong.items():
            nearest = [wording.quoted(one) for one in by_likeness(name, known)]
            meant = close_name(name, known)
            renamed = f"write `{meant}`" if meant else ""
            yield self.finding(
                f"device `{view.device.name}` has no tier `{name}`",
                span,
                paths=tuple(sorted(paths)),
                help=[
                    f"its tiers are {wording.listed(nearest)}",
                    *([_UNCOUNTED] if span in homeless else []),
                ],
                fixes=[Fix(renamed, (Edit(span, meant),), safe=False)] if meant else [],
            )


def _clauses(view: DesignView) -> Iterator[tuple[str, Clause]]:
    """Every clause of every intent that names tiers, won or not, with the path it speaks for."""
    for memory in view.memories:
        for bound in memory.memory.intents:
            for clause in bound.intent.clauses:
                if type(clause) in _NAMING:
                    yield memory.memory.path, clause
    for unit in view.unit_intents:
        for clause in unit.intent.clauses:
            if type(clause) in _NAMING:
                yield unit.path, clause


def _tiers(clause: Clause) -> Iterator[tuple[str, Span]]:
    match clause:
        case In():
            yield from zip(clause.tiers, clause.tier_spans, strict=True)
        case Budget():
            yield from zip((tier for tier, _ in clause.limits), clause.tier_spans, strict=True)


RULE = UnknownTier()
