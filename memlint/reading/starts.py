"""The rules at which the readers start in their grammars."""

STARTS = {
    "intent": ("clause", "on", "size", "amount"),
    "systemverilog": ("expression", "typed", "declarator", "data_type", "type_parameter"),
    "vhdl": (
        "expression",
        "actual",
        "choices",
        "elements",
        "declaration",
        "assignment",
        "selection",
        "values",
    ),
}
