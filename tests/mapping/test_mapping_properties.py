"""What holds for every memory on every tier."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from mapping_devices import BLOCK, BULK, FABRIC, SORTER, device, shapes, tier

from memlint.device.facts import REGISTERS, BlockShape, Chain, Column, HardEcc, Mode
from memlint.mapping.demand import Demand
from memlint.mapping.place import place

sizes = st.integers(1, 40)


@st.composite
def tiers(draw):
    """A tier of invented shapes, sometimes with halves, enables, a chain and hardened ECC."""
    listed = draw(st.lists(st.tuples(st.integers(1, 64), st.integers(1, 24)), min_size=1, max_size=5))
    halves = draw(st.lists(st.tuples(st.integers(1, 64), st.integers(1, 24)), max_size=3))
    enables = [(w, draw(st.integers(1, w))) for _, w in listed if draw(st.booleans())]
    half_shapes = tuple(BlockShape(d, w, Fraction(1, 2)) for d, w in halves)
    modes = [Mode("simple_dual", shapes(*listed), half_shapes, enables=tuple(enables))]
    if draw(st.booleans()):
        modes.append(Mode("true_dual", shapes(*listed[:2])))
    room = min(width for _, width in listed[:2])
    data = draw(st.integers(1, max(1, room - 1)))
    hard = HardEcc("simple_dual", shapes(*listed[:2]), data, draw(st.integers(1, max(1, room - data))))
    hardened = room >= 2 and draw(st.booleans())  # a code word fits each of its shapes
    return tier(
        "bench",
        *modes,
        splits=2,
        block_bits=64 * 24,
        ecc=(hard,) if hardened else (),
        chain=Chain(draw(st.integers(1, 6)), draw(st.integers(1, 3))) if draw(st.booleans()) else None,
        columns=(Column(draw(st.integers(1, 8)), 2),),
    )


@st.composite
def demands(draw):
    width = draw(st.integers(1, 60))
    lanes: tuple[int, ...] = ()
    if width > 1 and draw(st.booleans()):
        first = draw(st.integers(1, width - 1))
        lanes = (first, width - first)
    return Demand(
        depth=draw(st.integers(1, 300)),
        width=width,
        banks=draw(st.integers(1, 3)),
        writes=1,
        reads=draw(st.integers(1, 4)),
        lanes=lanes,
        ecc=draw(st.sampled_from(["none", "added", "in word"])),
    )


@settings(max_examples=400, deadline=None)
@given(tiers(), demands(), st.sampled_from(["blocks", "speed", "power"]))
def test_cuts_tile_the_array_and_add_up(where, demand, prefer):
    placed = place(demand, where, device(where), prefer)
    held = set()
    for cut in placed.cuts:
        cells = {
            (word, bit)
            for word in range(cut.first_word, cut.first_word + cut.words)
            for bit in range(cut.first_bit, cut.first_bit + cut.bits)
        }
        assert cells and not cells & held
        assert cut.bits <= max(cut.shape[1], placed.word)
        held |= cells
    assert held == {(word, bit) for word in range(demand.depth) for bit in range(placed.word)}
    assert sum(cut.blocks for cut in placed.cuts) * placed.copies * demand.banks == placed.blocks
    bits = demand.depth * placed.word * demand.banks * placed.copies
    assert placed.fill == Fraction(bits) / (placed.blocks * where.block_bits)
    assert (placed.blocks * 2).denominator == 1


@settings(max_examples=400, deadline=None)
@given(tiers(), demands())
def test_bounds_stand_in_order(where, demand):
    placed = place(demand, where, device(where))
    assert placed.lower_bound <= placed.blocks <= placed.uniform_blocks


@settings(max_examples=300, deadline=None)
@given(tiers(), demands(), st.integers(0, 40), st.integers(0, 20), st.integers(0, 2))
def test_more_never_takes_fewer_blocks(where, demand, words, bits, reads):
    bench = device(where)
    base = place(demand, where, bench)
    deeper = place(replace(demand, depth=demand.depth + words), where, bench)
    assert deeper.blocks >= base.blocks
    assert deeper.uniform_blocks >= base.uniform_blocks
    last = demand.lanes[-1:] and (*demand.lanes[:-1], demand.lanes[-1] + bits)
    wider = place(replace(demand, width=demand.width + bits, lanes=last), where, bench)
    assert wider.blocks >= base.blocks
    assert place(replace(demand, reads=demand.reads + reads), where, bench).blocks >= base.blocks
    assert place(replace(demand, banks=demand.banks + 1), where, bench).blocks > base.blocks
    bare = replace(demand, ecc="none")
    assert place(replace(demand, ecc="added"), where, bench).blocks >= place(bare, where, bench).blocks


@settings(max_examples=200, deadline=None)
@given(demands(), st.sampled_from([FABRIC, BLOCK, BULK]))
def test_the_preference_never_changes_what_is_held(demand, where):
    demand = replace(demand, ecc="none")
    plain = place(demand, where, SORTER)
    for prefer in ("speed", "power"):
        other = place(demand, where, SORTER, prefer)
        assert other.blocks >= plain.blocks
        assert (other.word, other.uniform_blocks) == (plain.word, plain.uniform_blocks)


@given(demands())
def test_registers_hold_one_bit_each(demand):
    placed = place(replace(demand, ecc="none"), REGISTERS, SORTER)
    assert placed.blocks == demand.depth * demand.width * demand.banks
    assert (placed.fits, placed.fill, placed.copies) == (True, 1, 1)
