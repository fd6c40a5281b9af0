//! Exact decimal numbers: whole digits and a power of ten.
//!
//! Floats cannot hold 0.01, so 1612 × 0.01 in floats is not 16.12. Products are
//! therefore taken in digits, and the float nearest to the result is asked for
//! once, at the end.
//!
//! No division and no general arithmetic: only what reading and showing need.

/// `digits` × 10^`exponent`, exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimal {
    digits: i128,
    exponent: i32,
}

impl Decimal {
    /// `digits` × 10^`exponent`.
    pub const fn new(digits: i128, exponent: i32) -> Self {
        Self { digits, exponent }
    }

    /// The shortest decimal that reads back as this float; none for NaN and infinities.
    pub fn of(float: f64) -> Option<Self> {
        if !float.is_finite() {
            return None;
        }
        let text = format!("{float:e}");
        let (mantissa, exponent) = text.split_once('e')?;
        let decimals = mantissa
            .split_once('.')
            .map_or(0, |(_, after)| after.len() as i32);
        let digits = mantissa.replace('.', "").parse().ok()?;
        let exponent: i32 = exponent.parse().ok()?;
        Some(Self::new(digits, exponent - decimals))
    }

    /// The float nearest to this number.
    pub fn to_f64(self) -> f64 {
        /// Whole numbers up to here are floats.
        const EXACT_DIGITS: u128 = 1 << f64::MANTISSA_DIGITS;
        /// Powers of ten up to here are floats, and whole numbers of 64 bits.
        const EXACT_POWER: u32 = 19;
        let power = self.exponent.unsigned_abs();
        if self.digits.unsigned_abs() > EXACT_DIGITS || power > EXACT_POWER {
            return self.read_to_f64();
        }
        // Of two exact floats the product and the quotient are the nearest float (IEEE 754-2019, 4.3).
        let (digits, power) = (self.digits as f64, 10_u64.pow(power) as f64);
        if self.exponent < 0 {
            digits / power
        } else {
            digits * power
        }
    }

    fn read_to_f64(self) -> f64 {
        format!("{}e{}", self.digits, self.exponent)
            .parse()
            .expect("digits and an exponent always read as a float")
    }

    /// The whole digits, with the sign.
    pub fn digits(self) -> i128 {
        self.digits
    }

    /// The power of ten of the last digit.
    pub fn exponent(self) -> i32 {
        self.exponent
    }

    /// The power of ten of the first digit that is not zero; none for zero.
    pub fn leading_place(self) -> Option<i32> {
        let length = self.digits.unsigned_abs().checked_ilog10()?;
        Some(length as i32 + self.exponent)
    }

    /// The exact product. Digits together must stay under 38, as they do for
    /// amounts (15 digits) times units (3) times a step (15).
    pub fn times(self, other: Self) -> Self {
        Self::new(self.digits * other.digits, self.exponent + other.exponent)
    }

    /// The nearest multiple of 10^`place`; of two equally near the one whose
    /// last digit is even. A number that already is one comes back as it was.
    pub fn rounded(self, place: i32) -> Self {
        let dropped = place.saturating_sub(self.exponent);
        if dropped <= 0 {
            return self;
        }
        // Beyond 38 digits nothing of an i128 is left, not even a half.
        let Some(unit) = 10_u128.checked_pow(dropped as u32) else {
            return Self::new(0, place);
        };
        let size = self.digits.unsigned_abs();
        let (kept, rest) = (size / unit, size % unit);
        let up = match (rest * 2).cmp(&unit) {
            std::cmp::Ordering::Greater => true,
            std::cmp::Ordering::Equal => kept % 2 == 1,
            std::cmp::Ordering::Less => false,
        };
        let kept = (kept + u128::from(up)) as i128;
        Self::new(kept * self.digits.signum(), place)
    }

    /// Plain text with at least `decimals` digits after the point, more if the
    /// number has more; no exponent, never a minus before zero.
    pub fn text(self, decimals: usize) -> String {
        let decimals = decimals.max((-self.exponent).max(0) as usize);
        let zeros = (self.exponent + decimals as i32) as usize;
        let mut text = self.digits.unsigned_abs().to_string();
        if self.digits != 0 {
            text.push_str(&"0".repeat(zeros));
        }
        let mut text = format!("{text:0>width$}", width = decimals + 1);
        if decimals > 0 {
            text.insert(text.len() - decimals, '.');
        }
        if self.digits < 0 {
            text.insert(0, '-');
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The standard library's reader of floats is the judge.
    #[test]
    fn a_float_is_the_nearest_however_it_is_found() {
        let digits = [
            0,
            1,
            -3,
            7,
            1612,
            254,
            999_999_999_999_999,
            (1 << 53) - 1,
            1 << 53,
        ];
        for digits in digits.into_iter().flat_map(|one| [one, one + 1, one * 3]) {
            for exponent in -25..25 {
                let number = Decimal::new(digits, exponent);
                assert_eq!(number.to_f64(), number.read_to_f64(), "{number:?}");
            }
        }
    }
}
