//! Metal that cannot be.
//!
//! What a name states is put to its contour: every entry, and of a grid the corners, since
//! all between two pieces that can be can be too.

use std::collections::HashMap;
use std::sync::Arc;

use super::values::{Checked, Figures};
use crate::method::{Functional, Method, Quantity, no_metal};
use crate::profile::{Contour, ContourFigure, FIGURES, Gauge, Impossible, Known, Shape, figure};
use crate::route::{Piece, Stated};
use crate::scheme::figure::Sign;
use crate::scheme::meant::Series;
use crate::uncertainty::{Distribution, Estimate, Source};

/// The figures that pin a profile: one of the rim, one of the cup, one of the throat.
const PINS: [fn(Quantity) -> bool; 3] = [
    |quantity| matches!(quantity, Quantity::RimInnerDiameter | Quantity::DiscDepth),
    |quantity| matches!(quantity, Quantity::CupDepth | Quantity::CupVolume),
    |quantity| matches!(quantity, Quantity::ThroatDiameter),
];

/// Puts what is stated to a contour.
pub(super) struct Metal<'a> {
    /// The scheme's own contour.
    contour: Option<&'a Contour>,
    /// What is stated of each figure, mm or mm³; reused from row to row.
    values: Vec<Option<f64>>,
    /// What [`least_cup`] said before: a catalogue has few rims for many cups.
    least: HashMap<Rest, Option<f64>>,
}

/// All that the least cup depends on: the contour, the figure and the value of the rim, the
/// value of the throat, the figure of the cup.
type Rest = (*const Contour, (usize, u64), Option<u64>, Option<usize>);

impl<'a> Metal<'a> {
    pub fn new(contour: Option<&'a Contour>) -> Self {
        Self {
            contour,
            values: Vec::new(),
            least: HashMap::new(),
        }
    }

    /// Why the piece that states this cannot be; none where it can or nobody knows. What the
    /// piece itself states stands over its series, and that over what holds unmarked.
    pub fn impossible(
        &mut self,
        series: Option<&Series>,
        states: &[(usize, Sign)],
        figures: &Figures,
    ) -> Option<Impossible> {
        let implied = series.map_or(&[][..], |series| &series.implies);
        let told = implied.iter().chain(states).filter_map(|(place, sign)| {
            let checked = figures.get(*place)?;
            Some((&checked.figure.method, sign.span()))
        });
        if let Some(why) = no_metal(&told.collect::<Vec<_>>()) {
            return Some(Impossible(why));
        }
        let contour = series.map_or(self.contour, |series| series.contour.as_ref())?;
        let quantity = |checked: &Checked| checked.figure.method.quantity();
        let unmarked =
            |checked: &Checked| roomiest(quantity(checked), checked.figure.unmarked.as_ref()?);
        self.values.clear();
        self.values
            .extend(figures.all().map(|checked| checked.and_then(unmarked)));
        for (place, sign) in implied.iter().chain(states) {
            self.values[*place] = figures
                .get(*place)
                .and_then(|checked| roomiest(quantity(checked), sign));
        }
        let [rim, cup, throat] = PINS.map(|pin| pinned(&self.values, pin, figures));
        if self.surely_possible(rim?, cup, throat.map(|throat| throat.value), contour) {
            return None;
        }
        impossible([rim, cup, throat], contour)
    }

    /// Why what the piece states of rim and cup cannot all be so; none where it can, or where
    /// it states no more than is needed.
    pub fn contradiction(
        &self,
        series: Option<&Series>,
        states: &[(usize, Sign)],
        figures: &Figures,
    ) -> Option<String> {
        let contour = series.map_or(self.contour, |series| series.contour.as_ref())?;
        let checked = |place: usize| figures.get(place).map(|checked| &checked.figure);
        let of_kind = |pin: fn(Quantity) -> bool| {
            let quantities = states.iter().filter_map(|(place, _)| checked(*place));
            quantities
                .filter(|figure| pin(figure.method.quantity()))
                .count()
        };
        if of_kind(PINS[0]) == 0 || PINS.into_iter().all(|pin| of_kind(pin) < 2) {
            return None;
        }
        let stated = states.iter().filter_map(|(place, sign)| {
            let (figure, value) = (checked(*place)?, size(sign)?);
            let source = Source::new(&figure.name, figure.name.as_str(), Distribution::Normal);
            let u = figure.standard_uncertainty(sign);
            Some(Stated {
                estimate: Estimate::new(value, u, Arc::new(source)),
                method: figure.method.clone(),
                given: sign.text.as_str().into(),
                source: figure.source.as_str().into(),
            })
        });
        let piece = Piece::new(stated.collect(), Some(contour.clone()), &[]);
        piece.unsolved().map(ToString::to_string)
    }

    /// Whether metal can be, without solving for it: catalogues are long, and nearly all of
    /// their pieces can. Where this does not settle it the answer is no.
    fn surely_possible(
        &mut self,
        rim: Pinned<'_>,
        cup: Option<Pinned<'_>>,
        throat: Option<f64>,
        contour: &Contour,
    ) -> bool {
        let rest = (
            std::ptr::from_ref(contour),
            (rim.figure, rim.value.to_bits()),
            throat.map(f64::to_bits),
            cup.map(|cup| cup.figure),
        );
        let least = self.least.entry(rest).or_insert_with(|| {
            let method = cup.map(|cup| cup.method);
            least_cup((rim.method, rim.value), method, throat, contour)
        });
        least.is_some_and(|least| is_deeper(cup, least))
    }
}

/// The size that a sign states; of limits the end that leaves metal the most room, which is the narrowest
/// throat and of all else the largest: where not even that can be, nothing within can. None where that side is open.
fn roomiest(quantity: Quantity, sign: &Sign) -> Option<f64> {
    let span = sign.span();
    let end = match quantity {
        Quantity::ThroatDiameter => span.low,
        _ => span.high,
    };
    end.is_finite().then_some(end)
}

/// The size that a sign states; none where it states limits.
fn size(sign: &Sign) -> Option<f64> {
    sign.limits.is_none().then_some(sign.amount.amount.value)
}

/// Why metal of these values, by place of their figures, cannot be. Solved for only where it is
/// not sure without.
pub(super) fn impossible_values(
    values: &[Option<f64>],
    contour: &Contour,
    figures: &Figures,
) -> Option<Impossible> {
    let [rim, cup, throat] = PINS.map(|pin| pinned(values, pin, figures));
    let rim = rim?;
    let least = least_cup(
        (rim.method, rim.value),
        cup.map(|cup| cup.method),
        throat.map(|throat| throat.value),
        contour,
    );
    if least.is_some_and(|least| is_deeper(cup, least)) {
        return None;
    }
    impossible([Some(rim), cup, throat], contour)
}

/// Whether what is stated of a cup, if anything, is more than the least.
fn is_deeper(cup: Option<Pinned<'_>>, least: f64) -> bool {
    cup.is_none_or(|cup| least < cup.value)
}

fn impossible(pins: [Option<Pinned<'_>>; 3], contour: &Contour) -> Option<Impossible> {
    let stated: Vec<Stated> = pins.into_iter().flatten().map(stated).collect();
    Piece::impossible(&stated, contour)
}

/// Whether the figure at a place is of a kind that pins a profile.
pub(super) fn is_pinned(place: usize, figures: &Figures) -> bool {
    let quantity = figures
        .get(place)
        .map(|checked| checked.figure.method.quantity());
    quantity.is_some_and(|quantity| PINS.into_iter().any(|pin| pin(quantity)))
}

/// The first figure of a kind that has a value, and the value.
fn pinned<'f>(
    values: &[Option<f64>],
    pin: fn(Quantity) -> bool,
    figures: &'f Figures,
) -> Option<Pinned<'f>> {
    let valued = figures.all().zip(values).enumerate();
    let mut pinned = valued.filter_map(|(figure, (checked, value))| {
        Some(Pinned {
            figure,
            method: &checked?.figure.method,
            value: (*value)?,
        })
    });
    pinned.find(|pinned| pin(pinned.method.quantity()))
}

/// The figure at a place, its method and what that reads, mm or mm³.
#[derive(Clone, Copy, Debug)]
struct Pinned<'a> {
    figure: usize,
    method: &'a Method,
    value: f64,
}

fn stated(pinned: Pinned<'_>) -> Stated {
    let (given, source) = (String::new(), String::new());
    Stated {
        method: pinned.method.clone(),
        estimate: Estimate::exact(pinned.value),
        given: given.into(),
        source: source.into(),
    }
}

/// What the method of a cup reads of a piece that can be and whose cup is hardly deeper than
/// the seam: what is stated of a cup must be more. None where that does not settle it, and
/// less than anything where nothing is stated of a cup or of the throat that it ends in.
///
/// Every rim method reads twice the crest radius and something that the contour gives, and
/// every cup method reads more the deeper the cup; so the rim follows from one reading. A disc
/// reads neither so.
fn least_cup(
    (rim, rim_value): (&Method, f64),
    cup: Option<&Method>,
    throat: Option<f64>,
    contour: &Contour,
) -> Option<f64> {
    let form = ContourFigure::ALL.map(|which| contour.figure(which).value());
    let throat = throat.or(contour.throat.as_ref().map(Estimate::value));
    let cup = cup.zip(throat);
    let depth = form[ContourFigure::Seam as usize] + HARDLY_MM;
    let shape = |crest_radius: f64| {
        let mut figures = [0.0; FIGURES];
        figures[figure::CREST_RADIUS] = crest_radius;
        figures[figure::DEPTH] = depth;
        figures[figure::THROAT_RADIUS] = throat.unwrap_or_default() / 2.0;
        figures[figure::CONTOUR..figure::BEYOND].copy_from_slice(&form);
        Shape {
            figures,
            has_cup: cup.is_some(),
            known: Known::default(),
        }
    };
    let guess = Shape {
        has_cup: false,
        ..shape(rim_value)
    };
    let is_disc = |method: &Method| method.row.functional == Functional::DepthAtDiameter;
    if is_disc(rim) || cup.is_some_and(|(method, _)| is_disc(method)) {
        return None;
    }
    let read = rim.read(&guess.section())?;
    let shallowest = shape(rim_value + (rim_value - read) / 2.0);
    shallowest.possible().ok()?;
    cup.map_or(Some(f64::NEG_INFINITY), |(method, _)| {
        method.read(&shallowest.section())
    })
}

/// So little deeper than the seam a cup is nearly none.
const HARDLY_MM: f64 = 0.01;

/// What a template can say of the figures that pin a profile: the corners of it, each a list
/// of figures and signs.
pub(super) fn corners(fields: &[usize], figures: &Figures) -> Vec<Vec<(usize, Sign)>> {
    let mut corners = vec![Vec::new()];
    for pin in PINS {
        let of_kind = |place: &&usize| {
            figures
                .get(**place)
                .is_some_and(|checked| pin(checked.figure.method.quantity()))
        };
        let Some(place) = fields.iter().filter(of_kind).min() else {
            continue;
        };
        let Some((low, high)) = figures.get(*place).and_then(Checked::ends) else {
            continue;
        };
        let ends = if low == high {
            vec![low]
        } else {
            vec![low, high]
        };
        corners = corners
            .into_iter()
            .flat_map(|corner| ends.iter().map(move |end| extended(&corner, *place, end)))
            .collect();
    }
    corners
}

fn extended(corner: &[(usize, Sign)], place: usize, end: &Sign) -> Vec<(usize, Sign)> {
    let mut corner = corner.to_vec();
    corner.push((place, end.clone()));
    corner
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::method::{Across, AtTheCounter, MethodRow, Parameters};

    fn contour() -> Contour {
        let degrees = |angle: f64| Estimate::exact(angle.to_radians());
        let [crest, edge, seam, form] = [2.2, 0.9, 2.4, 0.75].map(Estimate::exact);
        Contour::new(
            [crest, edge, degrees(62.0), degrees(12.0), seam, form],
            None,
        )
    }

    fn methods(wanted: Quantity) -> Vec<Method> {
        let method = |(functional, name, quantities): (Functional, &str, &[Quantity])| {
            let defaults = Parameters {
                at_mm: Some(1.5),
                across: Some(Across::Seam),
                ..Parameters::default()
            };
            let row = MethodRow {
                quantity: *quantities.first()?,
                name: name.to_owned(),
                functional,
                says: String::new(),
                neutral: false,
                reading: None,
                source: String::new(),
                defaults,
                at_the_counter: AtTheCounter::default(),
            };
            (row.quantity == wanted).then(|| Method {
                row: Arc::new(row),
                parameters: defaults,
            })
        };
        Functional::ALL.into_iter().filter_map(method).collect()
    }

    /// Over all methods and sizes from far too small to far too large: what is said to be
    /// possible can be solved, and little that can be solved is left to the solver.
    #[test]
    fn what_is_surely_possible_can_be_solved() {
        let (contour, throat) = (contour(), methods(Quantity::ThroatDiameter).remove(0));
        let (mut settled, mut solved) = (0, 0);
        let cups = [(Quantity::CupDepth, 0.5), (Quantity::CupVolume, 150.0)];
        for rim in methods(Quantity::RimInnerDiameter) {
            for (quantity, step) in cups {
                for cup in methods(quantity) {
                    for size in 0..800 {
                        let pinned = |figure, method, value| Pinned {
                            figure,
                            method,
                            value,
                        };
                        let rim = pinned(0, &rim, f64::from(size % 20) * 1.5 + 8.0);
                        let cup = pinned(1, &cup, f64::from(size / 20) * step);
                        let throat = pinned(2, &throat, [2.0, 4.0, 6.0, 14.0][size as usize % 4]);
                        let sure = Metal::new(None).surely_possible(
                            rim,
                            Some(cup),
                            Some(throat.value),
                            &contour,
                        );
                        let stated = [rim, cup, throat].map(stated);
                        let fault = Piece::impossible(&stated, &contour);
                        assert!(
                            !sure || fault.is_none(),
                            "{rim:?} {cup:?} {throat:?}: {fault:?}"
                        );
                        settled += usize::from(sure);
                        solved += usize::from(fault.is_none());
                    }
                }
            }
        }
        assert!(
            settled * 100 > solved * 97,
            "{settled} of {solved} are settled without solving"
        );
    }
}
