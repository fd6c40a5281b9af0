//! Slopes of the monotone cubic through points.
//!
//! F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238, with the slopes of
//! F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300: inside, the weighted
//! harmonic mean of the two chords, zero where they differ in sign; at the ends, the
//! three-point formula held within what keeps the shape. The cubic is then monotone wherever
//! the points are. At a point beside a level chord the slope has no derivative by the points: it
//! is taken as zero there, which is its value.

use super::curve::Number;

/// The slope at each point; `at` rises and is as long as `values`, two or more.
pub(super) fn slopes<D: Number>(at: &[f64], values: &[D]) -> Vec<D> {
    let steps: Vec<f64> = at.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let pairs = values.windows(2).zip(&steps);
    let chords: Vec<D> = pairs
        .map(|(pair, step)| (pair[1] - pair[0]) / *step)
        .collect();
    let last = chords.len() - 1;
    if last == 0 {
        return vec![chords[0]; 2];
    }
    let mut slopes = vec![end((steps[0], chords[0]), (steps[1], chords[1]))];
    for place in 1..=last {
        let before = (steps[place - 1], chords[place - 1]);
        slopes.push(inner(before, (steps[place], chords[place])));
    }
    let (outer, beside) = (last, last - 1);
    slopes.push(end(
        (steps[outer], chords[outer]),
        (steps[beside], chords[beside]),
    ));
    slopes
}

/// Between two chords, each with its step.
fn inner<D: Number>(before: (f64, D), after: (f64, D)) -> D {
    if before.1.re() * after.1.re() <= 0.0 {
        return D::zero();
    }
    let first = 2.0 * after.0 + before.0;
    let second = after.0 + 2.0 * before.0;
    (before.1.recip() * first + after.1.recip() * second).recip() * (first + second)
}

/// At an end, from the chord there and the one beside it.
fn end<D: Number>(outer: (f64, D), beside: (f64, D)) -> D {
    let weighted = outer.1 * (2.0 * outer.0 + beside.0) - beside.1 * outer.0;
    let slope = weighted / (outer.0 + beside.0);
    if slope.re() * outer.1.re() <= 0.0 {
        D::zero()
    } else if outer.1.re() * beside.1.re() <= 0.0 && slope.re().abs() > 3.0 * outer.1.re().abs() {
        outer.1 * 3.0
    } else {
        slope
    }
}
