//! Contours, of the scheme and of its series.

use std::sync::Arc;

use crate::language::{Digits, Sentence, Word};
use crate::profile::{Class, Contour, ContourFigure, FIGURES, Known, Shape, figure};
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::tables::Tables;
use crate::scheme::written;
use crate::uncertainty::{Distribution, Estimate, Source};
use crate::unit::{AmountWithSpread, Dimension, Spread};
use crate::yaml::{Path, Text};

/// Who holds a contour: it shares the doubt of its figures with nobody else.
pub(super) struct Holder<'a> {
    /// The scheme's name.
    pub scheme: &'a str,
    /// For people.
    pub title: &'a str,
    /// The series' name; none for the scheme's own contour.
    pub series: Option<&'a str>,
}

impl Holder<'_> {
    fn key(&self) -> String {
        format!("{}/{}", self.scheme, self.series.unwrap_or("-"))
    }

    fn label(&self, which: ContourFigure) -> Sentence {
        match self.series {
            Some(series) => sentence!(
                "{figure} of {scheme}, series {series}",
                figure = Word(which.name()),
                scheme = self.title.to_owned(),
                series
            ),
            None => sentence!(
                "{figure} of {scheme}",
                figure = Word(which.name()),
                scheme = self.title.to_owned()
            ),
        }
    }
}

/// A contour as far as it is written.
#[derive(Clone, Default)]
pub(super) struct Form<'a> {
    class: Option<&'a Class>,
    figures: [Option<Estimate>; 6],
    /// Whether something in it could not be read.
    faulty: bool,
}

impl<'a> Form<'a> {
    /// What is written there.
    pub fn read(
        written: &written::Contour,
        holder: &Holder<'_>,
        (tables, path): (&'a Tables, &Path),
        faults: &mut Faults<'_>,
    ) -> Self {
        let before = faults.errors();
        let class = written.class.as_ref();
        let class = class.and_then(|name| faults.keep(&path.key("class"), tables.class(name)));
        let mut figures: [Option<Estimate>; 6] = Default::default();
        for (which, text) in texts(written) {
            let estimate = text.as_ref().map(|text| estimate(text, which, holder));
            let path = path.key(which.name());
            figures[which as usize] = estimate.and_then(|estimate| faults.keep(&path, estimate));
        }
        Self {
            class,
            figures,
            faulty: faults.errors() > before,
        }
    }

    /// This form over another: what it says stands.
    pub fn over(self, under: &Self) -> Self {
        let figures = std::array::from_fn(|place| {
            self.figures[place]
                .clone()
                .or_else(|| under.figures[place].clone())
        });
        let faulty = self.faulty || under.faulty;
        Self {
            class: self.class.or(under.class),
            figures,
            faulty,
        }
    }

    /// The contour, complete with the figures of its class; none where it is not, with a note
    /// at `path` if there is one.
    pub fn contour(
        &self,
        holder: &Holder<'_>,
        path: Option<&Path>,
        faults: &mut Faults<'_>,
    ) -> Option<Contour> {
        let key = holder.key();
        let figure = |which: ContourFigure| {
            let own = self.figures[which as usize].clone();
            own.or_else(|| self.class.map(|class| class.figure(which, &key)))
        };
        let figures = ContourFigure::ALL.map(figure);
        let lacking: Vec<&str> = ContourFigure::ALL
            .into_iter()
            .filter(|which| figures[*which as usize].is_none())
            .map(ContourFigure::name)
            .collect();
        if let (false, false, Some(path)) = (lacking.is_empty(), self.faulty, path) {
            faults.warning(path, incomplete(&lacking));
        }
        let figures = ContourFigure::of_each(figures)?;
        let throat = self.class.map(|class| class.throat(&key));
        let contour = Contour::new(figures, throat);
        let possible = possible(&contour)
            .map(|()| contour)
            .map_err(|fault| Finding::new("impossible-metal", fault));
        match path {
            Some(path) => possible
                .map_err(|finding| faults.error_on(&Spot::Key(path.clone()), finding))
                .ok(),
            None => possible.ok(),
        }
    }
}

/// Whether a contour clashes with itself, whatever stands on it; if so, why.
pub(super) fn possible(contour: &Contour) -> Result<(), Sentence> {
    let degrees = |which| contour.figure(which).value().to_degrees();
    let (join, wall) = (degrees(ContourFigure::Join), degrees(ContourFigure::Wall));
    if wall >= join {
        return Err(sentence!(
            "a wall at {wall}° to the axis cannot follow a join at {join}°",
            wall = Digits(format!("{:.1}", wall)),
            join = Digits(format!("{:.1}", join))
        ));
    }
    let mut figures = [0.0; FIGURES];
    figures[figure::CREST_RADIUS] = WIDE_MM;
    let form = ContourFigure::ALL.map(|which| contour.figure(which).value());
    figures[figure::CONTOUR..figure::BEYOND].copy_from_slice(&form);
    let rim = Shape {
        figures,
        has_cup: false,
        known: Known::default(),
    };
    rim.possible().map_err(|fault| fault.0)
}

/// A rim so wide that what clashes on it clashes by the contour alone.
const WIDE_MM: f64 = 100.0;

fn incomplete(lacking: &[&str]) -> Finding {
    let message = sentence!(
        "the contour lacks `{lacking}`, so that no measure is carried to another method by it",
        lacking = lacking.join("`, `")
    );
    Finding::new("contour-incomplete", message).hint(sentence!("add them, or a `class`"))
}

fn texts(written: &written::Contour) -> [(ContourFigure, &Option<Text>); 6] {
    [
        (ContourFigure::Crest, &written.crest),
        (ContourFigure::Edge, &written.edge),
        (ContourFigure::Join, &written.join),
        (ContourFigure::Wall, &written.wall),
        (ContourFigure::Seam, &written.seam),
        (ContourFigure::Form, &written.form),
    ]
}

/// Refuses a figure whose limits no mouthpiece has, as a form of 0.5 ± 3.
fn limits_plausible(
    text: &str,
    which: ContourFigure,
    (value, spread): (f64, Spread),
) -> Result<(), Finding> {
    let reach = match spread {
        Spread::Limits { half_width } => half_width,
        Spread::Standard { u } => u,
    };
    // Limits are decimals: an end that is only rounded out of the range is in it.
    let inward = (reach - ROUNDED).max(0.0);
    for end in [value - inward, value + inward] {
        amounts::plausible_form(which, end).map_err(|mut finding| {
            finding.message = sentence!(
                "`{text}` reaches {message}",
                text,
                message = finding.message.clone()
            );
            finding.hint(sentence!("narrow its limits"))
        })?;
    }
    Ok(())
}

const ROUNDED: f64 = 1e-9;

fn estimate(text: &str, which: ContourFigure, holder: &Holder<'_>) -> Result<Estimate, Finding> {
    let dimension = amounts::dimension_of(which);
    let (amount, spread) = amounts::limited(text, dimension)?;
    amounts::plausible_form(which, amount.value)?;
    limits_plausible(text, which, (amount.value, spread))?;
    let read = AmountWithSpread {
        amount,
        spread: Some(spread),
    };
    let read = if dimension == Dimension::Angle {
        amounts::in_radians(read)
    } else {
        read
    };
    let key = format!("{}/contour/{}", holder.key(), which.name());
    let source = |distribution| {
        Arc::new(Source::new(key, holder.label(which), distribution).in_unit(which.unit()))
    };
    let value = read.amount.value;
    Ok(match read.spread.unwrap_or(spread) {
        Spread::Limits { half_width } => {
            Estimate::rectangular(value, half_width, source(Distribution::Rectangular))
        }
        Spread::Standard { u } => Estimate::new(value, u, source(Distribution::Normal)),
    })
}
