"""The bodies of a design, each made once for a unit and its parameter values and kept while it holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from functools import partial

from memlint.design.body import Body, Child
from memlint.design.elaborate import elaborate
from memlint.design.exact import exact
from memlint.design.interfaces import Interfaces
from memlint.design.library import Library, Parameters, Questions
from memlint.design.recursion import deep_recursion
from memlint.design.shift import tells_a_place
from memlint.design.types import AnyType
from memlint.design.values import Unknown, Value
from memlint.reading.facts.expressions import Pattern
from memlint.reading.facts.items import Import, Typedef, Unit
from memlint.reading.facts.moved import unmoved

_Deep = tuple[tuple[tuple[str, ...], Value], ...]
_PortTypes = tuple[tuple[str, AnyType], ...]
# Bodies that no instance has any more, kept because an edit is often taken back.
_SPARE = 200


@dataclass(eq=False, slots=True)
class _Entry:
    """A body and what it was made from. `exact` tells more than the key: equal values may be of types, or
    for reasons, that differ; the first instance's counts."""

    body: Body
    key: object
    unit: Unit
    architecture: Unit | None
    parameters: Parameters
    deep: _Deep
    port_types: _PortTypes
    interfaces: Interfaces
    exact: object
    questions: Questions
    placeless: bool | None = None

    @property
    def may_move(self) -> bool:
        """Whether the body differs by nothing but places if its unit moves, and is found again by what it is.

        Values that tell a place take it to other bodies, and a name that is there twice does not tell which
        instance is meant.
        """
        if self.architecture is not None or not isinstance(self.key, tuple):
            return False
        if self.placeless is None:
            children = self.body.children
            given = [(one.parameters, one.deep, one.port_types) for one in children]
            self.placeless = len({one.name for one in children}) == len(children) and not tells_a_place(
                (self.parameters, self.deep, self.port_types, given)
            )
        return self.placeless


class Bodies:
    """Makes bodies and keeps them until something that they were made from is no longer what it was.

    `special` are, by `id`, those made from values that equal others and yet differ from them.
    """

    def __init__(self, library: Library) -> None:
        self.library = library
        self._by_key: dict[object, _Entry] = {}
        self._entries: dict[int, _Entry] = {}
        self._of_questions: dict[int, _Entry] = {}
        self.special: set[int] = set()

    def of_root(self, unit: Unit, parameters: Parameters) -> Body:
        """The body of a root. It is no instance's, or a root that instantiates itself would seem endless."""
        return self._body(unit, self.library.architecture(unit), parameters, (), (), (), "root")

    def of_child(self, child: Child) -> Body:
        """The body of an instance whose unit is there."""
        assert child.unit is not None
        return self._body(
            child.unit,
            child.architecture,
            child.parameters,
            child.deep,
            child.port_types,
            child.interfaces,
            "child",
        )

    def holds(self, body: Body) -> bool:
        """Whether a body is still what would be made."""
        return id(body) in self._entries

    def is_made_for(self, body: Body, child: Child) -> bool:
        """Whether a body is just as it would be made for this instance."""
        return self._entries[id(body)].exact == exact((child.parameters, child.deep, child.port_types))

    def forget(self, body: Body) -> None:
        """A body is given up."""
        entry = self._entries.pop(id(body))
        self.special.discard(id(body))
        del self._by_key[entry.key], self._of_questions[id(entry.questions)]
        entry.questions.forget()

    def forget_all(self) -> None:
        """All bodies are given up."""
        self._by_key.clear()
        self._entries.clear()
        self._of_questions.clear()
        self.special.clear()

    def forget_spare(self, count: int, used: Iterable[Body]) -> None:
        """Give up bodies that are used no more, if there are many; at least `count` are used."""
        if len(self._entries) <= 2 * count + _SPARE:
            return
        kept = {id(body) for body in used}
        if len(self._entries) > 2 * len(kept) + _SPARE:
            for entry in [one for at, one in self._entries.items() if at not in kept]:
                self.forget(entry.body)

    def update(
        self, names: set[str], moved: Mapping[int, tuple[Unit, Unit]]
    ) -> tuple[list[Body], list[Body]]:
        """Give up every body that names with a new meaning concern; those are returned, and those whose unit
        is among the `moved`, which are made anew when somebody looks at them.

        A body whose instances are of other units now, but of such as it sees no difference in, goes on
        with these.
        """
        library = self.library
        suspects = {
            at: entry
            for name in names
            for at in library.askers.get(name, ())
            if (entry := self._of_questions.get(at)) is not None
        }
        gone: list[Body] = []
        shifted: list[Body] = []
        left: set[tuple[int, int]] = set()
        for entry in suspects.values():
            if id(entry.unit) in moved and entry.may_move:
                self._move(entry, moved[id(entry.unit)][1])
                shifted.append(entry.body)
            if not self._still_holds(entry, names, left):
                gone.append(entry.body)
                self.forget(entry.body)
        if left:
            # Of two units with one name another counts now: both are there, and instances changed over.
            for entry in list(self._entries.values()):
                if (id(entry.unit), id(entry.architecture)) in left:
                    gone.append(entry.body)
                    self.forget(entry.body)
        return gone, [body for body in shifted if self.holds(body)]

    def _move(self, entry: _Entry, unit: Unit) -> None:
        """Let a body be of the same unit at its new place."""
        assert isinstance(entry.key, tuple)
        role, _, *rest = entry.key
        del self._by_key[entry.key]
        entry.key, entry.unit = (role, id(unit), *rest), unit
        self._by_key[entry.key] = entry
        entry.body.unit = unit
        entry.body.again = partial(_made_again, entry)

    def _still_holds(self, entry: _Entry, names: set[str], left: set[tuple[int, int]]) -> bool:
        kept, questions = self.library.kept, entry.questions
        if id(entry.unit) not in kept:
            return False
        if entry.architecture is not None and id(entry.architecture) not in kept:
            return False
        if any(name.lower() in names for _, name in questions.packages):
            return False
        for name, was in questions.kinds.items():
            if name.lower() in names and (was or self.library.is_interface(name)):
                return False
        return self._children_hold(entry.body, names, left)

    def _children_hold(self, body: Body, names: set[str], left: set[tuple[int, int]]) -> bool:
        library = self.library
        replaced: list[tuple[Child, Unit, Unit | None]] = []
        for child in body.children:
            item = child.instance
            if item.unit.lower() not in names:
                continue
            unit = library.find(item.unit, body.language == "vhdl", item.library, library.home(body.unit))
            if unit is None or child.unit is None:
                if unit is not child.unit:
                    return False
                continue
            if unit is not child.unit and not _looks_alike(child, child.unit, unit):
                return False
            replaced.append((child, unit, library.architecture(unit, item.architecture)))
        for child, unit, architecture in replaced:
            if child.unit is not unit or child.architecture is not architecture:
                left.add((id(child.unit), id(child.architecture)))
            child.unit, child.architecture = unit, architecture
        return True

    def _body(
        self,
        unit: Unit,
        architecture: Unit | None,
        parameters: Parameters,
        deep: _Deep,
        port_types: _PortTypes,
        interfaces: Interfaces,
        role: str,
    ) -> Body:
        scopes = tuple((name, id(scope)) for name, scope in interfaces)
        key: object = (role, id(unit), id(architecture), parameters, deep, port_types, scopes)
        try:
            known = self._by_key.get(key)
        except TypeError:
            # A parameter value that cannot be hashed: the body is not shared.
            key, known = object(), None
        if known is not None:
            return known.body
        questions = Questions(self.library, self.library.home(unit))
        questions.note(unit.name)
        body = elaborate(unit, architecture, parameters, questions, deep, port_types, interfaces)
        made_of = exact((parameters, deep, port_types))
        if role == "child" and made_of != (parameters, deep, port_types):
            self.special.add(id(body))
        entry = _Entry(
            body, key, unit, architecture, parameters, deep, port_types, interfaces, made_of, questions
        )
        self._by_key[key] = self._entries[id(body)] = self._of_questions[id(questions)] = entry
        return body


def _made_again(entry: _Entry) -> None:
    """Make a body anew, in the same object and with the same objects for its instances: others know them."""
    body = entry.body
    body.again = None
    with deep_recursion():
        made = elaborate(
            entry.unit,
            entry.architecture,
            entry.parameters,
            entry.questions,
            entry.deep,
            entry.port_types,
            entry.interfaces,
        )
    for child, again in zip(body.children, made.children, strict=True):
        _become(child, again)
    made.children[:] = body.children
    _become(body, made)


def _become(one: Body | Child, other: Body | Child) -> None:
    for each in fields(one):
        setattr(one, each.name, getattr(other, each.name))


def _looks_alike(child: Child, old: Unit, new: Unit) -> bool:
    """Whether an instance of one unit is connected and set as an instance of the other would be."""
    if old.kind == "interface" or any(isinstance(value, Unknown) for _, value in child.parameters):
        # An interface's declarations are seen from here, and an unknown value may name a place in the unit.
        return False
    if unmoved(old) is unmoved(new):
        return True
    return (
        (old.name, old.kind, old.language) == (new.name, new.kind, new.language)
        and _settable(child, old) == _settable(child, new)
        and old.ports == new.ports
        and _seen(old) == _seen(new)
    )


def _settable(child: Child, unit: Unit) -> object:
    """The unit's parameters as the instance sees them: what they are by default, and those that cannot be
    set, only where types of the unit are worked out for it."""
    item = child.instance
    if item.dimensions or item.component or any(isinstance(one.value, Pattern) for one in item.overrides):
        return unit.parameters
    return [replace(one, value=None) for one in unit.parameters if not one.local]


def _seen(unit: Unit) -> list[object]:
    """What the types of a unit's parameters and ports may use of its items."""
    return [item for item in unit.items if isinstance(item, Import | Typedef)]
