//! A company's colour, and the shade of it that can be read on a dark screen.

use std::fmt;

/// Least contrast of text against its ground: WCAG 2.2, success criterion 1.4.3.
const LEAST_CONTRAST: f64 = 4.5;
/// The dark ground of reports.
const DARK: Colour = Colour([0x12, 0x18, 0x1d]);
const WHITE: Colour = Colour([0xff, 0xff, 0xff]);

/// Red, green and blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour([u8; 3]);

impl Colour {
    /// Reads `#17495a`, for text and rules on white paper.
    ///
    /// # Errors
    /// A sentence when it is no colour, or too light to be read on white.
    pub fn accent(text: &str) -> Result<Self, String> {
        let colour = Self::parse(text).ok_or_else(|| {
            format!("`accent` is `{text}`; write a colour as six hexadecimal digits, for example \"#17495a\"")
        })?;
        let contrast = colour.contrast(WHITE);
        match contrast >= LEAST_CONTRAST {
            true => Ok(colour),
            false => Err(format!(
                "`accent` is `{text}`, too light to be read on white: its contrast is {contrast:.1} and {LEAST_CONTRAST} is needed (WCAG 2.2, 1.4.3); {} would do",
                colour.toward(Colour([0, 0, 0]), WHITE)
            )),
        }
    }

    /// The same, light enough for a dark screen.
    pub fn on_dark(self) -> Self {
        self.toward(WHITE, DARK)
    }

    /// Mixed with as little of another as makes it readable on a ground.
    fn toward(self, other: Self, ground: Self) -> Self {
        let mixed = |share: u32| {
            let mix =
                |a: u8, b: u8| ((u32::from(a) * (100 - share) + u32::from(b) * share) / 100) as u8;
            let [r, g, b] = self.0;
            let [x, y, z] = other.0;
            Self([mix(r, x), mix(g, y), mix(b, z)])
        };
        (0..=100)
            .map(mixed)
            .find(|colour| colour.contrast(ground) >= LEAST_CONTRAST)
            .unwrap_or(other)
    }

    fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix('#')?;
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let number = u32::from_str_radix(digits, 16).ok()?;
        let [_, r, g, b] = number.to_be_bytes();
        Some(Self([r, g, b]))
    }

    /// Relative luminance, 0 to 1: WCAG 2.2, definition.
    fn luminance(self) -> f64 {
        let linear = |channel: u8| {
            let share = f64::from(channel) / 255.0;
            match share <= 0.04045 {
                true => share / 12.92,
                false => ((share + 0.055) / 1.055).powf(2.4),
            }
        };
        let [r, g, b] = self.0.map(linear);
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    /// Contrast ratio, 1 to 21: WCAG 2.2, definition.
    fn contrast(self, other: Self) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [r, g, b] = self.0;
        write!(f, "#{r:02x}{g:02x}{b:02x}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_is_that_of_the_standard() {
        // Black on white is 21, and #767676 is the lightest grey that passes 4.5.
        assert!((Colour([0, 0, 0]).contrast(WHITE) - 21.0).abs() < 1e-9);
        assert!(Colour::accent("#767676").is_ok());
        assert!(Colour::accent("#777777").is_err());
        assert!(Colour::accent("teal").is_err());
        let said = Colour::accent("#00ccff").unwrap_err();
        assert!(said.contains("too light"), "{said}");
        assert!(Colour::parse("#17495a").unwrap().on_dark().contrast(DARK) >= LEAST_CONTRAST);
    }
}
