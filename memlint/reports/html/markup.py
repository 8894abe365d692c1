"""HTML and SVG by construction: whatever is not markup already is escaped."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from urllib.parse import quote

from memlint.reports.page import clean

_EMPTY = frozenset(("br", "col", "input", "link", "meta", "wbr"))

Attribute = str | int | float | bool | None


class Markup(str):
    """Text that is HTML and goes into the page as it is."""

    __slots__ = ()


Child = str | Iterable["Child"] | None


def tag(_name: str, *children: Child, **attributes: Attribute) -> Markup:
    """An element. Plain strings are escaped, lists are flattened, None is left out.

    Attribute names lose a closing `_` and have `-` for `_`; True is an attribute without a value, False and
    None leave it out.
    """
    opening = f"<{_name}{''.join(map(_attribute, attributes.items()))}>"
    return Markup(opening if _name in _EMPTY else f"{opening}{join(*children)}</{_name}>")


def join(*children: Child) -> Markup:
    """Children one after the other, without an element around them."""
    return Markup("".join(map(_child, children)))


def _child(child: Child) -> str:
    if child is None:
        return ""
    if isinstance(child, Markup):
        return child
    if isinstance(child, str):
        return escape(clean(child), quote=False)
    return "".join(map(_child, child))


def _attribute(item: tuple[str, Attribute]) -> str:
    name = item[0].rstrip("_").replace("_", "-")
    match item[1]:
        case None | False:
            return ""
        case True:
            return f" {name}"
        case float() as number:
            return f' {name}="{number:.2f}"'.replace(".00", "")
        case value:
            return f' {name}="{escape(clean(str(value)))}"'


def name(text: str) -> Markup:
    """A name out of the sources: it keeps its own reading direction, and long paths may break at dots."""
    parts = text.split(".")
    return tag("bdi", [join("." if at else None, tag("wbr") if at else None, one)
                       for at, one in enumerate(parts)], class_="name")  # fmt: skip


def prose(text: str) -> Markup:
    """A sentence; what stands in back ticks is code."""
    pieces = text.split("`")
    if len(pieces) % 2 == 0:
        return join(text)
    return join([tag("code", tag("bdi", one)) if at % 2 else one for at, one in enumerate(pieces)])


def memory_link(path: str) -> str:
    """The address that opens a memory's details."""
    return f"#m={quote(path, safe='')}"
