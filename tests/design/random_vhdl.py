"""Random VHDL expressions as text, without overflow or division by zero in them."""

from __future__ import annotations

from random import Random

HEADER = """library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dut is
end entity;
architecture rtl of dut is
"""


def integer(random: Random, depth: int) -> str:
    """An integer expression: at depth 3 at most eight leaves of at most 9, so it stays in 32 bits."""
    if depth == 0 or random.random() < 0.1:
        return f"({random.randint(-9, 9)})"

    def inner() -> str:
        return integer(random, depth - 1)

    match random.randrange(8):
        case 0 | 1:
            return f"({inner()} + {inner()})"
        case 2:
            return f"({inner()} - {inner()})"
        case 3:
            return f"({inner()} * {inner()})"
        case 4:
            divisor = random.choice((-7, -3, -2, 1, 2, 3, 5, 8))
            return f"({inner()} {random.choice(('/', 'mod', 'rem'))} ({divisor}))"
        case 5:
            return f"(abs {inner()})"
        case 6:
            relation = random.choice(("=", "/=", "<", "<=", ">", ">="))
            return f"boolean'pos({inner()} {relation} {inner()})"
        case _:
            return f"(({random.randint(-5, 5)}) ** {random.randint(0, 2)})"


def vector(random: Random, depth: int, kind: str) -> str:
    """An `unsigned` or `signed` expression of at most some thirty bits."""
    if depth == 0:
        width = random.randint(2, 6)
        if kind == "unsigned":
            return f"to_unsigned({random.randrange(2**width)}, {width})"
        return f"to_signed({random.randrange(-(2 ** (width - 1)), 2 ** (width - 1))}, {width})"

    def inner() -> str:
        return vector(random, depth - 1, kind)

    match random.randrange(9):
        case 0 | 1:
            return f"({inner()} {random.choice(('+', '-'))} {inner()})"
        case 2:
            return f"({inner()} * {inner()})"
        case 3:
            divisor = f"to_unsigned({random.randint(1, 7)}, 3)"
            if kind == "signed":
                divisor = f"to_signed({random.choice((-4, -3, 1, 2, 3))}, 3)"
            return f"({inner()} {random.choice(('/', 'mod', 'rem'))} {divisor})"
        case 4:
            operator = random.choice(("and", "or", "xor", "nand", "nor", "xnor"))
            return f"(resize({inner()}, 9) {operator} resize({inner()}, 9))"
        case 5:
            shift = random.choice(("shift_left", "shift_right", "rotate_left", "rotate_right"))
            return f"{shift}({inner()}, {random.randint(0, 5)})"
        case 6:
            return f"(not {inner()})"
        case 7:
            return f"resize({inner()}, {random.randint(1, 12)})"
        case _:
            return f"({inner()} + {random.randint(0, 3)})"


def design(seed: int, count: int) -> tuple[str, dict[str, str]]:
    """An entity with `count` integer constants, and how each is printed."""
    random = Random(seed)
    lines: list[str] = []
    for number in range(count):
        match number % 3:
            case 0:
                value = integer(random, 3)
            case 1:
                value = f"to_integer(resize({vector(random, 2, 'unsigned')}, 20))"
            case _:
                value = f"to_integer(resize({vector(random, 2, 'signed')}, 20))"
        lines.append(f"  constant e{number} : integer := {value};")
    text = HEADER + "\n".join(lines) + "\nbegin\n-- SHOW\nend architecture;\n"
    return text, {f"e{number}": f"integer'image(e{number})" for number in range(count)}
