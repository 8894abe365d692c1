"""One memory written in Verilog, SystemVerilog and VHDL."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import indent


@dataclass(frozen=True)
class Style:
    """What a memory does. `read`: `data` (word registered), `address` (address registered) or `wire`.

    `ports`: `1w1r`, `1rw`, `2rw`, `1w2r`, `2w1r` or `1r`. `lanes` is how many parts the word is written in.
    `contents`: `` none, `zero` or `given`. `reset`: `` none, `loop` clears the array, `word` the read
    register. `banks` more than 1 are written and read by a loop. `given` are depth and width as an instance
    passes them to a unit whose own defaults are 4 words of 4 bits.
    """

    name: str
    depth: int = 64
    width: int = 16
    read: str = "data"
    ports: str = "1w1r"
    clocks: int = 1
    lanes: int = 1
    contents: str = ""
    reset: str = ""
    banks: int = 1
    falling: bool = False
    wrapped: bool = False
    intent: str = ""

    @property
    def address_bits(self) -> int:
        return (self.depth - 1).bit_length()


def verilog(style: Style) -> str:
    """Verilog-2001 (of 2005, where `$clog2` and unsized names are not needed)."""
    return _verilog(style, False)


def systemverilog(style: Style) -> str:
    return _verilog(style, True)


def _verilog(style: Style, system: bool) -> str:
    bit, register = ("logic", "logic") if system else ("wire", "reg")
    clocked = "always_ff" if system else "always"
    edge = "negedge" if style.falling else "posedge"
    width, depth = ("BITS", "WORDS") if style.wrapped else (str(style.width), str(style.depth))
    top = style.address_bits - 1
    span = f"[{width}-1:0]" if style.wrapped else f"[{style.width * style.banks - 1}:0]"
    enables = style.lanes if style.lanes > 1 else style.banks
    ports = [f"input {bit} {name}" for name in (*_clocks(style), "reset")]
    writers, readers = _sides(style)
    ports += [f"input {bit} [{enables - 1}:0] we_{side}" for side in writers]
    ports += [f"input {bit} [{top}:0] at_{side}" for side in _addresses(style)]
    ports += [f"input {bit} {span} data_{side}" for side in writers]
    output = "output logic" if system else ("output wire" if style.read != "data" else "output reg")
    ports += [f"{output} {span} q_{side}" for side in readers]
    body = []
    if style.intent:
        body.append(f"// @mem {style.intent}")
    dimensions = (f" [0:{style.banks - 1}]" if style.banks > 1 else "") + f" [0:{depth}-1]"
    body.append(f"{register} [{width}-1:0] line{dimensions};")
    body.append("int at;" if system else "integer at, lane, bank;")
    if style.contents:
        word = "0" if style.contents == "zero" else "at"
        body.append(f"initial for (at = 0; at < {depth}; at = at + 1) line[at] = {word};")
    for side in _addresses(style):
        clock = _clock(style, side)
        inner = _verilog_write(style, side, system) if side in writers else []
        if side in readers and style.read == "data":
            inner += _verilog_read(style, side, system)
        if style.reset == "loop" and side in writers:
            clear = f"for (at = 0; at < {depth}; at = at + 1) line[at] <= 0;"
            inner = ["if (reset)", f"  {clear}", "else begin", *(f"  {one}" for one in inner), "end"]
        if inner:
            block = indent("\n".join(inner), "  ")
            body.append(f"{clocked} @({edge} {clock}) begin\n{block}\nend")
        if side in readers and style.read == "wire":
            body.append(f"assign q_{side} = line[at_{side}];")
        if side in readers and style.read == "address":
            body.append(f"{register} [{top}:0] held_{side};")
            body.append(f"{clocked} @({edge} {clock}) held_{side} <= at_{side};")
            body.append(f"assign q_{side} = line[held_{side}];")
    header = "#(parameter WORDS = 4, parameter BITS = 4) " if style.wrapped else ""
    listed = ",\n".join(f"  {port}" for port in ports)
    unit = "store" if style.wrapped else "sorter"
    text = f"module {unit} {header}(\n{listed}\n);\n{indent(chr(10).join(body), '  ')}\nendmodule\n"
    if style.wrapped:
        outer = listed.replace(f"[{width}-1:0]", f"[{style.width - 1}:0]")
        outer = outer.replace("output reg", "output wire")
        names = [port.rsplit(" ", 1)[1] for port in ports]
        connected = ", ".join(f".{name}({name})" for name in names)
        text += (
            f"module sorter (\n{outer}\n);\n"
            f"  store #(.WORDS({style.depth}), .BITS({style.width})) pixels ({connected});\nendmodule\n"
        )
    return text


def _sides(style: Style) -> tuple[list[str], list[str]]:
    """Which ports write and which read; a side is one address."""
    return {
        "1w1r": (["a"], ["b"]),
        "1rw": (["a"], ["a"]),
        "2rw": (["a", "b"], ["a", "b"]),
        "1w2r": (["a"], ["b", "c"]),
        "2w1r": (["a", "b"], ["c"]),
        "1r": ([], ["b"]),
    }[style.ports]


def _addresses(style: Style) -> list[str]:
    writers, readers = _sides(style)
    return sorted({*writers, *readers})


def _clocks(style: Style) -> list[str]:
    return ["clk_a", "clk_b"] if style.clocks > 1 else ["clk"]


def _clock(style: Style, side: str) -> str:
    """Side `a` is on the first clock, the others are on the last."""
    return _clocks(style)[0 if side == "a" else -1]


def _verilog_write(style: Style, side: str, system: bool) -> list[str]:
    declared = "int " if system else ""
    if style.lanes > 1:
        size = style.width // style.lanes
        part = f"[{size} * lane +: {size}]"
        return [
            f"for ({declared}lane = 0; lane < {style.lanes}; lane = lane + 1)",
            f"  if (we_{side}[lane]) line[at_{side}]{part} <= data_{side}{part};",
        ]
    if style.banks > 1:
        part = f"[{style.width} * bank +: {style.width}]"
        return [
            f"for ({declared}bank = 0; bank < {style.banks}; bank = bank + 1)",
            f"  if (we_{side}[bank]) line[bank][at_{side}] <= data_{side}{part};",
        ]
    return [f"if (we_{side}[0]) line[at_{side}] <= data_{side};"]


def _verilog_read(style: Style, side: str, system: bool) -> list[str]:
    declared = "int " if system else ""
    if style.banks > 1:
        part = f"[{style.width} * bank +: {style.width}]"
        return [
            f"for ({declared}bank = 0; bank < {style.banks}; bank = bank + 1)",
            f"  q_{side}{part} <= line[bank][at_{side}];",
        ]
    if style.reset == "word":
        return [f"if (reset) q_{side} <= 0;", f"else q_{side} <= line[at_{side}];"]
    return [f"q_{side} <= line[at_{side}];"]


def vhdl(style: Style) -> str:
    """VHDL-2008 (of 1993, where nothing needs more)."""
    edge = "falling_edge" if style.falling else "rising_edge"
    width, depth = ("BITS", "WORDS") if style.wrapped else (str(style.width), str(style.depth))
    total = f"{style.width * style.banks}" if not style.wrapped else width
    enables = style.lanes if style.lanes > 1 else style.banks
    writers, readers = _sides(style)
    ports = [f"{name} : in std_logic" for name in (*_clocks(style), "reset")]
    ports += [f"we_{side} : in std_logic_vector({enables - 1} downto 0)" for side in writers]
    ports += [f"at_{side} : in unsigned({style.address_bits - 1} downto 0)" for side in _addresses(style)]
    ports += [f"data_{side} : in std_logic_vector({total} - 1 downto 0)" for side in writers]
    ports += [f"q_{side} : out std_logic_vector({total} - 1 downto 0)" for side in readers]
    declared = [f"type words_t is array (0 to {depth} - 1) of std_logic_vector({width} - 1 downto 0);"]
    type_name = "words_t"
    if style.banks > 1:
        declared.append(f"type banks_t is array (0 to {style.banks - 1}) of words_t;")
        type_name = "banks_t"
    initial = ""
    if style.contents == "zero":
        initial = " := (others => (others => '0'))"
    elif style.contents == "given":
        initial = " := filled"
        declared += [
            "function filled return words_t is",
            "  variable words : words_t;",
            "begin",
            "  for at in words_t'range loop",
            f"    words(at) := std_logic_vector(to_unsigned(at, {width}));",
            "  end loop;",
            "  return words;",
            "end function;",
        ]
    if style.intent:
        declared.append(f"-- @mem {style.intent}")
    # A shared variable is what VHDL has where two processes write.
    shared = style.ports == "2rw"
    declared.append(f"{'shared variable' if shared else 'signal'} line : {type_name}{initial};")
    becomes = ":=" if shared else "<="
    body = []
    for side in _addresses(style):
        clock = _clock(style, side)
        read = _vhdl_read(style, side) if side in readers and style.read == "data" else []
        # Read before write: variables change at once, and the other languages' words do not.
        write = _vhdl_write(style, side, becomes) if side in writers else []
        inner = [*read, *write] if shared else [*write, *read]
        if style.reset == "loop" and side in writers:
            inner = [
                "if reset = '1' then",
                "  for at in line'range loop",
                "    line(at) <= (others => '0');",
                "  end loop;",
                "else",
                *(f"  {one}" for one in inner),
                "end if;",
            ]
        if inner:
            block = indent("\n".join(inner), "    ")
            edge_of = f"  if {edge}({clock}) then"
            body.append(f"process ({clock})\nbegin\n{edge_of}\n{block}\n  end if;\nend process;")
        if side in readers and style.read == "wire":
            body.append(f"q_{side} <= line(to_integer(at_{side}));")
        if side in readers and style.read == "address":
            declared.append(f"signal held_{side} : unsigned({style.address_bits - 1} downto 0);")
            body.append(
                f"process ({clock})\nbegin\n  if {edge}({clock}) then\n"
                f"    held_{side} <= at_{side};\n  end if;\nend process;"
            )
            body.append(f"q_{side} <= line(to_integer(held_{side}));")
    generics = "  generic (WORDS : positive := 4; BITS : positive := 4);\n" if style.wrapped else ""
    unit = "store" if style.wrapped else "sorter"
    text = _unit(unit, generics, ports, declared, body)
    if style.wrapped:
        names = [port.split(" ", 1)[0] for port in ports]
        connected = ", ".join(f"{name} => {name}" for name in names)
        outer = [port.replace("(BITS - 1", f"({style.width} - 1") for port in ports]
        text += _unit(
            "sorter",
            "",
            outer,
            [],
            [
                f"pixels : entity work.store generic map (WORDS => {style.depth}, BITS => {style.width})",
                f"  port map ({connected});",
            ],
        )
    return text


def _unit(name: str, generics: str, ports: list[str], declared: list[str], body: list[str]) -> str:
    listed = ";\n".join(f"    {port}" for port in ports)
    return (
        "library ieee;\nuse ieee.std_logic_1164.all;\nuse ieee.numeric_std.all;\n\n"
        f"entity {name} is\n{generics}  port (\n{listed}\n  );\nend entity;\n\n"
        f"architecture rtl of {name} is\n{indent(chr(10).join(declared), '  ')}\nbegin\n"
        f"{indent(chr(10).join(body), '  ')}\nend architecture;\n\n"
    )


def _vhdl_write(style: Style, side: str, becomes: str) -> list[str]:
    at = f"(to_integer(at_{side}))"
    if style.lanes > 1:
        size = style.width // style.lanes
        part = f"({size} * lane + {size - 1} downto {size} * lane)"
        return [
            f"for lane in 0 to {style.lanes - 1} loop",
            f"  if we_{side}(lane) = '1' then",
            f"    line{at}{part} {becomes} data_{side}{part};",
            "  end if;",
            "end loop;",
        ]
    if style.banks > 1:
        part = f"({style.width} * bank + {style.width - 1} downto {style.width} * bank)"
        return [
            f"for bank in 0 to {style.banks - 1} loop",
            f"  if we_{side}(bank) = '1' then",
            f"    line(bank){at} {becomes} data_{side}{part};",
            "  end if;",
            "end loop;",
        ]
    return [f"if we_{side}(0) = '1' then", f"  line{at} {becomes} data_{side};", "end if;"]


def _vhdl_read(style: Style, side: str) -> list[str]:
    at = f"(to_integer(at_{side}))"
    if style.banks > 1:
        part = f"({style.width} * bank + {style.width - 1} downto {style.width} * bank)"
        return [
            f"for bank in 0 to {style.banks - 1} loop",
            f"  q_{side}{part} <= line(bank){at};",
            "end loop;",
        ]
    if style.reset == "word":
        return [
            "if reset = '1' then",
            f"  q_{side} <= (others => '0');",
            "else",
            f"  q_{side} <= line{at};",
            "end if;",
        ]
    return [f"q_{side} <= line{at};"]
