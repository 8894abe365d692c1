"""The published JSON Schema and the starter text."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import jsonschema  # type: ignore[import-untyped]
import pytest

import memlint.device
from memlint.device.profile import builtin_names, load_profile, schema, starter

FOLDER = Path(memlint.device.__file__).parent / "profiles"


def test_the_schema_is_a_schema_of_the_draft_it_names() -> None:
    published = schema()
    assert published["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(published)


@pytest.mark.parametrize("name", builtin_names())
def test_built_in_profiles_follow_the_schema(name: str) -> None:
    jsonschema.validate(tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8")), schema())


@pytest.mark.parametrize(
    "wrong",
    [
        '[device]\nname = "board"\nmux_way = 4\n',
        '[[tier]]\nname = "block"\nrole = "blocks"\n',
        '[[tier]]\nname = "block"\nblocks = -1\n',
        '[[tier]]\nname = "block"\n[tier.modes.single]\nshapes = [[8192]]\n',
        '[[tier]]\nname = "block"\n[tier.modes.dual]\nshapes = [[8192, 40]]\n',
        '[[tier]]\nrole = "block"\n',
    ],
)
def test_the_schema_refuses_what_the_loader_refuses(wrong: str) -> None:
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(tomllib.loads(wrong), schema())


def test_the_schema_accepts_a_file_that_only_changes_another() -> None:
    jsonschema.validate({"extend": "sorter-m", "tier": [{"name": "bulk", "blocks": 32}]}, schema())


def test_the_starter_loads_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "my-device.toml").write_text(starter(), encoding="utf-8")
    device = load_profile("my-device.toml", tmp_path)
    assert (device.name, [tier.name for tier in device.tiers]) == ("my-device", ["block"])


def test_every_fact_the_starter_offers_in_a_comment_loads_too(tmp_path: Path) -> None:
    # The header comment is prose; below it, a commented line that begins like TOML is an offer.
    header, body = starter().split("[device]", 1)
    offered = re.sub(r"^# (?=\w+ = |\[)", "", body, flags=re.MULTILINE)
    assert offered.count("\n#") < body.count("\n#") - 15
    (tmp_path / "my-device.toml").write_text(f"{header}[device]{offered}", encoding="utf-8")
    device = load_profile("my-device.toml/large", tmp_path)
    assert device.tiers[0].blocks == 80
    assert device.tiers[0].chain is not None
    assert (
        device.tiers[0].ecc[0].data == 11
    )  # 11 data and 5 check bits fill 16: 2^4 = 11 + 4 + 1, and one more


def test_the_starter_offers_every_key_of_the_schema() -> None:
    keys = {key for table in schema()["$defs"].values() for key in table["properties"]}
    missing = {key for key in keys if not re.search(rf"\b{key}\b", starter())}
    assert missing == set()
