"""memlint: a linter and language server for memory intent in FPGA projects."""

__version__ = "0.1.0"
