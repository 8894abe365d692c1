"""Which accesses can use one port (design.md, section 4, "Ports"), also against every way to divide them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from snippets import only_memory

from memlint.design.body import Guard
from memlint.design.memory import Access, Clock
from memlint.design.scope import Scope
from memlint.design.sharing import Placed, counts, share
from memlint.reading.facts.expressions import Name
from memlint.text.source import Span

MODULE = """
module top (input logic clk, clr, we, s, t, input logic [9:0] ca, wa, xa, ra, input logic [39:0] d,
            output logic [39:0] q, p);
  logic [39:0] m [1024];
  logic [9:0] at;
"""


@pytest.mark.parametrize(
    ("body", "ports"),
    [
        # While the clear writes at `ca` the read wants the word at `wa`: the same edge, two addresses.
        ("if (clr) m[ca] <= '0; else if (we) m[wa] <= d; q <= m[wa];", {"w": 1, "r": 1}),
        ("if (we) m[wa] <= d; else if (clr) m[ca] <= '0; q <= m[wa];", {"w": 1, "r": 1}),
        ("if (clr) m[ca] <= '0; else if (we) m[wa] <= d; q <= m[ca];", {"w": 1, "r": 1}),
        # Three writes, the read at one of their addresses, in a branch that leaves one of them out.
        ("if (clr) m[ca] <= '0; else begin if (s) m[xa] <= d; else if (we) m[wa] <= d; q <= m[wa]; end",
         {"w": 1, "r": 1}),
        # The read stands where the clear does not happen: one address at every edge.
        ("if (clr) m[ca] <= '0; else begin if (we) m[wa] <= d; q <= m[wa]; end", {"rw": 1}),
        # The same address for all.
        ("if (clr) m[wa] <= '0; else if (we) m[wa] <= d; q <= m[wa];", {"rw": 1}),
        # Two reads, each at the address of a write: two ports that read and write do.
        ("if (clr) m[ca] <= '0; else if (we) m[wa] <= d; q <= m[wa]; p <= m[ca];", {"rw": 2}),
        # With a third write, two such ports are not enough: one writes, two read.
        ("if (clr) m[ca] <= '0; else if (we) m[wa] <= d; else if (s) m[xa] <= d; q <= m[wa]; p <= m[ca];",
         {"w": 1, "r": 2}),
        # Two statements that may both happen are two ports.
        ("if (clr) m[ca] <= '0; if (we) m[wa] <= d; q <= m[wa];", {"w": 1, "rw": 1}),
        # A read at an address of its own.
        ("if (clr) m[ca] <= '0; else if (we) m[wa] <= d; q <= m[ra];", {"w": 1, "r": 1}),
    ],
)  # fmt: skip
def test_ports_after_sharing(body: str, ports: dict[str, int]) -> None:
    memory = only_memory(f"{MODULE}  always_ff @(posedge clk) begin {body} end\nendmodule\n")
    assert counts(memory.ports) == ports


def test_a_read_in_another_process_may_happen_while_the_clear_writes() -> None:
    memory = only_memory(
        f"{MODULE}  always_ff @(posedge clk) if (clr) m[ca] <= '0; else if (we) m[wa] <= d;\n"
        "  always_ff @(posedge clk) if (!clr) q <= m[wa];\nendmodule\n"
    )
    assert counts(memory.ports) == {"w": 1, "r": 1}


@pytest.mark.parametrize(
    ("body", "ports"),
    [
        ("if (clr) m[ca] <= '0; else begin if (we) m[wa] <= d; at <= wa; end", {"rw": 1}),
        ("if (clr) m[ca] <= '0; else if (we) m[wa] <= d; at <= wa;", {"w": 1, "r": 1}),
    ],
)
def test_a_read_with_its_address_register_happens_where_the_register_loads(
    body: str, ports: dict[str, int]
) -> None:
    memory = only_memory(
        f"{MODULE}  always_ff @(posedge clk) begin {body} end\n  assign q = m[at];\nendmodule\n"
    )
    assert counts(memory.ports) == ports


def test_the_bank_with_more_writes_counts_where_two_have_as_many_ports() -> None:
    memory = only_memory(
        f"{MODULE.replace('m [1024]', 'm [2][1024]')}  always_ff @(posedge clk) begin\n"
        "    if (we) m[0][wa] <= d;\n    if (s) m[1][wa] <= d;\n    if (t) m[1][xa] <= d;\n"
        "    q <= m[0][ra]; p <= m[1][xa];\n  end\nendmodule\n"
    )
    assert counts(memory.ports) == {"w": 1, "rw": 1}


# Against every way to divide the accesses of a process over ports.

CLOCK = Clock("top.clk")
# Sharing never looks into a guard's scope.
_NO_SCOPE: Scope = None  # type: ignore[assignment]
# The leaves of a tree of branches: a statement is reached through these guards.
PATHS = ((), ((1, 0),), ((1, 1),), ((1, 1), (2, 0)), ((1, 1), (2, 1)), ((1, 0), (3, 0)), ((4, 0),), ((4, 1),))


def _placed(kind: str, address: str, path: tuple[tuple[int, int], ...]) -> Placed:
    guards = tuple(
        Guard(site, branch, Name("c", span=Span("t.sv", 0, 1)), _NO_SCOPE) for site, branch in path
    )
    return Placed(Access(kind, Span("t.sv", 0, 1), address, CLOCK), ((address,),), (), guards, 1)


def _together(a: Placed, b: Placed) -> bool:
    """Whether some choice of branches reaches both statements."""
    chosen = {guard.site: guard.branch for guard in a.guards}
    return all(chosen.get(guard.site, guard.branch) == guard.branch for guard in b.guards)


def _divisions(many: list[int]) -> Iterator[list[list[int]]]:
    if not many:
        yield []
        return
    first, *rest = many
    for parts in _divisions(rest):
        yield [[first], *parts]
        for at, part in enumerate(parts):
            yield [*parts[:at], [first, *part], *parts[at + 1 :]]


@given(
    st.lists(
        st.builds(
            _placed, st.sampled_from(("write", "read")), st.sampled_from("abc"), st.sampled_from(PATHS)
        ),
        min_size=1,
        max_size=6,
    )
)
def test_no_port_ever_has_two_addresses_at_one_edge(accesses: list[Placed]) -> None:
    ports, _ = share(accesses)
    by_id = {id(one.access): one for one in accesses}
    held = [by_id[id(access)] for port in ports for access in port.accesses]
    assert sorted(map(id, held)) == sorted(map(id, accesses))
    for port in ports:
        for a, b in combinations([by_id[id(access)] for access in port.accesses], 2):
            assert a.key == b.key or not _together(a, b)


@given(
    st.lists(
        st.builds(
            _placed, st.sampled_from(("write", "read")), st.sampled_from("abc"), st.sampled_from(PATHS)
        ),
        min_size=1,
        max_size=6,
    )
)
def test_no_other_division_takes_fewer_ports(accesses: list[Placed]) -> None:
    """Of those the rule allows: a read is on the port that writes its address, or on one of its own."""
    ports, _ = share(accesses)

    # One port for what is written at one address, one for what is read there.
    items = sorted({(one.access.kind, one.key) for one in accesses})
    held = [[one for one in accesses if (one.access.kind, one.key) == item] for item in items]

    def cost(division: list[list[int]]) -> tuple[int, int] | None:
        for part in division:
            if any(
                items[a][1] != items[b][1] and any(_together(x, y) for x in held[a] for y in held[b])
                for a, b in combinations(part, 2)
            ):
                return None
            reads = [number for number in part if items[number][0] == "read"]
            written = {items[number][1] for number in part if items[number][0] == "write"}
            if len(part) > 1 and any(items[number][1] not in written for number in reads):
                return None
        return len(division), sum(any(items[one][0] == "write" for one in part) for part in division)

    possible = [found for one in _divisions(list(range(len(items)))) if (found := cost(one)) is not None]
    assert (len(ports), sum(port.writes for port in ports)) == min(possible)
