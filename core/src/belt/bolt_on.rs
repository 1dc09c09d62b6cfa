//! Does the pulley bolt on? Questions for the seller, with this car's answers filled in.
//!
//! A question is settled when both the car's side and the pulley's are known; the pulley fits
//! when all that are settled agree and none is open. While one is open, do not buy yet.

use serde::{Deserialize, Serialize};

use super::layout::Section;
use crate::alternator::Fan;
use crate::drive::Hub;

/// Offset between pulleys from which a straightedge shows and belts wear, mm for each 100 mm of
/// span (from memory).
const MISALIGNED_PER_100_MM: f64 = 0.6;
/// Bore over shaft, mm: a sliding fit.
const BORE_FIT_MM: (f64, f64) = (0.0, 0.1);
/// Room that a nose or a fan needs, mm.
const ROOM_MM: f64 = 2.0;

/// Which way a fan's blades are made to turn, as seen from the pulley.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FanTurns {
    /// Clockwise only.
    Clockwise,
    /// Counter-clockwise only.
    CounterClockwise,
    /// Straight blades: either way.
    Either,
}

/// One side's measures: the car's (shaft, alternator, belt), or the pulley's.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Measures {
    /// Profile and ribs.
    pub section: Option<Section>,
    /// Shaft or bore diameter, mm.
    pub bore_mm: Option<f64>,
    /// Thread of the shaft's nut, as written ("M16x1.5"); on the pulley's side the thread of
    /// the nut that comes with it or that its recess takes.
    pub nut: Option<String>,
    /// From the face that the pulley rests against to the middle of the belt, mm.
    pub offset_mm: Option<f64>,
    /// Free space: before the pulley's nose on the car, what the pulley needs on its side, mm.
    pub nose_mm: Option<f64>,
    /// Largest diameter that the case or the fan leaves room for; the pulley's outside, mm.
    pub outside_mm: Option<f64>,
    /// Which way the alternator turns, or the fan is made for.
    pub fan: Option<FanTurns>,
    /// One-way or solid.
    pub hub: Option<Hub>,
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Rib profile and number.
    Profile,
    /// Bore on shaft.
    Bore,
    /// Shaft nut.
    Nut,
    /// Offset, checked by straightedge.
    Offset,
    /// Room before the nose.
    Nose,
    /// Room around, to case and fan.
    Around,
    /// Direction of the fan.
    Fan,
    /// One-way or solid.
    Hub,
}

/// How an answer stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answered {
    /// Both sides agree.
    Fits,
    /// They do not.
    DoesNotFit,
    /// The car's side is not known: measure it.
    MeasureCar,
    /// The pulley's side is not known: ask the seller.
    AskSeller,
    /// Neither is known.
    Both,
    /// Does not matter on this car.
    NoMatter,
}

impl Answered {
    /// Whether it is still open.
    pub fn is_open(self) -> bool {
        matches!(self, Self::MeasureCar | Self::AskSeller | Self::Both)
    }
}

/// One question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Question {
    /// What is asked.
    pub topic: Topic,
    /// How it stands.
    pub answered: Answered,
}

/// What all questions together say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BuyVerdict {
    /// Something does not fit.
    DoNotBuy,
    /// Something is open.
    DoNotBuyYet,
    /// All agree.
    BoltsOn,
}

/// All questions, and what they say together.
#[derive(Clone, Debug, PartialEq)]
pub struct BoltOn {
    /// The questions.
    pub questions: Vec<Question>,
    /// The verdict.
    pub verdict: BuyVerdict,
}

/// Offset between pulleys that a span of this length (mm) stands, mm.
pub fn misaligned_mm(span_mm: f64) -> f64 {
    MISALIGNED_PER_100_MM * span_mm / 100.0
}

/// Questions for a pulley on a car. `span_mm` is the shorter span beside the alternator,
/// `fan` how the alternator is built.
pub fn bolt_on(car: &Measures, pulley: &Measures, span_mm: f64, fan: Option<Fan>) -> BoltOn {
    let length = |of: fn(&Measures) -> Option<f64>, fits: &dyn Fn(f64, f64) -> bool| {
        compare(of(car), of(pulley), &|car, pulley| fits(*car, *pulley))
    };
    let misaligned_mm = misaligned_mm(span_mm);
    let fan_answer = match fan {
        // Fans within the case are not the pulley's matter.
        Some(Fan::Inside) => Answered::NoMatter,
        _ => compare(car.fan, pulley.fan, &|car, pulley| {
            car == pulley || [car, pulley].contains(&&FanTurns::Either)
        }),
    };
    let questions = vec![
        (
            Topic::Profile,
            compare(car.section, pulley.section, &section_fits),
        ),
        (
            Topic::Bore,
            length(|side| side.bore_mm, &|shaft, bore| {
                (BORE_FIT_MM.0..=BORE_FIT_MM.1).contains(&((bore - shaft) + 1e-9))
            }),
        ),
        (
            Topic::Nut,
            compare(car.nut.clone(), pulley.nut.clone(), &|car, pulley| {
                same_thread(car, pulley)
            }),
        ),
        (
            Topic::Offset,
            length(|side| side.offset_mm, &|car, pulley| {
                (car - pulley).abs() <= misaligned_mm
            }),
        ),
        (
            Topic::Nose,
            length(|side| side.nose_mm, &|free, needs| free >= needs + ROOM_MM),
        ),
        (
            Topic::Around,
            length(|side| side.outside_mm, &|room, outside| {
                room >= outside + ROOM_MM
            }),
        ),
        (Topic::Fan, fan_answer),
        (
            Topic::Hub,
            // A solid pulley serves anywhere; a one-way one only where one was meant to be.
            match pulley.hub {
                Some(Hub::Solid) => Answered::Fits,
                _ => compare(car.hub, pulley.hub, &|car, pulley| car == pulley),
            },
        ),
    ];
    let questions: Vec<Question> = questions
        .into_iter()
        .map(|(topic, answered)| Question { topic, answered })
        .collect();
    let any = |is: &dyn Fn(Answered) -> bool| questions.iter().any(|one| is(one.answered));
    let verdict = if any(&|answered| answered == Answered::DoesNotFit) {
        BuyVerdict::DoNotBuy
    } else if any(&Answered::is_open) {
        BuyVerdict::DoNotBuyYet
    } else {
        BuyVerdict::BoltsOn
    };
    BoltOn { questions, verdict }
}

fn compare<T>(car: Option<T>, pulley: Option<T>, fits: &dyn Fn(&T, &T) -> bool) -> Answered {
    match (car, pulley) {
        (Some(car), Some(pulley)) if fits(&car, &pulley) => Answered::Fits,
        (Some(_), Some(_)) => Answered::DoesNotFit,
        (None, Some(_)) => Answered::MeasureCar,
        (Some(_), None) => Answered::AskSeller,
        (None, None) => Answered::Both,
    }
}

/// A pulley may have more ribs than the belt, not fewer.
fn section_fits(car: &Section, pulley: &Section) -> bool {
    match (car, pulley) {
        (Section::VRibbed { ribs: belt }, Section::VRibbed { ribs }) => ribs >= belt,
        (Section::V, Section::V) => true,
        _ => false,
    }
}

/// Threads as people write them: in any case, with spaces, x or a cross.
fn same_thread(car: &str, pulley: &str) -> bool {
    let plain = |text: &str| -> String {
        text.chars()
            .filter(|c| !c.is_whitespace())
            .map(|c| match c {
                '\u{d7}' | '*' => 'x',
                ',' => '.',
                other => other.to_ascii_lowercase(),
            })
            .collect()
    };
    plain(car) == plain(pulley)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn car() -> Measures {
        Measures {
            section: Some(Section::VRibbed { ribs: 6 }),
            bore_mm: Some(17.0),
            nut: Some("M16 x 1,5".to_owned()),
            offset_mm: Some(28.0),
            nose_mm: Some(30.0),
            outside_mm: Some(95.0),
            fan: Some(FanTurns::Clockwise),
            hub: Some(Hub::Solid),
        }
    }

    fn pulley() -> Measures {
        Measures {
            section: Some(Section::VRibbed { ribs: 7 }),
            bore_mm: Some(17.05),
            nut: Some("m16\u{d7}1.5".to_owned()),
            offset_mm: Some(28.8),
            nose_mm: Some(20.0),
            outside_mm: Some(78.0),
            fan: Some(FanTurns::Either),
            hub: Some(Hub::Solid),
        }
    }

    fn answer(found: &BoltOn, topic: Topic) -> Answered {
        let question = found.questions.iter().find(|one| one.topic == topic);
        question.unwrap().answered
    }

    #[test]
    fn all_known_and_alike_bolts_on() {
        let found = bolt_on(&car(), &pulley(), 180.0, Some(Fan::Outside));
        assert_eq!(found.verdict, BuyVerdict::BoltsOn, "{found:?}");
    }

    #[test]
    fn nothing_known_is_not_bought_yet() {
        let nothing = Measures::default();
        let found = bolt_on(&nothing, &nothing, 180.0, None);
        assert_eq!(found.verdict, BuyVerdict::DoNotBuyYet);
        assert!(
            found
                .questions
                .iter()
                .all(|one| one.answered == Answered::Both)
        );
        let asked = bolt_on(&car(), &nothing, 180.0, Some(Fan::Inside));
        assert_eq!(answer(&asked, Topic::Bore), Answered::AskSeller);
        assert_eq!(answer(&asked, Topic::Fan), Answered::NoMatter);
        let measured = bolt_on(&nothing, &pulley(), 180.0, None);
        assert_eq!(answer(&measured, Topic::Nose), Answered::MeasureCar);
    }

    type Change = fn(&mut Measures);

    #[test]
    fn each_thing_that_does_not_fit_stops_it() {
        let changes: [(Topic, Change); 8] = [
            (Topic::Profile, |p| {
                p.section = Some(Section::VRibbed { ribs: 5 });
            }),
            (Topic::Bore, |p| p.bore_mm = Some(15.0)),
            (Topic::Nut, |p| p.nut = Some("M14x1.5".to_owned())),
            (Topic::Offset, |p| p.offset_mm = Some(30.0)),
            (Topic::Nose, |p| p.nose_mm = Some(29.0)),
            (Topic::Around, |p| p.outside_mm = Some(94.0)),
            (Topic::Fan, |p| p.fan = Some(FanTurns::CounterClockwise)),
            (Topic::Hub, |p| p.hub = Some(Hub::OneWay)),
        ];
        for (topic, change) in changes {
            let mut other = pulley();
            change(&mut other);
            let found = bolt_on(&car(), &other, 180.0, Some(Fan::Outside));
            assert_eq!(answer(&found, topic), Answered::DoesNotFit, "{topic:?}");
            assert_eq!(found.verdict, BuyVerdict::DoNotBuy);
        }
    }
}
