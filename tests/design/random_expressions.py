"""Random constant expressions of SystemVerilog as text, without undefined results in them."""

from __future__ import annotations

from random import Random

# Declared in every module the expressions stand in: types of many widths and signs.
DECLARATIONS = """
  typedef enum logic [2:0] {IDLE, READ = 3, WRITE} state_t;
  typedef struct packed {logic [4:0] row; logic signed [2:0] skew; state_t state;} cell_t;
  localparam logic [7:0] BYTE = 8'hc5;
  localparam logic signed [3:0] NIBBLE = -4'sd3;
  localparam logic [0:11] UPWARD = 12'h5a3;
  localparam logic [3:0][4:0] PACKED = 20'h9c3f1;
  localparam int COUNT = 100;
  localparam int unsigned LARGE = 3000000000;
  localparam byte SMALL = -5;
  localparam longint LONG = 64'sh1234_5678_9abc;
  localparam bit [66:0] WIDE = 67'h5_ffff_ffff_0000_1234;
  localparam cell_t CELL = '{row: 21, skew: -2, state: WRITE};
  localparam UNTYPED = 4'd9;
  localparam signed SIGNED = 4'hc;
"""
_NAMES = ("BYTE", "NIBBLE", "UPWARD", "PACKED", "COUNT", "LARGE", "SMALL", "LONG", "WIDE", "CELL", "UNTYPED")
_MORE = ("SIGNED", "IDLE", "READ", "WRITE", "CELL.row", "CELL.skew", "CELL.state", "PACKED[2]", "PACKED[1:0]")
_SELECTS = ("BYTE[7]", "BYTE[5:2]", "UPWARD[3:6]", "UPWARD[2+:4]", "WIDE[40-:9]", "NIBBLE[2:0]", "LONG[33]")
_ARITHMETIC = ("+", "-", "*", "&", "|", "^", "~^")
_COMPARISONS = ("==", "!=", "<", "<=", ">", ">=", "===", "!==")
_LOGICAL = ("&&", "||", "->", "<->")
_UNARY = ("-", "~", "+", "!", "&", "|", "^", "~&", "~|", "~^")
_CASTS = (
    "int'",
    "byte'",
    "longint'",
    "shortint'",
    "state_t'",
    "signed'",
    "unsigned'",
    "5'",
    "13'",
    "40'",
    "logic'",
)


def literal(random: Random) -> str:
    """A number literal without x and z."""
    match random.randrange(4):
        case 0:
            return str(random.choice((0, 1, 2, 3, 7, 10, 255, 65535, 2147483647)))
        case 1:
            width = random.choice((1, 2, 3, 4, 8, 13, 16, 31, 32, 33, 40, 65))
            sign = random.choice(("", "s"))
            base, digits = random.choice((("h", "x"), ("d", "d"), ("b", "b"), ("o", "o")))
            return f"{width}'{sign}{base}{random.getrandbits(width):{digits}}"
        case 2:
            return random.choice(("'0", "'1"))
        case _:
            return f"'{random.choice(('h', 'sh'))}{random.getrandbits(random.choice((4, 16, 31))):x}"


def expression(random: Random, depth: int) -> str:
    """A parenthesised expression of at most the given depth."""
    if depth == 0 or random.random() < 0.15:
        names = random.choice((_NAMES, _MORE, _SELECTS, ()))
        return random.choice(names) if names else literal(random)

    def inner() -> str:
        return expression(random, depth - 1)

    match random.randrange(15):
        case 0 | 1 | 2 | 3:
            return f"({inner()} {random.choice(_ARITHMETIC)} {inner()})"
        case 4:
            return f"({inner()} {random.choice(('/', '%'))} ({inner()} | 1'b1))"
        case 5 | 6:
            return f"({inner()} {random.choice(('<<', '>>', '<<<', '>>>'))} ({inner()} & 7'd63))"
        case 7:
            return f"({inner()} ** ({inner()} & 4'd7))"
        case 8:
            return f"({inner()} {random.choice(_COMPARISONS)} {inner()})"
        case 9:
            return f"({inner()} {random.choice(_LOGICAL)} {inner()})"
        case 10:
            return f"({random.choice(_UNARY)} {inner()})"
        case 11:
            return f"({inner()} ? {inner()} : {inner()})"
        case 12:
            return "{" + f"{_sized(inner())}, {_sized(inner())}" + "}"
        case 13:
            return f"{random.choice(_CASTS)}({inner()})"
        case _:
            return _call(random, inner())


def _sized(text: str) -> str:
    # Unsized numbers are not allowed in a concatenation (11.4.12).
    return f"9'({text})"


def _call(random: Random, argument: str) -> str:
    match random.randrange(7):
        case 0:
            return f"$clog2({argument})"
        case 1:
            return f"$signed({argument})"
        case 2:
            return f"$unsigned({argument})"
        case 3:
            return f"$countones({argument})"
        case 4:
            return f"$bits({argument})"
        case 5:
            return f"{{2{{{_sized(argument)}}}}}"
        case _:
            return f"(unsigned'({argument}) inside {{8'd3, [8'd5:8'd9], BYTE}})"


TARGETS = (
    "",
    "int ",
    "logic [11:0] ",
    "logic signed [6:0] ",
    "longint unsigned ",
    "byte ",
    "bit [99:0] ",
    "signed ",
)


def module(seed: int, count: int) -> str:
    """A module with `count` parameters E0, E1, … of random expressions."""
    random = Random(seed)
    lines: list[str] = []
    for number in range(count):
        value = f"{expression(random, 3)} + {expression(random, 2)}"
        lines.append(f"  localparam {random.choice(TARGETS)}E{number} = ({value});")
    return "module dut;" + DECLARATIONS + "\n".join(lines) + "\nendmodule\n"
