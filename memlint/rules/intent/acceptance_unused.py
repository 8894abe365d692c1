"""The rule acceptance-unused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from memlint.reading.intent.clauses import Accept
from memlint.rules import wording
from memlint.rules.base import Edit, Finding, Fix, Reach, Rule, all_rules, rule_named
from memlint.rules.near import by_likeness, close_name
from memlint.rules.view import DesignView
from memlint.text.source import Span


class AcceptanceUnused(Rule):
    """An `accept` clause names a rule that has nothing to say about the memory, or that does not exist.

    Why it costs:
        An acceptance outlives its cause: the memory was reshaped, the finding is gone, and the clause
        now waits to hide the next one. A misspelt rule name hides nothing and looks as if it did. An
        acceptance that stands over several instances is used as soon as one of them needs it. A
        warning, because nothing is built differently. Silent while a memory it stands over has an
        unknown shape or does not go into its tier: the rule may speak once that is settled.

    Example:
        module delay_line (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [39:0] d,
            output logic [39:0] q
        );
            // @mem in bulk; accept shallow-wide because "was 64 words deep at first"
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

    name = "acceptance-unused"
    family = "intent"

    def check_acceptances(self, view: DesignView, raised: Mapping[str, frozenset[str]]) -> Iterable[Finding]:
        paths: dict[Span, list[str]] = {}
        clauses: dict[Span, Accept] = {}
        unknown: set[Span] = set()
        for memory in view.memories:
            for bound in memory.accepts:
                if isinstance(bound.clause, Accept):
                    clauses[bound.clause.span] = bound.clause
                    paths.setdefault(bound.clause.span, []).append(memory.memory.path)
                    # What does not go into its tier has no blocks there that a rule could speak about.
                    nowhere = memory.placement is not None and not memory.placement.fits
                    if memory.demand is None or nowhere:
                        unknown.add(bound.clause.span)
        for span, clause in clauses.items():
            over = tuple(sorted(paths[span]))
            if rule_named(clause.rule) is None:
                yield self._unknown(clause, over)
            elif span not in unknown and not any(clause.rule in raised.get(path, ()) for path in over):
                yield self._unused(clause, over)

    def _unused(self, clause: Accept, paths: tuple[str, ...]) -> Finding:
        memories = wording.listed(wording.quoted(path) for path in paths[:3])
        more = f" and {len(paths) - 3} more" if len(paths) > 3 else ""
        return self.finding(
            f"`{clause.rule}` is accepted here, but found nothing on {memories}{more}",
            clause.span,
            paths=paths,
            help=["take the `accept` clause out"],
            fixes=[
                Fix(f"take out the acceptance of `{clause.rule}`", (Edit(clause.span, "", Reach.CLAUSE),))
            ],
        )

    def _unknown(self, clause: Accept, paths: tuple[str, ...]) -> Finding:
        names = [rule.name for rule in all_rules()]
        meant = close_name(clause.rule, names)
        nearest = wording.listed((wording.quoted(name) for name in by_likeness(clause.rule, names)[:3]), "or")
        return self.finding(
            f"there is no rule `{clause.rule}` to accept",
            clause.rule_span,
            paths=paths,
            help=[f"name the rule as its finding does, such as {nearest}"],
            fixes=[Fix(f"write `{meant}`", (Edit(clause.rule_span, meant),), safe=False)] if meant else [],
        )


RULE = AcceptanceUnused()
