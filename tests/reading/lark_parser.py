"""The readers' grammars in lark's own parser, for comparison with our loop over the prepared tables."""

from collections.abc import Iterator
from functools import cache
from typing import Any

from lark import Lark, Transformer
from lark.lexer import Lexer

from memlint.reading.grammars import parser
from memlint.reading.starts import STARTS
from memlint.reading.verilog.build import Build as VerilogBuild
from memlint.reading.vhdl.build import Build as VhdlBuild


class Slices(Lexer):
    """Hands lark the tokens it was given."""

    __future_interface__ = 1

    def __init__(self, lexer_conf: object) -> None:
        pass

    def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Any]:
        return iter(lexer_state.text)


class _Verilog(VerilogBuild, Transformer[Any, Any]):
    pass


class _Vhdl(VhdlBuild, Transformer[Any, Any]):
    pass


@cache
def lark_parser(name: str) -> Lark:
    build = {"systemverilog": _Verilog, "vhdl": _Vhdl}[name]()
    return parser(name, STARTS[name], lexer=Slices, transformer=build)
