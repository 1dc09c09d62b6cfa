//! One recorded quantity over time.

/// Samples of one quantity: finite values at finite times that never fall.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Signal {
    /// Times, s.
    time: Vec<f64>,
    /// The value at each of them.
    values: Vec<f32>,
}

/// Why samples are no signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SignalError {
    /// As many times as values are needed.
    #[error("found {times} times and {values} values, need as many of each")]
    Lengths {
        /// Times found.
        times: usize,
        /// Values found.
        values: usize,
    },
    /// A time or value that is no number.
    #[error("found no number at sample {place}, need finite times and values")]
    Number {
        /// Place of the sample, from zero.
        place: usize,
    },
    /// A time before the one before it.
    #[error("found sample {place} earlier than the one before it, need times in order")]
    Order {
        /// Place of the sample, from zero.
        place: usize,
    },
}

impl Signal {
    /// A signal of these times (s) and values.
    ///
    /// # Errors
    /// [`SignalError`] where they are none.
    pub fn new(time: Vec<f64>, values: Vec<f32>) -> Result<Self, SignalError> {
        if time.len() != values.len() {
            return Err(SignalError::Lengths {
                times: time.len(),
                values: values.len(),
            });
        }
        let mut before = f64::NEG_INFINITY;
        for (place, (&at, value)) in time.iter().zip(&values).enumerate() {
            if !at.is_finite() || !value.is_finite() {
                return Err(SignalError::Number { place });
            }
            if at < before {
                return Err(SignalError::Order { place });
            }
            before = at;
        }
        Ok(Self { time, values })
    }

    /// Times, s.
    pub fn time(&self) -> &[f64] {
        &self.time
    }

    /// The value at each time.
    pub fn values(&self) -> &[f32] {
        &self.values
    }

    /// Samples it has.
    pub fn len(&self) -> usize {
        self.time.len()
    }

    /// Whether it has no sample.
    pub fn is_empty(&self) -> bool {
        self.time.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_which_sample_is_wrong() {
        let signal = |time: &[f64], values: &[f32]| Signal::new(time.to_vec(), values.to_vec());
        assert_eq!(
            signal(&[0.0, 1.0], &[1.0]),
            Err(SignalError::Lengths {
                times: 2,
                values: 1
            })
        );
        assert_eq!(
            signal(&[0.0, 1.0], &[1.0, f32::NAN]),
            Err(SignalError::Number { place: 1 })
        );
        assert_eq!(
            signal(&[0.0, 2.0, 1.0], &[1.0; 3]),
            Err(SignalError::Order { place: 2 })
        );
        let held = signal(&[0.0, 0.0, 1.0], &[1.0, 2.0, 3.0]);
        assert_eq!(held.as_ref().map(Signal::len), Ok(3));
        assert_eq!(held.as_ref().map(|held| held.values()[2]), Ok(3.0));
        assert_eq!(held.map(|held| held.time()[2]), Ok(1.0));
        assert!(Signal::default().is_empty());
    }
}
