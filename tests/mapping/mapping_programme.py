"""The two classes of cuts as integer programmes, written down from their definition and solved with HiGHS.

Nothing here imports memlint: shapes are (depth, width, cost) triples of whole numbers.

Strips. Up to W strips k; x[k,b] = 1 when strip k is b bits wide; n[k,s] blocks of shape s in it:
    sum_b x[k,b] <= 1,  sum_s depth_s n[k,s] >= D sum_b x[k,b],
    n[k,s] <= ceil(D / depth_s) sum_(b <= width_s) x[k,b],  sum_k sum_b b x[k,b] >= W,  min sum cost_s n[k,s].
Layers. Up to K layers k of depth e[k]; m[k,s,n] stacks of n blocks of shape s, u[k,s,n] = 1 when any:
    sum_k e[k] >= D,  e[k] <= n depth_s + D (1 - u[k,s,n]),  m[k,s,n] <= W u[k,s,n],
    sum_(s,n) width_s m[k,s,n] >= W l[k],  e[k] <= D l[k],  l[k] in {0, 1},  min sum n cost_s m[k,s,n].
K = ceil(D / least depth) is enough: a layer shallower than every shape but the last gains nothing.
"""

from __future__ import annotations

import highspy

Shapes = list[tuple[int, int, int]]


def fresh_threads() -> None:
    """Let the next solve choose its number of threads; small programmes are fastest with one."""
    highspy.Highs.resetGlobalScheduler(True)


def solved(build, *args) -> int:
    highs = highspy.Highs()
    highs.silent()
    assert highs.setOptionValue("threads", 1) == highspy.HighsStatus.kOk
    assert highs.minimize(build(highs, *args)) == highspy.HighsStatus.kOk
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(highs.getObjectiveValue())


def strips_minimum(depth: int, width: int, shapes: Shapes) -> int:
    return solved(_strips, depth, width, shapes)


def layers_minimum(depth: int, width: int, shapes: Shapes) -> int:
    return solved(_layers, depth, width, shapes)


def _strips(highs, depth, width, shapes):
    widths = range(1, width + 1)
    x = {(k, b): highs.addBinary() for k in range(width) for b in widths}
    most = [-(-depth // d) for d, _, _ in shapes]
    n = {(k, s): highs.addIntegral(0, most[s]) for k in range(width) for s in range(len(shapes))}
    for k in range(width):
        used = sum(x[k, b] for b in widths)
        highs.addConstr(used <= 1)
        highs.addConstr(sum(d * n[k, s] for s, (d, _, _) in enumerate(shapes)) >= depth * used)
        for s, (_, w, _) in enumerate(shapes):
            highs.addConstr(n[k, s] <= most[s] * sum(x[k, b] for b in widths if b <= w))
        if k:  # strips of equal standing are listed widest first
            highs.addConstr(sum(b * x[k - 1, b] for b in widths) >= sum(b * x[k, b] for b in widths))
    highs.addConstr(sum(b * variable for (_, b), variable in x.items()) >= width)
    return sum(shapes[s][2] * variable for (_, s), variable in n.items())


def _layers(highs, depth, width, shapes):
    layers = range(-(-depth // min(d for d, _, _ in shapes)))
    stacks = [(s, n) for s, (d, _, _) in enumerate(shapes) for n in range(1, -(-depth // d) + 1)]
    e = [highs.addIntegral(0, depth) for _ in layers]
    used = [highs.addBinary() for _ in layers]
    m = {(k, *stack): highs.addIntegral(0, width) for k in layers for stack in stacks}
    u = {key: highs.addBinary() for key in m}
    for (k, s, n), count in m.items():
        highs.addConstr(count <= width * u[k, s, n])
        highs.addConstr(e[k] <= n * shapes[s][0] + depth * (1 - u[k, s, n]))
    for k in layers:
        highs.addConstr(sum(shapes[s][1] * m[k, s, n] for s, n in stacks) >= width * used[k])
        highs.addConstr(e[k] <= depth * used[k])
        if k:
            highs.addConstr(e[k - 1] >= e[k])
    highs.addConstr(sum(e) >= depth)
    return sum(n * shapes[s][2] * count for (_, s, n), count in m.items())


def laned_strips_minimum(depth: int, lanes: list[int], shapes: list[tuple[int, int, int, list[int]]]) -> int:
    """Strips with write lanes; shapes are (depth, width, cost, granules).

    The word is a path from bit 0 to bit W; an arc [a, b) may use a shape when the bits lie in one lane and
    are no more than its width, or when sum ceil(part / g) * g over the lanes' parts is within the width.
    """
    return solved(_laned_strips, depth, lanes, shapes)


def may_hold(first: int, last: int, lanes: list[int], width: int, granules: list[int]) -> bool:
    parts, start = [], 0
    for lane in lanes:
        part = min(last, start + lane) - max(first, start)
        if part > 0:
            parts.append(part)
        start += lane
    if len(parts) == 1 and parts[0] <= width:
        return True
    return any(sum(-(-part // g) * g for part in parts) <= width for g in granules)


def _laned_strips(highs, depth, lanes, shapes):
    total = sum(lanes)
    arcs = [(a, b) for a in range(total) for b in range(a + 1, total + 1)]
    most = -(-depth // min(d for d, _, _, _ in shapes))
    x = {arc: highs.addBinary() for arc in arcs}
    n = {}
    for a, b in arcs:
        open_to = [s for s, (_, w, _, g) in enumerate(shapes) if may_hold(a, b, lanes, w, g)]
        for s in open_to:
            n[a, b, s] = highs.addIntegral(0, most)
        held = sum((shapes[s][0] * n[a, b, s] for s in open_to), start=0 * x[a, b])
        highs.addConstr(held >= depth * x[a, b])
    for bit in range(1, total):
        into = sum(x[a, b] for a, b in arcs if b == bit)
        highs.addConstr(into == sum(x[a, b] for a, b in arcs if a == bit))
    highs.addConstr(sum(x[a, b] for a, b in arcs if a == 0) == 1)
    return sum(shapes[s][2] * count for (_, _, s), count in n.items())
