//! The words of battery and wiring.

use laneside_core::battery::ChargeFit;
use laneside_core::finding::Status;
use laneside_core::quantity::show;
use laneside_core::study::WiringStudy;
use laneside_core::wiring::{Fuse, WireSize};

pub fn battery() -> &'static str {
    say!("Battery")
}
pub fn battery_line() -> &'static str {
    say!("Resistance, cells, charge limit")
}
pub const CHEMISTRY: (&str, [&str; 5]) = note!((
    "Battery type",
    [
        "Not said: as an AGM",
        "Flooded: caps or maintenance-free",
        "AGM",
        "Gel",
        "Lithium iron phosphate",
    ],
));
pub const CHEMISTRY_NOTE: &str = note!("It is printed on the case.");
pub const CELLS: (&str, [&str; 4]) = note!((
    "Cells",
    [
        "As the system's voltage",
        "6: 12 V",
        "8: 16 V",
        "4 lithium: 12 V",
    ],
));
pub const STANDARD: (&str, [&str; 7]) = note!((
    "Cold-crank rating by",
    [
        "Not said",
        "CCA, SAE",
        "EN",
        "DIN",
        "IEC",
        "CA or MCA",
        "5 s pulse",
    ],
));
pub const STANDARD_NOTE: &str = note!("The same battery has another figure by each.");
pub const AGE: (&str, [&str; 4]) = note!((
    "How old",
    [
        "Not known",
        "First season",
        "Two or three seasons",
        "Older, or run flat",
    ],
));
pub fn wiring_label() -> &'static str {
    say!("Charge wiring")
}
pub fn wiring_note() -> &'static str {
    say!("From the alternator to the battery and back. More output asks more of it.")
}
pub fn lead_size() -> &'static str {
    say!("Charge lead")
}
pub fn ground_size() -> &'static str {
    say!("Ground side")
}
pub fn size_unknown() -> &'static str {
    say!("Not known")
}
pub fn by_drop() -> &'static str {
    say!("Know it by its drop instead")
}
pub fn drop_note() -> &'static str {
    say!(
        "Engine running, many loads on: a meter from end to end, and the amperes by a clamp. This goes before size and length."
    )
}
pub const SENSE: (&str, [&str; 2]) =
    note!(("Regulator reads at", ["Alternator", "Battery, own wire"]));
pub const READ_AT: (&str, [&str; 4]) = note!((
    "You read voltage at",
    [
        "Alternator stud",
        "Battery posts",
        "Engine computer",
        "Dash or logger",
    ],
));
pub const READ_NOTE: &str = note!("What you see there is what Pass shows.");
pub fn calibrate() -> &'static str {
    say!("Hold it against a meter once")
}
pub fn calibrate_note() -> &'static str {
    say!("Both at the same moment, the meter right at that place.")
}
pub fn more() -> &'static str {
    say!("Temperature, fuse, regulator")
}

/// A wire size as it is called.
pub fn size(size: WireSize) -> String {
    match size {
        WireSize::Mm2(area) => {
            let digits = if area.fract() == 0.0 { 0 } else { 1 };
            format!("{}\u{a0}mm²", show::fixed(area, digits))
        }
        WireSize::Awg(gauge) if gauge <= 0 => say!("{}/0 AWG", 1 - gauge),
        WireSize::Awg(gauge) => say!("{gauge} AWG"),
    }
}

/// What the wiring costs, line by line.
pub fn wiring(study: &WiringStudy) -> Vec<String> {
    let at = study.pass_a;
    let drop = |amps: f64| {
        say!(
            "{}\u{a0}V and {}\u{a0}W lost at {}\u{a0}A",
            show::fixed(study.drop_v(amps), 2),
            show::fixed(study.waste_w(amps), 0),
            show::fixed(amps, 0)
        )
    };
    let mut lines = vec![say!(
        "{} in the pass; {} at the most.",
        drop(at),
        drop(study.most_a)
    )];
    let halves = [
        (say!("the lead's"), study.halving.0),
        (say!("the ground's"), study.halving.1),
    ];
    for (whose, halving) in halves {
        lines.extend(halving.map(|to| say!("{} would halve {whose} part.", size(to))));
    }
    if let Some(cable) = &study.cable {
        let (low, high) = cable.carries_a;
        let range = say!(
            "The cable carries {} to {}\u{a0}A under the hood",
            show::fixed(low, 0),
            show::fixed(high, 0)
        );
        let most = show::fixed(study.most_a, 0);
        lines.push(match cable.cable {
            Status::Holds => say!("{range}: enough for {most}\u{a0}A."),
            Status::TooClose => say!("{range}: {most}\u{a0}A is too close to call."),
            Status::Fails => say!("{range}: too thin for {most}\u{a0}A."),
        });
        if cable.cable != Status::Holds {
            lines.extend(
                cable
                    .size_that_carries
                    .map(|to| say!("{} carries it for certain.", size(to))),
            );
        }
        let (small, large) = cable.usual_fuse_a;
        let usual = say!(
            "usual: {} to {}\u{a0}A",
            show::fixed(small, 0),
            show::fixed(large, 0)
        );
        lines.push(match cable.fuse {
            Fuse::Unknown => say!("Charge fuse not entered; {usual}."),
            Fuse::Blows => say!("The fuse is under the alternator's output: it blows. {usual}."),
            Fuse::Tight => say!("The fuse is tight; {usual}."),
            Fuse::Suits => tell!("The fuse suits the output and the cable."),
            Fuse::OverCable => {
                tell!("The fuse is over what the cable carries: the cable burns first.")
            }
        });
    }
    lines
}

/// What the set-point does to the battery; empty where it suits.
pub fn charge_fit(fit: ChargeFit) -> String {
    match fit {
        ChargeFit::CannotCharge => tell!(
            "This set-point cannot charge this battery at all: it rests higher. A 16\u{a0}V battery needs a 16\u{a0}V set-point."
        ),
        ChargeFit::OnlyTo { soc } => say!(
            "This set-point charges the battery to {}\u{a0}% and no further.",
            show::fixed(100.0 * soc, 0)
        ),
        ChargeFit::UnderBand => {
            tell!("The set-point is under what fills this battery: it stays short of full.")
        }
        ChargeFit::Suits => String::new(),
        ChargeFit::OverBand => {
            tell!("The set-point is over what this battery likes: it gasses and ages.")
        }
        ChargeFit::ManagementMayOpen => tell!(
            "Over the lithium ceiling: the battery's own management may cut it off while the alternator charges. The surge can destroy electronics. Lower the set-point."
        ),
    }
}
