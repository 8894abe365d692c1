"""The order of paths in lists: generate blocks by their number."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from memlint.text.order import by_number

PATHS = st.lists(
    st.builds(
        "{}[{}].{}".format,
        st.sampled_from(["g", "top.g_ram", "top.mem"]),
        st.integers(-3, 1200),
        st.text("ab1[]."),
    )
)


def test_ten_comes_after_nine() -> None:
    paths = ["t.g[10].m", "t.g[9].m", "t.g[1].m", "t.a", "t.g[-1].m", "t.g[9].m[2]", "t.g[9].m[11]", "t.h"]
    assert sorted(paths, key=by_number) == [
        "t.a", "t.g[-1].m", "t.g[1].m", "t.g[9].m", "t.g[9].m[2]", "t.g[9].m[11]", "t.g[10].m", "t.h",
    ]  # fmt: skip


def test_names_with_numbers_stay_in_the_order_of_their_letters() -> None:
    assert sorted(["u2.m", "u10.m"], key=by_number) == ["u10.m", "u2.m"]


@given(PATHS)
def test_the_order_depends_on_the_paths_alone(paths: list[str]) -> None:
    other_way = list(reversed(paths))
    assert sorted(paths, key=by_number) == sorted(other_way, key=by_number)
