#!/usr/bin/env python3
"""Writes values straight from CoolProp at random states, for a fresh check.

    python live_grid.py --seed 7 --out live.csv [--points 40] [--states states.csv]

--out has the columns of saturation_grid.csv; --states, if given, those of properties_grid.csv, at a
tenth as many places. The seed makes a failing run repeatable: each refrigerant draws from it and
its own name.
"""

import argparse
import functools
import multiprocessing
import pathlib
import random
import sys

sys.dont_write_bytecode = True  # no cache directory beside the tests

import properties
from catalogue import ROWS
from equations import Equations
from oracle import Oracle, open_state
from saturation import csv_text, fit, grid_rows

PLACES = 10


def draw(row, seed, points, with_states):
    """Rows of both files for one refrigerant, within the range its series cover."""
    fitted = fit(row)
    if fitted.refusal:
        return [], []
    rng = random.Random(f"{seed} {row.name}")
    drawn = {round(rng.uniform(fitted.lowest, fitted.highest), 2) for _ in range(points)}
    rows = list(grid_rows(Oracle(row), sorted(drawn)))
    if not with_states:
        return rows, []
    equations = Equations()
    equation = equations.extract(open_state(row))
    places = [tuple(map(float, line[1:])) for line in rows[::PLACES]]
    return rows, list(properties.scattered(equations, row, equation, places, rng))


def main():
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--out", type=pathlib.Path, required=True)
    parser.add_argument("--points", type=int, default=40, help="per refrigerant")
    parser.add_argument("--states", type=pathlib.Path, help="also write single-phase states here")
    arguments = parser.parse_args()
    one = functools.partial(
        draw,
        seed=arguments.seed,
        points=arguments.points,
        with_states=arguments.states is not None,
    )
    with multiprocessing.Pool(2) as pool:
        found = list(pool.imap(one, ROWS))
    rows = [row for rows, _ in found for row in rows]
    arguments.out.write_text(csv_text(rows))
    print(f"seed {arguments.seed}: {len(rows)} points in {arguments.out}")
    if arguments.states:
        states = [row for _, states in found for row in states]
        arguments.states.write_text(properties.text(states))
        print(f"seed {arguments.seed}: {len(states)} states in {arguments.states}")


if __name__ == "__main__":
    main()
