//! The number at the start of a text: decimal, fraction or mixed.
//!
//! `16.34`, `16,34`, `.5`, `5/8`, `1 1/16`, `1½`, each with an optional sign.
//! A comma is always the decimal sign; digits are never grouped. No exponent,
//! no NaN, no infinity.
//!
//! Works on tidy text ([`tidy`]); what follows the number is handed back.

use std::borrow::Cow;

use super::error::{LARGEST_DENOMINATOR, MOST_CHARACTERS, MOST_DIGITS};
use super::{AmountError, Decimal, Unit};

/// `decimal` ÷ `divisor`. Halves of halves stay exact in a float, so only
/// thirds and the like are off, by one part in 2^53.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    decimal: Decimal,
    divisor: i128,
}

impl Number {
    pub(super) const ONE: Self = Self {
        decimal: Decimal::new(1, 0),
        divisor: 1,
    };

    pub(super) const HUNDREDTH: Self = Self {
        decimal: Decimal::new(1, -2),
        divisor: 1,
    };

    /// The float nearest to this many of a unit, in base units.
    pub(super) fn of_unit(self, unit: Unit) -> f64 {
        self.decimal.times(unit.in_base).to_f64() / self.divisor as f64
    }

    /// One of the last digit; for a fraction one of its denominator.
    pub(super) fn last_digit(self) -> Self {
        Self {
            decimal: Decimal::new(1, self.decimal.exponent()),
            ..self
        }
    }

    pub(super) fn times(self, other: Self) -> Self {
        Self {
            decimal: self.decimal.times(other.decimal),
            divisor: self.divisor * other.divisor,
        }
    }

    /// Half of the sum, exactly.
    pub(super) fn middle(self, other: Self) -> Self {
        self.half_sum(other, 1)
    }

    /// Half of what `self` is above `other`, exactly.
    pub(super) fn half_above(self, other: Self) -> Self {
        self.half_sum(other, -1)
    }

    /// Both numbers have at most 15 digits, and a fraction has no decimals, so
    /// that the digits stay under 10^36.
    fn half_sum(self, other: Self, sign: i128) -> Self {
        let exponent = self.decimal.exponent().min(other.decimal.exponent());
        let digits_of = |number: Self, across: Self| {
            let shift = (number.decimal.exponent() - exponent) as u32;
            number.decimal.digits() * 10_i128.pow(shift) * across.divisor
        };
        let sum = digits_of(self, other) + sign * digits_of(other, self);
        Self {
            decimal: Decimal::new(sum, exponent),
            divisor: self.divisor * other.divisor * 2,
        }
    }

    pub(super) fn is_positive(self) -> bool {
        self.decimal.digits() > 0
    }

    pub(super) fn is_negative(self) -> bool {
        self.decimal.digits() < 0
    }

    pub(super) fn has_decimals(self) -> bool {
        self.decimal.exponent() < 0
    }
}

/// A number and the unit behind it, if there is one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figure {
    pub(super) number: Number,
    pub(super) unit: Option<Unit>,
}

impl Figure {
    pub(super) fn read(text: &str) -> Result<Self, AmountError> {
        let characters = text.trim().chars().count();
        if characters > MOST_CHARACTERS {
            return Err(AmountError::TooLong { characters });
        }
        let tidy = tidy(text);
        if tidy.is_empty() {
            return Err(AmountError::Empty);
        }
        let (number, rest) = number_at_start(&tidy)?;
        let unit = match rest.trim() {
            "" => None,
            spelling => Some(Unit::named(spelling)?),
        };
        Ok(Self { number, unit })
    }
}

/// One kind of space, minus and slash, fraction signs written out, and no
/// space at either end.
fn tidy(text: &str) -> Cow<'_, str> {
    let text = text.trim();
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return Cow::Borrowed(text);
    }
    let mut tidy = String::with_capacity(text.len());
    for character in text.chars() {
        match (character, fraction_sign(character)) {
            (_, Some(fraction)) => tidy.push_str(&format!(" {fraction} ")),
            ('\u{2212}', _) => tidy.push('-'),
            ('\u{2044}' | '\u{2215}', _) => tidy.push('/'),
            (space, _) if space.is_whitespace() => tidy.push(' '),
            (other, _) => tidy.push(other),
        }
    }
    Cow::Owned(tidy.trim().to_owned())
}

fn fraction_sign(character: char) -> Option<&'static str> {
    const SIGNS: [(char, &str); 15] = [
        ('½', "1/2"),
        ('⅓', "1/3"),
        ('⅔', "2/3"),
        ('¼', "1/4"),
        ('¾', "3/4"),
        ('⅕', "1/5"),
        ('⅖', "2/5"),
        ('⅗', "3/5"),
        ('⅘', "4/5"),
        ('⅙', "1/6"),
        ('⅚', "5/6"),
        ('⅛', "1/8"),
        ('⅜', "3/8"),
        ('⅝', "5/8"),
        ('⅞', "7/8"),
    ];
    SIGNS
        .iter()
        .find(|(sign, _)| *sign == character)
        .map(|(_, fraction)| *fraction)
}

fn number_at_start(text: &str) -> Result<(Number, &str), AmountError> {
    let body = text.strip_prefix(['+', '-']).unwrap_or(text).trim_start();
    if !body.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '.' | ',')) {
        return Err(AmountError::NoNumber {
            found: text.to_owned(),
        });
    }
    let (size, rest) = size_at_start(body)?;
    let read = &body[..body.len() - rest.len()];
    let digits = read.bytes().filter(u8::is_ascii_digit).count();
    if digits > MOST_DIGITS {
        return Err(AmountError::TooManyDigits { digits });
    }
    let follows = rest.trim_start();
    if follows.starts_with(|next: char| next.is_ascii_digit() || matches!(next, '.' | ',')) {
        return Err(AmountError::SecondNumber {
            found: follows.to_owned(),
        });
    }
    let sign = if text.starts_with('-') { -1 } else { 1 };
    let decimal = size.decimal.times(Decimal::new(sign, 0));
    Ok((Number { decimal, ..size }, rest))
}

/// The number without its sign, where a digit or a decimal sign stands.
fn size_at_start(body: &str) -> Result<(Number, &str), AmountError> {
    let (whole, rest) = digits_at_start(body);
    if let Some(decimals) = rest.strip_prefix(['.', ',']) {
        return decimal(body, whole, decimals);
    }
    if let Some(denominator) = rest.strip_prefix('/') {
        return fraction(body, whole, denominator);
    }
    mixed(whole, rest)
}

fn decimal<'a>(
    body: &'a str,
    whole: &str,
    after: &'a str,
) -> Result<(Number, &'a str), AmountError> {
    let (decimals, rest) = digits_at_start(after);
    if decimals.is_empty() {
        return Err(AmountError::NoDecimals {
            found: body.to_owned(),
        });
    }
    let digits = continued(whole_number(whole), decimals);
    let number = Number {
        decimal: Decimal::new(digits, -(decimals.len() as i32)),
        divisor: 1,
    };
    Ok((number, rest))
}

fn fraction<'a>(
    body: &'a str,
    numerator: &str,
    after: &'a str,
) -> Result<(Number, &'a str), AmountError> {
    let (denominator, rest) = digits_at_start(after);
    let divisor = whole_number(denominator);
    if !(1..=LARGEST_DENOMINATOR).contains(&divisor) {
        return Err(AmountError::Denominator {
            found: body.to_owned(),
        });
    }
    let number = Number {
        decimal: Decimal::new(whole_number(numerator), 0),
        divisor,
    };
    Ok((number, rest))
}

/// A whole number, with a fraction behind a space if one stands there.
fn mixed<'a>(whole: &str, rest: &'a str) -> Result<(Number, &'a str), AmountError> {
    let whole = whole_number(whole);
    let after = rest.trim_start();
    let (numerator, slash) = digits_at_start(after);
    let Some(denominator) = slash.strip_prefix('/').filter(|_| !numerator.is_empty()) else {
        let number = Number {
            decimal: Decimal::new(whole, 0),
            divisor: 1,
        };
        return Ok((number, rest));
    };
    let (part, rest) = fraction(after, numerator, denominator)?;
    if part.decimal.digits() >= part.divisor {
        return Err(AmountError::ImproperFraction {
            found: after.to_owned(),
        });
    }
    let digits = whole * part.divisor + part.decimal.digits();
    let decimal = Decimal::new(digits, 0);
    Ok((Number { decimal, ..part }, rest))
}

fn digits_at_start(text: &str) -> (&str, &str) {
    let end = text
        .find(|next: char| !next.is_ascii_digit())
        .unwrap_or(text.len());
    text.split_at(end)
}

/// The number of a run of digits; zero for none.
fn whole_number(digits: &str) -> i128 {
    continued(0, digits)
}

/// The number with these digits behind it.
fn continued(number: i128, digits: &str) -> i128 {
    digits.bytes().fold(number, |number, digit| {
        number * 10 + i128::from(digit - b'0')
    })
}
