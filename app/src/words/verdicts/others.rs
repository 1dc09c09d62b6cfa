//! What a verdict says beyond its first reason: the other gates that are open, and what to do.

use crate::words::names;
use laneside_core::car::Car;
use laneside_core::finding::Status;
use laneside_core::gates::{GateId, Judged, Verdict};
use laneside_core::study::Study;

/// The most words that a verdict has besides the large one.
pub const MOST_WORDS: usize = 25;

/// The gates that are open besides the first, by name.
fn open_besides(car: &Car, judged: &Judged, first: GateId) -> Vec<String> {
    let open = |status: Status, id: GateId| status == Status::TooClose && id != first;
    let speeds = judged
        .speeds
        .iter()
        .filter(|gate| open(gate.status, gate.id));
    let phases = judged.phases.iter().filter(|balance| {
        let id = GateId::Phase(balance.phase);
        balance
            .running
            .as_ref()
            .is_some_and(|running| open(running.status, id))
    });
    let limit = |id: GateId| {
        say!(match id {
            GateId::PulleyRating => "the pulley's own limit",
            GateId::Short => "the limit past the limiter",
            _ => "the limit at the limiter",
        })
    };
    speeds
        .map(|gate| limit(gate.id).to_owned())
        .chain(phases.map(|balance| names::phase(car, balance.phase)))
        .collect()
}

/// The line with the other gates that are open too, as many by name as it has room for.
pub fn with_others(car: &Car, judged: &Judged, first: GateId, line: String, room: usize) -> String {
    let others = open_besides(car, judged, first);
    (1..=others.len())
        .rev()
        .map(|named| {
            let rest = match others.len() - named {
                0 => String::new(),
                more => say!(" and {more} more"),
            };
            say!("{line} Also: {}{rest}.", others[..named].join(", "))
        })
        .find(|line| line.split_whitespace().count() <= room)
        .unwrap_or(line)
}

/// What is to be done where the pulley to try holds.
pub fn instruction(car: &Car, study: &Study) -> Option<String> {
    let tried = study.tried.as_ref()?;
    if tried.judged.verdict != Verdict::Holds {
        return None;
    }
    Some(if study.on_car.verdict == Verdict::Holds {
        tell!(" The one on the car holds too.")
    } else {
        // "3 1/2 in on" would stumble; millimeters keep their unit.
        let size = names::size(car, &tried.pulley);
        say!(
            " Put the {} on.",
            size.replace("\u{a0}in", "").trim_end_matches(" in")
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use laneside_core::car::demo;

    fn open(car: &Car) -> Option<(Judged, GateId)> {
        let judged = Study::new(car).ok()?.on_car;
        match judged.verdict {
            Verdict::TooClose { gate, .. } => Some((judged, gate)),
            _ => None,
        }
    }

    #[test]
    fn every_open_gate_is_named_or_counted() {
        use laneside_core::drive::Pulley;
        use laneside_core::quantity::mm;
        let mut seen = 0;
        for size in 50..130 {
            let mut car = demo::nettle();
            car.drive.fitted = car.drive.fitted.map(|pulley| Pulley {
                size: mm(f64::from(size)),
                ..pulley
            });
            let Some((judged, gate)) = open(&car) else {
                continue;
            };
            let others = open_besides(&car, &judged, gate);
            let said = with_others(&car, &judged, gate, String::new(), 25);
            assert_eq!(said.contains("Also: "), !others.is_empty(), "{said}");
            let one = with_others(&car, &judged, gate, String::new(), 6);
            assert!(one.split_whitespace().count() <= 6, "{one}");
            if let Some(first) = others.first() {
                assert!(said.contains(first.as_str()), "{said}");
                seen += 1;
            }
        }
        assert!(seen > 0, "no size leaves two gates open");
    }

    #[test]
    fn a_line_without_room_stays_as_it_is() {
        let mut car = demo::nettle();
        car.drive.fitted = None;
        assert!(open(&car).is_none());
        let study = Study::new(&demo::nettle()).unwrap();
        let line = "as it is".to_owned();
        let said = with_others(&car, &study.on_car, GateId::Continuous, line.clone(), 0);
        assert_eq!(said, line);
    }

    #[test]
    fn the_instruction_is_only_given_where_it_helps() {
        let car = demo::nettle();
        let study = Study::new(&car).unwrap();
        let said = instruction(&car, &study).unwrap();
        assert!(
            said.starts_with(" Put the ") && said.ends_with(" on."),
            "{said}"
        );
        assert!(!said.contains("in on"), "{said}");
        let tansy = demo::tansy();
        let study = Study::new(&tansy).unwrap();
        let holds = |judged: &Judged| judged.verdict == Verdict::Holds;
        let both = study
            .tried
            .as_ref()
            .is_some_and(|tried| holds(&tried.judged));
        assert_eq!(instruction(&tansy, &study).is_some(), both);
    }
}
