"""Verilog expressions as people write them, for tests that read them."""

from hypothesis import strategies as st

OPERATORS = "+ - * / % ** & | ^ ~^ ^~ ~& ~| && || == != === < <= > >= << >> <<< >>> -> ! ~".split()


@st.composite
def expressions(draw: st.DrawFn, depth: int = 3) -> str:
    """Expressions as people write them, white space and all."""
    if depth == 0:
        return draw(st.sampled_from(["a", "b_q", "7", "4'hF", "'1", "pkg::N", "$time", "v.f", '"s"']))
    part = expressions(depth=depth - 1)
    shape = draw(
        st.sampled_from(
            "{0} {op} {1}|{0} {op} {1} {op2} {2}|({0})|{u} {0}|{0} ? {1} : {2}|{{{0},{1}}}|{{{0}{{{1}}}}}"
            "|x[{0}]|x[{0}:{1}]|x[{0} +: {1}]|f({0}, {1})|$clog2({0})|T'({0})|16'({0})|signed'({0})|y[{0}].g[{1}]"
            "|'{{{0}, {1}}}|'{{default: {0}}}|{0} inside {{{1}, [{0}:{2}]}}".split("|")
        )
    )
    op, op2 = draw(st.sampled_from(OPERATORS[:-2])), draw(st.sampled_from(OPERATORS[:-2]))
    unary = draw(st.sampled_from("! ~ - + & ~| ^~".split()))
    return shape.format(draw(part), draw(part), draw(part), op=op, op2=op2, u=unary)
