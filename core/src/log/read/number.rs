//! Decimal numbers, read fast where that is exact and by the standard library where it is not.
//!
//! A number of at most 15 digits times or over a power of ten up to 22 is one exact multiplication
//! or division away from the nearest double (W. D. Clinger, "How to read floating point numbers
//! accurately", 1990), and that rounds to the nearest single unless it lies just between two.

/// The longest number read; digits beyond it would change nothing that a double holds.
const MOST_BYTES: usize = 64;

const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// A number found at the start of some text.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    /// Bytes that it takes.
    pub length: usize,
    digits: u64,
    /// Power of ten that the digits stand for multiples of.
    power: i32,
    negative: bool,
    /// All digits are in `digits`, and they are few enough to be exact.
    exact: bool,
}

impl Found {
    /// The nearest double. `text` is where it was found.
    #[inline(always)]
    pub fn double(self, text: &[u8], mark: u8) -> f64 {
        if self.exact && self.power <= 0 && self.power >= -22 {
            let power = TENS.get(self.power.unsigned_abs() as usize);
            return self.signed(self.digits as f64 / power.copied().unwrap_or(1.0));
        }
        self.slow_double(text, mark)
    }

    /// The nearest single. `text` is where it was found.
    #[inline(always)]
    pub fn single(self, text: &[u8], mark: u8) -> f32 {
        if self.exact && self.power <= 0 && self.power >= -22 {
            let power = TENS.get(self.power.unsigned_abs() as usize);
            let double = self.digits as f64 / power.copied().unwrap_or(1.0);
            // Just between two singles, the double no longer says which is nearer; near zero singles are
            // sparser than that.
            if double.to_bits() & 0x1fff_ffff != 0x1000_0000 && (double > 1e-37 || self.digits == 0)
            {
                return self.signed(double) as f32;
            }
        }
        self.slow_single(text, mark)
    }

    #[inline(always)]
    fn signed(self, value: f64) -> f64 {
        if self.negative { -value } else { value }
    }

    #[cold]
    #[inline(never)]
    fn slow_double(self, text: &[u8], mark: u8) -> f64 {
        if self.exact && (0..=22).contains(&self.power) && self.digits < 1 << 53 {
            let power = TENS.get(self.power.unsigned_abs() as usize);
            return self.signed(self.digits as f64 * power.copied().unwrap_or(1.0));
        }
        plain(text.get(..self.length).unwrap_or(text), mark)
            .parse()
            .unwrap_or(f64::NAN)
    }

    #[cold]
    #[inline(never)]
    fn slow_single(self, text: &[u8], mark: u8) -> f32 {
        plain(text.get(..self.length).unwrap_or(text), mark)
            .parse()
            .unwrap_or(f32::NAN)
    }
}

/// The number with a decimal point, for the standard library.
fn plain(text: &[u8], mark: u8) -> String {
    text.iter()
        .map(|&byte| char::from(if byte == mark { b'.' } else { byte }))
        .collect()
}

/// The number at the start of `text`: a sign, digits with or without a decimal mark among, before
/// or behind them, a power of ten. None if there is none, or it is longer than any number.
#[inline(always)]
pub(super) fn at_start(text: &[u8], mark: u8) -> Option<Found> {
    let negative = text.first() == Some(&b'-');
    let mut at = usize::from(negative || text.first() == Some(&b'+'));
    let first = at;
    let mut digits = 0_u64;
    let digit = |at: usize| {
        text.get(at)
            .map(|byte| byte.wrapping_sub(b'0'))
            .filter(|&digit| digit < 10)
    };
    while let Some(digit) = digit(at) {
        digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
        at += 1;
    }
    let mut count = at - first;
    let mut power = 0;
    if text.get(at) == Some(&mark) {
        at += 1;
        let whole = at;
        while let Some(digit) = digit(at) {
            digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
            at += 1;
        }
        count += at - whole;
        power = -((at - whole).min(MOST_BYTES) as i32);
    }
    if count == 0 || count > MOST_BYTES {
        return None;
    }
    if matches!(text.get(at), Some(b'e' | b'E'))
        && let Some((ten, length)) = exponent(text.get(at + 1..).unwrap_or_default())
    {
        power += ten;
        at += 1 + length;
    }
    Some(Found {
        length: at,
        digits,
        power,
        negative,
        // Leading zeros only make it needlessly careful.
        exact: count <= 15,
    })
}

/// A power of ten behind its `e`, and the bytes it takes; a huge one is cut where nothing changes any more.
#[cold]
fn exponent(text: &[u8]) -> Option<(i32, usize)> {
    let negative = text.first() == Some(&b'-');
    let mut at = usize::from(negative || text.first() == Some(&b'+'));
    let first = at;
    let mut ten = 0_i32;
    while let Some(digit) = text.get(at).filter(|byte| byte.is_ascii_digit()) {
        ten = (ten * 10 + i32::from(digit - b'0')).min(9_999);
        at += 1;
    }
    (at > first && at - first < MOST_BYTES).then_some((if negative { -ten } else { ten }, at))
}

/// The double nearest to a decimal number that is all of the text.
#[must_use]
pub fn double(text: &str, mark: super::DecimalMark) -> Option<f64> {
    let (text, mark) = (text.as_bytes(), mark.byte());
    at_start(text, mark)
        .filter(|found| found.length == text.len())
        .map(|found| found.double(text, mark))
}

/// The single nearest to a decimal number that is all of the text.
#[must_use]
pub fn single(text: &str, mark: super::DecimalMark) -> Option<f32> {
    let (text, mark) = (text.as_bytes(), mark.byte());
    at_start(text, mark)
        .filter(|found| found.length == text.len())
        .map(|found| found.single(text, mark))
}
