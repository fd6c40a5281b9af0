//! Which lanes a wall chart has room for, and how wide each is.
//!
//! Every scheme gets its first lane before any gets its second, and a further lane only where all names keep
//! their whole length. What is left over is shared; where room is short, the widest lanes give first.

use super::chart::{BAR_MM, BAR_STEP_MM, BARS, LEADER_MM, NAME_MM};
use super::metrics::{Face, width_mm};
use super::signs::visible;
use crate::answer::ChartLane;

/// A lane is at least so wide, and wants no more, mm: a name without end pushes nobody out.
const LEAST_MM: f64 = 28.0;
const MOST_MM: f64 = 90.0;

/// The lanes that there is room for, in their order, and the others.
pub(super) fn shared<'a>(
    placed: &[&'a ChartLane],
    room: f64,
) -> (Vec<&'a ChartLane>, Vec<&'a ChartLane>) {
    let turn = |place: usize| {
        let same = |one: &&&ChartLane| one.scheme.id == placed[place].scheme.id;
        placed[..place].iter().filter(same).count()
    };
    let mut turns: Vec<(usize, usize)> = (0..placed.len())
        .map(|place| (turn(place), place))
        .collect();
    turns.sort_unstable();
    let (mut kept, mut taken) = (Vec::new(), 0.0);
    for (turn, place) in turns {
        let wanted = wanted(placed[place]);
        let fits = taken + wanted <= room;
        let first = turn == 0 && (kept.len() + 1) as f64 * LEAST_MM <= room;
        if fits || first {
            kept.push(place);
            taken += wanted;
        }
    }
    let (mut lanes, mut left_out) = (Vec::new(), Vec::new());
    for (place, lane) in placed.iter().enumerate() {
        if kept.contains(&place) {
            lanes.push(*lane);
        } else {
            left_out.push(*lane);
        }
    }
    (lanes, left_out)
}

/// What its names want.
fn wanted(lane: &ChartLane) -> f64 {
    let bars = BAR_MM + BARS as f64 * BAR_STEP_MM + LEADER_MM + 2.0;
    let more = |names: &[String]| if names.len() > 1 { " +9" } else { "" };
    let first = |names: &[String]| Some(visible(names.first()?) + more(names));
    let names = lane.sizes.iter().filter_map(|one| first(&one.names));
    let widest = names
        .map(|name| width_mm(&name, Face::Words, NAME_MM))
        .fold(0.0, f64::max);
    (bars + widest).clamp(LEAST_MM, MOST_MM)
}

/// Left end and width of each lane, from `left` on.
pub(super) fn widths(lanes: &[&ChartLane], left: f64, room: f64) -> Vec<(f64, f64)> {
    let wanted: Vec<f64> = lanes.iter().map(|lane| wanted(lane)).collect();
    let total = |most: f64| wanted.iter().map(|one| one.min(most)).sum::<f64>();
    let (mut low, mut high) = (LEAST_MM, room);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if total(middle) > room {
            high = middle;
        } else {
            low = middle;
        }
    }
    let more = ((room - total(low)) / lanes.len() as f64).max(0.0);
    let mut from = left;
    let place = |one: &f64| {
        let (start, width) = (from, one.min(low) + more);
        from += width;
        (start, width)
    };
    wanted.iter().map(place).collect()
}
