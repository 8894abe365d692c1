"""The variables of a subprogram being interpreted."""

from __future__ import annotations

from dataclasses import replace

from memlint.design.limits import LARGEST_ARRAY, LARGEST_VECTOR
from memlint.design.meanings import ConstantMeaning, Meaning
from memlint.design.replacement import update
from memlint.design.scope import Scope
from memlint.design.selection import At, Step, as_vector, select
from memlint.design.types import (
    AnyType,
    Array,
    Enum,
    Integer,
    Range,
    RealType,
    Struct,
    TextType,
    Unconstrained,
    Vector,
    bits,
)
from memlint.design.values import ArrayValue, Int, Partial, Real, StructValue, Text, Unknown, Value, spell
from memlint.reading.facts.expressions import Name


class Frame(Scope):
    """A scope whose constants are variables: arguments, locals and loop variables of one call.

    Bits of a vector not assigned yet are tracked in a mask, so that a function may fill a vector bit by
    bit, and reading what was never set is seen.
    """

    def __init__(self, outer: Scope, caller: Scope) -> None:
        super().__init__(outer.language, outer, outer.packages, outer.name)
        self.effort = caller.effort
        self._variables: dict[str, Value] = {}
        self._variable_types: dict[str, AnyType] = {}
        self._unset: dict[str, int] = {}
        self.result: Value | None = None
        self.result_type: AnyType | None = None

    def declare(self, name: str, type: AnyType | None, value: Value | None) -> None:
        """Declare a variable. `type` None follows the value, `value` None is the type's default."""
        if type is None:
            self._variable_types.pop(name, None)
        else:
            self._variable_types[name] = type
        self._unset.pop(name, None)
        if isinstance(value, Partial):
            self._unset[name] = value.unset
            value = value.known
        if value is None:
            value = default_value(type if type is not None else Unknown("no type"), self.language)
            if isinstance(value, Int) and self._starts_unset(type):
                self._unset[name] = (1 << (value.width or 0)) - 1
        self._variables[name] = value

    def _starts_unset(self, type: AnyType | None) -> bool:
        return isinstance(type, Vector | Struct | Enum) and not starts_known(type, self.language)

    def drop(self, name: str) -> None:
        """Forget a variable at the end of its block or loop."""
        self._variables.pop(name, None)
        self._variable_types.pop(name, None)
        self._unset.pop(name, None)

    def hide(self, name: str) -> tuple[Value, AnyType | None, int] | None:
        """Take a variable out of sight while a block declares another one of its name."""
        if name not in self._variables:
            return None
        saved = (self._variables[name], self._variable_types.get(name), self._unset.get(name, 0))
        self.drop(name)
        return saved

    def restore(self, name: str, saved: tuple[Value, AnyType | None, int] | None) -> None:
        """End a block's variable and bring back the one it hid."""
        self.drop(name)
        if saved is not None:
            self.declare(name, saved[1], saved[0])
            self._unset[name] = saved[2]

    def declares(self, name: str) -> bool:
        return name in self._variables

    def lookup_own(self, name: str) -> Meaning | None:
        if name in self._variables:
            return ConstantMeaning(name, self, None)
        return super().lookup_own(name)

    def own_value(self, name: str) -> Value:
        value = self._variables.get(name)
        if value is None:
            return super().own_value(name)
        if self._unset and self._unset.get(name):
            if isinstance(value, Int) and isinstance(value.type, Struct):
                return Partial(value, self._unset[name])
            return Unknown(f"`{name}` is read before all of it is set")
        if isinstance(value, ArrayValue) and isinstance(value.items, list):
            value = replace(value, items=tuple(value.items))
            self._variables[name] = value
        return value

    def constant_type(self, name: str) -> AnyType | None:
        if name in self._variables:
            return self._variable_types.get(name)
        return super().constant_type(name)

    def select(self, name: str, step: Step) -> Value:
        """One element, slice or field of a variable, without copying the whole."""
        value = self._variables.get(name)
        if value is None:
            return select(as_vector(self.own_value(name)), step)
        mask = self._unset.get(name)
        if mask and isinstance(value, Int):
            if isinstance(value.type, Struct):
                return select(Partial(value, mask), step)
            hidden = select(replace(value, value=mask, signed=False), step)
            if isinstance(hidden, Int) and hidden.value != 0:
                return Unknown(f"`{name}` is read before all of it is set")
        return select(value, step)

    def assign(self, name: str, steps: tuple[Step, ...], new: Value) -> None:
        """Give a variable, or the part of it that `steps` select, a value of its type."""
        hidden = new.unset if isinstance(new, Partial) else 0
        new = new.known if isinstance(new, Partial) else new
        if not steps:
            self._variables[name] = new
            self._unset[name] = hidden
            return
        value = self._variables[name]
        mask = self._unset.get(name)
        if (mask or hidden) and isinstance(value, Int):
            before = replace(value, value=mask or 0, signed=False)
            remaining = update(before, steps, Int(hidden, hidden.bit_length() or 1, False))
            self._unset[name] = remaining.pattern if isinstance(remaining, Int) else 0
        if isinstance(value, ArrayValue) and isinstance(steps[0], At):
            self._assign_element(name, value, steps[0].index, steps[1:], new)
            return
        self._variables[name] = update(value, steps, new)

    def _assign_element(
        self, name: str, value: ArrayValue, index: int, rest: tuple[Step, ...], new: Value
    ) -> None:
        place = value.range.offset(index)
        if place is None:
            # A write outside the array changes nothing (IEEE 1800-2017 7.4.6); VHDL makes it an error.
            if self.language == "vhdl":
                self._variables[name] = Unknown(f"index {spell(index)} lies outside `{name}`")
            return
        if not isinstance(value.items, list):
            self.effort.steps += len(value.items) // 16
            value = replace(value, items=list(value.items))
            self._variables[name] = value
        assert isinstance(value.items, list)
        value.items[place] = update(value.items[place], rest, new)


def select_named(base: Name, scope: Scope, step: Step) -> Value:
    """An element, slice or field of what a simple name means."""
    meaning = scope.lookup(base.name)
    if isinstance(meaning, ConstantMeaning) and isinstance(meaning.scope, Frame):
        return meaning.scope.select(base.name, step)
    value = scope.evaluate(base)
    return select(as_vector(value) if scope.language != "vhdl" else value, step)


def starts_known(type: AnyType, language: str) -> bool:
    """Whether variables of a type start with a known value: not with x or U."""
    match type:
        case Vector(element=None):
            return type.two_state
        case Vector(element=element) if element is not None:
            return starts_known(element, language)
        case Enum(base=base):
            return base is None or starts_known(base, language)
        case Struct(packed=True, fields=fields):
            return all(starts_known(member, language) for _, member in fields)
        case _:
            return True


def default_value(type: AnyType, language: str) -> Value:
    """The value a variable of `type` starts with (IEEE 1800-2017 table 6-7; IEEE 1076 6.4.2.3).

    For vectors that start as x or U it is zero, to be masked; inside arrays and records those are Unknown.
    """
    match type:
        case Integer(range=Range() as span):
            return Int(span.left, None, True, type)
        case Enum(base=None):
            return Int(type.positions.left, None, False, type)
        case Vector() | Enum() | Struct(packed=True):
            size = bits(type)
            if isinstance(size, int) and size > LARGEST_VECTOR:
                return Unknown(f"a vector of {spell(size)} bits is too long to evaluate")
            return size if isinstance(size, Unknown) else Int(0, size, _signed(type), type)
        case RealType():
            return Real(0.0)
        case TextType(range=span):
            return Text("\0" * span.size if isinstance(span, Range) else "")
        case Struct(fields=fields):
            return StructValue(
                tuple((name, _inner_default(member, language)) for name, member in fields), type
            )
        case Array(range=Range() as span, element=element):
            if span.size > LARGEST_ARRAY:
                return Unknown(f"an array of {spell(span.size)} elements is too large to evaluate")
            return ArrayValue((_inner_default(element, language),) * span.size, span, type)
        case Unknown():
            return type
        case Unconstrained():
            return Unknown("an array without range has no value to start with")
        case _:
            return Unknown("it is read before it is set")


def _inner_default(type: AnyType, language: str) -> Value:
    if isinstance(type, Vector | Enum | Struct) and not starts_known(type, language):
        return Unknown("it is read before it is set")
    return default_value(type, language)


def _signed(type: Vector | Enum | Struct) -> bool:
    if isinstance(type, Enum):
        return isinstance(type.base, Vector) and type.base.signed
    return type.signed
