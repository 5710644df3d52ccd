#!/usr/bin/env python3
"""Generates the saturation table of `src/refrigerant/data.rs` and the grid that tests it.

    python saturation.py            write both files
    python saturation.py --check    regenerate and compare; exit 1 if a committed file differs

Needs only CoolProp (requirements.txt pins the version). Takes half a minute, most of it the
critical points of the blends. One refrigerant is one row of ROWS.

How the table is made
    x = sqrt(Tc - T) takes the critical-point singularity out of the saturation line, so that
    ln p is a polynomial in x to within a millikelvin. u runs over [-1, 1] between the lowest and
    the highest temperature; ln p is interpolated at the Chebyshev nodes of u by a discrete cosine
    sum. The way back (pressure to temperature) is solved on the same polynomial, from a start
    found by a second, short series T(ln p).

Why the bytes repeat
    Sums are math.fsum, series coefficients are rounded to 1e-7 (0.01 mK), critical points to 1 mK
    and 100 Pa, far coarser than the last bits in which two machines' math libraries may differ.
"""

import argparse
import csv
import io
import math
import pathlib
import re
import sys
from dataclasses import dataclass, field

import CoolProp
import CoolProp.CoolProp as CP

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE.parent.parent / "src" / "refrigerant" / "data.rs"
GRID = HERE / "saturation_grid.csv"
VERSION = "8.0.0"

# -70 C is 27 inHg of vacuum on R-134a, deeper than any pump-down, and still above the 200 K where
# the pseudo-pure equations end.
LOWEST = 203.15
BELOW_CRITICAL = 1.0
DEGREE = 10
START_DEGREE = 12
# What a fit may be off by at the grid before this script refuses to write it, in kelvin.
FIT_LIMIT = 0.005
START_LIMIT = 0.1


# GWP, 100 years, IPCC AR4, per component.
# Source: 40 CFR part 98, table A-1, edition before the 2024 amendment, for the HFCs; R-22, the
# hydrocarbon and the HFO values (4 for yf, 7 for ze, as in Regulation (EU) 517/2014) from memory.
GWP = {
    "R-22": 1810,
    "R-32": 675,
    "R-125": 3500,
    "R-134a": 1430,
    "R-143a": 4470,
    "R-290": 3.3,
    "R-744": 1,
    "R-1234yf": 4,
    "R-1234ze(E)": 7,
}

# CoolProp's names of the components, to compare compositions with its own.
COMPONENT = {
    "R-32": "R32",
    "R-125": "R125",
    "R-134a": "R134a",
    "R-143a": "R143a",
    "R-1234yf": "R1234yf",
    "R-1234ze(E)": "R1234ze(E)",
}


@dataclass
class Row:
    """One refrigerant. `fluid` is CoolProp's name; `mixture` its predefined blend, if other."""

    name: str
    safety: str
    fluid: str
    composition: list = field(default_factory=list)  # (component, mass percent)
    aliases: list = field(default_factory=list)
    mixture: str = ""


# Compositions and safety classes: ASHRAE Standard 34, from memory, except R-404A, R-407C and
# R-410A (published reports); every blend is compared below with CoolProp's predefined mixture,
# every pure fluid's class with CoolProp's.
#
# R-404A, R-407C, R-410A and R-507A exist twice in CoolProp: as a pseudo-pure equation, which has
# bubble and dew lines of its own, and as a mixture of components. The two agree within 0.1 psi.
# The pseudo-pure one is taken: it gives 542.63 psig for R-410A bubble at 140 F where the public
# table that cites NIST REFPROP has 542.6 (the mixture gives 542.51), and it is explicit, so it
# has no flash to fail near the critical point.
ROWS = [
    Row("R-22", "A1", "R22"),
    Row("R-32", "A2L", "R32", aliases=["difluoromethane"]),
    Row("R-134a", "A1", "R134a"),
    Row("R-290", "A3", "n-Propane", aliases=["propane"]),
    Row(
        "R-404A",
        "A1",
        "R404A",
        [("R-125", 44), ("R-143a", 52), ("R-134a", 4)],
        mixture="R404A.mix",
    ),
    Row("R-407A", "A1", "R407A.mix", [("R-32", 20), ("R-125", 40), ("R-134a", 40)]),
    Row(
        "R-407C",
        "A1",
        "R407C",
        [("R-32", 23), ("R-125", 25), ("R-134a", 52)],
        mixture="R407C.mix",
    ),
    Row("R-410A", "A1", "R410A", [("R-32", 50), ("R-125", 50)], mixture="R410A.mix"),
    Row(
        "R-448A",
        "A1",
        "R448A.mix",
        [("R-32", 26), ("R-125", 26), ("R-1234yf", 20), ("R-134a", 21), ("R-1234ze(E)", 7)],
    ),
    Row(
        "R-449A",
        "A1",
        "R449A.mix",
        [("R-32", 24.3), ("R-125", 24.7), ("R-1234yf", 25.3), ("R-134a", 25.7)],
    ),
    Row("R-454B", "A2L", "R454B.mix", [("R-32", 68.9), ("R-1234yf", 31.1)]),
    # R-507 is its designation from before azeotropes took a letter (from memory).
    Row(
        "R-507A",
        "A1",
        "R507A",
        [("R-125", 50), ("R-143a", 50)],
        aliases=["R-507"],
        mixture="R507A.mix",
    ),
    Row("R-513A", "A1", "R513A.mix", [("R-1234yf", 56), ("R-134a", 44)]),
    Row("R-744", "A1", "CO2", aliases=["carbon dioxide", "CO2"]),
]

LIQUID, VAPOUR = 0, 1


class NotConverged(Exception):
    """CoolProp found no saturation state."""


class Oracle:
    """CoolProp's saturation lines of one refrigerant.

    A mixture is never flashed from nothing: from about 25 K under the critical point upwards that
    fails in whole bands of temperature, and close to it may return a wrong pressure without saying
    so (R-448A bubble, 0.1 K under: 0.5 % low). Instead the solution is followed from a warm start
    at 0.8 Tc in steps of at most 1 K, each giving densities and phase compositions as the next
    guess. Where a flash from nothing does succeed the two are compared, and differences printed.
    """

    def __init__(self, row):
        self.row = row
        self.state = CP.AbstractState("HEOS", row.fluid)
        self.is_mixture = len(self.state.get_mole_fractions()) > 1
        if self.is_mixture:
            # The routine also returns solutions at negative pressure; those are not fluid states.
            points = [c for c in self.state.all_critical_points() if c.stable and c.p > 0]
            point = max(points, key=lambda c: c.T)
            temperature, pressure = point.T, point.p
        else:
            # Of a pseudo-pure fluid: where its bubble and dew equations meet.
            temperature, pressure = self.state.T_critical(), self.state.p_critical()
        self.critical_temperature = round(temperature, 3)
        self.critical_pressure = round(pressure, -2)
        triple = 0.0 if self.is_mixture else self.state.Ttriple()
        self.lowest = max(LOWEST, math.ceil(triple * 100) / 100)
        self.highest = math.floor((self.critical_temperature - BELOW_CRITICAL) * 100) / 100
        self.has_two_lines = bool(row.composition)

    def lines(self):
        """The qualities that have a line of their own."""
        return (LIQUID, VAPOUR) if self.has_two_lines else (LIQUID,)

    def flash(self, temperature, quality):
        """One flash without a guess, in Pa."""
        try:
            self.state.update(CP.QT_INPUTS, quality, temperature)
        except ValueError as error:
            raise NotConverged(str(error)) from error
        return self.state.p()

    def pressures(self, temperatures, quality):
        """Saturation pressure in Pa at each temperature in K, as a dict."""
        if not self.is_mixture:
            return {t: self.flash(t, quality) for t in temperatures}
        start = 0.8 * self.critical_temperature
        found = {}
        for upward in (True, False):
            self.flash(start, quality)
            at, guess = start, self._guess()
            wanted = sorted((t for t in temperatures if (t >= start) == upward), reverse=not upward)
            for target in wanted:
                at, guess, found[target] = self._follow(at, guess, target, quality)
        return found

    def _guess(self):
        guess, state = CP.PyGuessesStructure(), self.state
        guess.p = state.p()
        guess.rhomolar_liq = state.saturated_liquid_keyed_output(CP.iDmolar)
        guess.rhomolar_vap = state.saturated_vapor_keyed_output(CP.iDmolar)
        guess.x = state.mole_fractions_liquid()
        guess.y = state.mole_fractions_vapor()
        return guess

    def _follow(self, at, guess, target, quality):
        # Phase compositions run together near the critical point: shorter steps there.
        step = 1.0
        while True:
            step = min(step, max(0.02, (self.critical_temperature - at) / 8))
            there = at + max(-step, min(step, target - at))
            before = guess.p
            guess.T = there
            try:
                self.state.update_with_guesses(CP.QT_INPUTS, quality, there, guess)
                pressure = self.state.p()
                rising = there == at or (pressure - before) * (there - at) > 0
                if not rising or self.state.saturated_liquid_keyed_output(
                    CP.iDmolar
                ) <= self.state.saturated_vapor_keyed_output(CP.iDmolar):
                    raise NotConverged("not a saturation state")
            except (ValueError, NotConverged) as error:
                step /= 2
                if step < 0.005:
                    raise NotConverged(f"{self.row.name} stops at {at:.2f} K: {error}") from error
                continue
            at, guess = there, self._guess()
            if at == target:
                return at, guess, pressure
            step *= 2

    def find_limit(self):
        """Lowers `highest` until both lines reach it; reports if that was needed."""
        wanted = self.highest
        while True:
            try:
                for quality in self.lines():
                    self.pressures([self.highest], quality)
            except NotConverged:
                self.highest = round(self.highest - 0.5, 2)
                continue
            if self.highest != wanted:
                print(f"{self.row.name}: no solution above {self.highest} K, wanted {wanted} K")
            return


def chebyshev(values):
    """Series coefficients from the values at the Chebyshev nodes, in the order of `nodes`."""
    n = len(values)
    out = []
    for j in range(n):
        total = math.fsum(v * math.cos(j * math.pi * (k + 0.5) / n) for k, v in enumerate(values))
        out.append(round((1 if j == 0 else 2) * total / n, 7))
    return out


def nodes(degree):
    """Chebyshev nodes of [-1, 1]."""
    return [math.cos(math.pi * (k + 0.5) / (degree + 1)) for k in range(degree + 1)]


def evaluate(coefficients, u):
    """The series at u, by the recurrence that the library uses."""
    b1 = b2 = 0.0
    for c in reversed(coefficients[1:]):
        b1, b2 = 2 * u * b1 - b2 + c, b1
    return u * b1 - b2 + coefficients[0]


class Fit:
    """The series of one saturation line."""

    def __init__(self, oracle, quality):
        self.oracle = oracle
        tc = oracle.critical_temperature
        far, near = math.sqrt(tc - oracle.lowest), math.sqrt(tc - oracle.highest)
        self.middle, self.half = (far + near) / 2, (far - near) / 2
        temperatures = [tc - (self.middle - self.half * u) ** 2 for u in nodes(DEGREE)]
        pressures = oracle.pressures(temperatures, quality)
        self.series = chebyshev([math.log(pressures[t]) for t in temperatures])
        low, high = evaluate(self.series, -1.0), evaluate(self.series, 1.0)
        self.log_middle, self.log_half = round((low + high) / 2, 7), round((high - low) / 2, 7)
        logs = [self.log_middle + self.log_half * v for v in nodes(START_DEGREE)]
        self.start = chebyshev([self.solve(log) for log in logs])
        # A hair (under 5 mK) outwards, so that a pressure at the very end of the table is inside it
        # whichever way it was rounded; the library answers with the end temperature there.
        self.lowest_pressure = float(math.floor(math.exp(low) * (1 - 1e-4)))
        self.highest_pressure = float(math.ceil(math.exp(high) * (1 + 1e-4)))
        self.verify()

    def log_pressure(self, temperature):
        """ln(p / Pa) of the fit."""
        x = math.sqrt(self.oracle.critical_temperature - temperature)
        return evaluate(self.series, (self.middle - x) / self.half)

    def solve(self, log):
        """The temperature of the fit at ln p, by halving."""
        low, high = self.oracle.lowest, self.oracle.highest
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.log_pressure(middle) < log else (low, middle)
        return (low + high) / 2

    def verify(self):
        """Stops the run if the fit does not rise everywhere or starts the solver too far off."""
        name = self.oracle.row.name
        steps = 2000
        width = (self.oracle.highest - self.oracle.lowest) / steps
        before = -math.inf
        for i in range(steps + 1):
            t = min(self.oracle.lowest + i * width, self.oracle.highest)
            log = self.log_pressure(t)
            if log <= before:
                sys.exit(f"{name}: the fit does not rise at {t:.2f} K")
            before = log
            start = evaluate(self.start, (log - self.log_middle) / self.log_half)
            if abs(start - t) > START_LIMIT:
                sys.exit(f"{name}: the solver starts {start - t:+.3f} K off at {t:.2f} K")


def grid_temperatures(oracle):
    """Every 2.5 K, off any round number, and both ends with a point just inside each."""
    low, high = oracle.lowest, oracle.highest
    inside = [round(low + 1.17 + 2.5 * i, 2) for i in range(int((high - low - 1.17) / 2.5) + 1)]
    return sorted({low, round(low + 0.05, 2), *inside, round(high - 0.05, 2), high})


def grid_rows(oracle, temperatures):
    """CSV rows of live values; equal bubble and dew for a pure fluid."""
    columns = [oracle.pressures(temperatures, quality) for quality in oracle.lines()]
    for t in temperatures:
        values = [f"{column[t]:.1f}" for column in columns]
        yield [oracle.row.name, f"{t:.2f}", values[0], values[-1]]


def write_grid(stream, rows):
    """Writes the CSV with its heading."""
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(["refrigerant", "temperature_K", "bubble_Pa", "dew_Pa"])
    writer.writerows(rows)


def check_row(row):
    """Compares composition and class with CoolProp's own; exits on a difference."""
    mixture = row.mixture or row.fluid
    if row.composition:
        if abs(math.fsum(share for _, share in row.composition) - 100) > 1e-9:
            sys.exit(f"{row.name}: the composition does not sum to 100 %")
        state = CP.AbstractState("HEOS", mixture)
        shares = {}
        for fluid, moles in zip(state.fluid_names(), state.get_mole_fractions()):
            shares[fluid] = moles * CP.PropsSI("M", fluid)
        total = math.fsum(shares.values())
        for component, share in row.composition:
            theirs = 100 * shares.pop(COMPONENT[component]) / total
            if abs(theirs - share) > 0.05:
                sys.exit(f"{row.name}: {component} is {theirs:.2f} % in CoolProp, {share} % here")
        if shares:
            sys.exit(f"{row.name}: CoolProp also has {', '.join(shares)}")
    # CoolProp's classes are older than 2L, so R-32 is reported every time.
    if ".mix" not in row.fluid:
        theirs = CP.get_fluid_param_string(row.fluid, "ASHRAE34")
        if theirs not in (row.safety, "UNKNOWN"):
            print(f"{row.name}: class {theirs} in CoolProp, {row.safety} here")


def check_flashes(oracle, rows):
    """Prints where a flash without a guess fails or disagrees with the followed solution."""
    failed = {LIQUID: 0, VAPOUR: 0}
    for _, t, *followed in rows:
        for quality in oracle.lines():
            try:
                flashed = oracle.flash(float(t), quality)
            except NotConverged:
                failed[quality] += 1
                continue
            off = flashed / float(followed[quality]) - 1
            if abs(off) > 2e-5:
                line = "dew" if quality == VAPOUR else "bubble"
                print(f"{oracle.row.name} {line} {t} K: a flash alone is {off:+.2%} off; not used")
    if any(failed.values()):
        print(
            f"{oracle.row.name}: flashes alone fail at {failed[LIQUID]} bubble and "
            f"{failed[VAPOUR]} dew grid points; followed from a neighbour instead"
        )


def worst(fit, rows, column):
    """Largest distance of a fit from grid rows, in kelvin."""
    off = 0.0
    for row in rows:
        t, log = float(row[1]), math.log(float(row[column]))
        below = max(t - 0.01, fit.oracle.lowest)
        slope = (fit.log_pressure(below + 0.01) - fit.log_pressure(below)) / 0.01
        off = max(off, abs(fit.log_pressure(t) - log) / slope)
    return off


def fold(text):
    """The spelling the catalogue looks up: lower case letters and digits, no leading r."""
    text = "".join(c for c in text.lower() if c.isalnum())
    return text[1:] if text[0] == "r" and text[1:2].isdigit() else text


def gwp(row):
    """Mass-weighted GWP of a blend, rounded to a whole number as regulations print it."""
    if not row.composition:
        return float(GWP[row.name])
    return float(math.floor(math.fsum(GWP[c] * share / 100 for c, share in row.composition) + 0.5))


def rust_string(text):
    """A Rust string literal."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def rust_curve(identifier, fit):
    """A Rust static holding one line."""
    oracle = fit.oracle
    return f"""#[rustfmt::skip]
static {identifier}: Curve = Curve {{
    critical: {oracle.critical_temperature!r},
    lowest: {oracle.lowest!r}, highest: {oracle.highest!r},
    lowest_pressure: {fit.lowest_pressure!r}, highest_pressure: {fit.highest_pressure!r},
    middle: {fit.middle!r}, half: {fit.half!r},
    series: [{", ".join(map(repr, fit.series))}],
    log_middle: {fit.log_middle!r}, log_half: {fit.log_half!r},
    start: [{", ".join(map(repr, fit.start))}],
}};
"""


def rust_row(row, oracle, curves):
    """A Rust `Refrigerant` literal."""
    parts = row.composition or [(row.name, 100)]
    composition = ", ".join(f"({rust_string(c)}, {float(share)!r})" for c, share in parts)
    return f"""    Refrigerant {{
        name: {rust_string(row.name)}, aliases: &[{", ".join(map(rust_string, row.aliases))}],
        composition: &[{composition}],
        class: SafetyClass::{row.safety}, gwp: {gwp(row)!r},
        critical_temperature: Temperature::from_kelvin({oracle.critical_temperature!r}),
        critical_pressure: AbsolutePressure::from_pascal({oracle.critical_pressure!r}),
        bubble: &{curves[0]}, dew: &{curves[-1]},
    }},
"""


def generate():
    """Both files' text: (data.rs, saturation_grid.csv)."""
    if CoolProp.__version__ != VERSION:
        sys.exit(f"CoolProp {VERSION} wanted, {CoolProp.__version__} found")
    statics, table, keys, grid = [], [], [], []
    for index, row in enumerate(ROWS):
        check_row(row)
        oracle = Oracle(row)
        oracle.find_limit()
        rows = list(grid_rows(oracle, grid_temperatures(oracle)))
        for t, bubble, dew in ((r[1], float(r[2]), float(r[3])) for r in rows):
            if dew > bubble:
                sys.exit(f"{row.name}: dew above bubble at {t} K")
        if oracle.is_mixture:
            check_flashes(oracle, rows)
        names, report = [], []
        for quality in oracle.lines():
            fit = Fit(oracle, quality)
            line = ("BUBBLE", "DEW")[quality] if oracle.has_two_lines else "SATURATED"
            names.append(f"R{fold(row.name).upper()}_{line}")
            statics.append(rust_curve(names[-1], fit))
            off = worst(fit, rows, 2 + quality)
            report.append(f"{line.lower()} {off:.4f} K")
            if off > FIT_LIMIT:
                sys.exit(f"{row.name} {line.lower()}: the fit is {off:.4f} K off")
        print(
            f"{row.name}: {oracle.lowest} to {oracle.highest} K, critical "
            f"{oracle.critical_temperature} K {oracle.critical_pressure / 1e6:.4f} MPa; "
            f"worst {', '.join(report)}",
            flush=True,
        )
        table.append(rust_row(row, oracle, names))
        keys += [(fold(spelling), index) for spelling in [row.name, *row.aliases]]
        grid += rows
    keys.sort()
    pairs = "\n".join(f"    ({rust_string(key)}, {index})," for key, index in keys)
    out = io.StringIO()
    write_grid(out, grid)
    data = f"""//! Refrigerants and their saturation lines.
//!
//! Generated by tests/reference/saturation.py from CoolProp {VERSION} (HEOS); change that, not this.

use super::saturation::Curve;
use super::{{Refrigerant, SafetyClass}};
use crate::quantity::{{AbsolutePressure, Temperature}};

{chr(10).join(statics)}
/// Every refrigerant carried, in the order of their numbers.
#[rustfmt::skip]
pub(super) static REFRIGERANTS: &[Refrigerant] = &[
{"".join(table)}];

/// Folded spellings, sorted, and the row each one means.
#[rustfmt::skip]
pub(super) static SPELLINGS: &[(&str, usize)] = &[
{pairs}
];
"""
    return data, out.getvalue()


NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[-+]?\d+)?")


def agree(old, new):
    """True when two texts are the same but for the last digits of their numbers.

    Another processor's maths library may round the last bit of a logarithm the other way, and so
    flip a rounded last digit here; that is no change of the data.
    """
    if NUMBER.split(old) != NUMBER.split(new):
        return False
    for a, b in zip(NUMBER.findall(old), NUMBER.findall(new)):
        decimals = max(len(x.partition(".")[2]) for x in (a, b)) if "e" not in a + b else 7
        if abs(float(a) - float(b)) > 2.5 * 10.0 ** -min(decimals, 7):
            return False
    return True


def main():
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="compare with the committed files")
    check = parser.parse_args().check
    differs = False
    for path, text in zip((DATA, GRID), generate()):
        if not check:
            path.write_bytes(text.encode())
            print(f"wrote {path.name}, {len(text)} bytes")
        elif path.exists() and path.read_bytes() == text.encode():
            print(f"{path.name} is what this script makes, byte for byte")
        elif path.exists() and agree(path.read_text(), text):
            print(f"{path.name} is what this script makes, but for last digits")
        else:
            print(f"{path.name} differs from what this script makes", file=sys.stderr)
            differs = True
    sys.exit(differs)


if __name__ == "__main__":
    main()
