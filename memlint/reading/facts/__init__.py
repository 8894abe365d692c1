"""The facts of a file, in nodes that Verilog, SystemVerilog and VHDL share."""
