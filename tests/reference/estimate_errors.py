#!/usr/bin/env python3
"""How far off the blends with estimated pairs may be.

    python estimate_errors.py    write estimated.csv, and print what it rests on, in markdown

Three measurements of the rule in `estimated_pairs.py`:

1. Every fitted pair, at equal masses, with its own parameters and with those the rule gives when
   its own are withheld.
2. Those errors of betaT and gammaT carried over to each blend: its estimated parameters are
   multiplied by the ratio found in a fitted pair of the same families, and the shifts of bubble and
   dew temperature taken. A blend's figure is the worst (or the median) over the fitted pairs; of
   several estimated pairs the squares are summed. This goes into the catalogue.
3. Normal boiling and dew points of the blends as ASHRAE Standard 34 tabulates them, from memory.
   Three pairs are adjusted to them; what is left over, over all blends that hold such a pair, takes
   the place of 2. for it. For the rest they are a check, not used for anything. R-403A/B, R-412A
   and R-413A come out up to 4.6 K colder here; so does R-509A (-47 C here), whose one pair, R-22
   with R-218, CoolProp has from measurements: those points of the standard are not relied on.
"""

import csv
import functools
import itertools
import math
import statistics
import sys

sys.dont_write_bytecode = True  # no cache directory beside the tests

import CoolProp.CoolProp as CP

from catalogue import BY_NAME, ROWS
from estimated_pairs import ADJUSTED, PARAMETERS, TABLE, estimate, families, fitted, missing
from oracle import open_state

# Where shifts are taken, as parts of the critical temperature: about -35 C and +15 C.
TEMPERATURES = (0.65, 0.78)
FLAT = 0.01  # d ln p / dT, 1/K

# Bubble and dew point at one atmosphere, C. Source: ASHRAE Standard 34, table of blends, from
# memory.
PUBLISHED = {
    "R-401A": (-34.4, -28.8),
    "R-401B": (-35.7, -30.8),
    "R-401C": (-30.5, -23.8),
    "R-402A": (-49.2, -47.0),
    "R-402B": (-47.2, -44.9),
    "R-403A": (-44.0, -42.3),
    "R-403B": (-43.8, -42.3),
    "R-405A": (-32.9, -24.5),
    "R-406A": (-32.7, -23.5),
    "R-408A": (-45.5, -45.0),
    "R-409A": (-35.4, -27.5),
    "R-409B": (-36.5, -29.7),
    "R-412A": (-36.4, -28.8),
    "R-413A": (-29.3, -27.6),
    "R-414A": (-34.0, -25.8),
    "R-414B": (-34.4, -26.1),
    "R-416A": (-23.4, -21.8),
    "R-424A": (-39.1, -33.3),
    "R-426A": (-28.5, -26.7),
    "R-429A": (-26.0, -25.6),
    "R-435A": (-26.1, -25.9),
    "R-437A": (-32.9, -29.2),
    "R-438A": (-43.0, -36.4),
    "R-446A": (-49.4, -44.0),
    "R-453A": (-42.2, -35.0),
    "R-458A": (-39.0, -32.4),
}


def logs(state, temperatures):
    """ln p on the bubble and on the dew line at each temperature, in one list."""
    out = []
    for temperature, quality in itertools.product(temperatures, (0, 1)):
        state.update(CP.QT_INPUTS, quality, temperature)
        out.append(math.log(state.p()))
    return out


def shifts(state, indices, other):
    """How far bubble and dew temperature move, K, when one pair's parameters become `other`.

    Two numbers, the larger in size of each over TEMPERATURES; the state is left as it was. Where a
    bubble line has become all but flat (FLAT), near its highest pressure, nothing is taken.
    """
    temperatures = [part * state.T_reducing() for part in TEMPERATURES]
    before = logs(state, temperatures)
    slopes = [b - a for a, b in zip(before, logs(state, [t + 1 for t in temperatures]))]
    own = [state.get_binary_interaction_double(*indices, name) for name in PARAMETERS]
    put(state, indices, other)
    moved = [
        (a - b) / s if s > FLAT else 0.0
        for a, b, s in zip(before, logs(state, temperatures), slopes)
    ]
    put(state, indices, own)
    return max(moved[0::2], key=abs), max(moved[1::2], key=abs)


def put(state, indices, values):
    """Sets one pair's parameters in this state object alone."""
    for name, value in zip(PARAMETERS, values):
        state.set_binary_interaction_double(*indices, name, value)


def equal_masses(pair):
    """A state of both fluids of a pair."""
    state = CP.AbstractState("HEOS", "&".join(pair))
    moles = [1 / CP.PropsSI("M", fluid) for fluid in pair]
    state.set_mole_fractions([m / math.fsum(moles) for m in moles])
    return state


def family_table(wanted):
    """Markdown: the rule on the fitted pairs, by families."""
    yield "| families | fitted pairs | rule: typical, K | worst, K | at | geometric mean: typical, K | worst, K |"
    yield "|---|---|---|---|---|---|---|"
    for kind in wanted:
        by_rule, plain = [], []
        for pair in fitted():
            if families(pair) != kind or not estimate(pair):
                continue
            state = equal_masses(pair)
            for found, values in ((by_rule, estimate(pair)), (plain, (1.0, 1.0))):
                try:
                    moved = shifts(state, (0, 1), values)
                except ValueError as error:
                    print(f"{pair} left out at {values}: {error}", file=sys.stderr)
                    continue
                found.append((max(map(abs, moved)), " with ".join(pair)))
        middle = [statistics.median(off for off, _ in found) for found in (by_rule, plain)]
        yield (
            f"| {' with '.join(kind)} | {len(by_rule)} | {middle[0]:.1f} | {max(by_rule)[0]:.1f} | "
            f"{max(by_rule)[1]} | {middle[1]:.1f} | {max(plain)[0]:.1f} |"
        )


def carried_over(row, pairs):
    """Median and worst shift of bubble and of dew, K: [(median, worst), (median, worst)]."""
    state = open_state(row)
    fluids = [BY_NAME[name].fluid for name, _ in row.composition]
    squares = [[0.0, 0.0], [0.0, 0.0]]
    for pair in pairs:
        if pair in ADJUSTED:
            for line, sizes in enumerate(left_over(pair)):
                squares[line][0] += statistics.median(sizes) ** 2
                squares[line][1] += max(sizes) ** 2
            continue
        indices = tuple(fluids.index(fluid) for fluid in pair)
        found = []
        for other, true in fitted().items():
            if families(other) == families(pair) and estimate(other):
                ratio = [a / b for a, b in zip(true, estimate(other))]
                values = [a * b for a, b in zip(estimate(pair), ratio)]
                try:
                    found.append(shifts(state, indices, values))
                except ValueError as error:
                    print(f"{row.name}, {pair} as {other}, left out: {error}", file=sys.stderr)
                    put(state, indices, estimate(pair))
        for line, column in enumerate(zip(*found)):
            sizes = [abs(value) for value in column]
            squares[line][0] += statistics.median(sizes) ** 2
            squares[line][1] += max(sizes) ** 2
    return [[math.sqrt(total) for total in line] for line in squares]


@functools.cache
def left_over(pair):
    """Distances from the published points over the blends that hold a pair, K: bubble, dew."""
    out = []
    for row in ROWS:
        fluids = [BY_NAME[name].fluid for name, _ in row.composition]
        if row.name in PUBLISHED and set(pair) <= set(fluids):
            points = zip(normal_points(row), PUBLISHED[row.name])
            out.append([abs(here - there) for here, there in points])
    return list(zip(*out))


def normal_points(row):
    """Bubble and dew point at one atmosphere, C."""
    state = open_state(row)
    out = []
    for quality in (0, 1):
        state.update(CP.PQ_INPUTS, 101325.0, quality)
        out.append(state.T() - 273.15)
    return out


def main():
    """Writes the table and prints the rest."""
    blends, kinds = [], []
    for row in ROWS:
        fluids = [BY_NAME[name].fluid for name, _ in row.composition]
        if row.fluid or not all(fluids):
            continue
        if pairs := missing(fluids):
            blends.append((row, pairs))
            kinds += [families(pair) for pair in pairs]
    print("\n".join(family_table(sorted(set(kinds)))), "\n")
    print(
        "| refrigerant | adjusted pairs | ruled pairs | bubble: typical, worst, K | dew: typical, worst, K | normal points, C | from memory, C |"
    )
    print("|---|---|---|---|---|---|---|")
    with TABLE.open("w", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(
            [
                "refrigerant",
                "adjusted",
                "ruled",
                "bubble_typical_K",
                "bubble_worst_K",
                "dew_typical_K",
                "dew_worst_K",
                "from_published_K",
            ]
        )
        for row, pairs in blends:
            names = {BY_NAME[name].fluid: name for name, _ in row.composition}
            kinds = [
                "; ".join(
                    " with ".join(names[fluid] for fluid in pair)
                    for pair in pairs
                    if (pair in ADJUSTED) == adjusted
                )
                for adjusted in (True, False)
            ]
            (a, b), (c, d) = carried_over(row, pairs)
            found = normal_points(row)
            apart = [abs(x - y) for x, y in zip(found, PUBLISHED.get(row.name, ()))]
            values = [f"{value:.2f}" for value in (a, b, c, d)]
            writer.writerow([row.name, *kinds, *values, f"{max(apart):.1f}" if apart else ""])
            points = " / ".join(f"{t:.1f}" for t in found)
            published = " / ".join(f"{t:.1f}" for t in PUBLISHED.get(row.name, ()))
            print(
                f"| {row.name} | {' | '.join(kinds)} | {a:.2f}, {b:.2f} | {c:.2f}, {d:.2f} | {points} | {published} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
