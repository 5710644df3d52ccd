//! Equations of state: the reduced Helmholtz energy of a refrigerant, from which density, enthalpy
//! and entropy follow exactly.
//!
//! The residual part of a blend is the mole-weighted sum of its components' own equations at one
//! reduced temperature τ = Tr/T and density δ = ρ/ρr, plus departure functions of some pairs.
//! Sources: Lemmon and Jacobsen, J. Phys. Chem. Ref. Data 33, 593 (2004); Kunz and Wagner, J. Chem.
//! Eng. Data 57, 3032 (2012); the coefficients as CoolProp carries them. A blend's composition never
//! changes here, so nothing but single phases need be solved: its saturation lines are fitted.

/// One term of a residual: n δᵈ τᵗ exp(−g δˡ − τᵐ − η(δ−ε)²) f(τ), where f is exp(−β(τ−γ)²) or,
/// with b, Gao's exp(1/(β(τ−γ)² + b)). The parts in δˡ and τᵐ are absent where l and m are zero.
#[derive(Debug)]
pub(super) struct Term {
    n: f64,
    t: f64,
    d: u8,
    l: u8,
    g: f64,
    m: f64,
    eta: f64,
    epsilon: f64,
    beta: f64,
    gamma: f64,
    b: f64,
}

/// n δᵈ τᵗ.
pub(super) const fn power(n: f64, t: f64, d: u8) -> Term {
    decay(n, t, d, 0, 0.0)
}

/// n δᵈ τᵗ exp(−g δˡ).
pub(super) const fn decay(n: f64, t: f64, d: u8, l: u8, g: f64) -> Term {
    Term {
        n,
        t,
        d,
        l,
        g,
        m: 0.0,
        eta: 0.0,
        epsilon: 0.0,
        beta: 0.0,
        gamma: 0.0,
        b: 0.0,
    }
}

/// n δᵈ τᵗ exp(−δˡ − τᵐ).
pub(super) const fn both(n: f64, t: f64, d: u8, l: u8, m: f64) -> Term {
    Term {
        m,
        ..decay(n, t, d, l, 1.0)
    }
}

/// n δᵈ τᵗ exp(−η(δ−ε)² − β(τ−γ)²).
#[allow(clippy::too_many_arguments)] // the seven letters of the publications
pub(super) const fn gauss(
    n: f64,
    t: f64,
    d: u8,
    eta: f64,
    epsilon: f64,
    beta: f64,
    gamma: f64,
) -> Term {
    Term {
        eta,
        epsilon,
        beta,
        gamma,
        ..power(n, t, d)
    }
}

/// n δᵈ τᵗ exp(−η(δ−ε)² + 1/(β(τ−γ)² + b)). Source: Gao et al., J. Phys. Chem. Ref. Data 52, 013102
/// (2023), ammonia.
#[allow(clippy::too_many_arguments)]
pub(super) const fn gao(
    n: f64,
    t: f64,
    d: u8,
    eta: f64,
    epsilon: f64,
    beta: f64,
    gamma: f64,
    b: f64,
) -> Term {
    Term {
        b,
        ..gauss(n, t, d, eta, epsilon, beta, gamma)
    }
}

/// A term for the critical region: n Δᵇ δ exp(−C(δ−1)² − D(τ−1)²) with Δ = θ² + B((δ−1)²)ᵃ and
/// θ = (1−τ) + A((δ−1)²)^(1/2β). Source: Span and Wagner, J. Phys. Chem. Ref. Data 25, 1509 (1996).
#[derive(Debug)]
pub(super) struct NonAnalytic {
    pub(super) n: f64,
    pub(super) a: f64,
    pub(super) b: f64,
    pub(super) beta: f64,
    /// A of the publication.
    pub(super) theta_delta: f64,
    /// B of the publication.
    pub(super) distance: f64,
    pub(super) c: f64,
    pub(super) d: f64,
}

/// The equation of one molecule, or of a blend that has one of its own.
#[derive(Debug)]
pub(super) struct Component {
    /// cp/R of the ideal gas: (a, k) stands for a Tᵏ.
    pub(super) powers: &'static [(f64, f64)],
    /// cp/R of the ideal gas: (n, θ) stands for n x² eˣ/(eˣ−1)², x = θ/T, θ in K.
    pub(super) einstein: &'static [(f64, f64)],
    pub(super) critical: &'static [NonAnalytic],
    pub(super) terms: &'static [Term],
}

/// The equation of one refrigerant.
#[derive(Debug)]
pub(super) struct Equation {
    /// Components and their mole fractions.
    pub(super) parts: &'static [(&'static Component, f64)],
    /// Departure functions and their weights.
    pub(super) departures: &'static [(&'static [Term], f64)],
    /// K.
    pub(super) reducing_temperature: f64,
    /// mol/m³.
    pub(super) reducing_density: f64,
    /// kg/mol.
    pub(super) molar_mass: f64,
    /// J/(mol K), as the equations were fitted with.
    pub(super) gas_constant: f64,
    /// J/kg: makes saturated liquid at 0 °C 200 kJ/kg (the IIR's convention).
    pub(super) enthalpy_offset: f64,
    /// J/(kg K): makes it 1 kJ/(kg K) there.
    pub(super) entropy_offset: f64,
}

/// Which side of the two-phase dome a density is looked for on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// From thin gas upwards.
    Vapour,
    /// From compressed liquid downwards.
    Liquid,
}

/// A term at one temperature: its coefficient with everything in τ multiplied in.
struct Warm {
    coefficient: f64,
    /// τ ∂ln/∂τ.
    by_tau: f64,
    d: u8,
    l: u8,
    g: f64,
    eta: f64,
    epsilon: f64,
}

/// An equation at one temperature. What depends on temperature alone is worked out once: a density
/// takes half a dozen evaluations.
pub(super) struct Isotherm<'a> {
    equation: &'a Equation,
    /// K.
    temperature: f64,
    tau: f64,
    terms: Vec<Warm>,
}

/// The residual Helmholtz energy over RT, and its derivatives made dimensionless.
#[derive(Debug, Clone, Copy, Default)]
struct Residual {
    value: f64,
    /// δ ∂/∂δ.
    by_delta: f64,
    /// δ² ∂²/∂δ².
    by_delta_twice: f64,
    /// τ ∂/∂τ.
    by_tau: f64,
}

/// Powers of δ in use run to 15.
const POWERS: usize = 16;
/// A density is found in about six steps; the bound only says that the search ends.
const MAX_STEPS: u32 = 60;
/// Relative step below which a density is found.
const LAST_STEP: f64 = 1e-9;

impl<'a> Isotherm<'a> {
    /// At a temperature in K.
    pub(super) fn new(equation: &'a Equation, temperature: f64) -> Self {
        let tau = equation.reducing_temperature / temperature;
        let log_tau = tau.ln();
        let of_parts = equation.parts.iter().map(|&(part, x)| (part.terms, x));
        let functions = of_parts.chain(equation.departures.iter().copied());
        let mut terms = Vec::with_capacity(functions.clone().map(|(t, _)| t.len()).sum());
        for (function, weight) in functions {
            terms.extend(function.iter().map(|term| term.at(tau, log_tau, weight)));
        }
        Self {
            equation,
            temperature,
            tau,
            terms,
        }
    }

    fn residual(&self, delta: f64) -> Residual {
        let mut powers = [1.0; POWERS];
        for i in 1..POWERS {
            powers[i] = powers[i - 1] * delta;
        }
        // exp(−δˡ) is shared by most terms; l runs to 6.
        let mut decays = [f64::NAN; 8];
        let mut sum = Residual::default();
        for term in &self.terms {
            let mut value = term.coefficient * powers[usize::from(term.d)];
            let mut by_delta = f64::from(term.d);
            let mut curvature = 0.0; // δ ∂(by_delta)/∂δ
            if term.l > 0 {
                let l = usize::from(term.l);
                let decay = term.g * powers[l];
                if term.g == 1.0 {
                    if decays[l].is_nan() {
                        decays[l] = (-decay).exp();
                    }
                    value *= decays[l];
                } else {
                    value *= (-decay).exp();
                }
                let l = f64::from(term.l);
                by_delta -= l * decay;
                curvature -= l * l * decay;
            }
            if term.eta != 0.0 {
                let off = delta - term.epsilon;
                value *= (-term.eta * off * off).exp();
                by_delta -= 2.0 * term.eta * delta * off;
                curvature -= 2.0 * term.eta * delta * (2.0 * delta - term.epsilon);
            }
            sum.add(value, by_delta, curvature, term.by_tau);
        }
        for &(part, weight) in self.equation.parts {
            for term in part.critical {
                term.add_to(&mut sum, weight, self.tau, delta);
            }
        }
        sum
    }

    /// Pressure in Pa at a density in mol/m³, and its slope.
    fn pressure_and_slope(&self, density: f64) -> (f64, f64) {
        let residual = self.residual(density / self.equation.reducing_density);
        let rt = self.equation.gas_constant * self.temperature;
        (
            density * rt * (1.0 + residual.by_delta),
            rt * (1.0 + 2.0 * residual.by_delta + residual.by_delta_twice),
        )
    }

    /// The density in mol/m³ at a pressure in Pa; `None` where that side has none.
    ///
    /// On the vapour side pressure bends down as density rises, on the liquid side up; so Newton's
    /// steps from thin gas, or from liquid denser than any, run into the root from one side without
    /// crossing it. The bracket is for the fluid above the critical point, which bends both ways.
    pub(super) fn density(&self, pressure: f64, side: Side) -> Option<f64> {
        let reducing = self.equation.reducing_density;
        let (mut low, mut high) = (0.0, 4.0 * reducing);
        let mut density = match side {
            Side::Vapour => {
                (pressure / (self.equation.gas_constant * self.temperature)).min(reducing)
            }
            Side::Liquid => self.dense() * reducing,
        };
        for _ in 0..MAX_STEPS {
            let (at, slope) = self.pressure_and_slope(density);
            if at < pressure {
                low = density;
            } else {
                high = density;
            }
            let newton = density + (pressure - at) / slope;
            if slope > 0.0 && (newton - density).abs() <= LAST_STEP * density {
                return Some(newton);
            }
            density = if slope > 0.0 && newton > low && newton < high {
                newton
            } else {
                0.5 * (low + high)
            };
        }
        None
    }

    /// A reduced density above that of the saturated liquid, by an eighth or so.
    fn dense(&self) -> f64 {
        let below = (1.0 - 1.0 / self.tau).max(0.0);
        (1.12 * (1.0 + 1.75 * below.cbrt() + 0.75 * below)).max(2.2)
    }

    /// Enthalpy in J/kg and entropy in J/(kg K) at a density in mol/m³.
    pub(super) fn enthalpy_and_entropy(&self, density: f64) -> (f64, f64) {
        let equation = self.equation;
        let temperature = self.temperature;
        let residual = self.residual(density / equation.reducing_density);
        let mut enthalpy = temperature * (residual.by_tau + residual.by_delta);
        let mut entropy = residual.by_tau - residual.value - (density * temperature).ln();
        for &(part, weight) in equation.parts {
            let (h, s) = part.ideal(temperature);
            enthalpy += weight * h;
            entropy += weight * s;
        }
        let scale = equation.gas_constant / equation.molar_mass;
        (
            scale * enthalpy + equation.enthalpy_offset,
            scale * entropy + equation.entropy_offset,
        )
    }
}

impl Residual {
    /// Adds a term of this value and logarithmic derivatives.
    fn add(&mut self, value: f64, by_delta: f64, curvature: f64, by_tau: f64) {
        self.value += value;
        self.by_delta += value * by_delta;
        self.by_delta_twice += value * (by_delta * (by_delta - 1.0) + curvature);
        self.by_tau += value * by_tau;
    }
}

impl Term {
    fn at(&self, tau: f64, log_tau: f64, weight: f64) -> Warm {
        let mut exponent = self.t * log_tau;
        let mut by_tau = self.t;
        if self.m != 0.0 {
            let part = (self.m * log_tau).exp();
            exponent -= part;
            by_tau -= self.m * part;
        }
        let off = tau - self.gamma;
        if self.b != 0.0 {
            let base = self.beta * off * off + self.b;
            exponent += 1.0 / base;
            by_tau -= 2.0 * self.beta * tau * off / (base * base);
        } else if self.beta != 0.0 {
            exponent -= self.beta * off * off;
            by_tau -= 2.0 * self.beta * tau * off;
        }
        Warm {
            coefficient: weight * self.n * exponent.exp(),
            by_tau,
            d: self.d,
            l: self.l,
            g: self.g,
            eta: self.eta,
            epsilon: self.epsilon,
        }
    }
}

impl NonAnalytic {
    fn add_to(&self, sum: &mut Residual, weight: f64, tau: f64, delta: f64) {
        let off = delta - 1.0;
        let square = off * off;
        // The term vanishes at the critical density, where its derivatives divide by zero.
        if square < 1e-24 {
            return;
        }
        let power = 1.0 / (2.0 * self.beta);
        let theta = (1.0 - tau) + self.theta_delta * square.powf(power);
        let slope = self.theta_delta / self.beta * square.powf(power - 1.0);
        let (theta_delta, theta_twice) = (slope * off, slope * (1.0 / self.beta - 1.0));
        let distance = theta * theta + self.distance * square.powf(self.a);
        let rise = 2.0 * self.a * self.distance * square.powf(self.a - 1.0);
        let distance_delta = 2.0 * theta * theta_delta + rise * off;
        let distance_twice = 2.0 * theta_delta * theta_delta
            + 2.0 * theta * theta_twice
            + rise * (2.0 * self.a - 1.0);
        let value = weight
            * self.n
            * distance.powf(self.b)
            * delta
            * (-self.c * square - self.d * (tau - 1.0) * (tau - 1.0)).exp();
        let ratio = distance_delta / distance;
        let by_delta = delta * (self.b * ratio - 2.0 * self.c * off) + 1.0;
        let curvature = delta * (self.b * ratio - 2.0 * self.c * off)
            + delta * delta * (self.b * (distance_twice / distance - ratio * ratio) - 2.0 * self.c);
        let by_tau = tau * (-2.0 * self.b * theta / distance - 2.0 * self.d * (tau - 1.0));
        sum.add(value, by_delta, curvature, by_tau);
    }
}

impl Component {
    /// h/R in K and s/R of the ideal gas, each up to a constant; s without −ln(ρT).
    fn ideal(&self, temperature: f64) -> (f64, f64) {
        let (mut enthalpy, mut entropy) = (0.0, 0.0);
        for &(a, k) in self.powers {
            if k == 0.0 {
                enthalpy += a * temperature;
                entropy += a * temperature.ln();
            } else if k == -1.0 {
                enthalpy += a * temperature.ln();
                entropy -= a / temperature;
            } else {
                let power = a * temperature.powf(k);
                enthalpy += power * temperature / (k + 1.0);
                entropy += power / k;
            }
        }
        for &(n, theta) in self.einstein {
            let x = theta / temperature;
            let bose = x / x.exp_m1();
            enthalpy += n * temperature * bose;
            entropy += n * (bose - (-(-x).exp_m1()).ln());
        }
        (enthalpy, entropy)
    }
}
