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
        Self::of_millionths(float).or_else(|| Self::of_text(&format!("{float:e}")))
    }

    /// A whole number of millionths, as most that is shown. Decimals of up to 15 digits are all different
    /// floats, so that the only one that reads back as this float is the shortest.
    fn of_millionths(float: f64) -> Option<Self> {
        let millionths = (float * 1e6).round();
        if millionths.abs() >= 1e15 || millionths / 1e6 != float {
            return None;
        }
        let (mut digits, mut exponent) = (millionths as i64, -6);
        if digits == 0 {
            return Some(Self::new(0, 0));
        }
        while digits % 10 == 0 {
            (digits, exponent) = (digits / 10, exponent + 1);
        }
        Some(Self::new(digits.into(), exponent))
    }

    /// From `-1.25e-7`.
    fn of_text(text: &str) -> Option<Self> {
        let (mantissa, exponent) = text.split_once('e')?;
        let decimals = mantissa
            .split_once('.')
            .map_or(0, |(_, after)| after.len() as i32);
        let size = mantissa
            .bytes()
            .filter(u8::is_ascii_digit)
            .fold(0, |number, digit| number * 10 + i128::from(digit - b'0'));
        let digits = if mantissa.starts_with('-') {
            -size
        } else {
            size
        };
        Some(Self::new(digits, exponent.parse::<i32>().ok()? - decimals))
    }

    /// The float to so many decimals, as its shortest decimal would be rounded. None where it is so near to
    /// a tie that its digits must be looked at, and for what needs more than nine digits.
    pub fn nearest(float: f64, decimals: usize) -> Option<Self> {
        let scaled = float * POWERS_OF_TEN.get(decimals)?;
        let nearest = scaled.round();
        let from_tie = 0.5 - (scaled - nearest).abs();
        // Below 1e9 a float is off by 1e-7 at the most.
        let sure = scaled.abs() < 1e9 && from_tie > 1e-6;
        sure.then(|| Self::new(nearest as i128, -(decimals as i32)))
    }

    /// The float nearest to this number.
    pub fn to_f64(self) -> f64 {
        self.at_once().unwrap_or_else(|| {
            format!("{}e{}", self.digits, self.exponent)
                .parse()
                .expect("digits and an exponent always read as a float")
        })
    }

    /// Where digits and power of ten are floats exactly, their product or quotient is the nearest float
    /// (IEEE 754-2019, 4.3).
    fn at_once(self) -> Option<f64> {
        let exact = self.digits.unsigned_abs() <= 1 << f64::MANTISSA_DIGITS;
        let power = POWERS_OF_TEN.get(self.exponent.unsigned_abs() as usize)?;
        let digits = exact.then_some(self.digits as f64)?;
        Some(if self.exponent < 0 {
            digits / power
        } else {
            digits * power
        })
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
        let zeros = if self.digits == 0 { 0 } else { zeros };
        let digits = self.digits.unsigned_abs();
        // Most numbers are short, and short ones are written several times quicker.
        let digits =
            u64::try_from(digits).map_or_else(|_| digits.to_string(), |few| few.to_string());
        let leading = (decimals + 1).saturating_sub(digits.len() + zeros);
        let mut text = String::with_capacity(decimals + digits.len() + zeros + 2);
        if self.digits < 0 {
            text.push('-');
        }
        let all = std::iter::repeat_n('0', leading)
            .chain(digits.chars())
            .chain(std::iter::repeat_n('0', zeros));
        let whole = leading + digits.len() + zeros - decimals;
        for (place, digit) in all.enumerate() {
            if place == whole {
                text.push('.');
            }
            text.push(digit);
        }
        text
    }
}

/// Those that a float holds exactly.
const POWERS_OF_TEN: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "in a test a panic is the answer")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A float as it is written, read digit by digit: slow and plain.
    fn by_text(float: f64) -> Decimal {
        Decimal::of_text(&format!("{float:e}")).unwrap()
    }

    proptest! {
        #[test]
        fn the_short_way_in_gives_what_the_text_gives(
            millionths in -2_000_000_000_000_000_i64..2_000_000_000_000_000,
            zeros in 0_u32..12,
            any in any::<f64>(),
        ) {
            let round = (millionths / 10_i64.pow(zeros)) as f64 / 1e6;
            for float in [round, round.next_up(), round / 25.4, any, any.fract()] {
                if float.is_finite() {
                    prop_assert_eq!(Decimal::of(float).unwrap(), by_text(float));
                }
            }
        }

        #[test]
        fn the_short_way_out_gives_what_the_text_gives(
            digits in any::<i64>(),
            cut in 0_u32..19,
            exponent in -25_i32..25,
        ) {
            let one = Decimal::new((digits / 10_i64.pow(cut)).into(), exponent);
            let text: f64 = format!("{}e{}", one.digits, one.exponent).parse().unwrap();
            prop_assert_eq!(one.to_f64(), text);
        }
    }

    #[test]
    fn ends_and_zeros() {
        for float in [
            0.0,
            -0.0,
            1e-6,
            -1e-6,
            5e-7,
            1e9,
            999_999_999.999_999,
            1e15,
            f64::MAX,
        ] {
            assert_eq!(Decimal::of(float).unwrap(), by_text(float), "{float}");
        }
        assert_eq!(Decimal::of(f64::NAN), None);
    }
}
