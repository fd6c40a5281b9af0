//! A probability as a dial gauge and in words.

use crate::language::word;

/// The middle of the dial, and the lengths of its needle and ticks.
const CENTRE: (f64, f64) = (32.0, 36.0);
const NEEDLE: f64 = 21.0;
const RIM: f64 = 26.0;

/// Where the needle ends.
pub(super) fn needle(probability: f64) -> [String; 2] {
    at(probability, NEEDLE)
}

/// Ticks at every tenth, as x1, y1, x2, y2.
pub(super) fn ticks() -> Vec<[String; 4]> {
    let tick = |tenth: u32| {
        let share = f64::from(tenth) / 10.0;
        let inner = if tenth.is_multiple_of(5) {
            RIM - 7.0
        } else {
            RIM - 4.0
        };
        let ([x1, y1], [x2, y2]) = (at(share, inner), at(share, RIM));
        [x1, y1, x2, y2]
    };
    (0..=10).map(tick).collect()
}

fn at(share: f64, length: f64) -> [String; 2] {
    let angle = std::f64::consts::PI * (1.0 - share.clamp(0.0, 1.0));
    [
        format!("{:.1}", CENTRE.0 + length * angle.cos()),
        format!("{:.1}", CENTRE.1 - length * angle.sin()),
    ]
}

/// A probability in words. "Very likely" is kept for 95 %, as on the card.
pub(super) fn words(probability: f64) -> String {
    word(match probability {
        p if p >= 0.95 => word!("very likely"),
        p if p >= 0.6 => word!("likely"),
        p if p >= 0.3 => word!("may well be"),
        p if p >= 0.05 => word!("perhaps"),
        _ => word!("hardly"),
    })
}

/// A probability as a percentage; never 0 or 100, which would be certainty.
pub(super) fn percent(probability: f64) -> String {
    match probability * 100.0 {
        p if p < 1.0 => say!("under 1 %"),
        p if p > 99.0 => say!("over 99 %"),
        p => format!("{p:.0} %"),
    }
}
