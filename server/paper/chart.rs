//! The wall chart: sizes of schemes side by side on one scale.
//!
//! One sheet, landscape. Larger is higher; millimetres stand at the left, inches at the right where it is a length. Every size has its
//! mark and the bar of its expanded uncertainty; bars that would touch step aside. A name stands exactly
//! beside its mark or not at all: names that would touch a neighbour's are left out, the ends never, and each lane says how
//! many of its names are not written. Lanes that the sheet has no room for are named below it.
//!
//! Names are read at a metre: capitals subtend 16 minutes of arc there, the least of ISO 9241-303.

use super::drawing::{Drawing, Ink, Mark, Run, Stroke};
use super::lanes;
use super::metrics::{self, Face, width_mm};
use super::signs::visible;
use crate::answer::{Amount, ChartAnswer, ChartLane, ChartSize};
use crate::language::{number, word};
use crate::method;

/// A sheet to print on, landscape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Sheet {
    A4,
    A3,
    Letter,
    Tabloid,
}

impl Sheet {
    /// Their names, in addresses.
    pub const NAMES: &'static [&'static str] = &["a4", "a3", "letter", "tabloid"];

    /// The sheet of that name.
    pub fn named(name: &str) -> Option<Self> {
        let all = [Self::A4, Self::A3, Self::Letter, Self::Tabloid];
        let place = Self::NAMES.iter().position(|one| *one == name)?;
        all.get(place).copied()
    }

    /// Width and height, mm (ISO 216; ANSI Y14.1).
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::A3 => (420.0, 297.0),
            Self::Letter => (279.4, 215.9),
            Self::Tabloid => (431.8, 279.4),
        }
    }
}

/// Edge that printers leave white, mm.
const EDGE_MM: f64 = 8.0;
/// Type, mm: capitals of the names are 0.72 of it, 4.65 mm: 16 minutes of arc at a metre.
pub(super) const NAME_MM: f64 = 6.5;
const TITLE_MM: f64 = 8.0;
const HEAD_MM: f64 = 5.0;
const NOTE_MM: f64 = 3.2;
/// Between the baselines of two names.
const NAME_STEP_MM: f64 = 6.8;
/// Room for the scale's figures at either side.
const SCALE_MM: f64 = 19.0;
/// Where bars stand in a lane: the first, between two, and how many places there are.
pub(super) const BAR_MM: f64 = 3.0;
pub(super) const BAR_STEP_MM: f64 = 1.9;
pub(super) const BARS: usize = 5;
/// Between the last bar and the names.
pub(super) const LEADER_MM: f64 = 3.2;
/// Divisions of the scale, at most.
const DIVISIONS: f64 = 14.0;
/// Lines of notes below the lanes, at most.
const NOTES: usize = 4;
const NOTE_STEP_MM: f64 = 4.3;
/// What the letters stand above their middle.
const CAPITALS: f64 = 0.36;

/// The chart on one sheet, without its white edge.
pub fn draw(chart: &ChartAnswer, sheet: Sheet) -> Drawing {
    let (width, height) = sheet.size_mm();
    // A hair less than the sheet, so that rounding never opens a second one.
    let (width_mm, height_mm) = (width - 2.0 * EDGE_MM - 0.5, height - 2.0 * EDGE_MM - 0.5);
    let placed: Vec<&ChartLane> = chart
        .lanes
        .iter()
        .filter(|lane| !lane.sizes.is_empty())
        .collect();
    let (lanes, left_out) = lanes::shared(&placed, width_mm - 2.0 * SCALE_MM);
    let mut pen = Pen {
        width_mm,
        marks: Vec::new(),
    };
    pen.words(
        Face::Strong,
        TITLE_MM,
        Ink::Full,
        (0.0, TITLE_MM),
        &title(chart),
    );
    let notes = notes(chart, &left_out, width_mm);
    let frame = Frame::of(
        &lanes,
        width_mm,
        height_mm - notes.len() as f64 * NOTE_STEP_MM,
    );
    if let Some(frame) = &frame {
        frame.scale(&mut pen);
        for (place, lane) in lanes.iter().enumerate() {
            frame.lane(&mut pen, place, lane);
        }
    }
    for (place, note) in notes.iter().enumerate() {
        let y = height_mm - 1.0 - (notes.len() - 1 - place) as f64 * NOTE_STEP_MM;
        pen.words(Face::Words, NOTE_MM, Ink::Soft, (0.0, y), note);
    }
    Drawing {
        width_mm,
        height_mm,
        title: title(chart),
        description: described(&lanes, &notes),
        marks: pen.marks,
    }
}

fn title(chart: &ChartAnswer) -> String {
    visible(&say!(
        "{quantity} by {method}",
        quantity = word(&chart.quantity),
        method = method::said(&chart.method)
    ))
}

/// How the sheet is read, what it leaves out, and which tables it is of.
fn notes(chart: &ChartAnswer, left_out: &[&ChartLane], width_mm: f64) -> Vec<String> {
    let name = |lane: &ChartLane| match lane.of.as_str() {
        "" => lane.scheme.title.clone(),
        of => format!("{} {}", lane.scheme.title, word(of)),
    };
    let mut says = vec![say!(
        "{method}. Bars: expanded uncertainty, which holds the true figure with about 95 %. Tables {tables}.",
        method = word(chart.says.trim_end_matches('.')),
        tables = &chart.tables[..chart.tables.len().min(12)]
    )];
    if !left_out.is_empty() {
        let names: Vec<String> = left_out.iter().map(|lane| name(lane)).collect();
        says.push(say!(
            "No room on this sheet: {lanes}.",
            lanes = names.join("; ")
        ));
    }
    let lost = chart
        .lanes
        .iter()
        .flat_map(|lane| lane.no_place.iter().map(move |one| (lane, one)));
    let lost = lost.map(|(lane, one)| {
        say!(
            "{lane}: {names} cannot be compared: {why}.",
            lane = name(lane),
            names = one.names.join(", "),
            why = one.why
        )
    });
    says.extend(lost);
    if !chart.without.is_empty() {
        says.push(say!(
            "No such size in: {schemes}.",
            schemes = chart.without.join(", ")
        ));
    }
    let says = visible(&says.join(" "));
    let mut lines = metrics::wrap(&says, Face::Words, NOTE_MM, width_mm);
    if lines.len() > NOTES {
        lines.truncate(NOTES);
        if let Some(last) = lines.last_mut() {
            *last = cut(&format!("{last} …"), Face::Words, NOTE_MM, width_mm);
        }
    }
    lines
}

fn described(lanes: &[&ChartLane], notes: &[String]) -> String {
    let lane = |lane: &&ChartLane| {
        let ends = lane.sizes.first().zip(lane.sizes.last());
        let ends = ends.map(|(first, last)| {
            let (from, until) = (first.figure.text(), last.figure.text());
            format!(", {}", say!("{from} to {until}", from, until))
        });
        let sizes = say_count!(lane.sizes.len(), "one size", "{count} sizes");
        let (title, of) = (&lane.scheme.title, word(&lane.of));
        format!("{title} {of}: {sizes}{}.", ends.unwrap_or_default())
    };
    let lanes: Vec<String> = lanes.iter().map(lane).collect();
    visible(&format!("{} {}", lanes.join(" "), notes.join(" ")))
}

/// Value and expanded uncertainty of a size; every size on a chart has them.
fn values(size: &ChartSize) -> Option<(f64, f64)> {
    size.figure.amount().map(parts)
}

/// Value and expanded uncertainty in the unit of the amount.
fn parts(amount: &Amount) -> (f64, f64) {
    match *amount {
        Amount::Length {
            value_mm,
            expanded_mm,
            ..
        } => (value_mm, expanded_mm),
        Amount::Volume {
            value_ml,
            expanded_ml,
            ..
        } => (value_ml, expanded_ml),
    }
}

/// What fits, with … where something is cut off.
fn cut(text: &str, face: Face, size_mm: f64, room_mm: f64) -> String {
    if width_mm(text, face, size_mm) <= room_mm {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().take(200).collect();
    loop {
        kept.pop();
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if kept.is_empty() || width_mm(&shorter, face, size_mm) <= room_mm {
            return shorter;
        }
    }
}

/// Draws words within the sheet.
struct Pen {
    width_mm: f64,
    marks: Vec<Mark>,
}

impl Pen {
    fn words(&mut self, face: Face, size_mm: f64, ink: Ink, at: (f64, f64), text: &str) {
        let text = cut(text, face, size_mm, self.width_mm - at.0);
        self.marks.push(Mark::Words(Run {
            at,
            text,
            face,
            size_mm,
            ink,
        }));
    }

    fn line(&mut self, stroke: Stroke, points: Vec<(f64, f64)>) {
        self.marks.push(Mark::Line(stroke, points));
    }
}

/// The scale and the lanes on paper.
struct Frame {
    low: f64,
    high: f64,
    top_mm: f64,
    bottom_mm: f64,
    width_mm: f64,
    /// Left end and width of each lane.
    lanes: Vec<(f64, f64)>,
    unit: String,
}

impl Frame {
    /// None where no size has a place.
    fn of(lanes: &[&ChartLane], width_mm: f64, bottom_mm: f64) -> Option<Self> {
        let sizes = || lanes.iter().flat_map(|lane| &lane.sizes);
        let ends = sizes().filter_map(values);
        let (low, high) = ends.fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(low, high), (value, expanded)| {
                (low.min(value - expanded), high.max(value + expanded))
            },
        );
        let edge = ((high - low) * 0.015).max(0.01);
        Some(Self {
            unit: sizes().next()?.figure.unit.clone(),
            low: low - edge,
            high: high + edge,
            top_mm: TITLE_MM + 4.0 + 3.0 * (HEAD_MM + 1.0),
            bottom_mm: bottom_mm - NOTE_STEP_MM - 3.0,
            width_mm,
            lanes: lanes::widths(lanes, SCALE_MM, width_mm - 2.0 * SCALE_MM),
        })
    }

    fn y(&self, value: f64) -> f64 {
        let share = (value - self.low) / (self.high - self.low);
        self.bottom_mm - share * (self.bottom_mm - self.top_mm)
    }

    /// Lines across at round values, with their figures.
    fn scale(&self, pen: &mut Pen) {
        let inches = (self.unit == "mm").then_some(25.4);
        let left = (0.0, SCALE_MM);
        self.figures(pen, 1.0, left, &self.unit);
        for value in rounds(self.low, self.high) {
            let y = self.y(value);
            pen.line(
                Stroke::Rule,
                vec![(SCALE_MM, y), (self.width_mm - SCALE_MM, y)],
            );
        }
        if let Some(inch) = inches {
            let right = (self.width_mm - SCALE_MM + 1.5, self.width_mm);
            self.figures(pen, inch, right, &word("inch"));
        }
    }

    fn figures(&self, pen: &mut Pen, factor: f64, (from, to): (f64, f64), unit: &str) {
        let at = (from, self.top_mm - 3.5);
        pen.words(Face::Words, HEAD_MM, Ink::Soft, at, unit);
        let values = rounds(self.low / factor, self.high / factor);
        let decimals = values
            .windows(2)
            .next()
            .map_or(1, |pair| decimals(pair[1] - pair[0]));
        for value in values {
            let y = self.y(value * factor);
            pen.words(
                Face::Words,
                HEAD_MM,
                Ink::Soft,
                (from, y + CAPITALS * HEAD_MM),
                &number(format!("{value:.decimals$}")),
            );
            let tick = if from > 0.0 {
                (from - 1.5, from - 0.2)
            } else {
                (to - 1.3, to)
            };
            pen.line(Stroke::Rule, vec![(tick.0, y), (tick.1, y)]);
        }
    }

    fn lane(&self, pen: &mut Pen, place: usize, lane: &ChartLane) {
        let (left, width) = self.lanes[place];
        let room = width - 2.0;
        pen.line(
            Stroke::Rule,
            vec![(left, TITLE_MM + 4.0), (left, self.bottom_mm)],
        );
        let mut heads = metrics::wrap(&visible(&lane.scheme.title), Face::Strong, HEAD_MM, room);
        heads.truncate(2);
        for (line, head) in heads.iter().enumerate() {
            let y = TITLE_MM + 8.0 + line as f64 * (HEAD_MM + 0.7);
            let head = cut(head, Face::Strong, HEAD_MM, room);
            pen.words(Face::Strong, HEAD_MM, Ink::Full, (left + 1.5, y), &head);
        }
        let of = cut(&visible(&word(&lane.of)), Face::Words, HEAD_MM, room);
        pen.words(
            Face::Words,
            HEAD_MM,
            Ink::Full,
            (left + 1.5, TITLE_MM + 8.0 + 2.0 * (HEAD_MM + 0.7)),
            &of,
        );
        let names_mm = self.bars(pen, left, &lane.sizes) + LEADER_MM;
        let unwritten = self.names(pen, (left, names_mm, room), &lane.sizes);
        if unwritten > 0 {
            let says = cut(
                &say_count!(
                    unwritten,
                    "one name not written",
                    "{count} names not written"
                ),
                Face::Words,
                NOTE_MM,
                room,
            );
            pen.words(
                Face::Words,
                NOTE_MM,
                Ink::Soft,
                (left + 1.5, self.bottom_mm + NOTE_STEP_MM),
                &says,
            );
        }
    }

    /// A bar for the uncertainty and a mark for the value of each; a bar that would touch the
    /// one before it in its place steps aside, and after the last place it starts again. Gives where the last one
    /// stands in the lane.
    fn bars(&self, pen: &mut Pen, left: f64, sizes: &[ChartSize]) -> f64 {
        let mut ends = [f64::INFINITY; BARS];
        for (value, expanded) in sizes.iter().filter_map(values) {
            let (low, high) = (self.y(value - expanded), self.y(value + expanded));
            let free = ends.iter().position(|end| low + 0.4 < *end);
            let place = free.unwrap_or_else(|| {
                let highest = |a: &usize, b: &usize| ends[*a].total_cmp(&ends[*b]);
                (0..BARS).max_by(highest).unwrap_or(0)
            });
            ends[place] = high;
            let x = left + BAR_MM + place as f64 * BAR_STEP_MM;
            pen.line(Stroke::Bar, vec![(x, low), (x, high)]);
            pen.line(
                Stroke::Size,
                vec![(x - 0.8, self.y(value)), (x + 0.8, self.y(value))],
            );
        }
        let used = ends.iter().filter(|end| end.is_finite()).count();
        BAR_MM + used.saturating_sub(1) as f64 * BAR_STEP_MM
    }

    /// The names that have room; gives how many have none.
    fn names(
        &self,
        pen: &mut Pen,
        (left, names_mm, room): (f64, f64, f64),
        sizes: &[ChartSize],
    ) -> usize {
        let places: Vec<f64> = sizes
            .iter()
            .filter_map(|one| Some(self.y(values(one)?.0)))
            .collect();
        let kept = kept(&places, NAME_STEP_MM);
        let mut unwritten = 0;
        for (place, size) in sizes.iter().enumerate() {
            if !kept.contains(&place) {
                unwritten += size.names.len();
                continue;
            }
            let (text, written) = joined(&size.names, room - names_mm);
            unwritten += size.names.len() - written;
            let y = places[place];
            pen.line(
                Stroke::Leader,
                vec![(left + BAR_MM + 1.0, y), (left + names_mm - 0.5, y)],
            );
            pen.words(
                Face::Words,
                NAME_MM,
                Ink::Full,
                (left + names_mm, y + CAPITALS * NAME_MM),
                &text,
            );
        }
        unwritten
    }
}

/// Which of places in falling order can be named without touching: the ends first, then each that has room.
fn kept(places: &[f64], step: f64) -> Vec<usize> {
    let Some(last) = places.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut kept = vec![0];
    for place in 1..last {
        let before = places[kept[kept.len() - 1]];
        if before - places[place] >= step && places[place] - places[last] >= step {
            kept.push(place);
        }
    }
    if last > 0 && places[kept[kept.len() - 1]] - places[last] >= step {
        kept.push(last);
    }
    kept
}

/// As many names as there is room for, and how many they are; of those that do not fit together, one that fits. The
/// first is cut where none does.
fn joined(names: &[String], room: f64) -> (String, usize) {
    let fits = |text: &str| width_mm(text, Face::Words, NAME_MM) <= room;
    for count in (1..=names.len()).rev() {
        let shown: Vec<String> = names[..count].iter().map(|one| visible(one)).collect();
        let more = match names.len() - count {
            0 => String::new(),
            more => format!(" +{more}"),
        };
        let text = shown.join(", ") + &more;
        if fits(&text) {
            return (text, count);
        }
    }
    let alone = |one: &String| {
        let text = format!("{} +{}", visible(one), names.len() - 1);
        fits(&text).then_some((text, 1))
    };
    if let Some(found) = names.iter().find_map(alone) {
        return found;
    }
    let more = match names.len() {
        0 | 1 => String::new(),
        count => format!(" +{}", count - 1),
    };
    let left = room - width_mm(&more, Face::Words, NAME_MM);
    let first = names.first().map(|one| visible(one)).unwrap_or_default();
    (cut(&first, Face::Words, NAME_MM, left) + &more, 1)
}

/// Round values between two ends, by the smallest of 1, 2, 5, 10 … that gives no more than [`DIVISIONS`].
fn rounds(low: f64, high: f64) -> Vec<f64> {
    let least = (high - low) / DIVISIONS;
    let power = 10_f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0]
        .into_iter()
        .map(|one| one * power)
        .find(|step| *step >= least);
    let step = step.unwrap_or(10.0 * power);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(|count| count as f64 * step).collect()
}

/// Digits after the point that a step needs.
fn decimals(step: f64) -> usize {
    (0..6)
        .find(|&digits| {
            let scaled = step * 10_f64.powi(digits as i32);
            (scaled - scaled.round()).abs() < 1e-6
        })
        .unwrap_or(6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_are_named_and_nothing_touches() {
        let places = [100.0, 98.0, 93.0, 60.0, 54.0, 50.0];
        assert_eq!(kept(&places, 6.8), vec![0, 2, 3, 5]);
        assert_eq!(kept(&[3.0], 6.8), vec![0]);
        assert_eq!(kept(&[3.0, 1.0], 6.8), vec![0]);
        assert!(kept(&[], 6.8).is_empty());
    }

    #[test]
    fn scales_are_round() {
        assert_eq!(rounds(15.85, 17.24).len(), 14);
        assert_eq!(decimals(0.1), 1);
        assert_eq!(decimals(0.02), 2);
        assert_eq!(decimals(5.0), 0);
    }

    #[test]
    fn a_name_without_end_is_cut() {
        let (text, count) = joined(&["x".repeat(5000), "y".repeat(5000)], 20.0);
        assert_eq!(count, 1);
        assert!(text.ends_with("… +1"), "{text}");
        assert!(width_mm(&text, Face::Words, NAME_MM) <= 20.0);
    }
}
