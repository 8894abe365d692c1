"""The readers in front of the grammar give what the grammar gives: the same nodes at the same places."""

import sys
from pathlib import Path

import pytest
from all_of_it import all_of
from hypothesis import given
from hypothesis import strategies as st
from written_expressions import OPERATORS, expressions

from memlint.reading.verilog import declarations, instances, items, leaves, quick, quick_types, statements
from memlint.reading.verilog.leaves import ParseError
from memlint.reading.verilog.lexer import lex
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.text.source import SourceText, decode

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from reading_census import hdl_files

PACKAGES = (
    "libsv",
    "pythondata_cpu_cva5",
    "pythondata_cpu_mor1kx",
    "pythondata_cpu_picorv32",
    "pythondata_cpu_serv",
)
SAMPLES = sorted((Path(__file__).parents[1] / "samples").rglob("*.*v"))
# By name of the module that asks: what stands in front of the grammar there.
IN_FRONT = (
    (quick, "read"),
    (quick_types, "typed"),
    (quick_types, "declarator"),
    (declarations.quick_types, "declarators"),
    (statements, "quick_assignment"),
    (statements, "parenthesised"),
    (items, "quick_assignment"),
    (instances, "quick_connections"),
)
PIECES = [
    *"a b valve lane_q grain$1 8 4'b10x1 'hFF '0 1.5e3 \"text\" $clog2 $ pkg :: . ' '{".split(),
    *"( ) ( ) [ ] [ ] { } { } ? : , ; + +: -: = <= int signed logic unsigned inside this type struct".split(),
    *OPERATORS,
]


def facts(text: str, name: str) -> str:
    return all_of(read_verilog(SourceText(name, text), MacroTable(), lambda *_: None).facts)


def only_the_grammar(patch: pytest.MonkeyPatch) -> None:
    for module, name in IN_FRONT:
        patch.setattr(module, name, lambda *_: None)


@pytest.mark.parametrize("package", [*PACKAGES, "samples"])
def test_whole_packages_read_alike(package: str) -> None:
    files = SAMPLES if package == "samples" else list(hdl_files([package]))
    if not files:
        pytest.skip(f"{package} is not installed: pip install '.[test]'")
    for file in files:
        text = decode(file.read_bytes())
        with_both = facts(text, str(file))
        with pytest.MonkeyPatch.context() as patch:
            only_the_grammar(patch)
            assert facts(text, str(file)) == with_both, file


@pytest.mark.parametrize(
    "text",
    [
        "module m(input, a, .b(c), input logic [3:0]); endmodule",
        "module m; u v(.a(, .b(c), .d()); x y(.*, .e, 3, ); z w(); endmodule",
        "module m; assign a = ; assign b[ = c; assign {a, b} = {c, 2'b0}, d = e; assign #3 f = g; endmodule",
        "module m; always @(posedge clk) if (a b) c <= d; else if (e) f <= #1 g; else h = i++; endmodule",
        "module m; reg [7:0] a [0:3], b, c = 4 + ; reg; logic signed [3:0] [1:0] d, e [2]; int f = 'h; endmodule",
        "module m; initial begin a[b].c <= d; e = f = g; {h, i} += j; k <= l <= m; n(o)(p) = q; end endmodule",
    ],
)
def test_half_typed_texts_read_alike(text: str) -> None:
    with_both = facts(text, "sorter.sv")
    with pytest.MonkeyPatch.context() as patch:
        only_the_grammar(patch)
        assert facts(text, "sorter.sv") == with_both


def by_grammar(start: str, text: str) -> str | None:
    try:
        return all_of(leaves.parse(start, lex(SourceText("f.sv", text)).tokens[:-1]))
    except ParseError:
        return None


@given(expressions())
def test_expressions_read_alike(text: str) -> None:
    tokens = lex(SourceText("f.sv", text)).tokens[:-1]
    found = quick.read(tokens)
    if found is not None:
        assert all_of(found) == by_grammar("expression", text)
    else:
        assert "'{" in text or "inside" in text or by_grammar("expression", text) is None


@given(st.lists(st.sampled_from(PIECES), min_size=1, max_size=12))
def test_any_tokens_read_alike(pieces: list[str]) -> None:
    text = " ".join(pieces)
    tokens = lex(SourceText("f.sv", text)).tokens[:-1]
    for start, reader in (
        ("expression", quick.read),
        ("typed", quick_types.typed),
        ("declarator", quick_types.declarator),
    ):
        found = reader(tokens)
        if found is not None:
            assert all_of(found) == by_grammar(start, text)


@given(
    st.sampled_from([*"logic reg int wire_t pkg::t bit|signed logic|unsigned".split(), "", "signed"]),
    st.lists(st.sampled_from(["[7:0]", "[N-1:0]", "[3]", "[$]", "[$clog2(D):0]"]), max_size=2),
    st.lists(st.sampled_from(["[15:0]", "[D]", "[0:N-1]"]), max_size=2),
    st.sampled_from(["", " = 3", " = a ? b : c", " = '{default: 0}"]),
)
def test_declarations_read_alike(kind: str, packed: list[str], unpacked: list[str], initial: str) -> None:
    text = f"{kind.replace('|', ' ')} {' '.join(packed)} lane {' '.join(unpacked)}{initial}"
    found = quick_types.typed(lex(SourceText("f.sv", text)).tokens[:-1])
    if "'{" not in text and "|logic" not in kind:
        assert found is not None, "a declaration this common is read in front of the grammar"
    if found is not None:
        assert all_of(found) == by_grammar("typed", text)


def test_a_slice_nested_too_deep_is_left_to_the_grammar() -> None:
    for text in ("(" * 60 + "a" + ")" * 60, "!" * 60 + "a", "a ? b : " * 60 + "c"):
        tokens = lex(SourceText("f.sv", text)).tokens[:-1]
        assert quick.read(tokens) is None
        assert all_of(leaves.expression(tokens)) == by_grammar("expression", text)
