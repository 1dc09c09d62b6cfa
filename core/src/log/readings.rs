//! Four readings by hand instead of a log.

/// One reading.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reading {
    /// Voltage, V.
    pub volts: Option<f64>,
    /// Engine speed, rpm.
    pub rpm: Option<f64>,
}

/// What somebody read off a dash or a meter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Readings {
    /// Idling.
    pub idle: Reading,
    /// At the launch.
    pub launch: Reading,
    /// At the stripe.
    pub stripe: Reading,
    /// After it, before the engine was switched off.
    pub shutdown: Reading,
}
