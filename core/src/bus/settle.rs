//! Finding the voltage.
//!
//! The machine's limit depends on the voltage at its stud, so that is what is looked for:
//! at a stud voltage `x` the machine gives `I = I_m(x)`, the node is at `x - I R`, and what
//! is left over, `I - loads - battery`, has to be zero. No equation within an equation.

use serde::Serialize;

use super::{Alternator, Bus, Loads, Regime, Sense};
use crate::solve::root;

/// A node below this has collapsed whatever the equations say, V: no field, no pump, no spark.
const FLOOR_V: f64 = 2.0;
/// Stands for what is left over where the node has collapsed.
const DEAD_A: f64 = f64::NEG_INFINITY;
/// Widest step down from the set-point, as a part of it: 0.1 V on a 12 V system.
const SCAN_PART: f64 = 1.0 / 140.0;
/// First step from the state before, as a part of its voltage: 0.3 mV on a 12 V system.
const NEAR_PART: f64 = 2e-5;
/// How much wider each step is than the one before.
const WIDENING: f64 = 4.0;
/// How far the node may move in one step, in widest steps of the stud: behind a large resistance it moves much further
/// than the stud, and what is left over may come and go meanwhile.
const NODE_STEPS: f64 = 2.0;
/// How fine the range is looked at in which the regulator may or may not hold.
const REGULATED_STEPS: u32 = 64;
/// How close a voltage is found, V: near what the numbers hold at 12 V, since behind a small
/// resistance a picovolt already moves a nanoampere.
const VOLTS: f64 = 1e-14;
/// A node this close to the set-point has reached it, V.
const REACHED_V: f64 = 1e-9;

/// What is left over at a stud voltage, and where the node is then.
#[derive(Clone, Copy)]
struct Left {
    amps: f64,
    node_v: f64,
}

impl Left {
    const fn is_dead(self) -> bool {
        self.amps == DEAD_A
    }
}

/// Where everything agrees. `alternator_a = load_a + battery_a`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Settled {
    /// At the battery's posts, V.
    pub node_v: f64,
    /// At the alternator's stud, V.
    pub alternator_v: f64,
    /// Out of the alternator, A; never negative.
    pub alternator_a: f64,
    /// Into the battery, A; negative when it gives.
    pub battery_a: f64,
    /// Into the loads, and the field of an alternator that has not turned on, A.
    pub load_a: f64,
    /// What holds the voltage.
    pub regime: Regime,
    /// The battery rests over the set-point and so keeps the alternator from charging:
    /// surface charge, a lithium battery, or 16 V on a 12 V set-point.
    pub held_off: bool,
}

impl Settled {
    /// No voltage at all.
    pub const COLLAPSED: Self = Self {
        node_v: 0.0,
        alternator_v: 0.0,
        alternator_a: 0.0,
        battery_a: 0.0,
        load_a: 0.0,
        regime: Regime::Collapsed,
        held_off: false,
    };

    /// What the charge path turns to heat, W.
    pub fn path_loss_w(&self) -> f64 {
        (self.alternator_v - self.node_v) * self.alternator_a
    }
}

impl Bus<'_> {
    /// Where everything agrees, starting from the state before, if there is one.
    ///
    /// The regulated state is tested first; from a machine-limited one before, it is reached
    /// only if no other stable voltage lies on the way. A collapsed state before counts as none. Numbers that are not finite, and a set-point
    /// that is not positive, count as an alternator that is off.
    pub fn settle(&self, before: Option<&Settled>) -> Settled {
        let settled = match self.alternator {
            Alternator::Off => self.battery_only(&self.loads, before, Regime::BatteryOnly),
            Alternator::Unexcited { field_a } => {
                let mut loads = self.loads;
                loads.add(field_a, 1.0, crate::loads::LoadKind::Pump);
                self.battery_only(&loads, before, Regime::Unexcited)
            }
            Alternator::Excited {
                limit_a,
                set_point_v,
                sense,
            } => {
                let usable = set_point_v.is_finite()
                    && set_point_v > FLOOR_V
                    && self.charge_path_ohm.is_finite()
                    && self.charge_path_ohm >= 0.0;
                if usable {
                    self.excited(limit_a, set_point_v, sense, before)
                } else {
                    self.battery_only(&self.loads, before, Regime::BatteryOnly)
                }
            }
        };
        let sum = settled.node_v + settled.alternator_v + settled.alternator_a + settled.load_a;
        if (sum + settled.battery_a).is_finite() {
            settled
        } else {
            Settled::COLLAPSED
        }
    }

    /// What loads and battery take together at the node, A.
    fn demand_a(&self, loads: &Loads, node_v: f64) -> f64 {
        loads.current_a(node_v) + self.battery_a(node_v)
    }

    fn battery_a(&self, node_v: f64) -> f64 {
        self.battery
            .as_ref()
            .map_or(0.0, |battery| battery.current_a(node_v))
    }

    fn battery_only(&self, loads: &Loads, before: Option<&Settled>, regime: Regime) -> Settled {
        let Some(battery) = &self.battery else {
            return Settled::COLLAPSED;
        };
        let top = battery.open_v();
        let node_v = if loads.current_a(top) == 0.0 && top > FLOOR_V {
            Some(top)
        } else if loads.steepest_fall_s(FLOOR_V) <= battery.giving_s() {
            // Nothing falls faster than the battery rises: one voltage at most.
            root(|v| -self.demand_a(loads, v), FLOOR_V, top, VOLTS)
        } else {
            let mut left_over = |node_v: f64| Left {
                amps: -self.demand_a(loads, node_v),
                node_v,
            };
            stable(&mut left_over, top, before)
        };
        node_v.map_or(Settled::COLLAPSED, |node_v| Settled {
            node_v,
            alternator_v: node_v,
            alternator_a: 0.0,
            battery_a: battery.current_a(node_v),
            load_a: loads.current_a(node_v),
            regime,
            held_off: false,
        })
    }

    fn excited(
        &self,
        limit_a: &dyn Fn(f64) -> f64,
        set_point_v: f64,
        sense: Sense,
        before: Option<&Settled>,
    ) -> Settled {
        let loads = &self.loads;
        let path_ohm = self.charge_path_ohm;
        let limit_a = |stud_v: f64| {
            let amps = limit_a(stud_v);
            if amps.is_finite() { amps.max(0.0) } else { 0.0 }
        };
        let at_set_point = self.demand_a(loads, set_point_v);
        if at_set_point < 0.0 {
            return Settled {
                held_off: true,
                ..self.battery_only(loads, before, Regime::BatteryOnly)
            };
        }
        let (regulated_v, top_v) = match sense {
            Sense::Battery => {
                let stud_v = set_point_v + path_ohm * at_set_point;
                let holds = at_set_point <= limit_a(stud_v);
                (holds.then_some(set_point_v), stud_v)
            }
            Sense::Alternator => {
                let most_a = limit_a(set_point_v);
                (self.regulated_v(most_a, set_point_v, before), set_point_v)
            }
        };
        let mut left_over = |stud_v: f64| {
            let amps = limit_a(stud_v);
            let node_v = stud_v - path_ohm * amps;
            let amps = if node_v > set_point_v {
                // The regulator would not let it: full field is no answer here.
                -1.0
            } else if node_v < FLOOR_V {
                DEAD_A
            } else {
                amps - self.demand_a(loads, node_v)
            };
            Left { amps, node_v }
        };
        // From a lower voltage it gets back to the set-point only if nothing holds it on the way.
        let held_v = before
            .filter(|before| before.regime == Regime::MachineLimited)
            .filter(|before| before.alternator_v > FLOOR_V && before.alternator_v < top_v)
            .filter(|_| regulated_v.is_some())
            .and_then(|before| runs_to(&mut left_over, before.alternator_v, top_v))
            .filter(|stud_v| {
                let node_v = stud_v - path_ohm * limit_a(*stud_v);
                *stud_v < top_v && node_v < set_point_v - REACHED_V
            });
        if let Some(node_v) = regulated_v.filter(|_| held_v.is_none()) {
            let (load_a, battery_a) = (loads.current_a(node_v), self.battery_a(node_v));
            let alternator_a = load_a + battery_a;
            return Settled {
                node_v,
                alternator_v: match sense {
                    Sense::Alternator => set_point_v,
                    Sense::Battery => node_v + path_ohm * alternator_a,
                },
                alternator_a,
                battery_a,
                load_a,
                regime: Regime::Regulated,
                held_off: false,
            };
        }
        // Above the set-point there is no answer: from where the node is at it, the less current the higher the stud.
        let over_v = |stud_v: f64| stud_v - path_ohm * limit_a(stud_v) - set_point_v;
        let highest_v = match sense {
            Sense::Battery if over_v(top_v) > 0.0 => root(over_v, set_point_v, top_v, VOLTS),
            _ => None,
        };
        let highest_v = highest_v.unwrap_or(top_v);
        let Some(alternator_v) = held_v.or_else(|| stable(&mut left_over, highest_v, before))
        else {
            return Settled::COLLAPSED;
        };
        let alternator_a = limit_a(alternator_v);
        let node_v = alternator_v - path_ohm * alternator_a;
        Settled {
            node_v,
            alternator_v,
            alternator_a,
            battery_a: self.battery_a(node_v),
            load_a: loads.current_a(node_v),
            regime: if alternator_a > 0.0 {
                Regime::MachineLimited
            } else {
                Regime::BatteryOnly
            },
            held_off: false,
        }
    }

    /// The highest node voltage at which a regulator that senses at the stud holds its
    /// set-point with at most `most_a`, V.
    fn regulated_v(&self, most_a: f64, set_point_v: f64, before: Option<&Settled>) -> Option<f64> {
        let loads = &self.loads;
        let path_ohm = self.charge_path_ohm;
        let over = |node_v| self.over_set_point_v(set_point_v, node_v);
        let most_drop_v = path_ohm * most_a;
        let low_v = (set_point_v - most_drop_v).max(FLOOR_V);
        if low_v == set_point_v {
            return (self.demand_a(loads, set_point_v) <= most_a).then_some(set_point_v);
        }
        if path_ohm * loads.steepest_fall_s(low_v) <= 1.0 {
            // What the node needs at the stud rises with its own voltage: one voltage at most.
            let low_a = ((set_point_v - low_v) / path_ohm).min(most_a);
            return (self.demand_a(loads, low_v) <= low_a)
                .then(|| self.newton(set_point_v, low_v, before))
                .flatten();
        }
        let step = (set_point_v - low_v) / f64::from(REGULATED_STEPS);
        let mut above = set_point_v;
        for place in 1..=REGULATED_STEPS {
            let here = set_point_v - step * f64::from(place);
            if over(here) <= 0.0 {
                return root(over, here, above, VOLTS);
            }
            above = here;
        }
        None
    }

    /// What the stud needs over the set-point for the node to be at a voltage, V.
    fn over_set_point_v(&self, set_point_v: f64, node_v: f64) -> f64 {
        node_v + self.charge_path_ohm * self.demand_a(&self.loads, node_v) - set_point_v
    }

    /// The node voltage at which the stud is at its set-point, between `low_v` and the
    /// set-point, where what the stud needs rises: Newton's steps from the state before,
    /// and the bracketed search where those leave the range or do not end.
    fn newton(&self, set_point_v: f64, low_v: f64, before: Option<&Settled>) -> Option<f64> {
        const STEPS: u32 = 8;
        let slope = |node_v: f64| {
            let battery_s = self.battery.as_ref().map_or(0.0, |b| b.slope_s(node_v));
            1.0 + self.charge_path_ohm * (self.loads.slope_s(node_v) + battery_s)
        };
        let mut node_v = before
            .map_or(set_point_v, |before| before.node_v)
            .clamp(low_v, set_point_v);
        for _ in 0..STEPS {
            let step = self.over_set_point_v(set_point_v, node_v) / slope(node_v);
            node_v -= step;
            if !(low_v..=set_point_v).contains(&node_v) {
                break;
            }
            if step.abs() <= 4.0 * VOLTS {
                return Some(node_v);
            }
        }
        let over = |node_v| self.over_set_point_v(set_point_v, node_v);
        root(over, low_v, set_point_v, VOLTS)
    }
}

/// The stable zero of what is left over, between the floor and `top`, where it is not
/// positive: from the state before the one it runs to, or else the highest.
fn stable(
    left_over: &mut dyn FnMut(f64) -> Left,
    top: f64,
    before: Option<&Settled>,
) -> Option<f64> {
    if !(top.is_finite() && top > FLOOR_V) {
        return None;
    }
    let from = before
        .filter(|before| before.regime != Regime::Collapsed)
        .map(|before| before.alternator_v.min(top))
        .filter(|start| *start > FLOOR_V);
    if let Some(start) = from {
        let found = runs_to(left_over, start, top);
        if found.is_some() || start == top {
            return found;
        }
    }
    // Narrow at first, so that a hump right below the top is seen from its upper side.
    let at_top = left_over(top);
    down(left_over, (top, at_top), Pace::new(NEAR_PART * top, top))
}

/// The zero that the stud runs to from `start`: up while something is left over, else down.
fn runs_to(left_over: &mut dyn FnMut(f64) -> Left, start: f64, top: f64) -> Option<f64> {
    let at_start = left_over(start);
    let pace = Pace::new(NEAR_PART * start, top);
    if at_start.amps > 0.0 {
        up(left_over, (start, at_start), top, pace)
    } else {
        down(left_over, (start, at_start), pace)
    }
}

/// How wide the steps are.
struct Pace {
    step: f64,
    narrowest: f64,
    widest: f64,
}

impl Pace {
    fn new(step: f64, top: f64) -> Self {
        Self {
            step,
            narrowest: NEAR_PART * top,
            widest: SCAN_PART * top,
        }
    }

    /// Whether the node moved no further in this step than it may; else the step is made narrower.
    fn takes(&mut self, from: Left, to: Left) -> bool {
        let moved = (to.node_v - from.node_v).abs();
        let most = NODE_STEPS * self.widest;
        // Where the machine's limit itself jumps no step is narrow enough.
        if moved > most && self.step > self.narrowest {
            self.step = (0.9 * self.step * most / moved).max(self.narrowest);
            return false;
        }
        // Not further than the node lets it, if it goes on as it did.
        let by_node = 0.9 * self.step * most / moved.max(f64::MIN_POSITIVE);
        self.step = (WIDENING * self.step)
            .min(self.widest)
            .min(by_node.max(self.narrowest));
        true
    }
}

/// The first zero above `start`, where something is left over.
fn up(
    left_over: &mut dyn FnMut(f64) -> Left,
    start: (f64, Left),
    top: f64,
    mut pace: Pace,
) -> Option<f64> {
    let mut below = start;
    while below.0 < top {
        let here_v = (below.0 + pace.step).min(top);
        let here = (here_v, left_over(here_v));
        if !pace.takes(below.1, here.1) {
            continue;
        }
        if here.1.is_dead() {
            return None;
        }
        if here.1.amps <= 0.0 {
            return root(|v| left_over(v).amps, below.0, here.0, VOLTS);
        }
        below = here;
    }
    None
}

/// The first zero at or below `start`, where nothing is left over. A hump that just reaches
/// zero between two steps is looked at closely.
fn down(left_over: &mut dyn FnMut(f64) -> Left, start: (f64, Left), mut pace: Pace) -> Option<f64> {
    if start.1.amps >= 0.0 {
        return Some(start.0);
    }
    if start.1.is_dead() {
        return None;
    }
    let (mut before_last, mut last) = (start, start);
    while last.0 > FLOOR_V {
        let here_v = (last.0 - pace.step).max(FLOOR_V);
        let here = (here_v, left_over(here_v));
        if !pace.takes(last.1, here.1) {
            continue;
        }
        if here.1.is_dead() {
            return None;
        }
        if here.1.amps >= 0.0 {
            return root(|v| left_over(v).amps, here.0, last.0, VOLTS);
        }
        if last.1.amps > before_last.1.amps
            && last.1.amps >= here.1.amps
            && let Some(top) = hump(&mut |v| left_over(v).amps, here.0, before_last.0)
        {
            return root(|v| left_over(v).amps, top, before_last.0, VOLTS);
        }
        (before_last, last) = (last, here);
    }
    None
}

/// A place between `low` and `high` where a hump is not negative.
fn hump(left_over: &mut dyn FnMut(f64) -> f64, mut low: f64, mut high: f64) -> Option<f64> {
    /// One less the golden section.
    const SECTION: f64 = 0.381_966_011_250_105;
    let mut one = low + SECTION * (high - low);
    let mut two = high - SECTION * (high - low);
    let (mut at_one, mut at_two) = (left_over(one), left_over(two));
    let narrow = 1e-9 * high;
    while high - low > narrow {
        if at_one >= 0.0 {
            return Some(one);
        }
        if at_two >= 0.0 {
            return Some(two);
        }
        if at_one > at_two {
            high = two;
            (two, at_two) = (one, at_one);
            one = low + SECTION * (high - low);
            at_one = left_over(one);
        } else {
            low = one;
            (one, at_one) = (two, at_two);
            two = high - SECTION * (high - low);
            at_two = left_over(two);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_narrow_hump_is_found_wherever_it_is() {
        for top in [0.7, 5.0, 7.3, 9.99] {
            let mut left_over = |volts: f64| 1e-6 - (volts - top).powi(2);
            let found = hump(&mut left_over, 0.0, 10.0);
            assert!(
                found.is_some_and(|volts| (volts - top).abs() <= 1e-3),
                "{top}: {found:?}"
            );
        }
        assert_eq!(
            hump(&mut |volts| -1e-6 - (volts - 7.3).powi(2), 0.0, 10.0),
            None
        );
    }
}
