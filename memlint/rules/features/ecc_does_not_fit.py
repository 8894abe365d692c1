"""The rule ecc-does-not-fit."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.device.facts import HardEcc, Tier
from memlint.reading.intent.clauses import Ecc
from memlint.rules import wording
from memlint.rules.base import Finding, Related, Rule
from memlint.rules.placed import asked_here, chosen, obstacle
from memlint.rules.view import MemoryView


class EccDoesNotFit(Rule):
    """A memory wants ECC, and its tier's hardened ECC does not work in the mode or shape it needs.

    Why it costs:
        Hardened ECC is tied to one mode and a few shapes, and mostly to words written whole. A second
        write port or a write lane switches it off, and what is left is check bits in the array with
        encoders and correctors in fabric on both sides. A warning: soft ECC works, in more bits and
        less time. Tiers without hardened ECC are not reported, since soft ECC is all they have; nor is
        `ecc in word`, whose check bits the HDL keeps in the word and makes and checks by itself.

    Example:
        module background_store (
            input  logic        clk, we_a, we_b,
            input  logic [12:0] aa, ab,
            input  logic [32:0] da, db,
            output logic [32:0] qa, qb
        );
            // @mem in bulk; ecc; same address never
            logic [32:0] rows [0:8191];
            always_ff @(posedge clk) begin
                if (we_a) rows[aa] <= da;
                qa <= rows[aa];
            end
            always_ff @(posedge clk) begin
                if (we_b) rows[ab] <= db;
                qb <= rows[ab];
            end
        endmodule

    Mended:
        module background_store (
            input  logic        clk, we,
            input  logic [12:0] wa, ra,
            input  logic [32:0] d,
            output logic [32:0] q
        );
            // @mem in bulk; ecc
            logic [32:0] rows [0:8191];
            always_ff @(posedge clk) begin
                if (we) rows[wa] <= d;
                q <= rows[ra];
            end
        endmodule
    """

    name = "ecc-does-not-fit"
    family = "features"

    def check(self, view: MemoryView) -> Iterable[Finding]:
        memory, tier, clause, placement = view.memory, chosen(view), view.clause(Ecc), view.placement
        if tier is None or clause is None or placement is None or not tier.ecc:
            return
        reason = obstacle(view, "ecc")
        if clause.in_word and reason is None:
            # The HDL makes and checks the bits itself: the tier's ECC is not asked for.
            return
        # Another obstacle decides the mode in which ECC was looked at, so it has to be mended first.
        if reason is None and (placement.hard_ecc or not placement.fits or placement.mode is None):
            return
        used = f" in mode {placement.mode}" if placement.mode else ""
        bits = wording.plural(placement.check_bits, "check bit")
        soft = "" if reason else f"; it is soft here, {bits} a word"
        why = f": {reason.text}" if reason else ""
        yield self.finding(
            f"hardened ECC of `{tier.name}` does not cover `{memory.name}`{used}{why}{soft}",
            memory.span,
            paths=(memory.path,),
            related=[Related(clause.span, "ECC is asked for here"), *asked_here(view)],
            numbers={"tier": tier.name, "mode": placement.mode, "check_bits": placement.check_bits},
            help=[*(_where(tier, one) for one in tier.ecc), *wording.homes(view)],
        )


def _where(tier: Tier, ecc: HardEcc) -> str:
    shapes = wording.listed((wording.shape(one.depth, one.width) for one in ecc.shapes), "or")
    whole = ", words written whole" if ecc.lanes is False else ""
    return (
        f"hardened ECC of `{tier.name}` works in mode {ecc.mode} as {shapes}: "
        f"{ecc.data} data and {ecc.check} check bits{whole}"
    )


RULE = EccDoesNotFit()
