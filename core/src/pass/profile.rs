//! Road speed over a pass.

use crate::data::gearing::{EXPONENT, SIXTY_FT_M};
use crate::solve::root;

/// Lowest exponent after a slow start: at trap speed almost at once.
const FLATTEST: f64 = 0.02;

/// Why figures are no pass.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ProfileError {
    /// Elapsed time and trap speed do not go together over this distance.
    #[error("found a trap speed of {found} m/s, need {low} to {high} m/s for this time")]
    Trap {
        /// The trap speed found, m/s.
        found: f64,
        /// Lowest that a car can have, m/s.
        low: f64,
        /// Highest, m/s.
        high: f64,
    },
    /// The 60-ft time does not go with the rest.
    #[error("found {found} s to 60 ft, need more than 0 and at most {high} s for this pass")]
    SixtyFoot {
        /// The time found, s.
        found: f64,
        /// Longest that fits, s.
        high: f64,
    },
}

/// Road speed over time: `v = V (t/T)^p`, held under a steady pull away from the line.
///
/// Trap speed is in truth an average over the last 66 ft; it is taken as the speed at the stripe.
/// A 60-ft time `t` gives the pull away from the line, `2 x 18.288 m/t^2`, and a flatter rise
/// makes up for it, so that distance, elapsed time and trap speed stay as they are. Where the
/// pull ends before 60 ft the profile is there a little later than `t`, by 0.02 s at usual
/// passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Profile {
    elapsed_s: f64,
    trap_mps: f64,
    exponent: f64,
    /// Pull away from the line, m/s2; infinite without a 60-ft time.
    pull: f64,
}

impl Profile {
    /// The profile of a pass over `distance_m` in `elapsed_s`, `trap_mps` at the stripe, with
    /// its 60-ft time if that is known.
    ///
    /// # Errors
    /// [`ProfileError`] where the figures do not go together.
    pub fn new(
        distance_m: f64,
        elapsed_s: f64,
        trap_mps: f64,
        sixty_ft_s: Option<f64>,
    ) -> Result<Self, ProfileError> {
        let exponent = trap_mps * elapsed_s / distance_m - 1.0;
        let trap_at = |exponent: f64| (1.0 + exponent) * distance_m / elapsed_s;
        if !(EXPONENT.0..=EXPONENT.1).contains(&exponent) {
            return Err(ProfileError::Trap {
                found: trap_mps,
                low: trap_at(EXPONENT.0),
                high: trap_at(EXPONENT.1),
            });
        }
        let free = Self {
            elapsed_s,
            trap_mps,
            exponent,
            pull: f64::INFINITY,
        };
        let Some(sixty_ft_s) = sixty_ft_s else {
            return Ok(free);
        };
        let held = |sixty_ft_s: f64, exponent: f64| Self {
            exponent,
            pull: 2.0 * SIXTY_FT_M / (sixty_ft_s * sixty_ft_s),
            ..free
        };
        // A slower start is made up for by a flatter rise after it.
        let fits = |sixty_ft_s: f64| {
            root(
                |exponent| held(sixty_ft_s, exponent).distance_m(elapsed_s) - distance_m,
                FLATTEST,
                exponent,
                1e-14,
            )
        };
        let fitted = (sixty_ft_s > 0.0 && sixty_ft_s.is_finite())
            .then(|| fits(sixty_ft_s))
            .flatten();
        fitted
            .map(|exponent| held(sixty_ft_s, exponent))
            .ok_or_else(|| {
                let over = |time: f64| held(time, FLATTEST).distance_m(elapsed_s) - distance_m;
                ProfileError::SixtyFoot {
                    found: sixty_ft_s,
                    high: root(over, 1e-3 * elapsed_s, elapsed_s, 1e-3).unwrap_or(elapsed_s),
                }
            })
    }

    /// Elapsed time, s.
    pub fn elapsed_s(&self) -> f64 {
        self.elapsed_s
    }

    /// Speed at the stripe, m/s.
    pub fn trap_mps(&self) -> f64 {
        self.trap_mps
    }

    /// Speed at a time (s), m/s.
    pub fn speed_mps(&self, at_s: f64) -> f64 {
        let at_s = at_s.clamp(0.0, self.elapsed_s);
        let free = self.trap_mps * (at_s / self.elapsed_s).powf(self.exponent);
        free.min(self.pull * at_s)
    }

    /// When the pull away from the line ends, s; zero without a 60-ft time.
    pub(super) fn pulled_until_s(&self) -> f64 {
        if self.pull.is_infinite() {
            return 0.0;
        }
        // pull t = V (t/T)^p
        let scale = self.trap_mps / (self.pull * self.elapsed_s.powf(self.exponent));
        scale
            .powf((1.0 - self.exponent).recip())
            .min(self.elapsed_s)
    }

    /// Distance at a time (s), m.
    pub fn distance_m(&self, at_s: f64) -> f64 {
        let at_s = at_s.clamp(0.0, self.elapsed_s);
        let free_s = self.pulled_until_s();
        if at_s <= 0.0 {
            return 0.0;
        }
        if at_s <= free_s {
            return 0.5 * self.pull * at_s * at_s;
        }
        let pulled = if free_s > 0.0 {
            0.5 * self.pull * free_s * free_s
        } else {
            0.0
        };
        let area = |time: f64| {
            let power = self.exponent + 1.0;
            self.trap_mps * self.elapsed_s * (time / self.elapsed_s).powf(power) / power
        };
        pulled + area(at_s) - area(free_s)
    }

    /// The time at which a speed (m/s) is reached, s; the stripe where it is not.
    pub fn reaches_s(&self, speed_mps: f64) -> f64 {
        let free = self.elapsed_s * (speed_mps / self.trap_mps).powf(self.exponent.recip());
        free.max(speed_mps / self.pull).min(self.elapsed_s)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Verification: distance, time and trap speed are met, with and without a 60-ft time.
        #[test]
        fn the_figures_come_back(elapsed_s in 5.0..16.0f64, exponent in 0.36..0.74f64, held in 0.8..1.15f64) {
            let distance_m = 402.336;
            let trap_mps = (1.0 + exponent) * distance_m / elapsed_s;
            let free = Profile::new(distance_m, elapsed_s, trap_mps, None).unwrap();
            prop_assert!((free.distance_m(elapsed_s) - distance_m).abs() < 1e-9);
            prop_assert!((free.speed_mps(elapsed_s) - trap_mps).abs() < 1e-9);
            let sixty_ft_s = held * free_sixty_s(&free);
            if let Ok(pulled) = Profile::new(distance_m, elapsed_s, trap_mps, Some(sixty_ft_s)) {
                prop_assert!((pulled.distance_m(elapsed_s) - distance_m).abs() < 1e-9);
                prop_assert!((pulled.speed_mps(elapsed_s) - trap_mps).abs() < 1e-9);
            }
        }

        #[test]
        fn a_speed_is_reached_when_it_is(at in 0.05..1.0f64) {
            let pass = Profile::new(201.168, 6.6, 46.04, Some(1.48)).unwrap();
            let time = 6.6 * at;
            prop_assert!((pass.reaches_s(pass.speed_mps(time)) - time).abs() < 1e-9);
        }
    }

    fn free_sixty_s(profile: &Profile) -> f64 {
        root(
            |time| profile.distance_m(time) - SIXTY_FT_M,
            0.0,
            profile.elapsed_s,
            1e-9,
        )
        .unwrap()
    }

    #[test]
    fn distance_is_the_integral_of_speed() {
        let pass = Profile::new(201.168, 6.6, 46.04, Some(1.48)).unwrap();
        let (mut sum, parts) = (0.0, 200_000);
        let width = 6.6 / f64::from(parts);
        for part in 0..parts {
            sum += width * pass.speed_mps((f64::from(part) + 0.5) * width);
        }
        assert!((sum - 201.168).abs() < 1e-6, "{sum}");
    }

    #[test]
    fn figures_that_do_not_go_together_are_told() {
        assert!(matches!(
            Profile::new(402.336, 10.0, 90.0, None),
            Err(ProfileError::Trap { high, .. }) if high < 90.0
        ));
        assert!(matches!(
            Profile::new(201.168, 6.6, 46.04, Some(6.0)),
            Err(ProfileError::SixtyFoot { high, .. }) if high < 6.0
        ));
    }
}
