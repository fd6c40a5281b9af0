//! Metal that cannot be.
//!
//! What a name states is put to its contour: every entry, and of a grid the corners, since
//! all between two pieces that can be can be too.

use super::values::{Checked, Figures};
use crate::method::Quantity;
use crate::profile::{Contour, Impossible};
use crate::route::{Piece, Stated};
use crate::scheme::figure::Sign;
use crate::scheme::meant::Series;
use crate::uncertainty::Estimate;

/// The figures that pin a profile: one of the rim, one of the cup, one of the throat.
const PINS: [fn(Quantity) -> bool; 3] = [
    |quantity| matches!(quantity, Quantity::RimInnerDiameter),
    |quantity| matches!(quantity, Quantity::CupDepth | Quantity::CupVolume),
    |quantity| matches!(quantity, Quantity::ThroatDiameter),
];

/// Puts what is stated to a contour.
pub(super) struct Metal<'a> {
    /// The scheme's own contour.
    contour: Option<&'a Contour>,
    /// What is stated of each figure, mm or mm³; reused from row to row.
    values: Vec<Option<f64>>,
}

impl<'a> Metal<'a> {
    pub fn new(contour: Option<&'a Contour>) -> Self {
        Self {
            contour,
            values: Vec::new(),
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
        let contour = series.map_or(self.contour, |series| series.contour.as_ref())?;
        let unmarked =
            |checked: &Checked| Some(checked.figure.unmarked.as_ref()?.amount.amount.value);
        self.values.clear();
        self.values
            .extend(figures.all().map(|checked| checked.and_then(unmarked)));
        let implied = series.map_or(&[][..], |series| &series.implies);
        for (place, sign) in implied.iter().chain(states) {
            self.values[*place] = Some(sign.amount.amount.value);
        }
        let stated: Vec<Stated> = PINS
            .into_iter()
            .filter_map(|pin| self.stated(pin, figures))
            .collect();
        Piece::impossible(&stated, contour)
    }

    /// The first figure of a kind that has a value.
    fn stated(&self, pin: fn(Quantity) -> bool, figures: &Figures) -> Option<Stated> {
        let valued = figures.all().zip(&self.values);
        valued
            .filter_map(|(checked, value)| Some((checked?, (*value)?)))
            .find_map(|(checked, value)| {
                let method = &checked.figure.method;
                pin(method.quantity()).then(|| Stated {
                    method: method.clone(),
                    estimate: Estimate::exact(value),
                    given: String::new(),
                    source: String::new(),
                })
            })
    }
}

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
