"""CoolProp's saturation lines of one refrigerant, pure or blended.

A blend is built from its composition in mass percent. Its saturation states are never flashed from
nothing but once: from about 25 K under the critical point upwards that fails in whole bands of
temperature, and close to it may return a wrong pressure without saying so (R-448A bubble, 0.1 K
under: 0.5 % low). Instead the solution is followed in steps from a start that was checked, each
state guessed from the two before it, and refused where it jumps away from the guess.
"""

import bisect
import csv
import math
import pathlib
from dataclasses import dataclass

import CoolProp.CoolProp as CP

import estimated_pairs
from catalogue import BY_NAME

CRITICAL = pathlib.Path(__file__).resolve().parent / "critical.csv"
LIQUID, VAPOUR = 0, 1

# Sought from where a flash alone is dependable; as parts of the critical temperature.
STARTS = (0.8, 0.75, 0.7, 0.85, 0.65, 0.6)
# Longest step, and how far ln p may end up from the guess before a step is halved.
STEP, JUMP = 4.0, 0.02
SHORTEST = 0.004
# What a blend's phases may differ by in ln of pressure or fugacity and still be in equilibrium.
EQUILIBRIUM = 1e-6


class NotConverged(Exception):
    """CoolProp found no saturation state."""


class Refused(Exception):
    """CoolProp cannot evaluate this refrigerant at all; the message is a sentence."""


@dataclass(frozen=True)
class Critical:
    """A critical point: K, Pa, mol/m3."""

    temperature: float
    pressure: float
    density: float


@dataclass(frozen=True)
class State:
    """A saturation state of a blend: K, ln Pa, ln mol/m3, ln of the mole fractions."""

    temperature: float
    log_pressure: float
    log_liquid: float
    log_vapour: float
    liquid: tuple
    vapour: tuple

    def vector(self):
        """All but the temperature, in one list."""
        return [self.log_pressure, self.log_liquid, self.log_vapour, *self.liquid, *self.vapour]

    def towards(self, other, temperature):
        """The straight line through both, in 1/T."""
        share = (1 / temperature - 1 / self.temperature) / (
            1 / other.temperature - 1 / self.temperature
        )
        parts = [a + share * (b - a) for a, b in zip(self.vector(), other.vector())]
        count = len(self.liquid)
        return State(
            temperature, *parts[:3], tuple(parts[3 : 3 + count]), tuple(parts[3 + count :])
        )


def is_single(row):
    """True for a pure fluid or a pseudo-pure equation: `fluid` names it."""
    return bool(row.fluid) and ".mix" not in row.fluid


def open_state(row):
    """CoolProp's state object for a row, its composition and estimated pairs set.

    Raises Refused where a component or a pair has no equation and no estimate.
    """
    if is_single(row):
        return CP.AbstractState("HEOS", row.fluid)
    unknown = [name for name, _ in row.composition if not BY_NAME[name].fluid]
    if unknown:
        raise Refused(f"no equation of state for {' and '.join(unknown)} in the reference library")
    fluids = [BY_NAME[name].fluid for name, _ in row.composition]
    estimated_pairs.apply(fluids)
    try:
        state = CP.AbstractState("HEOS", "&".join(fluids))
    except ValueError as error:
        raise Refused(f"the reference library cannot mix {', '.join(fluids)}: {error}") from error
    moles = [share / CP.PropsSI("M", f) for f, (_, share) in zip(fluids, row.composition)]
    state.set_mole_fractions([m / math.fsum(moles) for m in moles])
    return state


class Oracle:
    """Saturation of one refrigerant; `lowest` and `highest` are where both lines were followed."""

    def __init__(self, row, critical=None):
        self.row = row
        self.state = open_state(row)
        self.is_blend = not is_single(row)
        self.has_two_lines = len(row.composition) > 1
        if not self.is_blend:
            # Of a pseudo-pure fluid: where its bubble and dew equations meet.
            state = self.state
            critical = Critical(state.T_critical(), state.p_critical(), state.rhomolar_critical())
        else:
            critical = critical or critical_points()[row.name]
        self.critical = critical
        self.known = {quality: [] for quality in self.lines()}

    def lines(self):
        """The qualities that have a line of their own."""
        return (LIQUID, VAPOUR) if self.has_two_lines else (LIQUID,)

    def floor(self):
        """The lowest temperature at which the equation holds, K; 0 for a blend."""
        return 0.0 if self.is_blend else max(self.state.Ttriple(), self.state.Tmin())

    def begin_above(self, temperature):
        """The components of a blend whose own equation does not reach down to a temperature."""
        return [
            name
            for name, _ in self.row.composition
            if self.is_blend and CP.PropsSI("Tmin", BY_NAME[name].fluid) > temperature
        ]

    def flash(self, temperature, quality):
        """One flash without a guess, in Pa."""
        try:
            self.state.update(CP.QT_INPUTS, quality, temperature)
        except ValueError as error:
            raise NotConverged(str(error)) from error
        return self.state.p()

    def pressure(self, temperature, quality):
        """Saturation pressure in Pa; raises NotConverged where the line cannot be followed."""
        if not self.is_blend:
            return self.flash(temperature, quality)
        return math.exp(self.follow(temperature, quality).log_pressure)

    def follow(self, target, quality):
        """The saturation state of a blend at a temperature, from the nearest ones known."""
        known = self.known[quality]
        if not known:
            known.append(self._start(quality))

        def key(state):
            return state.temperature

        while True:
            at = bisect.bisect_left(known, target, key=key)
            if at < len(known) and known[at].temperature == target:
                return known[at]
            # Two neighbours: one on each side where there are, or the two nearest on one side.
            first, second = max(0, at - 1), min(len(known) - 1, at)
            if first == second and len(known) > 1:
                first, second = (first, 1) if at == 0 else (first, first - 1)
            near = min(known[first], known[second], key=lambda s: abs(s.temperature - target))
            other = known[second] if near is known[first] else known[first]
            bisect.insort(known, self._step(near, other, target, quality), key=key)

    def _step(self, near, other, target, quality):
        """A new state on the way from `near` to `target`, or at it."""
        step = abs(target - near.temperature)
        # Phase compositions run together near the critical point: shorter steps there.
        step = min(step, max(0.05, min(STEP, (self.critical.temperature - near.temperature) / 4)))
        error = None
        while step >= SHORTEST or step == abs(target - near.temperature):
            there = near.temperature + math.copysign(step, target - near.temperature)
            if step == abs(target - near.temperature):
                there = target
            straight = other is not near
            guess = near.towards(other, there) if straight else near
            try:
                # Twice, because CoolProp's own stop leaves 1e-7, more than is kept of a series.
                found = self._solve(self._solve(guess, there, quality), there, quality)
                jump = abs(found.log_pressure - guess.log_pressure)
                if jump > (JUMP if straight else 0.2):
                    raise NotConverged(f"a jump of {jump:.3f} in ln p")
                return found
            except NotConverged as failure:
                error = failure
            step /= 2
        name, line = self.row.name, ("bubble", "dew")[quality]
        raise NotConverged(f"{name} {line} stops at {near.temperature:.2f} K: {error}")

    def _solve(self, guess, temperature, quality):
        structure = CP.PyGuessesStructure()
        structure.T, structure.p = temperature, math.exp(guess.log_pressure)
        structure.rhomolar_liq = math.exp(guess.log_liquid)
        structure.rhomolar_vap = math.exp(guess.log_vapour)
        structure.x = self._fractions(guess.liquid)
        structure.y = self._fractions(guess.vapour)
        try:
            self.state.update_with_guesses(CP.QT_INPUTS, quality, temperature, structure)
        except ValueError as error:
            raise NotConverged(str(error)) from error
        return self._read(temperature)

    @staticmethod
    def _fractions(logs):
        values = [math.exp(log) for log in logs]
        return [value / math.fsum(values) for value in values]

    def _read(self, temperature):
        """The state CoolProp has just solved."""
        state = self.state
        liquid = state.saturated_liquid_keyed_output(CP.iDmolar)
        vapour = state.saturated_vapor_keyed_output(CP.iDmolar)
        x, y = state.mole_fractions_liquid(), state.mole_fractions_vapor()
        pressure = state.p()
        if not (pressure > 0 and liquid > vapour * 1.0001 > 0 and min(*x, *y) > 0):
            raise NotConverged("not two phases")
        logs = [math.log(value) for value in (pressure, liquid, vapour)]
        return State(temperature, *logs, tuple(map(math.log, x)), tuple(map(math.log, y)))

    def _start(self, quality):
        for part in STARTS:
            temperature = round(part * self.critical.temperature, 2)
            try:
                self.flash(temperature, quality)
                found = self._read(temperature)
                if self.imbalance(found) < EQUILIBRIUM:
                    return found
            except (NotConverged, ValueError):
                continue
        raise NotConverged(f"{self.row.name}: no {('bubble', 'dew')[quality]} state to start from")

    def imbalance(self, found):
        """How far a blend's two phases are from equilibrium, in ln of pressure or fugacity.

        Evaluated from the densities and compositions alone, so a solver that stopped early or on
        something else than a saturation state shows.
        """
        logs = []
        for density, fractions in (
            (found.log_liquid, found.liquid),
            (found.log_vapour, found.vapour),
        ):
            state = self._single_phase()
            state.set_mole_fractions(self._fractions(fractions))
            state.update(CP.DmolarT_INPUTS, math.exp(density), found.temperature)
            logs.append([math.log(state.fugacity(i)) for i in range(len(fractions))])
            logs[-1].append(math.log(state.p()) if state.p() > 0 else -math.inf)
        # The pressure of a cold liquid hangs on the last digits of its density: fugacities tell.
        return max(abs(a - b) for a, b in zip(logs[0][:-1], logs[1][:-1]))

    def _single_phase(self):
        if not hasattr(self, "_other"):
            self._other = open_state(self.row)
            self._other.specify_phase(CP.iphase_gas)
        return self._other


def critical_points():
    """The committed critical points of the blends, by name."""
    with CRITICAL.open(newline="") as stream:
        return {
            row["refrigerant"]: Critical(
                float(row["temperature_K"]), float(row["pressure_Pa"]), float(row["density_mol_m3"])
            )
            for row in csv.DictReader(stream)
        }


def newton(state, start, steps):
    """Critical point of a mixture by Newton's method; yields (Critical, last step in K).

    The two conditions are that the determinants L* and M* of Gibbs vanish, as CoolProp gives them.
    """
    temperature, density = start
    state.specify_phase(CP.iphase_gas)

    def conditions(t, rho):
        state.update(CP.DmolarT_INPUTS, rho, t)
        return state.criticality_contour_values()

    for _ in range(steps):
        h, k = 1e-4 * temperature, 1e-4 * density
        value = conditions(temperature, density)
        by_t = [
            (a - b) / (2 * h)
            for a, b in zip(
                conditions(temperature + h, density), conditions(temperature - h, density)
            )
        ]
        by_rho = [
            (a - b) / (2 * k)
            for a, b in zip(
                conditions(temperature, density + k), conditions(temperature, density - k)
            )
        ]
        determinant = by_t[0] * by_rho[1] - by_t[1] * by_rho[0]
        if not math.isfinite(determinant) or determinant == 0:
            raise NotConverged("no slope")
        dt = (value[1] * by_rho[0] - value[0] * by_rho[1]) / determinant
        drho = (value[0] * by_t[1] - value[1] * by_t[0]) / determinant
        short = min(
            1.0, 0.03 * temperature / max(abs(dt), 1e-30), 0.1 * density / max(abs(drho), 1e-30)
        )
        temperature, density = temperature + short * dt, density + short * drho
        if short == 1 and abs(dt) < 1e-8 * temperature and abs(drho) < 1e-7 * density:
            break
    conditions(temperature, density)
    return Critical(temperature, state.p(), density), abs(dt)
