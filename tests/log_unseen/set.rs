//! The set of logs as `tests/fixtures/make_unseen.py` writes it.

use flate2::read::GzDecoder;
use laneside_core::battery::Chemistry;
use laneside_core::log::diagnose::Cause;
use laneside_core::log::{Known, Recording, Signal, Within};
use laneside_core::wiring::Place;
use serde::Deserialize;
use std::io::Read;

/// One log with its truth.
#[derive(Deserialize)]
pub struct Log {
    pub id: usize,
    causes: Vec<String>,
    alike: Vec<String>,
    pub identifiable: bool,
    pub effect_v: f64,
    pub how: String,
    battery: String,
    cells: u8,
    place: String,
    ratio: f64,
    setpoint_v: f64,
    pub rate: f64,
    pub kind: String,
    pub passes: Vec<(f64, f64)>,
    pub shifts: Vec<f64>,
    pub missed: Vec<f64>,
    channels: Vec<Channel>,
}

#[derive(Deserialize)]
struct Channel {
    role: String,
    rate: f64,
    step: f64,
    count: usize,
    #[serde(skip)]
    samples: Vec<(f64, f32)>,
}

impl Channel {
    /// Bytes are the low halves of the differences, then the high halves.
    fn read(&mut self, bytes: &[u8]) {
        let (low, high) = bytes.split_at(self.count);
        let mut sum = 0_i64;
        for (place, (&low, &high)) in low.iter().zip(high).enumerate() {
            let difference = i16::from_le_bytes([low, high]);
            if difference == i16::MIN {
                continue;
            }
            sum += i64::from(difference);
            let at = place as f64 / self.rate;
            self.samples.push((at, (sum as f64 * self.step) as f32));
        }
    }

    fn signal(&self, factor: f32) -> Signal {
        let times = self.samples.iter().map(|sample| sample.0).collect();
        let values = self
            .samples
            .iter()
            .map(|sample| sample.1 * factor)
            .collect();
        Signal::new(times, values).unwrap()
    }
}

/// The core's word for a cause of the generator: it has one for both wires.
fn cause(word: &str) -> Cause {
    match word {
        "healthy" => Cause::Healthy,
        "belt_slip" => Cause::BeltSlip,
        "brush_float" => Cause::BrushFloat,
        "heat_fade" => Cause::HeatFade,
        "rpm_load" => Cause::RpmLoad,
        "regulator" => Cause::Regulator,
        "commanded" => Cause::Commanded,
        "no_excitation" | "lost_sense" => Cause::LostWire,
        "bad_ground" => Cause::ReadingPlace,
        "battery_alone" => Cause::BatteryAlone,
        "idle_short" => Cause::ShortAtIdle,
        "load_steps" => Cause::LoadSteps,
        "overcharging" => Cause::Overcharge,
        other => panic!("{other} is no cause"),
    }
}

impl Log {
    /// What is wrong with this car.
    pub fn truth(&self) -> Vec<Cause> {
        self.causes.iter().map(|word| cause(word)).collect()
    }

    /// The generator's own words for it.
    pub fn name(&self) -> String {
        self.causes.join("+")
    }

    /// Whether a reader of this log is right to name it: it is so, or nothing in the log tells it from what is so.
    pub fn may_be(&self, named: Cause) -> bool {
        let is = |word: &String| cause(word) == named;
        self.causes.iter().any(is)
            || self.alike.iter().any(is)
            || (!self.identifiable && named == Cause::Healthy)
    }

    fn channel(&self, role: &str, factor: f32) -> Option<Signal> {
        let mut each = self.channels.iter();
        each.find(|channel| channel.role == role)
            .map(|channel| channel.signal(factor))
    }

    pub fn recording(&self) -> Recording {
        Recording {
            rpm: self.channel("rpm", 1.0).unwrap(),
            volts: self.channel("volts", 1.0).unwrap(),
            alternator_amps: self.channel("alternator_amps", 1.0),
            battery_amps: self.channel("battery_amps", 1.0),
            throttle: self.channel("throttle", 0.01),
            speed: self.channel("speed", 1.0 / 3.6),
            alternator_rpm: self.channel("alternator_rpm", 1.0),
            celsius: self.channel("celsius", 1.0),
        }
    }

    /// What the racer has entered: a third of them nothing, a third the battery alone, a third all of it.
    pub fn known(&self) -> Known {
        let mut known = Known::nothing();
        if self.id.is_multiple_of(3) {
            return known;
        }
        known.chemistry = Some(match self.battery.as_str() {
            "lithium" => Chemistry::LithiumIronPhosphate,
            "agm" => Chemistry::Agm,
            _ => Chemistry::Flooded,
        });
        known.scale = if self.cells == 8 { 8.0 / 6.0 } else { 1.0 };
        if self.id % 3 == 2 {
            known.ratio = Some(Within {
                value: self.ratio,
                half_width: 0.05,
            });
            known.set_point_v = Some(self.setpoint_v);
            known.place = Some(match self.place.as_str() {
                "stud" => Place::Stud,
                "battery" => Place::Battery,
                "computer" => Place::EngineComputer,
                _ => Place::Dash,
            });
        }
        known
    }
}

/// Reads a set.
pub fn read(packed: &[u8]) -> Vec<Log> {
    let mut bytes = Vec::new();
    GzDecoder::new(packed).read_to_end(&mut bytes).unwrap();
    let (length, rest) = bytes.split_first_chunk::<4>().unwrap();
    let (head, mut body) = rest.split_at(u32::from_le_bytes(*length) as usize);
    let mut logs: Vec<Log> = serde_json::from_slice(head).unwrap();
    for channel in logs.iter_mut().flat_map(|log| &mut log.channels) {
        let (own, after) = body.split_at(2 * channel.count);
        channel.read(own);
        body = after;
    }
    assert!(body.is_empty());
    logs
}
