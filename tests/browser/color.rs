//! Colors as people see them: contrast, and how far apart two are, for every kind of eye.

use anyhow::{Context, Result, ensure};

/// A color in sRGB, each part from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Color([f64; 3]);

/// What linear light in red, green and blue turns into for an eye without one kind of cone.
///
/// Machado, Oliveira, Fernandes: A physiologically-based model for simulation of color vision
/// deficiency, IEEE Transactions on Visualization and Computer Graphics 15 (2009), table of
/// matrices, severity 1.0.
pub const DEFICIENCIES: [(&str, [[f64; 3]; 3]); 3] = [
    (
        "protanopia",
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
    ),
    (
        "deuteranopia",
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
    ),
    (
        "tritanopia",
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    ),
];

impl Color {
    /// Reads `#7A3300` and `rgb(122, 51, 0)`.
    pub fn parse(text: &str) -> Result<Self> {
        let parts: Vec<f64> = if let Some(hex) = text.strip_prefix('#') {
            ensure!(hex.len() == 6, "not a color: {text}");
            (0..3)
                .map(|at| Ok(f64::from(u8::from_str_radix(&hex[2 * at..2 * at + 2], 16)?)))
                .collect::<Result<_>>()?
        } else {
            let inner = text
                .strip_prefix("rgb(")
                .and_then(|text| text.strip_suffix(')'))
                .with_context(|| format!("not an opaque color: {text}"))?;
            inner
                .split(',')
                .map(|part| Ok(part.trim().parse()?))
                .collect::<Result<_>>()?
        };
        let [red, green, blue] = parts[..] else {
            anyhow::bail!("not a color: {text}");
        };
        Ok(Self([red, green, blue].map(|part| part / 255.0)))
    }

    /// Light in red, green and blue (IEC 61966-2-1).
    fn linear(self) -> [f64; 3] {
        self.0.map(|part| {
            if part <= 0.04045 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        })
    }

    fn from_linear(light: [f64; 3]) -> Self {
        Self(light.map(|part| {
            let part = part.clamp(0.0, 1.0);
            if part <= 0.003_130_8 {
                part * 12.92
            } else {
                1.055 * part.powf(1.0 / 2.4) - 0.055
            }
        }))
    }

    /// Relative luminance (WCAG 2.2).
    fn luminance(self) -> f64 {
        let [red, green, blue] = self.linear();
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    /// The contrast ratio of two colors, from 1 to 21 (WCAG 2.2, success criterion 1.4.6).
    pub fn contrast(self, other: Self) -> f64 {
        let (one, two) = (self.luminance(), other.luminance());
        (one.max(two) + 0.05) / (one.min(two) + 0.05)
    }

    /// The color as an eye with the deficiency sees it.
    pub fn seen_with(self, matrix: [[f64; 3]; 3]) -> Self {
        Self::from_linear(times(matrix, self.linear()))
    }

    /// CIELAB under D65 (ISO/CIE 11664-4).
    fn lab(self) -> [f64; 3] {
        const TO_XYZ: [[f64; 3]; 3] = [
            [0.4124, 0.3576, 0.1805],
            [0.2126, 0.7152, 0.0722],
            [0.0193, 0.1192, 0.9505],
        ];
        const WHITE: [f64; 3] = [0.9505, 1.0, 1.089];
        let xyz = times(TO_XYZ, self.linear());
        let f = |at: usize| {
            let part = xyz[at] / WHITE[at];
            if part > (6.0_f64 / 29.0).powi(3) {
                part.cbrt()
            } else {
                part * (29.0_f64 / 6.0).powi(2) / 3.0 + 4.0 / 29.0
            }
        };
        [
            116.0 * f(1) - 16.0,
            500.0 * (f(0) - f(1)),
            200.0 * (f(1) - f(2)),
        ]
    }

    /// How far apart two colors look: the CIE 1976 difference, of which about 2.3 is just seen.
    pub fn difference(self, other: Self) -> f64 {
        let (one, two) = (self.lab(), other.lab());
        (0..3)
            .map(|at| (one[at] - two[at]).powi(2))
            .sum::<f64>()
            .sqrt()
    }
}

fn times(matrix: [[f64; 3]; 3], vector: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| (0..3).map(|at| row[at] * vector[at]).sum())
}

/// Known answers: black on white is 21 to 1, `#767676` on white 4.54 to 1, and sRGB red is L*a*b*
/// (53.24, 80.09, 67.20). All from memory.
#[test]
fn the_measures_of_color_give_known_answers() -> Result<()> {
    let [black, white, gray, red] =
        ["#000000", "#FFFFFF", "#767676", "rgb(255, 0, 0)"].map(Color::parse);
    let (white, red) = (white?, red?);
    assert!((white.contrast(black?) - 21.0).abs() < 1e-9);
    assert!((white.contrast(gray?) - 4.54).abs() < 0.005);
    for (found, known) in red.lab().into_iter().zip([53.24, 80.09, 67.20]) {
        assert!((found - known).abs() < 0.05, "{found} for {known}");
    }
    // White stays white for every eye: the rows of the matrices sum to one.
    for (name, matrix) in DEFICIENCIES {
        assert!(white.seen_with(matrix).difference(white) < 0.1, "{name}");
    }
    Ok(())
}
