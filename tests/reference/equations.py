"""Equations of state of every refrigerant, taken from CoolProp and written as Rust statics.

A refrigerant is a set of components in fixed mole fractions. Each component has a Helmholtz
equation of its own; the blend's is their mole-weighted sum at one reduced temperature and density,
plus departure functions of some pairs (the multi-fluid model of Lemmon and Jacobsen, J. Phys. Chem.
Ref. Data 33, 593, 2004, and of Kunz and Wagner, J. Chem. Eng. Data 57, 3032, 2012). CoolProp gives
the coefficients of the components and, for a composition, the reducing temperature and density. It
does not give the departure functions: `departures.json` holds those of the pairs that occur, copied
from CoolProp 8.0.0's own data, each with the publication it cites.

`verify` evaluates what was extracted, by the same formulas as the library, and compares with
CoolProp at random states; `rust` writes it.

Every term is n delta^d tau^t exp(-g delta^l - tau^m - eta (delta-epsilon)^2) f(tau), where f is
exp(-beta (tau-gamma)^2), or exp(1/(beta (tau-gamma)^2 + b)) where b is given (Gao's, ammonia), and
the first two parts of the exponent are there only if l and m are not zero. The ideal gas is kept as
cp/R = sum a T^k + sum n E(theta/T), E(x) = x^2 e^x / (e^x - 1)^2; its two constants of integration
are set per refrigerant by `offsets`.
"""

import itertools
import json
import math
import pathlib
import random
import sys
from dataclasses import dataclass, field

import CoolProp.CoolProp as CP

DEPARTURES = pathlib.Path(__file__).resolve().parent / "departures.json"
# What an extracted equation may differ from CoolProp by, relative, before nothing is written: the
# residual in CoolProp's own last digits; the ideal gas by more, because CoolProp reduces it for some
# (R-123; R-134a, R-1234ze(E) and isobutane in blends) with a critical temperature up to 0.03 K from
# the one the equation was fitted with. Here it is the latter.
LIMIT = 5e-9
IDEAL_LIMIT = 2e-4


@dataclass(frozen=True)
class Term:
    """One term of a residual Helmholtz energy."""

    n: float
    t: float
    d: int
    l: int = 0  # noqa: E741, the letter of the publications
    g: float = 1.0
    m: float = 0.0
    eta: float = 0.0
    epsilon: float = 0.0
    beta: float = 0.0
    gamma: float = 0.0
    b: float = 0.0

    def rust(self):
        """A Rust expression."""
        head = f"{number(self.n)}, {number(self.t)}, {self.d}"
        if self.b:
            rest = ", ".join(
                number(x) for x in (self.eta, self.epsilon, self.beta, self.gamma, self.b)
            )
            return f"gao({head}, {rest})"
        if self.eta or self.beta:
            rest = ", ".join(number(x) for x in (self.eta, self.epsilon, self.beta, self.gamma))
            return f"gauss({head}, {rest})"
        if self.m:
            return f"both({head}, {self.l}, {number(self.m)})"
        if self.l:
            return f"decay({head}, {self.l}, {number(self.g)})"
        return f"power({head})"


@dataclass(frozen=True)
class NonAnalytic:
    """A critical-region term of Span and Wagner, J. Phys. Chem. Ref. Data 25, 1509 (1996)."""

    n: float
    a: float
    b: float
    beta: float
    A: float
    B: float
    C: float
    D: float

    def rust(self):
        """A Rust struct literal."""
        names = {"A": "theta_delta", "B": "distance", "C": "c", "D": "d"}
        fields = (f"{names.get(k, k)}: {number(v)}" for k, v in vars(self).items())
        return f"NonAnalytic {{ {', '.join(fields)} }}"


@dataclass
class Component:
    """The equation of one molecule, or of a pseudo-pure blend."""

    fluid: str
    terms: list = field(default_factory=list)
    critical: list = field(default_factory=list)
    powers: list = field(default_factory=list)  # (a, k) of cp/R
    einstein: list = field(default_factory=list)  # (n, theta in K) of cp/R

    def identifier(self):
        """Its name in Rust."""
        return "OF_" + "".join(c if c.isalnum() else "_" for c in self.fluid).strip("_").upper()


@dataclass
class Equation:
    """The equation of one refrigerant; units of CoolProp: K, mol/m3, kg/mol, J/mol/K."""

    parts: list  # (Component, mole fraction)
    departures: list  # (name, weight)
    reducing_temperature: float
    reducing_density: float
    molar_mass: float
    gas_constant: float
    enthalpy_offset: float = 0.0  # J/kg
    entropy_offset: float = 0.0  # J/kg/K


def number(value):
    """A Rust float literal."""
    text = repr(float(value))
    return text.removesuffix(".0") + ".0" if text.endswith(".0") else text


def significant(value, digits=12):
    """Rounded, so that the last bits of another machine's power function do not show."""
    return float(f"{value:.{digits}g}")


def _terms(entry):
    """Terms of one entry of CoolProp's `alphar` list."""
    kind = entry["type"].removeprefix("ResidualHelmholtz")
    size = len(entry["n"])
    columns = {
        "Power": ("l",),
        "Exponential": ("l", "g"),
        "Lemmon2005": ("l", "m"),
        "Gaussian": ("eta", "epsilon", "beta", "gamma"),
        "GaoB": ("eta", "epsilon", "beta", "gamma", "b"),
    }[kind]
    for i in range(size):
        more = {name: entry[name][i] for name in columns}
        for name in ("l",):
            if name in more:
                if more[name] != int(more[name]):
                    sys.exit(f"an exponent {name} of {more[name]} is not whole")
                more[name] = int(more[name])
        if kind == "GaoB":
            more["eta"] = -more["eta"]  # CoolProp keeps it negative
        d = entry["d"][i]
        if d != int(d):
            sys.exit(f"an exponent d of {d} is not whole")
        yield Term(entry["n"][i], entry["t"][i], int(d), **more)


def _ideal(entry, reducing, component):
    """Adds one entry of CoolProp's `alpha0` list to cp/R."""
    kind = entry["type"].removeprefix("IdealGasHelmholtz")
    if kind in ("Lead", "EnthalpyEntropyOffset"):
        return  # constants of integration
    if kind == "LogTau":
        # The 1 is that of cp = cv + R.
        if entry["a"] != -1:
            component.powers.append((1 + entry["a"], 0.0))
    elif kind == "Power":
        for n, t in zip(entry["n"], entry["t"]):
            if t not in (0, 1):
                component.powers.append((-n * t * (t - 1) * reducing**t, -float(t)))
    elif kind == "CP0Constant":
        component.powers.append((entry["cp_over_R"], 0.0))
    elif kind == "CP0PolyT":
        component.powers += [(c, float(t)) for c, t in zip(entry["c"], entry["t"])]
    elif kind == "PlanckEinstein":
        component.einstein += [(n, t * reducing) for n, t in zip(entry["n"], entry["t"])]
    elif kind == "PlanckEinsteinFunctionT":
        component.einstein += list(zip(entry["n"], entry["v"]))
    else:
        sys.exit(f"{component.fluid}: no conversion of {kind}")


def component(fluid):
    """The equation CoolProp has for a fluid."""
    entry = json.loads(CP.get_fluid_param_string(fluid, "JSON"))[0]["EOS"][0]
    out = Component(fluid)
    for part in entry["alphar"]:
        if part["type"] == "ResidualHelmholtzNonAnalytic":
            columns = [part[name] for name in ("n", "a", "b", "beta", "A", "B", "C", "D")]
            out.critical += [NonAnalytic(*values) for values in zip(*columns)]
        else:
            out.terms += _terms(part)
    for part in entry["alpha0"]:
        _ideal(part, entry["STATES"]["reducing"]["T"], out)
    out.powers = [(significant(a), k) for a, k in out.powers if a]
    out.einstein = [(n, significant(theta)) for n, theta in out.einstein if n]
    return out


def departure_functions():
    """Name -> terms, of `departures.json`."""
    table = json.loads(DEPARTURES.read_text())
    return {f["name"]: [Term(n, t, d, l) for n, t, d, l in f["terms"]] for f in table}


def _departures(fluids, fractions):
    """(name, weight) of every pair that has a departure function."""
    out = []
    for (i, first), (j, second) in itertools.combinations(enumerate(fluids), 2):
        pair = [CP.get_fluid_param_string(f, "CAS") for f in (first, second)]
        for one, two in (pair, pair[::-1]):
            try:
                weight = float(CP.get_mixture_binary_pair_data(one, two, "F"))
                name = CP.get_mixture_binary_pair_data(one, two, "function") if weight else ""
            except ValueError:
                continue
            if weight and name:
                out.append((name, significant(weight * fractions[i] * fractions[j])))
            break
    return out


class Equations:
    """Extracted equations; each component is read once."""

    def __init__(self):
        self.components = {}
        self.departures = departure_functions()
        self.used = set()

    def extract(self, state):
        """The equation of CoolProp's `state` (an AbstractState, its composition set)."""
        fluids = list(state.fluid_names())
        fractions = list(state.get_mole_fractions()) or [1.0]
        for fluid in fluids:
            if fluid not in self.components:
                self.components[fluid] = component(fluid)
        departures = _departures(fluids, fractions) if len(fluids) > 1 else []
        self.used |= {name for name, _ in departures}
        return Equation(
            [(self.components[f], significant(x)) for f, x in zip(fluids, fractions)],
            departures,
            significant(state.T_reducing()),
            significant(state.rhomolar_reducing()),
            significant(state.molar_mass()),
            significant(state.gas_constant()),
        )

    def weighted(self, equation):
        """(weight, terms, critical terms) of every function of an equation."""
        for part, fraction in equation.parts:
            yield fraction, part.terms, part.critical
        for name, weight in equation.departures:
            yield weight, self.departures[name], []

    def residual(self, equation, temperature, density):
        """(alpha, delta d/d delta, tau d/d tau) of the residual Helmholtz energy over RT."""
        tau = equation.reducing_temperature / temperature
        delta = density / equation.reducing_density
        sums = [0.0, 0.0, 0.0]
        for weight, terms, critical in self.weighted(equation):
            for value, by_delta, by_tau in itertools.chain(
                (_evaluate(term, tau, delta) for term in terms),
                (_evaluate_critical(term, tau, delta) for term in critical),
            ):
                sums[0] += weight * value
                sums[1] += weight * value * by_delta
                sums[2] += weight * value * by_tau
        return sums

    def pressure(self, equation, temperature, density):
        """Pa, from K and mol/m3."""
        _, by_delta, _ = self.residual(equation, temperature, density)
        return density * equation.gas_constant * temperature * (1 + by_delta)

    def enthalpy_and_entropy(self, equation, temperature, density):
        """J/kg and J/kg/K, from K and mol/m3, offsets included."""
        enthalpy, entropy = 0.0, 0.0
        for part, fraction in equation.parts:
            for a, k in part.powers:
                h = a * (math.log(temperature) if k == -1 else temperature ** (k + 1) / (k + 1))
                s = a * (math.log(temperature) if k == 0 else temperature**k / k)
                enthalpy, entropy = enthalpy + fraction * h, entropy + fraction * s
            for n, theta in part.einstein:
                x = theta / temperature
                enthalpy += fraction * n * theta / math.expm1(x)
                entropy += fraction * n * (x / math.expm1(x) - math.log(-math.expm1(-x)))
        alpha, by_delta, by_tau = self.residual(equation, temperature, density)
        scale = equation.gas_constant / equation.molar_mass
        enthalpy += temperature * (by_tau + by_delta)
        entropy += by_tau - alpha - math.log(density * temperature)
        return (
            scale * enthalpy + equation.enthalpy_offset,
            scale * entropy + equation.entropy_offset,
        )

    def set_offsets(self, equation, temperature, density):
        """Makes enthalpy 200 kJ/kg and entropy 1 kJ/kg/K at a state (the IIR reference: saturated
        liquid at 0 C; where there is none, the caller takes another and says so)."""
        enthalpy, entropy = self.enthalpy_and_entropy(equation, temperature, density)
        equation.enthalpy_offset = round(200e3 - enthalpy, 2)
        equation.entropy_offset = round(1e3 - entropy, 5)

    def verify(self, name, equation, state, seed):
        """Compares with CoolProp at random single-phase densities; exits on a difference."""
        rng = random.Random(seed)
        base, worst, worst_ideal = None, 0.0, 0.0
        for _ in range(6):
            temperature = equation.reducing_temperature * rng.uniform(0.65, 1.35)
            density = equation.reducing_density * rng.choice((0.01, 0.2, 1.0, 2.0)) * rng.uniform(0.8, 1.2)
            state.specify_phase(CP.iphase_gas)
            state.update(CP.DmolarT_INPUTS, density, temperature)
            state.unspecify_phase()
            theirs = (
                state.alphar(),
                state.delta() * state.dalphar_dDelta(),
                state.tau() * state.dalphar_dTau(),
            )
            for a, b in zip(self.residual(equation, temperature, density), theirs):
                worst = max(worst, abs(a - b) / max(1e-3, abs(b)))
            h, s = self.enthalpy_and_entropy(equation, temperature, density)
            # The zeros may differ; their distance may not differ from state to state.
            now = (h - state.hmass(), s - state.smass())
            base = base or now
            heat = max(1e5, abs(h))
            worst_ideal = max(
                worst_ideal, abs(now[0] - base[0]) / heat, abs(now[1] - base[1]) * temperature / heat
            )
        if worst > LIMIT or worst_ideal > IDEAL_LIMIT:
            sys.exit(f"{name}: the equation is {worst:.1e} off, its ideal part {worst_ideal:.1e}")

    def rust_components(self):
        """Rust statics of the components and departure functions used, sorted."""
        out = []
        for part in sorted(self.components.values(), key=Component.identifier):
            out.append(
                f"static {part.identifier()}: Component = Component {{\n"
                f"    powers: &[{_pairs(part.powers)}],\n"
                f"    einstein: &[{_pairs(part.einstein)}],\n"
                f"    critical: &[{', '.join(t.rust() for t in part.critical)}],\n"
                f"    terms: &[\n{_lines(part.terms)}    ],\n}};\n"
            )
        for name in sorted(self.used):
            out.append(
                f"static {departure_identifier(name)}: &[Term] = &[\n"
                f"{_lines(self.departures[name])}];\n"
            )
        return "\n".join(out)


def rust_equation(identifier, equation):
    """A Rust static holding the equation of one refrigerant."""
    parts = ", ".join(f"(&{p.identifier()}, {number(x)})" for p, x in equation.parts)
    departures = ", ".join(
        f"({departure_identifier(name)}, {number(w)})" for name, w in equation.departures
    )
    return f"""static {identifier}: Equation = Equation {{
    parts: &[{parts}],
    departures: &[{departures}],
    reducing_temperature: {number(equation.reducing_temperature)}, reducing_density: {number(equation.reducing_density)},
    molar_mass: {number(equation.molar_mass)}, gas_constant: {number(equation.gas_constant)},
    enthalpy_offset: {number(equation.enthalpy_offset)}, entropy_offset: {number(equation.entropy_offset)},
}};
"""


def departure_identifier(name):
    """The Rust name of a departure function."""
    return "DEPARTURE_" + "".join(c if c.isalnum() else "_" for c in name).strip("_").upper()


def _pairs(pairs):
    return ", ".join(f"({number(a)}, {number(b)})" for a, b in pairs)


def _lines(terms):
    return "".join(f"        {term.rust()},\n" for term in terms)


def _evaluate(term, tau, delta):
    """(value, delta d ln/d delta, tau d ln/d tau) of one term."""
    exponent, by_delta, by_tau = 0.0, float(term.d), float(term.t)
    if term.l:
        exponent -= term.g * delta**term.l
        by_delta -= term.g * term.l * delta**term.l
    if term.m:
        exponent -= tau**term.m
        by_tau -= term.m * tau**term.m
    if term.eta:
        exponent -= term.eta * (delta - term.epsilon) ** 2
        by_delta -= 2 * term.eta * delta * (delta - term.epsilon)
    if term.b:
        base = term.beta * (tau - term.gamma) ** 2 + term.b
        exponent += 1 / base
        by_tau -= 2 * term.beta * tau * (tau - term.gamma) / base**2
    elif term.beta:
        exponent -= term.beta * (tau - term.gamma) ** 2
        by_tau -= 2 * term.beta * tau * (tau - term.gamma)
    value = term.n * delta**term.d * tau**term.t * math.exp(exponent)
    return value, by_delta, by_tau


def _evaluate_critical(term, tau, delta):
    """As `_evaluate`, of a critical-region term."""
    off = (delta - 1) ** 2
    theta = (1 - tau) + term.A * off ** (1 / (2 * term.beta))
    theta_delta = term.A / term.beta * off ** (1 / (2 * term.beta) - 1) * (delta - 1)
    distance = theta**2 + term.B * off**term.a
    distance_delta = 2 * theta * theta_delta + 2 * term.a * term.B * off ** (term.a - 1) * (
        delta - 1
    )
    value = (
        term.n * distance**term.b * delta * math.exp(-term.C * off - term.D * (tau - 1) ** 2)
    )
    by_delta = delta * (term.b * distance_delta / distance - 2 * term.C * (delta - 1)) + 1
    by_tau = tau * (-2 * term.b * theta / distance - 2 * term.D * (tau - 1))
    return value, by_delta, by_tau
