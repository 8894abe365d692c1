"""Code that is being typed: one unfinished line costs itself, not its neighbours."""

import pytest
from vhdl_shown import in_architecture, in_process, read, shown


def names(text: str) -> list[str]:
    return [item.name for item in in_architecture(text) if hasattr(item, "name")]


@pytest.mark.parametrize(
    "line",
    [
        "signal",
        "signal a",
        "signal a :",
        "signal a : std_logic",
        "signal a : std_logic_vector(",
        "signal a : std_logic_vector(7 downto 0",
        "signal a : std_logic :=",
        "sig",
        "constant a : natural := 3 *",
        "type t is",
        "type t is (a, b",
        "type t is array (0 to 3",
        "type t is array (0 to 3) of",
        "subtype t is",
        "alias a is",
        "attribute ram_block of",
        "attribute ram_block : ",
        "component fifo",
        "function f",
        "function f(",
        "procedure p(a : bit;",
        "use work.",
        "x : entity",
        '"an open string',
        "a ! $ b",
        "(",
        ")",
        "x <=",
        "=>",
    ],
)
def test_a_line_among_declarations(line: str) -> None:
    """The declarations around it are read, whatever the line is about to become."""
    found = names(
        f"\nsignal before : bit;\n{line}\nsignal after_it : bit;\nconstant last : bit := '1';\nbegin\n"
    )
    assert [name for name in found if name in ("before", "after_it", "last")] == [
        "before",
        "after_it",
        "last",
    ]


@pytest.mark.parametrize(
    "line",
    [
        "x",
        "x <=",
        "x(",
        "x(1",
        "x(1) <= (others =>",
        "x <= a +",
        "x <= a when",
        "if",
        "if a",
        "if a then",
        "if a = (b then",
        "case",
        "case s is",
        "case s is when",
        "for",
        "for i in",
        "for i in 0 to 3 loop",
        "while a",
        "wait until",
        "assert",
        "report",
        "variable v",
        "x := ;",
        "end",
        "foo bar baz;",
        "l :",
    ],
)
def test_a_line_among_statements(line: str) -> None:
    """A process that follows is read, and so is what the process wrote before the line."""
    one = f"\np : process (clk)\nbegin\nfirst <= a;\n{line}\nend process;"
    text = f"{one}\nq : process (clk)\nbegin\nlast <= b;\nend process;\n"
    found = [item for item in in_architecture(f"begin\n{text}") if shown(item).startswith("process ")]
    assert [item.label for item in found] == ["p", "q"]
    assert shown(found[0].body).startswith("{first <= a;")
    assert shown(found[1].body) == "{last <= b;}"


def test_a_missing_semicolon_costs_nothing() -> None:
    assert [shown(each) for each in in_process("\na := b\nc(1) <= d\ne(f)\ng <= h;\n")] == [
        "a := b;",
        "c(1) <= d;",
        "e(f);",
        "g <= h;",
    ]
    items = in_architecture("begin\na <= b\nc <= d when e else f\nu : fifo port map (g);\n")
    assert [shown(item) for item in items] == [
        "assign a <= b",
        "assign c <= (e ? d : f)",
        "instance u of .fifo() #() (g)",
    ]
    first, second = in_architecture("\nsignal a : bit\nsignal b : bit;\n")
    assert (shown(first), shown(second)) == ("signal a: bit", "signal b: bit")


@pytest.mark.parametrize(
    "value", ["", "pixel +", "pix(", "pixel when", "pixel when we", "(others =>", "a $ b"]
)
def test_a_half_typed_value_keeps_the_target(value: str) -> None:
    """A memory must not lose its write port while the value is typed."""
    (found,) = in_process(f"\nif we then\nline(x) <= {value}\nend if;\n")
    assert "line(x) <= " in shown(found)
    (item,) = in_architecture(f"begin\nline(x) <= {value}\nend architecture;\n")
    assert "line(x) <= " in shown(item)


def test_a_statement_without_its_semicolon_before_an_end_is_complete() -> None:
    assert [shown(each) for each in in_process("if c then\na <= b\nend if;")] == ["if c {a <= b;}"]


def test_a_condition_without_then_keeps_the_statements_after_it() -> None:
    (found,) = in_process("\nif c\na <= b;\nd <= e;\nend if;\n")
    assert shown(found).endswith("{a <= b; d <= e;}")


def test_unfinished_processes_end_where_the_next_begins() -> None:
    items = in_architecture(
        "begin\np : process (clk)\nbegin\nif c then\na <= b;\nq : process (clk)\nbegin\nend process;\n"
    )
    assert [shown(item) for item in items] == ["process p(clk) {if c {a <= b;}}", "process q(clk) {}"]


@pytest.mark.parametrize(
    "start", ["u : entity work.fifo port map (a => b,", "u : fifo port map (", "u : entity", "u :"]
)
def test_an_unfinished_instance_keeps_the_labelled_statement_after_it(start: str) -> None:
    items = in_architecture(f"begin\n{start}\nv : entity work.delay_line port map (c => d);\n")
    assert shown(items[-1]) == "instance v of work.delay_line() #() (c => d)"


def test_connections_that_can_be_read_are_kept() -> None:
    (instance,) = in_architecture(
        "begin u : fifo port map (clk => clk, d => x +, q(3 downto => y, rst => rst);"
    )
    assert "clk => clk" in shown(instance) and "<unreadable actual: x>" in shown(instance)


def test_a_comma_left_out_of_a_port_map_costs_nothing() -> None:
    (instance,) = in_architecture("begin u : fifo port map (clk => clk\nd => x, q => y);")
    assert shown(instance) == "instance u of .fifo() #() (clk => clk, d => x, q => y)"


def test_an_actual_not_yet_typed_is_named() -> None:
    (instance,) = in_architecture("begin u : fifo port map (clk => clk, d =>);")
    assert shown(instance) == "instance u of .fifo() #() (clk => clk, d => <missing actual: >)"


@pytest.mark.parametrize(
    "line", ["b : in", "b", "b :", "b : in std_logic_vector(7 downto", "b : in std_logic := "]
)
def test_an_unfinished_port_keeps_the_others(line: str) -> None:
    (unit,) = read(f"entity e is port (\na : in bit;\n{line};\nc : in bit);\nend entity;").units
    kept = [port.name for port in unit.ports if port.name != "b"]
    assert kept == ["a", "c"]


def test_a_semicolon_left_out_of_a_port_list_costs_nothing() -> None:
    (unit,) = read("entity e is port (\na, b : in bit\nsignal c, d : out hue_t\ne : bit);\nend entity;").units
    assert [(port.name, shown(port.type)) for port in unit.ports] == [
        ("a", "bit"),
        ("b", "bit"),
        ("c", "hue_t"),
        ("d", "hue_t"),
        ("e", "bit"),
    ]


def test_what_is_not_understood_names_the_identifiers_in_it() -> None:
    (skipped,) = in_process("line pixel(x) $ 3;")
    assert shown(skipped) == "<statement: line pixel x>"
    (skipped,) = in_architecture("signal line $ : pixel_t;")
    assert shown(skipped) == "<signal declaration: line pixel_t>"


def test_a_process_spelt_wrong_is_named_and_costs_only_itself() -> None:
    items = in_architecture(
        "begin\nproces (clk)\nbegin\nif c then\nline(x) <= y;\nend if;\nend process;\nz <= a;"
    )
    assert shown(items[-1]) == "assign z <= a"
    assert any("line" in shown(item) and shown(item).startswith("<") for item in items)


def test_an_else_too_many_costs_only_itself() -> None:
    statements = in_process("if c then a; else b; else d; end if; last;")
    assert shown(statements[0]).startswith("if c {a();} else {b();")
    assert shown(statements[-1]) == "last();"


def test_an_end_too_many_is_passed_over() -> None:
    assert [shown(each) for each in in_process("a; end if; end loop; b;")] == ["a();", "b();"]


@pytest.mark.parametrize("end", ["end rec", "end recor", "end", "e", "end record"])
def test_an_unfinished_end_of_a_record_keeps_what_follows(end: str) -> None:
    found = names(f"type t is record\na : bit;\n{end}\nsignal after_it : bit;\nbegin\n")
    assert "after_it" in found


@pytest.mark.parametrize(
    "head",
    [
        "function f(a : bit) return ",
        "function f(a : bit) return bit",
        "function f(a : bit)",
        "function f(a : ",
        "function f",
        "procedure f(a : bit)",
    ],
)
def test_a_body_under_an_unfinished_head_stays_with_it(head: str) -> None:
    items = in_architecture(
        f"\n{head}\nvariable v : bit;\nbegin\nv := a;\nend f;\nsignal after_it : bit;\nbegin\n"
    )
    first, last = shown(items[0]), shown(items[-1])
    assert first.startswith("subprogram f(") and "v := a;" in first
    assert last == "signal after_it: bit"


@pytest.mark.parametrize("head", ["case", "case s", "case s i", "case s.", "case (s"])
def test_the_arms_under_an_unfinished_case_are_kept(head: str) -> None:
    (found,) = in_process(f"\n{head}\nwhen a => x <= 1;\nwhen others => y <= 2;\nend case;\n")
    assert shown(found).endswith("{a: {x <= 1;} others: {y <= 2;}}")


def test_a_bare_end_deeper_than_its_unit_does_not_close_it() -> None:
    text = "package body p is\n  fun\n  begin\n    return a;\n  end;\n  constant c : bit := '1';\n"
    (unit,) = read(f"{text}end package body;\n").units
    assert shown(unit.items[-1]) == "constant c: bit := '1'"
