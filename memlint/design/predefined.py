"""Names of VHDL's standard packages that sizes are made of, known without their sources.

IEEE Std 1076-2008: 16.3 (standard), 16.8 (standard logic, numeric, fixed point), 16.9 (math_real).
"""

from __future__ import annotations

import math

from memlint.design.types import (
    ElabType,
    Enum,
    Integer,
    Range,
    RealType,
    Shapeless,
    TextType,
    Unconstrained,
    Vector,
)
from memlint.design.values import Int, Real

BOOLEAN = Enum((("false", 0), ("true", 1)), name="boolean")
CHARACTER = Enum(tuple((chr(code), code) for code in range(256)), name="character")
SEVERITY = Enum((("note", 0), ("warning", 1), ("error", 2), ("failure", 3)), name="severity_level")

INTEGER = Integer(Range(-(2**31), 2**31 - 1, False))
NATURAL = Integer(Range(0, 2**31 - 1, False), "natural")
POSITIVE = Integer(Range(1, 2**31 - 1, False), "positive")
TIME = Integer(Range(-(2**63), 2**63 - 1, False), "time")

TRUE = Int(1, None, False, BOOLEAN)
FALSE = Int(0, None, False, BOOLEAN)

_SCALARS = ("bit", "std_logic", "std_ulogic", "x01", "x01z", "ux01", "ux01z")
_UNSIGNED = (
    "std_logic_vector",
    "std_ulogic_vector",
    "bit_vector",
    "unsigned",
    "u_unsigned",
    "unresolved_unsigned",
)
_SIGNED = ("signed", "u_signed", "unresolved_signed")
_FIXED = {"ufixed": False, "u_ufixed": False, "unresolved_ufixed": False}
_FIXED_SIGNED = {"sfixed": True, "u_sfixed": True, "unresolved_sfixed": True}


def _vector_type(name: str, signed: bool, index: ElabType) -> Unconstrained:
    two_state = name == "bit_vector"
    bit = Vector(name="bit" if two_state else "std_ulogic", two_state=two_state)
    return Unconstrained(bit, name, index, Vector((), signed, None, name, two_state))


def _types() -> dict[str, ElabType]:
    known: dict[str, ElabType] = {
        "boolean": BOOLEAN,
        "character": CHARACTER,
        "severity_level": SEVERITY,
        "integer": INTEGER,
        "natural": NATURAL,
        "positive": POSITIVE,
        "time": TIME,
        "delay_length": Integer(Range(0, 2**63 - 1, False), "time"),
        "real": RealType(),
        "float": _vector_type("float", False, INTEGER),
        "string": TextType(),
        "line": Shapeless("it is a pointer to a string"),
        "text": Shapeless("it is a file"),
        "integer_vector": Unconstrained(INTEGER, "integer_vector", NATURAL),
        "boolean_vector": Unconstrained(BOOLEAN, "boolean_vector", NATURAL),
        "real_vector": Unconstrained(RealType(), "real_vector", NATURAL),
    }
    for name in _SCALARS:
        known[name] = Vector(name=name, two_state=name == "bit")
    for name in (*_UNSIGNED, *_SIGNED):
        known[name] = _vector_type(name, name in _SIGNED, NATURAL)
    for name, signed in (_FIXED | _FIXED_SIGNED).items():
        known[name] = _vector_type(name, signed, INTEGER)
    return known


def _units() -> dict[str, Int]:
    """The units of type time, in femtoseconds (16.3)."""
    sizes = {"fs": 1, "ps": 10**3, "ns": 10**6, "us": 10**9, "ms": 10**12, "sec": 10**15}
    sizes |= {"min": 60 * sizes["sec"], "hr": 3600 * sizes["sec"]}
    return {name: Int(size, None, True, TIME) for name, size in sizes.items()}


# 16.9: the constants of math_real.
_CONSTANTS: dict[str, Int | Real] = {
    "true": TRUE,
    "false": FALSE,
    "note": Int(0, None, False, SEVERITY),
    "warning": Int(1, None, False, SEVERITY),
    "error": Int(2, None, False, SEVERITY),
    "failure": Int(3, None, False, SEVERITY),
    **_units(),
    "math_pi": Real(math.pi),
    "math_2_pi": Real(2 * math.pi),
    "math_1_over_pi": Real(1 / math.pi),
    "math_pi_over_2": Real(math.pi / 2),
    "math_pi_over_4": Real(math.pi / 4),
    "math_e": Real(math.e),
    "math_sqrt_2": Real(math.sqrt(2)),
    "math_1_over_sqrt_2": Real(1 / math.sqrt(2)),
    "math_log_of_2": Real(math.log(2)),
    "math_log_of_10": Real(math.log(10)),
    "math_log2_of_e": Real(math.log2(math.e)),
    "math_deg_to_rad": Real(math.pi / 180),
    "math_rad_to_deg": Real(180 / math.pi),
}
_TYPES = _types()

# Evaluated in vhdl_functions.
BUILTIN_FUNCTIONS = frozenset(
    """
    to_integer conv_integer to_unsigned to_signed conv_unsigned conv_signed conv_std_logic_vector
    to_stdlogicvector to_stdulogicvector to_std_logic_vector to_std_ulogic_vector to_slv to_bitvector
    to_bit_vector to_bit to_stdulogic to_01 to_x01 is_x resize shift_left shift_right rotate_left
    rotate_right maximum minimum realmax realmin log2 log log10 exp ceil floor round trunc sqrt cbrt sign
    sin cos tan arcsin arccos arctan sinh cosh tanh to_string rising_edge falling_edge
    """.split()
)


STANDARD_LIBRARIES = frozenset(("ieee", "std"))


def is_predefined(name: str) -> bool:
    """Whether a name is known without the source of the package it is declared in."""
    return name in BUILTIN_FUNCTIONS or name in _TYPES or name in _CONSTANTS


def predefined(name: str) -> ElabType | Int | Real | None:
    """The type or constant a VHDL standard package gives `name`, None where there is none."""
    return _TYPES.get(name) or _CONSTANTS.get(name)
