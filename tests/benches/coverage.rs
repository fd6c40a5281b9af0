//! How often a stated interval holds the truth: `cargo bench --bench coverage`.
//!
//! 20,000 invented pieces for each kind of route, of which the truth is known; see `tests/population.rs`.

#![expect(clippy::unwrap_used, reason = "in a simulation a panic is the answer")]

#[path = "../population.rs"]
mod population;

use population::{Effort, KINDS, simulate};

fn main() {
    let effort = Effort {
        pieces: 20_000,
        trials_every: 400,
        trials: 4_000,
    };
    println!(
        "{:<10} {:>8} {:>9} {:>17} {:>20} {:>10} {:>16}",
        "route",
        "values",
        "held",
        "limits dominate",
        "median |bias| / U",
        "largest",
        "U / half-width"
    );
    for kind in KINDS {
        let row = simulate(kind, effort);
        println!(
            "{:<10} {:>8} {:>7.2} % {:>15.0} % {:>20.3} {:>10.3} {:>16.3}",
            kind.name(),
            row.values,
            100.0 * row.held,
            100.0 * row.limits_dominate,
            row.bias.0,
            row.bias.1,
            row.to_trials
        );
    }
    println!(
        "Goals: held 94 % or more; bias under 0.1 U; U over the half-width by trials 0.95 to 1.1."
    );
}
