"""Where the `@mem` comments of a VHDL file go (design: intent comments, "where it belongs")."""

import pytest
from vhdl_shown import read

from memlint.reading.facts.items import (
    FileFacts,
    GenerateBlock,
    GenerateFor,
    GenerateIf,
    Instance,
    Item,
    Process,
    Variable,
)
from memlint.reading.intent.format import format_intent


def owners(facts: FileFacts) -> dict[str, list[str]]:
    """The intents of a file by the name of what they speak for."""
    result: dict[str, list[str]] = {}

    def visit(items: tuple[Item, ...]) -> None:
        for item in items:
            match item:
                case Variable() | Instance() if item.intents:
                    result[item.name] = [format_intent(intent) for intent in item.intents]
                case Process() | GenerateBlock():
                    visit(item.items)
                case GenerateFor():
                    visit((item.body,))
                case GenerateIf():
                    visit((item.then, item.otherwise) if item.otherwise else (item.then,))

    for unit in facts.units:
        visit(unit.items)
        if unit.intents:
            result[f"{unit.kind} {unit.name}"] = [format_intent(intent) for intent in unit.intents]
    return result


def belongs(declarations: str, statements: str = "") -> dict[str, list[str]]:
    text = f"architecture rtl of sorter is\n{declarations}\nbegin\n{statements}\nend architecture;\n"
    facts = read(text)
    assert facts.problems == ()
    return owners(facts)


@pytest.mark.parametrize(
    "opener", ["-- @mem in block", "--@mem in block", "/* @mem in block */", "--  \t@mem in block"]
)
def test_a_comment_on_its_own_line_belongs_to_the_next_array(opener: str) -> None:
    assert belongs(f"{opener}\nsignal line : line_t;") == {"line": ["in block"]}


@pytest.mark.parametrize(
    "between",
    [
        "\n\n",
        "-- the store\n",
        "/* two\nlines */\n",
        'attribute ram_block : string;\nattribute ram_block of line : signal is "yes";\n',
    ],
)
def test_blank_lines_attributes_and_comments_may_stand_between(between: str) -> None:
    assert belongs(f"-- @mem in block\n{between}signal line : line_t;") == {"line": ["in block"]}


@pytest.mark.parametrize(
    "kind", ["signal line", "shared variable line", "constant line", "signal a, line", "signal line, b"]
)
def test_every_array_of_a_statement_gets_it(kind: str) -> None:
    found = belongs(f"-- @mem in bulk\n{kind} : line_t;")
    assert found["line"] == ["in bulk"]
    assert len(found) == 1 + ("," in kind)


def test_a_comment_at_the_end_of_a_line_belongs_to_the_statement_that_ends_there() -> None:
    found = belongs("signal line : line_t; -- @mem in block\nsignal other : line_t;\n")
    assert found == {"line": ["in block"]}


def test_a_statement_over_several_lines() -> None:
    found = belongs("-- @mem in block\nsignal line :\n  line_t :=\n  (others => 0); -- @mem fifo\n")
    assert sorted(clause for intent in found["line"] for clause in intent.split("; ")) == ["fifo", "in block"]


def test_consecutive_comments_are_one_intent() -> None:
    assert belongs("-- @mem in block\n-- @mem fifo\nsignal line : line_t;") == {"line": ["in block; fifo"]}


def test_a_process_variable_an_instance_and_what_generates_hold() -> None:
    found = belongs(
        "",
        "p : process (clk)\n-- @mem in fabric\nvariable store : line_t;\nbegin\nend process;\n"
        "-- @mem on ram.mem: in bulk\nu : entity work.fifo port map (a => b);\n"
        "v : fifo\n  port map (a => b); -- @mem on mem: in block\n"
        "g : for i in 0 to 3 generate\n-- @mem in block\nsignal line : line_t;\nbegin\n"
        "h : if i = 0 generate\n-- @mem in bulk\nsignal deep : line_t;\nbegin\nend generate;\nend generate;",
    )
    assert found == {
        "store": ["in fabric"],
        "u": ["on ram.mem: in bulk"],
        "v": ["on mem: in block"],
        "line": ["in block"],
        "deep": ["in bulk"],
    }


def test_budget_and_plan_speak_for_the_unit_around_them() -> None:
    text = (
        "entity sorter is\n-- @mem budget block <= 10\nend;\n"
        "architecture rtl of sorter is\nbegin\n-- @mem plan telemetry; shape 1K x 32\nx <= y;\nend;\n"
    )
    facts = read(text)
    assert facts.problems == ()
    assert owners(facts) == {
        "entity sorter": ["budget block <= 10"],
        "architecture rtl": ["plan telemetry; shape 1K x 32"],
    }


@pytest.mark.parametrize(
    "declarations",
    [
        "-- @mem in block\nsignal ready : std_logic;\nsignal line : line_t;",
        "-- @mem in block\nsignal word : unsigned(7 downto 0);\nsignal line : line_t;",
        "-- @mem in block\ntype line_t is array (0 to 3) of bit;\nsignal line : line_t;",
        "type state_t is (idle, run);\n-- @mem in block\nsignal state : state_t;",
        "subtype hue_t is unsigned(7 downto 0);\n-- @mem in block\nsignal hue : hue_t;",
        "-- @mem in block",
        "signal ready : std_logic; -- @mem in block\nsignal line : line_t;",
    ],
)
def test_other_code_in_between_leaves_it_unattached(declarations: str) -> None:
    text = f"architecture rtl of sorter is\n{declarations}\nbegin\nend architecture;\n"
    facts = read(text)
    assert owners(facts) == {}
    (problem,) = facts.problems
    assert problem.rule == "intent-unattached"
    assert text[problem.span.start : problem.span.end] == "-- @mem in block"


def test_a_budget_outside_units_is_unattached() -> None:
    (problem,) = read("-- @mem budget block <= 1\n\n\nentity e is end;").problems
    assert problem.rule == "intent-unattached"


def test_a_comment_in_text_that_is_switched_off_says_nothing() -> None:
    found = belongs(
        "-- pragma translate_off\n-- @mem in nowhere at all\n-- pragma translate_on\nsignal a : line_t;"
    )
    assert found == {}


def test_a_mistake_in_a_clause_is_reported_at_its_place() -> None:
    text = "architecture rtl of s is\n-- @mem in block; shape 3K by 4\nsignal line : line_t;\nbegin end;\n"
    facts = read(text)
    (problem,) = facts.problems
    assert problem.rule == "intent-syntax"
    assert "shape 3K by 4".find(text[problem.span.start : problem.span.end]) >= 0
    assert owners(facts) == {"line": ["in block"]}


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_all_line_ends_count(end: str) -> None:
    text = "architecture rtl of s is\n-- @mem in block\nsignal line : line_t; -- @mem fifo\nbegin end;\n"
    found = owners(read(text.replace("\n", end)))
    assert sorted(clause for intent in found["line"] for clause in intent.split("; ")) == ["fifo", "in block"]
