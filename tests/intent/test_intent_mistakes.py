"""What the reader says about each kind of mistake: the word it points at, and what it offers."""

import pytest
from intent_text import read

CASES = [
    # text, word pointed at, part of the message, part of the help
    ("shap 32K x 40", "shap", "no clause starts with `shap`", "did you mean `shape`?"),
    ("IN bulk", "IN", "no clause starts with `IN`", "did you mean `in`?"),
    (": in bulk", ":", "no clause starts with `:`", "a clause starts with `in`, `shape`"),
    ("initial content", "content", "expected `contents`", "did you mean `contents`?"),
    ("read with 3 cycles", "with", "expected `within`", "did you mean `within`?"),
    ("one clk", "clk", "expected `clock`", "did you mean `clock`?"),
    ("same address befor", "befor", "expected `before`, `after`, `any` or `never`", "did you mean `before`?"),
    ("ecc in wrod", "wrod", "expected `word` instead of `wrod`", "did you mean `word`?"),
    ("shape 32K 40", "40", "expected `x` instead of `40`", "write it like `shape 32K x 40`"),
    ("shape 32K × 40", "×", "expected `x` instead of `×`", "write it like"),
    ("shape 32k x 40", "32k", "expected `x` instead of `32k`", "did you mean `32K`?"),
    ("shape DEPTH x 40", "DEPTH", "expected a number instead of `DEPTH`", "write it like"),
    ("shape 32K x", "x", "expected a number after `x`, where the text ends", "write it like"),
    ("shape 3 x 4 x 5", "x", "expected the end of the clause instead of `x`", "write it like"),
    ("shape 3 x 4 ports 1w", "ports", "`ports` starts another clause", "put `;` before `ports`"),
    ("shape (3 + 4 x 5", "x", "expected `)` instead of `x`", "write it like"),
    ("shape 0 x 5", "0", "must be at least 1, and this is 0", "write 1 or more"),
    ("shape 4-8 x 5", "4-8", "must be at least 1, and this is -4", "write 1 or more"),
    ("in", "in", "expected a tier's name after `in`", "write it like `in bulk or block`"),
    ("in bulk, block", ",", "expected `or` or the end of the clause", "write it like"),
    ("in bulk or", "or", "expected a tier's name after `or`", "write it like"),
    ("ports", "ports", "expected `rom` or a port such as `1w`", "write it like `ports 1w 1r`"),
    ("ports 1w1r", "1w1r", "a port such as `1w`, `2r` or `1rw` instead of `1w1r`", "write it like"),
    ("ports 1w 1w", "1w", "`w` ports are given twice", "add them up"),
    ("ports 0w 1r", "0w", "`0w` is no port", "leave it out"),
    ("ports 65r", "65r", "so many ports: `65r`", "write 64 or fewer"),
    ("ports 1rw(8)", "1rw", "only `w` and `r` ports have a width of their own", "leave the width off"),
    ("ports 1w(0) 1r", "0", "a port's width in bits must be at least 1", "write 1 or more"),
    ("clocks wr_clk rd_clk", "rd_clk", "expected `,` or the end of the clause", "write it like"),
    ("read within 3", "3", "expected `cycles` after `3`", "write it like `read within 3 cycles`"),
    ("read within 1-2 cycles", "1-2", "must be at least 0, and this is -1", "write 0 or more"),
    ("write lanes 4*8", "*", "expected the end of the clause instead of `*`", "write it like"),
    ("write lanes 4 + 0", "0", "a lane's width in bits must be at least 1", "write 1 or more"),
    ("times 0; plan a; shape 3 x 4", "0", "must be at least 1, and this is 0", "write 1 or more"),
    ("budget bulk = 24", "=", "expected `<=` instead of `=`", "write it like `budget bulk <= 24"),
    ("budget bulk <= 2-3", "2-3", "a budget of -1 blocks is below 0", "write 0 for none at all"),
    ("accept shallow-wide", "shallow-wide", "expected `because` after `shallow-wide`", 'because "'),
    ("accept shallow-wide because", "because", "expected a text in double quotes", 'because "'),
    ('accept shallow-wide because ""', '""', "the reason is empty", "write the reason"),
    ('accept shallow-wide because "  "', '"  "', "the reason is empty", "write the reason"),
    ("why soon", "soon", "expected a text in double quotes instead of `soon`", "write it like `why"),
    ('why ""', '""', "the text is empty", "write the text"),
    ('why "never; ends', '"never; ends', "this quote is not closed", 'write the closing `"`'),
    ("fifo deep", "deep", "expected the end of the clause instead of `deep`", "write it like `fifo`"),
    ("on u_a.mem in bulk", "in", "expected `:` instead of `in`", "write it like `on u_store.mem:`"),
    ("on : in bulk", ":", "expected a memory's dotted path instead of `:`", "write it like"),
    ("on u_a.mem", "u_a.mem", "expected `:` after `u_a.mem`", "write it like"),
    ("in bulk; on u_a: ports 1w", "on", "`on` stands before the clauses", "begin a comment line with it"),
    ("on u_a: budget bulk <= 1", "budget bulk <= 1", "`budget` speaks for the enclosing", "without `on`"),
    # Amounts.
    ("holds 64", "64", "no factor has a unit", "end it with a unit"),
    ("holds 12 lines x 30 bti", "bti", "no factor has a unit, and `bti` is none", "did you mean `bit`?"),
    ("holds 12 lines x 30 bits", "bits", "`bits` is no unit", "write `bit`"),
    ("holds 4 bit x 3 byte", "byte", "two factors have a unit: `bit` and `byte`", "leave the unit off"),
    ("holds 64 Kbit", "Kbit", "more than one way", "`kbit` for 1,000 bits write `Kibit` for 1,024 bits"),
    ("holds 64 Kbyte", "Kbyte", "more than one way", "`kbyte` for 8,000 bits write `KiB` for 8,192 bits"),
    ("holds 64 KB x 8 bit", "KB", "more than one way", "write `KiB` for 8,192 bits"),
    ("holds 5 Gbyte", "Gbyte", "`Gbyte` is no unit here", "write `Mbyte`"),
    ("holds 32 K x 8 bit", "K", "`K` stands apart from its number", "write `32K`"),
    ("holds 2 ms", "ms", "`ms` is a time", "write it like `2 ms at 10 Gbit/s`"),
    ("holds 2 ms at 10 Gbps", "Gbps", "`Gbps` is no rate", "did you mean `Gbit/s`?"),
    ("holds 2 ms at 10 Kbit/s", "Kbit/s", "`Kbit/s` is no rate", "write `kbit/s` write `Kibit/s`"),
    ("holds 2 ms at 10 bit/ms", "bit/ms", "`bit/ms` is no rate", "write it like `10 Gbit/s`"),
    ("holds 2 µs at 10 Gbit/s", "µs", "`µs` is no unit", "write `us`"),
    ("holds 10 Gbit/s at 2 ms", "Gbit/s", "only a time can be held `at` a rate", "units of time are"),
    ("holds 10 Gbit/s", "Gbit/s", "`Gbit/s` is a rate", "write it like `2 ms at 10 Gbit/s`"),
    ("holds 2.5 lines x 8 bit", "2.5", "a count is a whole number", "decimal point"),
    ("holds 0 lines x 8 bit", "0", "a count of 0 holds nothing", "write 1 or more"),
    ("holds 3 lines x 0 bit", "3 lines x 0 bit", "it comes to 0 bits", ""),
    ("holds 12 x", "x", "expected a number after `x`", "write it like `holds 12 lines"),
    # Size.
    ("shape 9223372036854775809 x 1", "9223372036854775809", "larger than 2^63", "is meant"),
    ("shape 1 x 4M*4M*4M", "4M*4M*4M", "larger than 2^63", "is meant"),
    ("holds 4M x 4M x 4M bit", "4M x 4M x 4M bit", "larger than 2^63", "is meant"),
    (f"times {'9' * 5000}; plan a; shape 3 x 4", "9" * 5000, "larger than 2^63", "is meant"),
    (f"budget bulk <= 0.{'1' * 5000}", f"0.{'1' * 5000}", "larger than 2^63", "is meant"),
]


@pytest.mark.parametrize(("text", "word", "message", "help"), CASES, ids=[case[0][:40] for case in CASES])
def test_a_mistake(text: str, word: str, message: str, help: str) -> None:
    found = read(text)
    (problem,) = found.problems
    assert problem.rule == "intent-syntax"
    assert found.word() == word
    assert message in problem.message
    assert help in " ".join(problem.help)


def test_a_mistake_in_one_clause_costs_no_other() -> None:
    found = read('in bulk; shap 3 x 4; ports 1w 1r; why "x; y"; read in 3; one clock')
    (intent,) = found.intents
    assert [type(clause).__name__ for clause in intent.clauses] == ["In", "Ports", "Why", "Clocks"]
    assert [found.word(0), found.word(1)] == ["shap", "in"]


def test_an_open_quote_costs_only_its_own_line() -> None:
    found = read('in bulk; why "open; ports 1rw', "one clock")
    assert [type(clause).__name__ for clause in found.intents[0].clauses] == ["In", "Clocks"]
    assert found.word() == '"open; ports 1rw'


def test_after_a_bad_on_nothing_is_taken_for_the_instance() -> None:
    found = read("on u_a..mem: in bulk; shap", "ports 1rw", "on u_b.mem: in block")
    assert [intent.on for intent in found.intents] == ["u_b.mem"]
    assert [found.word(0), found.word(1)] == [".", "shap"]


@pytest.mark.parametrize("text", ["", ";", " ; ; "])
def test_an_empty_intent(text: str) -> None:
    found = read(text)
    assert found.intents == ()
    (problem,) = found.problems
    assert problem.message == "this intent says nothing"


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("in bulk", "in block"),
        ("shape 3 x 4", "shape 3 x 4"),
        ("ports 1rw", "ports rom"),
        ("one clock", "clocks a, b"),
        ("ecc", "ecc in word"),
        ("holds 3 bit", "holds 4 bit"),
        ('why "a"', 'why "b"'),
    ],
)
def test_a_repeated_clause(first: str, second: str) -> None:
    found = read(f"{first}", f"fifo; {second}")
    (problem,) = found.problems
    assert problem.rule == "intent-repeats-clause"
    assert found.word() == second
    assert found.text.index(second, 9 + len(first)) == problem.span.start
    assert f"`{first}` on line 1 came first and counts" in problem.message
    assert problem.help
    assert len(found.intents[0].clauses) == 2


def test_acceptances_and_budgets_add_up() -> None:
    accept = 'accept shallow-wide because "two lines"'
    found = read(f"{accept}; {accept}; budget bulk <= 1; budget bulk <= 2")
    assert found.problems == ()
    assert len(found.intents[0].clauses) == 4


def test_the_same_clause_for_two_memories_is_no_repetition() -> None:
    assert read("in bulk", "on u_a.mem: in bulk", "on u_b.mem: in bulk").problems == ()


def test_two_plans_on_consecutive_lines() -> None:
    found = read("plan a; shape 3 x 4", "plan b; shape 4 x 5")
    assert [problem.rule for problem in found.problems] == ["intent-repeats-clause"] * 2
    assert "part the two plans by an empty line" in " ".join(found.problems[0].help)


@pytest.mark.parametrize(
    ("text", "word", "message"),
    [
        ("plan reject_counts; in bulk", "plan reject_counts", "does not say how large the memory will be"),
        ("shape 3 x 4; times 2", "times 2", "`times` counts planned memories only"),
    ],
)
def test_clauses_that_need_another(text: str, word: str, message: str) -> None:
    found = read(text)
    (problem,) = found.problems
    assert problem.rule == "intent-syntax"
    assert found.word() == word
    assert message in problem.message
    assert len(problem.help) == 2


@pytest.mark.parametrize("text", ["plan a; shape 3 x", "plan a; holds 3", "plan; times 3"])
def test_a_clause_with_a_mistake_is_not_missed_as_well(text: str) -> None:
    assert len(read(text).problems) == 1
