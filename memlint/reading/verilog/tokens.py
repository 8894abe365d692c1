"""Tokens of Verilog and SystemVerilog, and the words the standard reserves."""

from __future__ import annotations

from typing import NamedTuple

from memlint.text.source import Span


class Token(NamedTuple):
    """One token as the parser sees it, after preprocessing.

    `kind` is one of
    `id`   an identifier; an escaped one without its backslash. A macro nobody defined is an `id` whose
           text starts with a backtick; the argument list it may have follows as ordinary tokens.
    `kw`   a reserved word, `text` is the word
    `num`  a whole literal without white space: `12`, `4'b10x1`, `'hFF`, `'0`, `1_000`, `1.5e3`, `10ns`
    `str`  a string without its quotes, escape sequences replaced by what they stand for
    `sys`  a system name with its dollar: `$clog2`
    `op`   an operator or punctuation, longest match: `>>>=`, `::`, `+:`, `'{`, `.*`; `(*` and `*)` enclose
           attributes only: `@(*)` is `@`, `(`, `*`, `)`
    `eof`  the end, text empty

    `start` and `end` are code points from 0 in `file`, the file a user sees. Everything a macro puts in
    has the place of the outermost macro use, except the tokens of an argument, which keep their own: places
    of tokens in a row may repeat and, where a macro swaps its arguments, go back.
    """

    kind: str
    text: str
    file: str
    start: int
    end: int

    @property
    def span(self) -> Span:
        """The token's place."""
        return Span(self.file, self.start, self.end)


# IEEE Std 1364-1995 annex on reserved words; what later standards add is below it.
_WORDS_1995 = """
always and assign begin buf bufif0 bufif1 case casex casez cmos deassign default defparam disable edge else
end endcase endfunction endmodule endprimitive endspecify endtable endtask event for force forever fork
function highz0 highz1 if ifnone initial inout input integer join large macromodule medium module nand
negedge nmos nor not notif0 notif1 or output parameter pmos posedge primitive pull0 pull1 pulldown pullup
rcmos real realtime reg release repeat rnmos rpmos rtran rtranif0 rtranif1 scalared small specify specparam
strong0 strong1 supply0 supply1 table task time tran tranif0 tranif1 tri tri0 tri1 triand trior trireg
vectored wait wand weak0 weak1 while wire wor xnor xor
"""
_CONFIG_WORDS_2001 = "cell config design endconfig incdir include instance liblist library use"
_WORDS_2001 = """
automatic endgenerate generate genvar localparam noshowcancelled pulsestyle_ondetect pulsestyle_onevent
showcancelled signed unsigned
"""
_WORDS_2005 = "uwire"
_WORDS_SV_2005 = """
alias always_comb always_ff always_latch assert assume before bind bins binsof bit break byte chandle class
clocking const constraint context continue cover covergroup coverpoint cross dist do endclass endclocking
endgroup endinterface endpackage endprogram endproperty endsequence enum expect export extends extern final
first_match foreach forkjoin iff ignore_bins illegal_bins import inside int interface intersect join_any
join_none local logic longint matches modport new null package packed priority program property protected
pure rand randc randcase randsequence ref return sequence shortint shortreal solve static string struct
super tagged this throughout timeprecision timeunit type typedef union unique var virtual void wait_order
wildcard with within
"""
_WORDS_SV_2009 = """
accept_on checker endchecker eventually global implies let nexttime reject_on restrict s_always s_eventually
s_nexttime s_until s_until_with strong sync_accept_on sync_reject_on unique0 until until_with untyped weak
"""
_WORDS_SV_2012 = "implements interconnect nettype soft"


def _words(*lists: str) -> frozenset[str]:
    return frozenset(" ".join(lists).split())


_BY_2001_NOCONFIG = (_WORDS_1995, _WORDS_2001)
_BY_2001 = (*_BY_2001_NOCONFIG, _CONFIG_WORDS_2001)
_BY_2005 = (*_BY_2001, _WORDS_2005)
_BY_SV_2005 = (*_BY_2005, _WORDS_SV_2005)
_BY_SV_2009 = (*_BY_SV_2005, _WORDS_SV_2009)

# Version specifiers of `begin_keywords, IEEE Std 1800-2017 22.14.
KEYWORDS_OF: dict[str, frozenset[str]] = {
    "1364-1995": _words(_WORDS_1995),
    "1364-2001-noconfig": _words(*_BY_2001_NOCONFIG),
    "1364-2001": _words(*_BY_2001),
    "1364-2005": _words(*_BY_2005),
    "1800-2005": _words(*_BY_SV_2005),
    "1800-2009": _words(*_BY_SV_2009),
    "1800-2012": _words(*_BY_SV_2009, _WORDS_SV_2012),
    "1800-2017": _words(*_BY_SV_2009, _WORDS_SV_2012),
}
