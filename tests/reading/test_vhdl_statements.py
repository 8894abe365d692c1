"""Sequential and concurrent statements of VHDL."""

import pytest
from vhdl_shown import in_architecture, in_process, shown

from memlint.reading.facts.items import Process


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a := b;", "a := b;"),
        ("a <= b;", "a <= b;"),
        ("a <= b <= c;", "a <= (b <= c);"),
        ("line(x) <= pixel after 2 ns;", "line(x) <= pixel;"),
        ("a <= transport b after 2 ns, c after 3 ns;", "a <= b;"),
        ("a <= reject 1 ns inertial b after 2 ns;", "a <= b;"),
        ("(hi, lo) := sum;", "[hi, lo] := sum;"),
        ("label1 : a := b;", "a := b;"),
        ("a <= b when c else d when e else f;", "if c a <= b; else if e a <= d; else a <= f;"),
        ("a <= b when c;", "if c a <= b;"),
        ("a := b when c else d;", "if c a := b; else a := d;"),
        ("a <= unaffected when c else d;", "if c {} else a <= d;"),
        ("with s select a <= b when 0, c when 1 | 2, d when others;",
         "case s {0: a <= b; 1, 2: a <= c; others: a <= d;}"),
        ("with s select? a := b when \"1-\", c when others;", 'case? s {"1-": a := b; others: a := c;}'),
        ("if a then b <= c; end if;", "if a {b <= c;}"),
        ("if a then x; elsif b then y; elsif c then z; else w; end if;",
         "if a {x();} else if b {y();} else if c {z();} else {w();}"),
        ("l : if a then null; end if l;", "if a {}"),
        ("case s is when good | stone => x; when 0 to 3 => y; when others => z; end case;",
         "case s {good, stone: {x();} range[0 to 3]: {y();} others: {z();}}"),
        ("case? s is when \"1-\" => x; end case?;", 'case? s {"1-": {x();}}'),
        ("for i in 0 to 7 loop a(i) <= b; end loop;", "for i in range[0 to 7] {a(i) <= b;}"),
        ("for i in a'range loop null; end loop;", "for i in a'range {}"),
        ("for i in grain_class loop null; end loop;", "for i in grain_class {}"),
        ("for i in natural range 1 to 2 loop null; end loop;", "for i in range[1 to 2] {}"),
        ("while a < b loop a := a + 1; end loop;", "while (a < b) {a := (a + 1);}"),
        ("l : loop exit l when a; next; exit; next when b; end loop l;",
         "loop - {exit a; next -; exit -; next b;}"),
        ("wait;", "wait [] -;"),
        ("wait for 10 ns;", "wait [] -;"),
        ("wait on a, b(1) until c for 3 ns;", "wait [a b(1)] c;"),
        ("wait until rising_edge(clk);", "wait [posedge clk] rising_edge(clk);"),
        ("wait until falling_edge(clk) and go;", "wait [negedge clk] (falling_edge(clk) & go);"),
        ("wait until clk'event and clk = '1';", "wait [posedge clk] (clk'event & (clk == '1'));"),
        ("wait until clk = '1';", "wait [] (clk == '1');"),
        ("add(1, sum => total);", "add(1, sum => total);"),
        ("store.put(x);", "store.put(x);"),
        ("work.p.tick;", "work.p.tick();"),
        ("return;", "return -;"),
        ("return a + 1;", "return (a + 1);"),
        ("return a when b else c;", "return (b ? a : c);"),
        ("return when done;", "if done return -;"),
    ],
)  # fmt: skip
def test_sequential_statements(text: str, expected: str) -> None:
    """The statement that follows shows that the reader knows where the first one ends."""
    assert " ".join(map(shown, in_process(f"{text} done <= 1;"))) == f"{expected} done <= 1;"


@pytest.mark.parametrize(
    "text",
    [
        "null;",
        'assert a report "b" severity error;',
        'report "b" & integer\'image(c);',
        "a <= force b;",
        "a <= force in b + 1;",
        "a <= release out;",
    ],
)
def test_statements_without_hardware_say_nothing(text: str) -> None:
    assert [shown(each) for each in in_process(f"{text} done <= 1;")] == ["done <= 1;"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a <= b and c;", "assign a <= (b & c)"),
        ("l : a(1) <= b;", "assign a(1) <= b"),
        ("(a, b) <= c;", "assign [a, b] <= c"),
        ("a <= guarded b;", "assign a <= b"),
        ("postponed a <= b;", "assign a <= b"),
        ("a <= b when c else d when e else f;", "assign a <= (c ? b : (e ? d : f))"),
        ("a <= b when c;", "process (all) if c a <= b;"),
        ("q : a <= b when rising_edge(clk);", "process q(all) if rising_edge(clk) a <= b;"),
        ("a <= b when c else unaffected;", "process (all) if c a <= b; else {}"),
        ("with s select a <= b when 0, c when 1 to 2, d when others;",
         "assign a <= ((s == 0) ? b : ((s in range[1 to 2]) ? c : d))"),
        ("with s select a <= b when '0', c when '1';", "assign a <= ((s == '0') ? b : c)"),
        ("with s select a <= b when 0, unaffected when others;",
         "process (all) case s {0: a <= b; others: {}}"),
        ("l : tick(a, b);", "process l(all) tick(a, b);"),
        ("tick;", "process (all) tick();"),
        ("process begin wait; end process;", "process () {wait [] -;}"),
        ("p : process (a, b(1)) is variable v : bit; begin v := a; end process p;",
         "process p(a, b(1)) {v := a;}"),
        ("process (all) begin end process;", "process (all) {}"),
        ("postponed process (a) begin end postponed process;", "process (a) {}"),
    ],
)  # fmt: skip
def test_concurrent_statements(text: str, expected: str) -> None:
    assert [shown(each) for each in in_architecture(f"begin {text} done <= 1;")] == [
        expected,
        "assign done <= 1",
    ]


def test_a_process_keeps_its_declarations() -> None:
    text = (
        "process variable a, b : bit; type t is (x, y); function f return t is begin return x; end; "
        "constant c : t := f; begin a := b; end process;"
    )
    (process,) = in_architecture(f"begin {text}")
    assert isinstance(process, Process)
    assert [shown(item) for item in process.items] == [
        "variable a: bit",
        "variable b: bit",
        "type t: enum (x, y)",
        "subprogram f() -> t {return x;}",
        "constant c: t := f",
    ]
    assert shown(process.body) == "{a := b;}"


@pytest.mark.parametrize(
    "text",
    [
        'assert a report "b";',
        "l : postponed assert a;",
        'assert always a -> next b report "c";',
    ],
)
def test_assertions_say_nothing(text: str) -> None:
    assert [shown(each) for each in in_architecture(f"begin {text} done <= 1;")] == ["assign done <= 1"]


@pytest.mark.parametrize("text", ["default clock is rising_edge(clk);", "property p is always (a);"])
def test_properties_are_skipped_by_name(text: str) -> None:
    skipped, done = in_architecture(f"begin {text} done <= 1;")
    assert shown(skipped).startswith("<property")
    assert shown(done) == "assign done <= 1"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("u : entity work.fifo port map (a, b);", "instance u of work.fifo() #() (a, b)"),
        ("u : entity work.fifo(rtl) generic map (8, w => 3) port map (clk => clk, q => open);",
         "instance u of work.fifo(rtl) #(8, w => 3) (clk => clk, q => -)"),
        ("u : entity fifo;", "instance u of .fifo() #() ()"),
        ("u : component fifo port map (a);", "instance u of .fifo() #() (a)"),
        ("u : fifo port map (a);", "instance u of .fifo() #() (a)"),
        ("u : fifo generic map (4);", "instance u of .fifo() #(4) ()"),
        ("u : fifo;", "instance u of .fifo() #() ()"),
        ("u : work.parts.fifo port map (a);", "instance u of work.parts.fifo() #() (a)"),
        ("u : configuration work.fast port map (a);", "instance u of work.fast() #() (a)"),
        ("u : fifo port map (d => x & y, q(7 downto 4) => a, q(3) => b, r.f => c);",
         "instance u of .fifo() #() (d => {x, y}, q => [range[7 downto 4] => a, 3 => b], r => [f => c])"),
        ("u : fifo port map (d => unsigned(x), std_logic_vector(q) => y);",
         "instance u of .fifo() #() (d => unsigned(x), q => y)"),
        ("u : fifo port map (d => inertial x, n => natural range 0 to 3);",
         "instance u of .fifo() #() (d => x, n => range[0 to 3])"),
    ],
)  # fmt: skip
def test_instances(text: str, expected: str) -> None:
    assert [shown(each) for each in in_architecture(f"begin {text} done <= 1;")] == [
        expected,
        "assign done <= 1",
    ]


def test_only_an_entity_or_configuration_is_bound_without_component() -> None:
    text = "begin a : entity work.x; b : component x; c : x port map (y); d : configuration work.x;"
    assert [each.component for each in in_architecture(text)] == [False, True, True, False]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("g : for i in 0 to 3 generate a(i) <= b; end generate g;",
         "generate for i in range[0 to 3] g{assign a(i) <= b}"),
        ("g : for i in v'range generate signal s : bit; begin s <= a; end generate;",
         "generate for i in v'range g{signal s: bit; assign s <= a}"),
        ("g : for i in 0 to 3 generate begin a <= b; end; end generate g;",
         "generate for i in range[0 to 3] g{assign a <= b}"),
        ("g : if c generate a <= b; end generate;", "generate if c g{assign a <= b}"),
        ("g : if c generate a <= b; else generate a <= d; end generate;",
         "generate if c g{assign a <= b} else g{assign a <= d}"),
        ("g : if x : c generate begin a <= b; end x; elsif y : d generate a <= e; else z : generate end z; "
         "end generate g;",
         "generate if c g{assign a <= b} else {generate if d g{assign a <= e} else g{}}"),
        ("g : case n generate when 0 | 1 => a <= b; when x : 2 to 3 => signal s : bit; begin s <= c; end x; "
         "when others => end generate g;",
         "generate case n 0, 1: g{assign a <= b} range[2 to 3]: g{signal s: bit; assign s <= c} others: g{}"),
        ("g : for i in 0 to 1 generate h : if i = 0 generate u : x port map (y); end generate; end generate;",
         "generate for i in range[0 to 1] g{generate if (i == 0) h{instance u of .x() #() (y)}}"),
        ("b : block signal s : bit; begin s <= a; end block b;", "b{signal s: bit; assign s <= a}"),
        ("b : block (guard) is begin end block;", "b{}"),
    ],
)  # fmt: skip
def test_generates_and_blocks(text: str, expected: str) -> None:
    assert [shown(each) for each in in_architecture(f"begin {text} done <= 1;")] == [
        expected,
        "assign done <= 1",
    ]
