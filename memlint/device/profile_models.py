"""The models a profile is validated by; they publish its JSON Schema.

They describe one file. A file that starts from another may leave anything out, so what the finished
profile must have (a name, a source, a role for each tier) is asked by `memlint.device.checks`.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, WithJsonSchema
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

Positive = Annotated[int, Field(gt=0)]
Count = Annotated[int, Field(ge=0)]
Amount = Annotated[float, Field(ge=0, allow_inf_nan=False)]
PositiveAmount = Annotated[float, Field(gt=0, allow_inf_nan=False)]
ModeName = Literal["single", "simple_dual", "true_dual", "rom"]
Clocks = Literal["one", "any"]


def _refused(message: str, remedy: str) -> PydanticCustomError:
    return PydanticCustomError("refused", "{message}", {"message": message, "remedy": remedy})


def _pair(value: list[Any]) -> list[Any]:
    if len(value) != 2 or any(type(number) is not int or number < 1 for number in value):
        raise _refused(
            f"{value} is not a pair of whole numbers above 0.", "Write two of them, such as [8192, 40]."
        )
    return value


def _shape(value: list[Any]) -> list[Any]:
    if len(value) not in (2, 3) or any(type(number) is not int or number < 1 for number in value[:2]):
        raise _refused(
            f"{value} is not a shape.",
            "Write [depth, width] as whole numbers above 0; a third number is the blocks it costs.",
        )
    if len(value) == 3 and (type(value[2]) not in (int, float) or not 0 < value[2] < float("inf")):
        raise _refused(
            f"A shape cannot cost {value[2]} blocks.", "Write a number above 0, or leave it out for 1."
        )
    return value


_WHOLE = {"type": "integer", "minimum": 1}
Pair = Annotated[
    list[Any],
    AfterValidator(_pair),
    WithJsonSchema({"type": "array", "items": _WHOLE, "minItems": 2, "maxItems": 2}),
]
Shape = Annotated[
    list[Any],
    AfterValidator(_shape),
    WithJsonSchema(
        {
            "type": "array",
            "prefixItems": [_WHOLE, _WHOLE, {"type": "number", "exclusiveMinimum": 0}],
            "minItems": 2,
            "maxItems": 3,
        }
    ),
]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class DeviceTable(_Table):
    """The device as a whole."""

    name: str | None = Field(None, description="What memlint.toml's `device` says.")
    title: str | None = None
    extend: str | None = Field(None, description="As `extend` at the top.")
    target_mhz: PositiveAmount | None = Field(None, description="Clock to reckon chain registers for.")
    mux_ways: Annotated[int, Field(ge=2)] | None = Field(
        None, description="Inputs a multiplexer takes without a register of its own."
    )


class SourceTable(_Table):
    """A document that facts come from."""

    id: str
    title: str
    number: str | None = None
    revision: str | None = None
    where: str | None = Field(None, description="Chapter, table or address.")
    facts: list[str] | None = Field(None, description="Key patterns, such as `tier.block.modes.*`.")


class ModeTable(_Table):
    """One mode of a tier; the mode's clocks may narrow the tier's."""

    shapes: list[Shape] | None = Field(None, description="[depth, width] of one block; left out: unknown.")
    half_shapes: list[Pair] | None = Field(None, description="[depth, width] of one part of a split block.")
    pair: Literal["any", "same memory"] | None = Field(None, description="Whose parts may share a block.")
    enables: list[Pair] | None = Field(None, description="[word width, granule] each; absent: none.")
    same_address: list[Literal["before", "after", "undefined"]] | None = Field(
        None, description="What a read gives when its address is written at that edge."
    )
    reads: Positive | None = Field(None, description="Read ports beside the write port.")
    clocks: Clocks | None = None
    width_groups: list[list[Positive]] | None = Field(None, description="Widths two ports may mix.")
    max_ratio: Positive | None = Field(None, description="Greatest ratio of two port widths.")


class ModesTable(_Table):
    single: ModeTable | None = None
    simple_dual: ModeTable | None = None
    true_dual: ModeTable | None = None
    rom: ModeTable | None = None


class EccTable(_Table):
    """Hardened ECC of one mode; `shapes` hold the whole code word."""

    shapes: list[Shape] | None = None
    data: Positive | None = Field(None, description="Data bits of a code word.")
    check: Positive | None = Field(None, description="Check bits of a code word.")
    lanes: bool | None = Field(None, description="Whether write enables work beside ECC.")
    extra_latency: Count | None = Field(None, description="Cycles ECC adds to a read.")


class EccByModeTable(_Table):
    single: EccTable | None = None
    simple_dual: EccTable | None = None
    true_dual: EccTable | None = None
    rom: EccTable | None = None


class ChainTable(_Table):
    """Hardened depth chain; absent: none."""

    longest: Positive | None = Field(None, description="Blocks.")
    register_every: Positive | None = Field(None, description="A pipeline register each so many blocks.")
    modes: list[ModeName] | None = Field(None, description="Absent: all modes.")


class ColumnTable(_Table):
    blocks: Positive = Field(description="Blocks a chain can pass without a break.")
    count: Positive = Field(description="How many such columns.")


class ExternalTable(_Table):
    capacity_bits: Positive | None = None
    bandwidth_gbit_s: PositiveAmount | None = None


class TierTable(_Table):
    """One kind of storage."""

    name: str = Field(description="The word users write after `in`.")
    role: Literal["fabric", "block", "bulk", "external"] | None = None
    title: str | None = None
    block_bits: Positive | None = None
    blocks: Count | None = Field(None, description="On the device.")
    splits: Positive | None = Field(None, description="Independent parts of a block: 2 = halves.")
    clocks: Clocks | None = Field(None, description="one for all ports, or any for each.")
    read: Literal["synchronous", "asynchronous"] | None = None
    read_latency: Count | None = Field(None, description="Cycles without output registers.")
    output_registers: Count | None = Field(None, description="Optional ones; each adds a cycle.")
    initial_contents: Literal["any", "zero", "none"] | None = None
    hard_fifo: bool | None = None
    unequal_port_widths: bool | None = None
    idle_uw: Amount | None = Field(None, description="Power of an idle block, µW.")
    asleep_uw: Amount | None = Field(None, description="Power of a sleeping block, µW.")
    active_uw_per_mhz: Amount | None = Field(None, description="Power of a block in use, µW per MHz.")
    unknown: list[Literal["chain", "ecc", "enables"]] | None = Field(
        None, description="Facts nobody documents, where leaving them out would say there is none."
    )
    modes: ModesTable | None = None
    ecc: EccByModeTable | None = None
    chain: ChainTable | None = None
    columns: list[ColumnTable] | None = None
    external: ExternalTable | None = None


class MemberTable(_Table):
    """One device of a family: `device = "family/member"`."""

    name: str
    blocks: dict[str, Count] | None = Field(None, description="Blocks by tier.")
    columns: dict[str, list[Pair]] | None = Field(None, description="[blocks, count] of columns by tier.")


class ProfileTable(_Table):
    """A device profile of memlint."""

    extend: str | None = Field(None, description="The profile this one starts from: a name or a path.")
    device: DeviceTable | None = None
    source: list[SourceTable] | None = None
    tier: list[TierTable] | None = None
    member: list[MemberTable] | None = None


class _WithoutNull(GenerateJsonSchema):
    """TOML has no null: a fact is stated or left out."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def json_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of a profile."""
    return {
        "$schema": GenerateJsonSchema.schema_dialect,
        **ProfileTable.model_json_schema(schema_generator=_WithoutNull),
        "title": "memlint device profile",
    }
