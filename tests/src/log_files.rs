//! Logs as a logger would export them, for the tests of the app. All are invented.

use std::fmt::Write;

/// What is in a log.
#[derive(Clone, Copy, Debug)]
pub struct Recipe {
    /// Rows a second.
    pub hertz: u32,
    /// Passes, one each 80 s.
    pub passes: u32,
    /// Voltage at idle, V.
    pub idle_v: f64,
    /// How far it falls from 5,500 to 7,200 rpm, V.
    pub fall_v: f64,
    /// A dip of two hundredths of a second to this, 50 s into each pass's time.
    pub dip_v: Option<f64>,
}

impl Recipe {
    /// A pass on which the voltage falls with engine speed, and comes back at each shift.
    pub const FALLS: Self = Self {
        hertz: 100,
        passes: 1,
        idle_v: 13.9,
        fall_v: 1.9,
        dip_v: Some(9.4),
    };
    /// A pass on which it does not.
    pub const CURED: Self = Self {
        fall_v: 0.0,
        dip_v: None,
        ..Self::FALLS
    };

    /// Engine rpm and voltage at a moment of a pass's 80 s: idle, a burnout, the pass with two shifts, the way back,
    /// the engine off.
    fn at(&self, second: f64) -> (f64, f64) {
        let rpm = match second {
            s if s < 25.0 => 950.0,
            s if s < 31.0 => (950.0 + (s - 25.0) * 1_700.0).min(4_500.0),
            s if s < 35.0 => 950.0,
            s if s < 36.0 => 950.0 + (s - 35.0) * 3_000.0,
            s if s < 42.6 => {
                let gear = (s - 36.0) / 2.2;
                let from = [3_950.0, 5_000.0, 5_800.0][(gear as usize).min(2)];
                from + (7_200.0 - from) * gear.fract()
            }
            s if s < 70.0 => (7_100.0 - (s - 42.6) * 1_200.0).max(950.0),
            _ => return (0.0, 12.7),
        };
        let dip = self.dip_v.filter(|_| (second - 50.0).abs() < 0.011);
        let fall = (rpm - 5_500.0).max(0.0) / 1_700.0 * self.fall_v;
        (rpm, dip.unwrap_or(self.idle_v - fall))
    }

    /// The log as comma-separated text with a header of names and units.
    #[must_use]
    pub fn text(&self) -> String {
        self.with_header("Time (s),Engine Speed (rpm),Battery Voltage (V)")
    }

    /// The same under another header of three names.
    #[must_use]
    pub fn with_header(&self, header: &str) -> String {
        let mut text = format!("{header}\n");
        // A noise that is the same every time.
        let mut state = 1_u64;
        let mut noise = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            f64::from((state >> 40) as u32) / f64::from(1 << 24) - 0.5
        };
        for row in 0..80 * self.passes * self.hertz {
            let time = f64::from(row) / f64::from(self.hertz);
            let (rpm, volts) = self.at(time % 80.0);
            let rpm = if rpm > 0.0 { rpm + 40.0 * noise() } else { rpm };
            let volts = volts + 0.06 * noise();
            // Writing into a text does not fail.
            let _ = writeln!(text, "{time:.3},{rpm:.0},{volts:.2}");
        }
        text
    }
}
