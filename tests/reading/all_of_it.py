"""Facts with every span, as one text: what equality leaves out counts too."""

from dataclasses import fields, is_dataclass
from typing import Any


def all_of(root: Any) -> str:
    """Types, values and spans of a node and everything below it, a line each."""
    lines: list[str] = []
    stack = [root]
    while stack:
        node = stack.pop()
        if isinstance(node, tuple) and type(node) is tuple:
            lines.append(f"{len(node)} of")
            stack.extend(node)
        elif is_dataclass(node):
            lines.append(type(node).__name__)
            stack.extend(getattr(node, one.name) for one in fields(node))
        else:
            lines.append(repr(node))
    return "\n".join(lines)
