//! Which correction pairs support.

use std::fmt;
use std::sync::Arc;

use super::agreement::Agreement;
use super::least_squares::polynomial;
use super::york::{Line, Point, line};
use crate::language::Sentence;
use crate::uncertainty::{Distribution, Draw, Estimate, Source, student_point};

/// One piece measured by both methods; all in one unit, mm or mm³.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// What the first method read.
    pub first: f64,
    /// Its standard uncertainty; zero where unknown.
    pub u_first: f64,
    /// What the second method read.
    pub second: f64,
    /// Its standard uncertainty; zero where unknown.
    pub u_second: f64,
}

/// A correction from the first method to the second.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Offset or line.
    pub form: Form,
    /// The test that chose it: slope of the difference on the mean over its standard error.
    pub t: f64,
    /// |t| above this makes a line.
    pub t_limit: f64,
    /// The smallest and the largest reading by the first method.
    pub range: (f64, f64),
    /// Scatter of one piece about the correction: standard deviation and degrees of freedom.
    pub scatter: (f64, f64),
    /// Second less what the correction gives, pair by pair.
    pub residuals: Vec<f64>,
}

/// The form of a correction.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// The same at every size.
    Offset(Agreement),
    /// It follows size.
    Line(Line),
}

/// Pairs of which no correction can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoFit {
    /// Fewer than [`FEWEST`].
    TooFew(usize),
    /// A reading is no number, or an uncertainty is below zero.
    NoNumber(usize),
    /// The offset follows size, and no line can be drawn through the pairs.
    NoLine,
}

/// The fewest pairs: two degrees of freedom for the test of the slope.
pub const FEWEST: usize = 4;

/// The level of the test (5 %).
const LEVEL: f64 = 0.95;

impl fmt::Display for NoFit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew(found) => {
                write!(out, "found {found} pairs; expected {FEWEST} at the least")
            }
            Self::NoNumber(place) => {
                write!(out, "pair {} has a reading that is no number", place + 1)
            }
            Self::NoLine => out.write_str("the offset follows size, and the pairs give no line"),
        }
    }
}

impl std::error::Error for NoFit {}

/// The correction that pairs support: an offset, unless the slope of the difference on the mean
/// of both readings exceeds the 95 % point of t for its standard error; then a line.
///
/// # Errors
/// Too few pairs, or none to be fitted.
pub fn fit(pairs: &[Pair]) -> Result<Fit, NoFit> {
    if pairs.len() < FEWEST {
        return Err(NoFit::TooFew(pairs.len()));
    }
    if let Some(place) = pairs.iter().position(|pair| !pair.is_sound()) {
        return Err(NoFit::NoNumber(place));
    }
    let t = slope_test(pairs);
    let t_limit = student_point(LEVEL, (pairs.len() - 2) as f64);
    let form = if t.abs() > t_limit {
        Form::Line(through(pairs).ok_or(NoFit::NoLine)?)
    } else {
        let differences: Vec<f64> = pairs.iter().map(Pair::difference).collect();
        Form::Offset(Agreement::of(&differences).ok_or(NoFit::TooFew(pairs.len()))?)
    };
    let residuals: Vec<f64> = (pairs.iter())
        .map(|pair| pair.second - form.at(pair.first))
        .collect();
    Ok(Fit {
        t,
        t_limit,
        range: range(pairs),
        scatter: scatter(&residuals, &form),
        residuals,
        form,
    })
}

impl Pair {
    fn is_sound(&self) -> bool {
        let uncertainties = [self.u_first, self.u_second];
        self.first.is_finite()
            && self.second.is_finite()
            && uncertainties.iter().all(|u| u.is_finite() && *u >= 0.0)
    }

    fn difference(&self) -> f64 {
        self.second - self.first
    }
}

/// t of the slope of the difference on the mean; zero where all are of one size, infinite where
/// the line is met exactly and rises.
fn slope_test(pairs: &[Pair]) -> f64 {
    let point = |pair: &Pair| (0.5 * (pair.first + pair.second), pair.difference());
    let points: Vec<(f64, f64)> = pairs.iter().map(point).collect();
    match polynomial(&points, 1) {
        Some(fitted) if fitted.coefficients[1] != 0.0 => {
            fitted.coefficients[1] / fitted.standard_errors[1]
        }
        _ => 0.0,
    }
}

/// York's line. Where no uncertainty of the readings is known, both are as uncertain as each other
/// and the scatter says how much.
fn through(pairs: &[Pair]) -> Option<Line> {
    let known = pairs
        .iter()
        .all(|pair| pair.u_first > 0.0 && pair.u_second > 0.0);
    let point = |pair: &Pair| Point {
        x: pair.first,
        y: pair.second,
        u_x: if known { pair.u_first } else { 1.0 },
        u_y: if known { pair.u_second } else { 1.0 },
    };
    let points: Vec<Point> = pairs.iter().map(point).collect();
    let fitted = line(&points)?;
    let freedom = fitted.degrees_of_freedom as f64;
    let factor = if known {
        fitted.excess()
    } else {
        (fitted.chi_square / freedom).sqrt()
    };
    let usable = fitted.slope > 0.0 && factor.is_finite();
    usable.then_some(Line {
        u_level: factor * fitted.u_level,
        u_slope: factor * fitted.u_slope,
        ..fitted
    })
}

fn range(pairs: &[Pair]) -> (f64, f64) {
    let firsts = || pairs.iter().map(|pair| pair.first);
    (
        firsts().fold(f64::INFINITY, f64::min),
        firsts().fold(f64::NEG_INFINITY, f64::max),
    )
}

fn scatter(residuals: &[f64], form: &Form) -> (f64, f64) {
    let spent = match form {
        Form::Offset(_) => 1,
        Form::Line(_) => 2,
    };
    let freedom = (residuals.len() - spent) as f64;
    let squares: f64 = residuals.iter().map(|one| one * one).sum();
    ((squares / freedom).sqrt(), freedom)
}

impl Form {
    /// What the second method reads where the first reads `first`.
    fn at(&self, first: f64) -> f64 {
        match self {
            Self::Offset(agreement) => first + agreement.mean,
            Self::Line(line) => line.level + line.slope * (first - line.centre),
        }
    }

    /// What the first method reads where the second reads `second`.
    fn back(&self, second: f64) -> f64 {
        match self {
            Self::Offset(agreement) => second - agreement.mean,
            Self::Line(line) => line.centre + (second - line.level) / line.slope,
        }
    }

    fn slope(&self) -> f64 {
        match self {
            Self::Offset(_) => 1.0,
            Self::Line(line) => line.slope,
        }
    }
}

/// How a reading is carried along a fit.
#[derive(Clone, Copy, Debug)]
pub struct Along<'a> {
    /// From the first method to the second, or home.
    pub there: bool,
    /// Names the fit: its own error is shared by all that it carries.
    pub key: &'a str,
    /// Names the piece, whose scatter about the fit is its own.
    pub piece: &'a str,
    /// The trial whose errors the fit has; a trial may leave the range.
    pub errors: Option<&'a Draw>,
}

impl Fit {
    /// A reading carried along the fit. None outside the range.
    pub fn carry(&self, reading: &Estimate, along: &Along<'_>) -> Option<Estimate> {
        let from = reading.value();
        let (first, value) = if along.there {
            (from, self.form.at(from))
        } else {
            let first = self.form.back(from);
            (first, first)
        };
        let (low, high) = self.range;
        if along.errors.is_none() && !(low..=high).contains(&first) {
            return None;
        }
        // second = slope · first + errors, solved for either.
        let (by_reading, by_errors) = match along.there {
            true => (self.form.slope(), 1.0),
            false => (self.form.slope().recip(), -self.form.slope().recip()),
        };
        let errors = self.errors(first, along.key, along.piece);
        let drawn = |draw: &Draw| -> f64 {
            let off = |error: &Estimate| error.drawn(draw) - error.value();
            errors.iter().map(off).sum()
        };
        let mut terms = vec![(by_reading, reading)];
        terms.extend(errors.iter().map(|error| (by_errors, error)));
        Some(Estimate::linear(
            value + by_errors * along.errors.map_or(0.0, drawn),
            &terms,
        ))
    }

    /// The errors of the second reading that the fit makes: of level, slope and the piece.
    fn errors(&self, first: f64, key: &str, piece: &str) -> Vec<Estimate> {
        let source = |label: Sentence, key: String| {
            let source = Source::new(key, label, Distribution::Normal);
            Arc::new(source.with_degrees_of_freedom(self.scatter.1))
        };
        let own = source(
            sentence!("scatter of the pairs"),
            format!("{key}/scatter/{piece}"),
        );
        let mut errors = vec![Estimate::new(0.0, self.scatter.0, own)];
        let level = source(sentence!("level of the pairs"), format!("{key}/level"));
        match &self.form {
            Form::Offset(agreement) => {
                errors.push(Estimate::new(agreement.mean, agreement.mean_error(), level));
            }
            Form::Line(line) => {
                errors.push(Estimate::new(line.level, line.u_level, level));
                let slope = Estimate::new(
                    line.slope,
                    line.u_slope,
                    source(sentence!("slope of the pairs"), format!("{key}/slope")),
                );
                errors.push(slope.scaled(first - line.centre));
            }
        }
        errors
    }
}
