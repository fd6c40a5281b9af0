//! From what a stamp or an entry says to a piece of metal.
//!
//! Each figure has one value: what the stamp says stands over the entry, the entry over the
//! series, the series over what holds unmarked. Marks then act on the result. The
//! sources of doubt get their identity here: a series shares the doubt of its contour,
//! a piece has its own turning tolerance.

use std::collections::HashMap;
use std::sync::Arc;

use super::figure::Sign;
use super::meant::{Effect, Instrument, PartKind, Scheme, Stamp, Target, TraceOf, Years};
use super::template::Field;
use crate::language::Sentence;
use crate::method::Quantity;
use crate::profile::{Contour, ContourFigure, Trace};
use crate::route::{Limited, Piece, Stated};
use crate::uncertainty::{Distribution, Estimate, Interval, Source};
use crate::unit::{AmountWithSpread, Span, Spread};

/// One thing that a stamp says.
#[derive(Clone, Debug, PartialEq)]
pub enum Binding {
    /// A series, by one of its words.
    Series {
        /// Place of the series.
        series: usize,
        /// Place of the word.
        word: usize,
    },
    /// An entry of the catalogue.
    Entry(usize),
    /// A sign of a figure.
    Figure(usize, Sign),
    /// A code of a mark.
    Mark {
        /// Place of the mark.
        mark: usize,
        /// Place of the code.
        code: usize,
    },
}

impl Binding {
    /// The canonical sign of this binding where it fills `field`.
    pub fn sign(&self, scheme: &Scheme, field: Field) -> Option<String> {
        match (self, field) {
            (Self::Series { series, .. }, Field::Series) => {
                Some(scheme.series[*series].words[0].0.clone())
            }
            (Self::Entry(entry), Field::Entry) => Some(scheme.entries[*entry].name.clone()),
            (Self::Figure(one, sign), Field::Figure(other)) if *one == other => {
                Some(sign.text.clone())
            }
            (Self::Mark { mark, code }, Field::Mark(other)) if *mark == other => {
                Some(scheme.marks[*mark].codes[*code].code.clone())
            }
            _ => None,
        }
    }
}

/// Why a figure has its value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// The stamp says it.
    Stamped,
    /// The entry of that name says it.
    Entry(String),
    /// The series of that name implies it.
    Series(String),
    /// Nothing is marked.
    Unmarked,
}

/// The value of one figure and why it is so.
#[derive(Clone, Debug)]
pub struct Given {
    /// Place of the figure in the scheme.
    pub figure: usize,
    /// The sign that gives it.
    pub sign: Sign,
    /// Why.
    pub reason: Reason,
    /// Codes of marks that altered it.
    pub altered_by: Vec<String>,
    /// What it states, with all its doubt, base unit.
    pub states: States,
}

/// What a figure states.
#[derive(Clone, Debug)]
pub enum States {
    /// A size.
    Size(Estimate),
    /// Limits and nothing of where between: "shallow" is 9.0..10.0 mm.
    Limits(Interval),
}

impl States {
    /// The size; none where only limits are stated.
    pub fn size(&self) -> Option<&Estimate> {
        match self {
            Self::Size(estimate) => Some(estimate),
            Self::Limits(_) => None,
        }
    }

    /// All that it may be, without doubt: for ranking.
    pub fn span(&self) -> Span {
        match self {
            Self::Size(estimate) => Span::at(estimate.value()),
            Self::Limits(interval) => interval.span(),
        }
    }

    /// The size, or each end, changed by `change`, which must rise throughout.
    fn changed(&self, change: impl Fn(&Estimate) -> Estimate) -> Self {
        match self {
            Self::Size(estimate) => Self::Size(change(estimate)),
            Self::Limits(interval) => Self::Limits(interval.changed(change)),
        }
    }
}

/// A piece as a scheme makes it.
#[derive(Clone, Debug)]
pub struct Made {
    /// The metal.
    pub piece: Piece,
    /// Its figures and why each has its value.
    pub figures: Vec<Given>,
    /// What is said besides, each with what says it: ("heat-treated", "mark H").
    pub says: Vec<(String, Sentence)>,
    /// When it can have been made.
    pub years: Years,
}

impl Scheme {
    /// The instruments that a piece serves of which this is said: those of its series, where it
    /// names any.
    pub fn instruments(&self, bindings: &[Binding]) -> &[Instrument] {
        let series = self.maker(bindings, &[]).series();
        let own = series.map_or(&[][..], |place| &self.series[place].serves);
        if own.is_empty() { &self.serves } else { own }
    }

    /// The piece of which `stamps` (places in the scheme, one a part) say `bindings`. Equal
    /// bindings are the same piece: they share the doubt of its turning.
    pub fn make(&self, bindings: &[Binding], stamps: &[usize]) -> Made {
        self.made(self.maker(bindings, stamps))
    }

    /// Another piece of that name, not the one at hand: it was turned and measured by itself, and
    /// shares with others what its series shares.
    pub fn make_another(&self, bindings: &[Binding], stamps: &[usize]) -> Made {
        let mut maker = self.maker(bindings, stamps);
        maker.identity.insert_str(0, "another ");
        self.made(maker)
    }

    fn made(&self, maker: Maker<'_>) -> Made {
        let series = maker.series();
        let (figures, contour) = maker.given();
        let mut stated: Vec<Stated> = (figures.iter())
            .filter_map(|given| self.stated(given))
            .collect();
        let backbore = match series {
            Some(place) if !maker.lacks_backbore() => &self.series[place].backbore[..],
            _ => &[],
        };
        stated.extend_from_slice(unless_stated(backbore, &stated));
        let limited: Vec<Limited> = (figures.iter())
            .filter_map(|given| self.limited(given))
            .collect();
        let declared: Vec<_> = self
            .declared
            .iter()
            .filter(|_| !maker.alters_form())
            .filter(|one| {
                one.series.is_empty() || series.is_some_and(|place| one.series.contains(&place))
            })
            .map(|one| one.offset.clone())
            .collect();
        // A specimen says nothing of where another piece lies within limits.
        let trace = maker.trace(series, &stated).filter(|_| limited.is_empty());
        let piece = Piece::new(stated, contour, &declared).with_limits(limited);
        Made {
            piece: match trace {
                Some(trace) => piece.with_trace(trace),
                None => piece,
            },
            figures,
            says: maker.says(series),
            years: maker.years(),
        }
    }

    /// The figures and the form of such a piece, without its metal.
    pub(crate) fn given(
        &self,
        bindings: &[Binding],
        stamps: &[usize],
    ) -> (Vec<Given>, Option<Contour>) {
        self.maker(bindings, stamps).given()
    }

    fn maker<'a>(&'a self, bindings: &'a [Binding], stamps: &'a [usize]) -> Maker<'a> {
        Maker {
            scheme: self,
            bindings,
            stamps,
            identity: identity(bindings),
        }
    }

    fn stated(&self, given: &Given) -> Option<Stated> {
        let figure = &self.figures[given.figure];
        Some(Stated {
            method: figure.method.clone(),
            estimate: given.states.size()?.clone(),
            given: given.sign.text.as_str().into(),
            source: format!("{}, {}", self.title, figure.source).into(),
        })
    }

    fn limited(&self, given: &Given) -> Option<Limited> {
        let States::Limits(interval) = &given.states else {
            return None;
        };
        let figure = &self.figures[given.figure];
        Some(Limited {
            method: figure.method.clone(),
            interval: interval.clone(),
            given: given.sign.text.as_str().into(),
            source: format!("{}, {}", self.title, figure.source).into(),
        })
    }
}

/// The form of a series' backbore, or nothing: a piece that states any figure of it has another, and so
/// has one whose throat is as wide as the form is further down.
fn unless_stated<'a>(form: &'a [Stated], stated: &[Stated]) -> &'a [Stated] {
    use crate::method::Quantity::{BackboreBore, ExitDiameter, ThroatDiameter};
    let quantity = |one: &Stated| one.method.quantity();
    let too_wide = |below: &Stated, throat: &Stated| {
        quantity(throat) == ThroatDiameter
            && matches!(quantity(below), BackboreBore | ExitDiameter)
            && throat.estimate.value() >= below.estimate.value()
    };
    let clashes = |one: &Stated| {
        let mut stated = stated.iter();
        stated.any(|other| quantity(one) == quantity(other) || too_wide(one, other))
    };
    if form.iter().any(clashes) { &[] } else { form }
}

/// By how much the metal of a piece may be wider and deeper than its figures say: about zero,
/// with their doubt. None where it states no rim; no depth where it states no cup.
fn differing(stated: &[Stated]) -> Option<(Estimate, Option<Estimate>)> {
    let first = |quantity: Quantity| {
        let mut all = stated.iter();
        let found = all.find(|one| one.method.quantity() == quantity);
        found.map(|one| &one.estimate)
    };
    let about_zero = |estimate: &Estimate| estimate.offset(-estimate.value());
    let rim = first(Quantity::RimInnerDiameter)?;
    // A volume doubts the depth by as much as fits into a cylinder of the rim.
    let mouth = std::f64::consts::FRAC_PI_4 * rim.value() * rim.value();
    let by_volume = || first(Quantity::CupVolume).map(|one| about_zero(one).scaled(1.0 / mouth));
    let deeper = first(Quantity::CupDepth).map(about_zero).or_else(by_volume);
    Some((about_zero(rim), deeper))
}

/// Names a piece among those of its scheme.
fn identity(bindings: &[Binding]) -> String {
    let mut words: Vec<String> = bindings
        .iter()
        .map(|binding| match binding {
            Binding::Series { series, .. } => format!("s{series}"),
            Binding::Entry(entry) => format!("e{entry}"),
            Binding::Figure(figure, sign) => format!("f{figure}={}", sign.text),
            Binding::Mark { mark, code } => format!("m{mark}={code}"),
        })
        .collect();
    words.sort();
    words.join(" ")
}

struct Maker<'a> {
    scheme: &'a Scheme,
    bindings: &'a [Binding],
    stamps: &'a [usize],
    identity: String,
}

impl Maker<'_> {
    /// The figures in their order and the form, as marks leave them.
    fn given(&self) -> (Vec<Given>, Option<Contour>) {
        let scheme = self.scheme;
        let series = self.series();
        let mut figures = self.figures(series);
        let mut contour = series
            .map_or(&scheme.contour, |place| &scheme.series[place].contour)
            .clone();
        for (mark, code) in self.marks() {
            self.alter(&scheme.marks[mark].codes[code], &mut figures, &mut contour);
        }
        let mut figures: Vec<Given> = figures.into_values().collect();
        figures.sort_by_key(|given| given.figure);
        (figures, contour)
    }

    fn entry(&self) -> Option<usize> {
        self.bindings.iter().find_map(|binding| match binding {
            Binding::Entry(entry) => Some(*entry),
            _ => None,
        })
    }

    fn series(&self) -> Option<usize> {
        let stamped = self.bindings.iter().find_map(|binding| match binding {
            Binding::Series { series, .. } => Some(*series),
            _ => None,
        });
        stamped.or_else(|| self.scheme.entries[self.entry()?].series)
    }

    fn marks(&self) -> impl Iterator<Item = (usize, usize)> {
        self.bindings.iter().filter_map(|binding| match binding {
            Binding::Mark { mark, code } => Some((*mark, *code)),
            _ => None,
        })
    }

    /// Every figure that has a value, the weakest reason first so that stronger ones replace it.
    fn figures(&self, series: Option<usize>) -> HashMap<usize, Given> {
        let mut figures = HashMap::new();
        let mut give = |figure: usize, sign: &Sign, reason: Reason| {
            let given = Given {
                figure,
                sign: sign.clone(),
                reason,
                altered_by: Vec::new(),
                states: self.states(figure, sign),
            };
            figures.insert(figure, given);
        };
        for (place, figure) in self.scheme.figures.iter().enumerate() {
            if let Some(sign) = figure
                .unmarked
                .as_ref()
                .filter(|_| self.could_show(Field::Figure(place)))
            {
                give(place, sign, Reason::Unmarked);
            }
        }
        if let Some(series) = series.map(|place| &self.scheme.series[place]) {
            let of_it = (series.implies.iter())
                .filter(|(figure, _)| !self.is_of_another_part(Field::Figure(*figure)));
            of_it.for_each(|(figure, sign)| {
                give(*figure, sign, Reason::Series(series.name.clone()))
            });
        }
        if let Some(entry) = self.entry().map(|place| &self.scheme.entries[place]) {
            entry
                .states
                .iter()
                .for_each(|(figure, sign)| give(*figure, sign, Reason::Entry(entry.name.clone())));
        }
        for binding in self.bindings {
            if let Binding::Figure(figure, sign) = binding {
                give(*figure, sign, Reason::Stamped);
            }
        }
        figures
    }

    /// Whether the stamps read could have shown a field: only then does its absence say
    /// anything. What no stamp of the scheme ever shows is told by any stamp of rim or cup.
    fn could_show(&self, field: Field) -> bool {
        let shows = |stamp: &Stamp| stamp.template.fields().contains(&field);
        let ever = self.scheme.stamps.iter().any(shows);
        if ever {
            self.stamps
                .iter()
                .any(|&place| shows(&self.scheme.stamps[place]))
        } else {
            self.says_form()
        }
    }

    /// Whether a field is struck on a part that was not read: what the series implies of it is then what
    /// its house usually puts there, and anybody can have put another.
    fn is_of_another_part(&self, field: Field) -> bool {
        let stamps = self.scheme.stamps.iter();
        let showing = stamps.filter(|stamp| stamp.template.fields().contains(&field));
        let parts: Vec<PartKind> = showing.map(|stamp| stamp.part).collect();
        !parts.is_empty() && !parts.into_iter().any(|part| self.read_of(part))
    }

    /// Whether any stamp that was read is of this part or of one that it belongs to; all are where
    /// nothing is known of the stamps.
    fn read_of(&self, part: PartKind) -> bool {
        let mut read = self
            .stamps
            .iter()
            .map(|&place| self.scheme.stamps[place].part);
        self.stamps.is_empty() || read.any(|one| one.is_of(part))
    }

    /// Whether the bore below the throat is of a part that was not read.
    fn lacks_backbore(&self) -> bool {
        let mut stamps = self.scheme.stamps.iter();
        stamps.any(|stamp| stamp.part == PartKind::Backbore) && !self.read_of(PartKind::Backbore)
    }

    /// Whether anything is said of rim or cup.
    fn says_form(&self) -> bool {
        use crate::method::Quantity::{CupDepth, CupVolume, DiscDepth, RimInnerDiameter};
        self.bindings.iter().any(|binding| match binding {
            Binding::Series { .. } | Binding::Entry(_) => true,
            Binding::Figure(figure, _) => {
                matches!(
                    self.scheme.figures[*figure].method.quantity(),
                    RimInnerDiameter | DiscDepth | CupDepth | CupVolume
                )
            }
            Binding::Mark { .. } => false,
        })
    }

    /// Whether a mark changes the form: an offset that was declared for the form as it was
    /// does not hold then.
    fn alters_form(&self) -> bool {
        self.marks().any(|(mark, code)| {
            let effects = &self.scheme.marks[mark].codes[code].effects;
            effects
                .iter()
                .any(|(target, _)| matches!(target, Target::Contour(_)))
        })
    }

    /// The trace of a specimen of this name, with the doubt by which pieces of a name differ: its
    /// entry's, or its series'. The piece must state the rim, and the cup where the trace has
    /// one, and no figure of it may contradict the trace: a series has other sizes, and marks
    /// make other metal.
    fn trace(&self, series: Option<usize>, stated: &[Stated]) -> Option<Arc<Trace>> {
        if self.scheme.traces.is_empty() || self.alters_form() {
            return None;
        }
        let of = |wanted: Option<TraceOf>| {
            let mut traces = self.scheme.traces.iter();
            traces.find(|one| Some(one.of) == wanted)
        };
        let own = of(self.entry().map(TraceOf::Entry));
        let trace = &own.or_else(|| of(series.map(TraceOf::Series)))?.trace;
        let contradicts = |one: &Stated| {
            let (value, u) = (one.estimate.value(), one.estimate.u());
            trace.contradicts(&one.method, value, u).is_some()
        };
        if stated.iter().any(contradicts) {
            return None;
        }
        let (wider, deeper) = differing(stated)?;
        let deeper = deeper.or_else(|| (!trace.reaches_throat()).then(|| Estimate::exact(0.0)))?;
        Some(Arc::new(trace.for_another(&wider, &deeper)))
    }

    /// What a sign states. Limits are exact but for the turning tolerance, which both ends share:
    /// it is one piece that is turned.
    fn states(&self, figure: usize, sign: &Sign) -> States {
        let Some(span) = sign.limits else {
            return States::Size(self.estimate(figure, sign));
        };
        let off = self.tolerance(figure);
        let end = |value: f64| match &off {
            _ if !value.is_finite() => None,
            Some(off) => Some(off.offset(value)),
            None => Some(Estimate::exact(value)),
        };
        let interval = Interval::new(end(span.low), end(span.high));
        States::Limits(interval.expect("check lets through limits that rise only"))
    }

    /// The digits given, the spread written and the turning tolerance, each a source of its own.
    /// A sign of the figure's own scale is a size to be made: its digits are exact, and the
    /// tolerance, where one is stated, is all the doubt there is.
    fn estimate(&self, figure: usize, sign: &Sign) -> Estimate {
        let amount = &sign.amount;
        let value = amount.amount.value;
        let source = |key, what, distribution| self.source(figure, key, what, distribution);
        let mut terms = Vec::new();
        match amount.spread {
            Some(spread) => terms.push(spread_estimate(value, spread, |distribution| {
                source("spread", sentence!("limits"), distribution)
            })),
            None if self.scheme.figures[figure].is_nominal(sign) => {}
            None => {
                let source = source(
                    "digits",
                    sentence!("digits given"),
                    Distribution::Rectangular,
                );
                let half_width = amount.amount.resolution / 2.0;
                terms.push(Estimate::rectangular(value, half_width, source));
            }
        }
        terms.extend(self.tolerance(figure));
        let terms: Vec<(f64, &Estimate)> = terms.iter().map(|term| (1.0, term)).collect();
        Estimate::linear(value, &terms)
    }

    /// By how much the metal may be off the name, about zero; none where nothing is said.
    fn tolerance(&self, figure: usize) -> Option<Estimate> {
        let half_width = self.scheme.figures[figure].tolerance?;
        let rectangular = Distribution::Rectangular;
        let source = self.source(
            figure,
            "tolerance",
            sentence!("turning tolerance"),
            rectangular,
        );
        Some(Estimate::rectangular(0.0, half_width, source))
    }

    fn source(
        &self,
        figure: usize,
        key: &str,
        what: Sentence,
        distribution: Distribution,
    ) -> Arc<Source> {
        let named = &self.scheme.figures[figure];
        let unit = named.method.quantity().dimension().base_unit().symbol;
        let key = format!("{}/{}/{}/{key}", self.scheme.id, self.identity, named.name);
        let label = sentence!(
            "{what}: {scheme}, {figure}",
            what = what,
            scheme = self.scheme.title.clone(),
            figure = named.name.clone()
        );
        Arc::new(Source::new(key, label, distribution).in_unit(unit))
    }

    fn alter(
        &self,
        code: &super::meant::Code,
        figures: &mut HashMap<usize, Given>,
        contour: &mut Option<Contour>,
    ) {
        for (target, effect) in &code.effects {
            match *target {
                Target::Contour(which) => {
                    if let Some(old) = contour.take() {
                        let estimate =
                            self.altered(old.figure(which), effect, &code.code, which.name());
                        *contour = Some(old.with(which, clamped(which, estimate)));
                    }
                }
                Target::Figure(figure) => self.alter_figure(figure, effect, &code.code, figures),
            }
        }
    }

    fn alter_figure(
        &self,
        figure: usize,
        effect: &Effect,
        code: &str,
        figures: &mut HashMap<usize, Given>,
    ) {
        if let Effect::Set(sign) = effect {
            let states = self.states(figure, sign);
            let altered_by = vec![code.to_owned()];
            figures.insert(
                figure,
                Given {
                    figure,
                    sign: sign.clone(),
                    reason: Reason::Stamped,
                    altered_by,
                    states,
                },
            );
        } else if let Some(given) = figures.get_mut(&figure) {
            let name = &self.scheme.figures[figure].name;
            given.states = (given.states).changed(|old| self.altered(old, effect, code, name));
            given.altered_by.push(code.to_owned());
        }
    }

    fn altered(&self, old: &Estimate, effect: &Effect, code: &str, what: &str) -> Estimate {
        let by = |amount: &AmountWithSpread| {
            let key = format!("{}/mark {code}/{what}", self.scheme.id);
            let label = sentence!("mark {code} on {what}", code, what);
            let half_width = amount.amount.resolution / 2.0;
            let spread = amount.spread.unwrap_or(Spread::Limits { half_width });
            spread_estimate(amount.amount.value, spread, |distribution| {
                Arc::new(Source::new(key, label, distribution))
            })
        };
        match effect {
            Effect::Set(sign) => by(&sign.amount),
            Effect::Add(amount) => {
                let added = by(amount);
                Estimate::linear(old.value() + added.value(), &[(1.0, old), (1.0, &added)])
            }
            Effect::Multiply(amount) => {
                let factor = by(amount);
                Estimate::linear(
                    old.value() * factor.value(),
                    &[(factor.value(), old), (old.value(), &factor)],
                )
            }
        }
    }

    fn says(&self, series: Option<usize>) -> Vec<(String, Sentence)> {
        let scheme = self.scheme;
        let mut says = Vec::new();
        if let Some(series) = series.map(|place| &scheme.series[place]) {
            says.extend(series.says.iter().map(|text| {
                (
                    text.clone(),
                    sentence!("series {series}", series = series.name.to_string()),
                )
            }));
        }
        if let Some(entry) = self.entry().map(|place| &scheme.entries[place]) {
            says.extend(entry.note.iter().map(|text| {
                (
                    text.clone(),
                    sentence!("entry {entry}", entry = entry.name.to_string()),
                )
            }));
        }
        for (mark, code) in self.marks() {
            let code = &scheme.marks[mark].codes[code];
            says.push((
                code.means.clone(),
                format!("{} {}", scheme.marks[mark].title, code.code).into(),
            ));
        }
        for (place, mark) in scheme
            .marks
            .iter()
            .enumerate()
            .filter(|(place, _)| self.could_show(Field::Mark(*place)))
        {
            if let Some(text) = mark
                .unmarked
                .as_ref()
                .filter(|_| self.marks().all(|(one, _)| one != place))
            {
                says.push((
                    text.clone(),
                    sentence!("no {title} marked", title = mark.title.clone()),
                ));
            }
        }
        says
    }

    fn years(&self) -> Years {
        let mut years = self
            .entry()
            .map_or(Years::default(), |place| self.scheme.entries[place].years);
        for binding in self.bindings {
            if let Binding::Series { series, word } = binding {
                years = years.both(self.scheme.series[*series].words[*word].1);
            }
        }
        years
    }
}

/// From `value` with a spread; `source` is told how it is spread.
fn spread_estimate(
    value: f64,
    spread: Spread,
    source: impl FnOnce(Distribution) -> Arc<Source>,
) -> Estimate {
    match spread {
        Spread::Limits { half_width } => {
            Estimate::rectangular(value, half_width, source(Distribution::Rectangular))
        }
        Spread::Standard { u } => Estimate::new(value, u, source(Distribution::Normal)),
    }
}

/// The form of a cup stays between cone and bowl, whatever a mark does.
fn clamped(which: ContourFigure, estimate: Estimate) -> Estimate {
    match which {
        ContourFigure::Form => estimate.offset(estimate.value().clamp(0.0, 1.0) - estimate.value()),
        _ => estimate,
    }
}
