"""VHDL-1993, -2002, -2008 (-2019 where it costs little) to facts: lexer, structural scan, lark for leaves."""
