#!/usr/bin/env python3
"""Generates the grid that tests `src/psychrometrics.rs`, from psychrolib.

    python psychrometrics.py            write psychrometrics.csv
    python psychrometrics.py --check    regenerate and compare; exit 1 if the committed file differs

Needs only psychrolib (requirements.txt pins the version), which has the same formulas of the ASHRAE
Handbook of Fundamentals (2017), ch. 1, in code of its own. Its searches stop at 0.001 K; here they
are made to go on to 1e-9 K, so that the grid is exact in all its digits.

A wet bulb is left out where both an iced and a wet bulb fit (dry air of 0 to 10 C): which of the
two a search ends on is chance.
"""

import argparse
import pathlib
import re
import sys

import psychrolib as ps

GRID = pathlib.Path(__file__).resolve().parent / "psychrometrics.csv"
# Sea level, 500, 1500 and 3000 m of the standard atmosphere.
PRESSURES = (101325.0, 95461.0, 84556.0, 70108.0)
DRY_BULBS = (-20, -15, -10, -5, -2, -0.5, 0, 0.5, 2, 4, 6, 8, 10, 15, 20, 24.44, 25, 30, 35, 40, 45, 50)
HUMIDITIES = (5, 10, 15, 20, 30, 40, 50, 60, 70, 80, 90, 95, 100)


def wet_bulb(dry, ratio, pressure):
    """The wet bulb as text, empty where two fit."""
    if dry >= 0:
        wet = ps.GetHumRatioFromTWetBulb(dry, 0.0, pressure)
        iced = ps.GetHumRatioFromTWetBulb(dry, -1e-9, pressure)
        if wet <= ratio <= iced:
            return ""
    return f"{ps.GetTWetBulbFromHumRatio(dry, ratio, pressure):.5f}"


def generate():
    """The grid as text."""
    ps.SetUnitSystem(ps.SI)
    ps.PSYCHROLIB_TOLERANCE = 1e-9
    rows = [
        "pressure_Pa,dry_bulb_C,relative_humidity,humidity_ratio,dew_point_C,wet_bulb_C,"
        "enthalpy_J_per_kg,volume_m3_per_kg"
    ]
    for pressure in PRESSURES:
        for dry in DRY_BULBS:
            for percent in HUMIDITIES:
                share = percent / 100
                ratio = ps.GetHumRatioFromRelHum(dry, share, pressure)
                rows.append(
                    f"{pressure:.0f},{dry},{percent},{ratio:.7e},"
                    f"{ps.GetTDewPointFromRelHum(dry, share):.5f},{wet_bulb(dry, ratio, pressure)},"
                    f"{ps.GetMoistAirEnthalpy(dry, ratio):.2f},"
                    f"{ps.GetMoistAirVolume(dry, ratio, pressure):.6f}"
                )
    # Python prints -0.00 where Rust and the reader expect 0.
    return re.sub(r"-(0\.0+)(?=,|\n)", r"\1", "\n".join(rows) + "\n")


NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[-+]?\d+)?")


def agree(old, new):
    """True when two grids are the same but for the last digits of their numbers."""
    a, b = NUMBER.findall(old), NUMBER.findall(new)
    return len(a) == len(b) and all(
        abs(float(x) - float(y)) <= max(2e-5, 2e-7 * abs(float(x))) for x, y in zip(a, b)
    )


def main():
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="compare with the committed file")
    text = generate()
    if not parser.parse_args().check:
        GRID.write_bytes(text.encode())
        print(f"wrote {GRID.name}, {len(text)} bytes")
    elif GRID.exists() and GRID.read_bytes() == text.encode():
        print(f"{GRID.name} is what this script makes, byte for byte")
    elif GRID.exists() and agree(GRID.read_text(), text):
        print(f"{GRID.name} is what this script makes, but for last digits")
    else:
        sys.exit(f"{GRID.name} differs from what this script makes")


if __name__ == "__main__":
    main()
