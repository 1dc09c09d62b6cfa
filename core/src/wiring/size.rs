//! Wire sizes: resistance over length, cross-section, what they carry.

use serde::{Deserialize, Serialize};

use crate::data::ac_43_13::{GAUGE_BUNDLE_A, GAUGE_OHM_PER_1000_FT};
use crate::data::iec_60228::MM2_OHM_PER_KM;
use crate::data::wiring_memory::{FREE_AIR_A, FREE_AIR_EXPONENT, HOT_BAY};
use crate::data::{awg, copper};

const METERS_PER_1000_FT: f64 = 304.8;

/// The size of a copper conductor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WireSize {
    /// Cross-section, mm2: IEC 60228 class 5.
    Mm2(f64),
    /// American wire gauge; 1/0, 2/0, 3/0, 4/0 are 0, -1, -2, -3: tinned, FAA AC 43.13-1B.
    Awg(i32),
}

impl WireSize {
    /// Gauges in use, thinnest first.
    pub const GAUGES: [i32; 11] = [14, 12, 10, 8, 6, 4, 2, 0, -1, -2, -3];

    /// Whether such a wire is made: 0.5 to 240 mm2, or 20 to 4/0 AWG.
    pub fn exists(self) -> bool {
        match self {
            Self::Mm2(area) => (0.5..=240.0).contains(&area),
            Self::Awg(gauge) => (-3..=20).contains(&gauge),
        }
    }

    /// Cross-section, mm2.
    pub fn area_mm2(self) -> f64 {
        match self {
            Self::Mm2(area) => area,
            Self::Awg(gauge) => awg::area_mm2(f64::from(gauge)),
        }
    }

    /// Resistance over length at 20 degrees Celsius, ohm/m: the published figure of a size
    /// that is in the table; between two sizes the margin over solid copper in a straight
    /// line of size, beyond them held.
    pub fn ohm_per_m(self) -> f64 {
        let solid = copper::RESISTIVITY_OHM_M * 1e6 / self.area_mm2();
        let margin = match self {
            Self::Mm2(area) => between(&MM2_OHM_PER_KM, area, |listed, per_km| {
                per_km / 1e3 * listed / (copper::RESISTIVITY_OHM_M * 1e6)
            }),
            Self::Awg(gauge) => between(
                &GAUGE_OHM_PER_1000_FT,
                f64::from(gauge),
                |listed, per_kft| {
                    per_kft / METERS_PER_1000_FT * awg::area_mm2(listed)
                        / (copper::RESISTIVITY_OHM_M * 1e6)
                },
            ),
        };
        solid * margin
    }

    /// The next size of its own list with at most half the resistance, if there is one.
    pub fn halving(self) -> Option<Self> {
        let wanted = 0.5 * self.ohm_per_m();
        let fits = |size: &Self| size.ohm_per_m() <= wanted * (1.0 + 1e-9);
        match self {
            Self::Mm2(_) => MM2_OHM_PER_KM.iter().map(|row| Self::Mm2(row.0)).find(fits),
            Self::Awg(_) => Self::GAUGES
                .iter()
                .map(|gauge| Self::Awg(*gauge))
                .find(fits),
        }
    }

    /// What it carries for as long as one likes, lowest and highest, A. Lowest: in a bundle
    /// at 70 degrees Celsius (FAA AC 43.13-1B table 11-9), or the lower end of a single wire
    /// in a hot engine bay (from memory) if that is less; highest: a single wire there.
    pub fn carries_a(self) -> (f64, f64) {
        let area = self.area_mm2();
        let free_air = FREE_AIR_A * area.powf(FREE_AIR_EXPONENT);
        // The table by cross-section, so that both kinds of size can ask it.
        let gauge =
            36.0 - 39.0 * ((area / std::f64::consts::FRAC_PI_4).sqrt() / 0.127).ln() / 92f64.ln();
        let bundle = between(&GAUGE_BUNDLE_A, gauge, |listed, amps| {
            amps / awg::area_mm2(listed).powf(FREE_AIR_EXPONENT)
        }) * area.powf(FREE_AIR_EXPONENT);
        (
            bundle.min(free_air * HOT_BAY.lowest),
            free_air * HOT_BAY.highest,
        )
    }
}

/// A figure drawn from the rows of a table, in a straight line between them, held beyond.
fn between(table: &[(f64, f64)], at: f64, figure: impl Fn(f64, f64) -> f64) -> f64 {
    let mut previous: Option<(f64, f64)> = None;
    for &(listed, value) in table {
        let here = (listed, figure(listed, value));
        if at <= listed {
            return previous.map_or(here.1, |low| {
                low.1 + (here.1 - low.1) * (at - low.0) / (here.0 - low.0)
            });
        }
        previous = Some(here);
    }
    previous.map_or(0.0, |last| last.1)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_halving_size_halves_and_the_one_before_does_not() {
        assert_eq!(WireSize::Mm2(16.0).halving(), Some(WireSize::Mm2(35.0)));
        assert_eq!(WireSize::Mm2(25.0).halving(), Some(WireSize::Mm2(50.0)));
        assert_eq!(WireSize::Mm2(70.0).halving(), None);
        assert_eq!(WireSize::Awg(8).halving(), Some(WireSize::Awg(4)));
        assert_eq!(WireSize::Awg(-3).halving(), None);
    }

    /// Verification: what is listed is met, and between two sizes the product of resistance and cross-section is between
    /// theirs.
    #[test]
    fn sizes_between_the_listed_ones_resist_in_between() {
        for pair in MM2_OHM_PER_KM.windows(2) {
            let ((thin, most), (thick, least)) = (pair[0], pair[1]);
            let listed = |size: f64, per_km: f64| {
                let found = WireSize::Mm2(size).ohm_per_m() * 1e3;
                assert!((found / per_km - 1.0).abs() < 1e-12, "{size}: {found}");
                per_km * size
            };
            let (a, b) = (listed(thin, most), listed(thick, least));
            let middle = 0.5 * (thin + thick);
            let between = WireSize::Mm2(middle).ohm_per_m() * 1e3 * middle;
            assert!(
                (between - 0.5 * (a + b)).abs() < 1e-9,
                "{middle}: {between}"
            );
        }
    }

    /// Verification: of a wire of one square millimeter in free air, the hot bay leaves the parts of its range.
    #[test]
    fn a_hot_bay_takes_its_part_of_what_free_air_allows() {
        assert_eq!(
            WireSize::Mm2(1.0).carries_a().1,
            FREE_AIR_A * HOT_BAY.highest
        );
        let (low, high) = WireSize::Mm2(25.0).carries_a();
        assert!(low / high <= HOT_BAY.lowest / HOT_BAY.highest + 1e-12);
    }

    #[test]
    fn a_thicker_wire_resists_less_and_carries_more() {
        let sizes = (2..=400).map(|step| WireSize::Mm2(f64::from(step) * 0.5));
        let gauges = (-3..=20).rev().map(WireSize::Awg);
        for list in [sizes.collect::<Vec<_>>(), gauges.collect()] {
            for pair in list.windows(2) {
                let (thin, thick) = (pair[0], pair[1]);
                assert!(thick.ohm_per_m() < thin.ohm_per_m(), "{thin:?} {thick:?}");
                assert!(
                    thick.carries_a().0 > thin.carries_a().0,
                    "{thin:?} {thick:?}"
                );
                assert!(thick.carries_a().1 > thick.carries_a().0, "{thick:?}");
            }
        }
    }
}
