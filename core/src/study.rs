//! Everything at once, for a car and the pulleys tried on it.

mod curves;
mod findings;
mod voltage;
mod wiring;

pub use curves::{Curves, curves, output_line};
pub use findings::{drag_at_shift, findings, race_findings};
pub use voltage::{PhaseVoltage, phase_voltage};
pub use wiring::WiringStudy;

use crate::car::Car;
use crate::choose::{self, Side, Window};
use crate::drive::Pulley;
use crate::finding::{Provenance, Status};
use crate::gates::{Candidate, Judged, SpeedGate, Verdict, judge, judge_speeds};
use crate::quantity::{InRotationalSpeed, amps, rpm};
use crate::resolve::{Blank, Input, InputId, Pulleys, Resolved, Unresolved};
use crate::sort::sort_short;
use crate::tolerance::{Spread95, Tolerances};
use std::sync::Arc;

/// A share from which an assumed value matters to an open verdict.
const SHARE_THAT_MATTERS: f64 = 0.1;

/// The pulley to try, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// The pulley.
    pub pulley: Pulley,
    /// Whether it was filled in, not chosen by the person.
    pub suggested: bool,
    /// Its judgment.
    pub judged: Judged,
}

/// An assumed value and whether it matters to the verdicts.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// The value with its range.
    pub input: Input,
    /// Its largest share in the spread of any margin, 0 to 1.
    pub share: f64,
    /// Whether a verdict is open that rests on it.
    pub matters: bool,
}

/// A car studied with the pulleys on it and those to try.
#[derive(Debug)]
pub struct Study {
    /// The inputs with their ranges, ready for more questions.
    pub tolerances: Arc<Tolerances>,
    /// The pulleys on the car.
    pub on_car: Judged,
    /// The window of alternator pulleys, on the crank pulley to try if there is one.
    pub window: Window,
    /// The pulleys to try.
    pub tried: Option<Tried>,
}

impl Study {
    /// Studies a car.
    ///
    /// # Errors
    /// [`Unresolved`] says which entries are missing.
    pub fn new(car: &Car) -> Result<Self, Unresolved> {
        let tolerances = Arc::new(Tolerances::new(Resolved::new(car)?));
        let on_car = judge(&tolerances, &on_car_candidate(&tolerances));
        let crank = choose::crank_to_judge(car);
        let window = choose::window(&tolerances, Side::Alternator, crank);
        let tried = tried(car, &tolerances, &window);
        Ok(Self {
            tolerances,
            on_car,
            window,
            tried,
        })
    }

    /// Studies a car with another alternator pulley to try, or another belt drive, than the car that
    /// this study is of; all else is taken from it, which spares most of the work. `None` if more is
    /// different.
    ///
    /// ```
    /// use laneside_core::car::demo;
    /// use laneside_core::drive::Pulley;
    /// use laneside_core::quantity::inch;
    /// use laneside_core::study::Study;
    ///
    /// let before = demo::nettle();
    /// let study = Study::new(&before).unwrap();
    /// let mut car = before.clone();
    /// car.drive.tried = Some(Pulley::called(inch(3.5)));
    /// let again = study.with_other_tried(&before, &car).unwrap();
    /// assert_eq!(again.tried, Study::new(&car).unwrap().tried);
    /// car.engine.idle = None;
    /// assert!(study.with_other_tried(&before, &car).is_none());
    /// ```
    pub fn with_other_tried(&self, before: &Car, car: &Car) -> Option<Self> {
        let mut same = car.clone();
        same.drive.tried = before.drive.tried;
        // No gate depends on the belt drive.
        before.belt_drive.clone_into(&mut same.belt_drive);
        // Neither job card nor history enters an answer.
        same.swap.clone_from(&before.swap);
        same.history.clone_from(&before.history);
        (same == *before).then(|| Self {
            tolerances: Arc::clone(&self.tolerances),
            on_car: self.on_car.clone(),
            window: self.window,
            tried: tried(car, &self.tolerances, &self.window),
        })
    }

    /// Whether the pulley to try does not hold where the one on the car does.
    ///
    /// ```
    /// use laneside_core::car::demo;
    /// use laneside_core::study::Study;
    ///
    /// let mut car = demo::nettle();
    /// let study = Study::new(&car).unwrap();
    /// // The one on the car is overspun.
    /// assert!(!study.is_worse());
    /// let good = study.tried.unwrap().pulley;
    /// car.drive.fitted = Some(good);
    /// // Both hold: they are the same.
    /// car.drive.tried = Some(good);
    /// assert!(!Study::new(&car).unwrap().is_worse());
    /// car.drive.tried = demo::nettle().drive.fitted;
    /// assert!(Study::new(&car).unwrap().is_worse());
    /// ```
    pub fn is_worse(&self) -> bool {
        let tried = self.tried.as_ref();
        let holds = |judged: &Judged| judged.verdict == Verdict::Holds;
        holds(&self.on_car) && tried.is_some_and(|tried| !holds(&tried.judged))
    }

    /// Whether no alternator pulley can pass every gate.
    pub fn no_size_does_both(&self) -> bool {
        self.window.possible().is_none()
    }

    /// The assumed values, those that matter most first.
    pub fn assumed(&self) -> Vec<Assumed> {
        let judged = [
            Some(&self.on_car),
            self.tried.as_ref().map(|tried| &tried.judged),
        ];
        let mut assumed: Vec<Assumed> = self
            .tolerances
            .resolved()
            .inputs
            .iter()
            .filter(|input| input.provenance == Provenance::Assumed)
            .map(|input| {
                let mut found = Assumed {
                    input: input.clone(),
                    share: 0.0,
                    matters: false,
                };
                for judged in judged.into_iter().flatten() {
                    weigh(&mut found, judged);
                }
                found
            })
            .collect();
        sort_short(&mut assumed, |a, b| {
            b.matters.cmp(&a.matters).then(b.share.total_cmp(&a.share))
        });
        assumed
    }

    /// Whether the assumed speed limit decides a verdict.
    pub fn assumed_limit_matters(&self) -> bool {
        let judged = [
            Some(&self.on_car),
            self.tried.as_ref().map(|tried| &tried.judged),
        ];
        judged
            .into_iter()
            .flatten()
            .filter(|judged| is_open(judged))
            .flat_map(|judged| &judged.speeds)
            .any(SpeedGate::limit_decides)
    }
}

/// The pulley to try, or the one suggested, judged.
fn tried(car: &Car, tolerances: &Tolerances, window: &Window) -> Option<Tried> {
    let chosen = car.drive.tried;
    let pulley = chosen.or_else(|| choose::suggest(car, window))?;
    Some(Tried {
        pulley,
        suggested: chosen.is_none(),
        judged: judge(tolerances, &choose::candidate(car, &pulley)),
    })
}

/// Whether a verdict is too close to call: only then can a better value turn it.
fn is_open(judged: &Judged) -> bool {
    matches!(judged.verdict, Verdict::TooClose { .. })
}

fn weigh(assumed: &mut Assumed, judged: &Judged) {
    let mut look = |margin: &Spread95, status: Status| {
        let share = margin
            .shares
            .iter()
            .find(|share| share.input == assumed.input.id);
        let fraction = share.map_or(0.0, |share| share.fraction);
        assumed.share = assumed.share.max(fraction);
        assumed.matters |= status == Status::TooClose && fraction >= SHARE_THAT_MATTERS;
    };
    if !is_open(judged) {
        return;
    }
    for gate in &judged.speeds {
        look(&gate.margin_rpm, gate.status);
    }
    for running in judged
        .phases
        .iter()
        .filter_map(|phase| phase.running.as_ref())
    {
        look(&running.net_a, running.status);
    }
}

fn on_car_candidate(tolerances: &Tolerances) -> Candidate {
    Candidate {
        pulleys: Pulleys::ON_CAR,
        own: None,
        rated_rpm: tolerances.resolved().fitted_rated_rpm,
    }
}

/// Speeds of the pulleys on the car alone: needs pulleys and limiter, neither idle nor
/// output.
///
/// # Errors
/// The entries that are missing for it.
pub fn speeds_on_car(car: &Car) -> Result<Vec<SpeedGate>, Vec<Blank>> {
    let mut stand_in = car.clone();
    // Neither enters a speed gate; both are needed to fill the other blanks.
    stand_in.engine.idle = Some(rpm(
        car.engine.limiter.map_or(0.0, |speed| speed.rpm()) / 8.0
    ));
    stand_in.alternator = crate::car::Alternator {
        rating_by: crate::car::RatingBy::OneNumber,
        rated: Some(amps(100.0)),
        ..car.alternator.clone()
    };
    match Resolved::new(&stand_in) {
        Ok(resolved) => {
            let tolerances = Tolerances::new(resolved);
            Ok(judge_speeds(&tolerances, &on_car_candidate(&tolerances)))
        }
        Err(Unresolved::Blanks(blanks)) => Err(blanks),
        Err(Unresolved::Curve(_)) => Err(vec![Blank::Rating]),
    }
}

/// What a different crank pulley does to everything else that it turns: speed there over
/// speed now, with its spread; `None` without a crank pulley to try.
pub fn accessory_speed_ratio(tolerances: &Tolerances) -> Option<Spread95> {
    let params = &tolerances.nominal().params;
    let tried = tolerances
        .resolved()
        .inputs
        .iter()
        .any(|input| input.id == InputId::TriedCrank);
    (tried && params.crank_mm() > 0.0).then(|| {
        tolerances.of(None, |state| {
            state.params.tried_crank_mm / state.params.crank_mm()
        })
    })
}
