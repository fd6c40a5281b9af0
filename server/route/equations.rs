//! Which equations pin a piece, and for which figures they are solved.
//!
//! "This maker's figure by this method is 16.34 mm" is an equation. Which of the stated
//! figures take part depends on what else is known: a backbore's mean bore pins how it
//! opens only where throat, exit and length are known too. What takes no part stays a
//! figure of its own.

use super::matrix::Matrix;
use crate::language::{Digits, Sentence};
use crate::method::InWords;
use crate::method::{Functional, Method, Quantity};
use crate::profile::{Contour, FIGURES, Impossible, Known, Shape, figure};
use crate::uncertainty::Estimate;

/// A method and what it reads, mm or mm³.
pub type Reading<'a> = (&'a Method, &'a Estimate);

/// The equations of one piece with their unknowns, and the inputs that they have.
///
/// The inputs are, in this order: the readings that take part, the six contour figures, and
/// the throat diameter where the contour lends one.
#[derive(Clone, Debug)]
pub struct Equations<'a> {
    pub(super) readings: Vec<(usize, Reading<'a>)>,
    pub(super) unknowns: Vec<usize>,
    pub(super) has_cup: bool,
    pub(super) known: Known,
    contour: &'a Contour,
    lent: Option<&'a Estimate>,
}

/// Figures that a single quantity pins, whatever else is known.
const ALONE: [(Quantity, usize); 4] = [
    (Quantity::ThroatDiameter, figure::THROAT_RADIUS),
    (Quantity::ThroatLength, figure::THROAT_LENGTH),
    (Quantity::ExitDiameter, figure::EXIT_RADIUS),
    (Quantity::RimOuterDiameter, figure::RIM_OUTER),
];

impl<'a> Equations<'a> {
    /// Of everything that is stated, and a contour. None where nothing states the rim.
    pub fn new(stated: &[Reading<'a>], contour: &'a Contour) -> Option<Self> {
        let states = |wanted: &[Quantity]| {
            let mut all = stated.iter();
            all.any(|(method, _)| solvable(method) && wanted.contains(&method.quantity()))
        };
        if !states(&RIM) {
            return None;
        }
        let lent = contour
            .throat
            .as_ref()
            .filter(|_| !states(&[Quantity::ThroatDiameter]));
        let has_cup = states(&CUP) && (lent.is_some() || states(&[Quantity::ThroatDiameter]));
        let mut equations = Self {
            readings: Vec::new(),
            unknowns: vec![figure::CREST_RADIUS],
            has_cup,
            known: Known::default(),
            contour,
            lent: lent.filter(|_| has_cup),
        };
        if has_cup {
            equations.unknowns.push(figure::DEPTH);
        }
        equations.beyond(stated);
        let readings = stated.iter().copied().enumerate();
        equations.readings = readings
            .filter(|(_, (method, _))| equations.takes(method))
            .collect();
        Some(equations)
    }

    /// Adds the unknowns beyond rim and cup that are pinned.
    fn beyond(&mut self, stated: &[Reading<'_>]) {
        let any = |wanted: &dyn Fn(&Method) -> bool| {
            let mut all = stated.iter();
            all.any(|(method, _)| solvable(method) && wanted(method))
        };
        let of = |quantity: Quantity| any(&|method| method.quantity() == quantity);
        for (quantity, place) in ALONE {
            self.pins(place, of(quantity));
        }
        self.pins(figure::RIM_OUTER, of(Quantity::RimWidth));
        let outer = self.known.has(figure::RIM_OUTER);
        let cushion = any(&|method| {
            let functional = method.row.functional;
            functional == Functional::Flat || (outer && functional == Functional::CushionAtDepth)
        });
        self.pins(figure::FLAT, cushion);
        let ends = [figure::THROAT_RADIUS, figure::EXIT_RADIUS];
        let bore = ends.into_iter().all(|place| self.known.has(place))
            && of(Quantity::BackboreLength)
            && (of(Quantity::BackboreBore) || of(Quantity::PlugDepth));
        self.pins(figure::BACKBORE_LENGTH, bore);
        self.pins(figure::BACKBORE_POWER, bore);
        self.shank(stated, of(Quantity::ShankLength));
    }

    /// A shank is pinned by a diameter and its taper, or by two diameters apart.
    fn shank(&mut self, stated: &[Reading<'_>], has_length: bool) {
        let distances: Vec<f64> = stated
            .iter()
            .filter(|(method, _)| method.row.functional == Functional::ShankAtDistance)
            .filter_map(|(method, _)| method.parameters.distance_mm)
            .collect();
        let taper = stated
            .iter()
            .any(|(method, _)| method.row.functional == Functional::ShankTaper);
        let apart = distances.iter().any(|one| *one != distances[0]);
        let pinned = apart || (taper && !distances.is_empty());
        self.pins(figure::SHANK_END, pinned);
        self.pins(figure::SHANK_GROWTH, pinned);
        self.pins(figure::SHANK_LENGTH, pinned && has_length);
    }

    fn pins(&mut self, place: usize, pinned: bool) {
        if pinned && !self.known.has(place) {
            self.known = self.known.with(place);
            self.unknowns.push(place);
        }
    }

    /// Whether a reading takes part.
    fn takes(&self, method: &Method) -> bool {
        let known = |place: usize| self.known.has(place);
        let functional = method.row.functional;
        solvable(method)
            && match method.quantity() {
                Quantity::RimInnerDiameter | Quantity::DiscDepth | Quantity::EdgeRadius => true,
                Quantity::CupDepth | Quantity::CupVolume => self.has_cup,
                Quantity::ThroatDiameter => known(figure::THROAT_RADIUS),
                Quantity::ThroatLength => known(figure::THROAT_LENGTH),
                Quantity::RimOuterDiameter | Quantity::RimWidth => known(figure::RIM_OUTER),
                Quantity::CushionWidth => {
                    known(figure::FLAT)
                        && (functional == Functional::Flat || known(figure::RIM_OUTER))
                }
                Quantity::ExitDiameter => known(figure::EXIT_RADIUS),
                Quantity::BackboreLength | Quantity::BackboreBore | Quantity::PlugDepth => {
                    known(figure::BACKBORE_POWER)
                }
                Quantity::ShankDiameter | Quantity::ShankTaper => known(figure::SHANK_END),
                Quantity::ShankLength | Quantity::InsertionDepth => known(figure::SHANK_LENGTH),
            }
    }

    /// Everything that goes in, in order.
    pub fn inputs(&self) -> impl Iterator<Item = &'a Estimate> {
        let contour = self.contour;
        let readings = self.readings.iter().map(|(_, (_, estimate))| *estimate);
        let form = crate::profile::ContourFigure::ALL.map(|which| contour.figure(which));
        readings.chain(form).chain(self.lent)
    }

    /// Where the figure that an input gives stands, with the factor between them; none for
    /// readings.
    pub(super) fn figure_of(&self, input: usize) -> Option<(usize, f64)> {
        match input.checked_sub(self.readings.len())? {
            form @ 0..6 => Some((figure::CONTOUR + form, 1.0)),
            _ => Some((figure::THROAT_RADIUS, 0.5)),
        }
    }

    /// Refuses readings that no gauge shows, with the limit that they break.
    pub(super) fn plain(&self, inputs: &[f64]) -> Result<(), Impossible> {
        let refused = |says: Sentence| Err(Impossible(says));
        let readings = self.readings.iter().zip(inputs);
        for ((_, (method, _)), value) in readings {
            let quantity = method.quantity();
            if !value.is_finite() {
                return refused(sentence!(
                    "{quantity} by {method} is {value}",
                    quantity = quantity.in_words(),
                    method = InWords((*method).clone()),
                    value = Digits(value.to_string())
                ));
            }
            if *value <= 0.0 && !MAY_BE_ZERO.contains(&quantity) {
                return refused(sentence!(
                    "{quantity} by {method} is {value}, not above zero",
                    quantity = quantity.in_words(),
                    method = InWords((*method).clone()),
                    value = Digits(value.to_string())
                ));
            }
            let length = self.stated(Quantity::ShankLength, inputs);
            let past = method.parameters.distance_mm.filter(|at| {
                quantity == Quantity::ShankDiameter
                    && self.known.has(figure::SHANK_LENGTH)
                    && *at > length
            });
            if let Some(at) = past {
                return refused(sentence!(
                    "shank diameter at {at} mm from the end of a shank of {length} mm",
                    at = Digits(at.to_string()),
                    length = Digits(format!("{length:.2}"))
                ));
            }
        }
        Ok(())
    }

    /// Covariances of the inputs.
    pub(super) fn covariance(&self) -> Matrix {
        let inputs: Vec<&Estimate> = self.inputs().collect();
        Matrix::new(inputs.len(), inputs.len(), |row, column| {
            let floor = if row == column && row < self.readings.len() {
                FLOOR * FLOOR
            } else {
                0.0
            };
            inputs[row].covariance(inputs[column]) + floor
        })
    }

    /// A shape with these inputs and a first guess of the unknowns.
    pub(super) fn start(&self, inputs: &[f64]) -> Shape {
        let mut shape = self.with_inputs(
            Shape {
                figures: [0.0; FIGURES],
                has_cup: false,
                known: Known::default(),
            },
            inputs,
        );
        let crest = self.crest(&shape, inputs);
        shape.figures[figure::CREST_RADIUS] = crest;
        let seam = shape.section().seam_depth();
        shape.has_cup = self.has_cup;
        shape.known = self.known;
        for &unknown in &self.unknowns {
            shape.figures[unknown] = match unknown {
                figure::CREST_RADIUS => crest,
                figure::DEPTH => seam + crest,
                figure::BACKBORE_POWER => 1.0,
                figure::SHANK_GROWTH => USUAL_GROWTH,
                figure::RIM_OUTER => crest + USUAL_WIDTH_MM,
                figure::SHANK_END => self.stated(Quantity::ShankDiameter, inputs) / 2.0,
                figure::FLAT => 0.0,
                figure::BACKBORE_LENGTH => self.stated(Quantity::BackboreLength, inputs),
                figure::SHANK_LENGTH => self.stated(Quantity::ShankLength, inputs),
                place => self.alone(place, inputs),
            };
        }
        shape
    }

    /// The inputs that are figures, in their places.
    pub(super) fn with_inputs(&self, mut shape: Shape, inputs: &[f64]) -> Shape {
        for (input, value) in inputs.iter().enumerate() {
            if let Some((place, factor)) = self.figure_of(input) {
                shape.figures[place] = value * factor;
            }
        }
        shape
    }

    /// A rim keeps its form whatever its size, so that its first reading gives the crest at
    /// once: from a rim that is some size, by how much it is off.
    fn crest(&self, shape: &Shape, inputs: &[f64]) -> f64 {
        let rims = self.readings.iter().zip(inputs);
        let mut rims = rims.filter(|((_, (method, _)), _)| RIM.contains(&method.quantity()));
        let Some(((_, (method, _)), &stated)) = rims.next() else {
            return 0.0;
        };
        let wanted = method.parameters.diameter_mm.unwrap_or(stated);
        let mut guess = *shape;
        guess.figures[figure::CREST_RADIUS] = wanted;
        let read = match method.quantity() {
            Quantity::DiscDepth => guess.section().radius_at(stated).map(|radius| 2.0 * radius),
            _ => guess.read(*method),
        };
        read.map_or(0.5 * wanted, |read| wanted + 0.5 * (wanted - read))
    }

    fn stated(&self, quantity: Quantity, inputs: &[f64]) -> f64 {
        let stated = self.readings.iter().zip(inputs);
        let mut stated = stated.filter(|((_, (method, _)), _)| method.quantity() == quantity);
        stated.next().map_or(0.0, |(_, value)| *value)
    }

    fn alone(&self, place: usize, inputs: &[f64]) -> f64 {
        let quantity = ALONE.into_iter().find(|(_, one)| *one == place);
        let value = quantity.map_or(0.0, |(quantity, _)| self.stated(quantity, inputs));
        match place {
            figure::THROAT_RADIUS | figure::EXIT_RADIUS => value / 2.0,
            _ => value,
        }
    }
}

/// Quantities that pin the rim.
pub(super) const RIM: [Quantity; 2] = [Quantity::RimInnerDiameter, Quantity::DiscDepth];

/// Quantities that pin the cup.
pub(super) const CUP: [Quantity; 2] = [Quantity::CupDepth, Quantity::CupVolume];

/// Quantities of which a piece may have none; below zero they are refused as metal.
const MAY_BE_ZERO: [Quantity; 2] = [Quantity::ThroatLength, Quantity::CushionWidth];

/// A reading without doubt that is one of too many is still no surer than a nanometre (or
/// 1e-6 mm³), so that the weights stay finite.
const FLOOR: f64 = 1e-6;

/// Where the outside of a rim is looked for first, beyond the crest, mm.
const USUAL_WIDTH_MM: f64 = 5.0;

/// The taper that a shank is first taken to have: 1 in 20, common practice, no source.
const USUAL_GROWTH: f64 = 0.05;

fn solvable(method: &Method) -> bool {
    method.row.functional != Functional::AsStated
}
