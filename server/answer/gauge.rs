//! A gauge value as a person types it: `rim inner diameter@inner edge=16.2±0.1mm`, or limits:
//! `throat diameter=passes drill 27, not drill 26`. Limits stay limits, a range `9.0..10.0 mm` too: no
//! middle is made of them. Readings taken anew stand between `;`, as `16.20; 16.24; 16.22 mm`, and their mean
//! is taken.
//!
//! A drill named alone is the largest whose shank passes, so that the next of its table does not; only by a
//! method that says so was the bore opened with it, and has its size.
//!
//! A value without ± is as sure as one reading by its method (`reading` in `tables/methods.yml`), by which the
//! hints reckon too, and no surer than its digits; by a method that is not read off a gauge it is no surer than the
//! least sure reading of its measure. A fraction of an inch needs its ±. A stated ± is taken at its word, as far as the method is good
//! for that ([`crate::method::AtTheCounter`]): that part readings by one method share, at whatever depth or
//! angle the gauge is put, since it is the gauge's. The rest is of each reading by itself. An end of limits
//! lies where it is typed, however few its digits; the gauge that found it may be off. Readings by different
//! methods are taken by different gauges, as far as anyone says, and share nothing.

use std::sync::Arc;

use crate::language::{Sentence, Word};
use crate::method::{Functional, Method, Methods, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::{Limited, Stated, upper_tail};
use crate::scheme::{Tables, implausible};
use crate::uncertainty::{Distribution, Estimate, Interval, Source};
use crate::unit::{Amount, AmountWithSpread, GaugeTable, Span, Spread};

/// A gauge value that was read.
#[derive(Clone, Debug)]
pub enum Gauge {
    /// A value, as a piece would state it.
    Value(Stated),
    /// Limits: a drill passes and another does not.
    Limits(Limited),
}

impl Gauge {
    /// Where the gauge was put.
    pub fn method(&self) -> &Method {
        match self {
            Self::Value(stated) => &stated.method,
            Self::Limits(limited) => &limited.method,
        }
    }

    /// All that the metal may be by it, base unit: a value with three standard uncertainties on both sides.
    pub fn span(&self) -> Span {
        match self {
            Self::Value(stated) => {
                let (value, reach) = (stated.estimate.value(), 3.0 * stated.estimate.u());
                Span {
                    low: value - reach,
                    high: value + reach,
                }
            }
            Self::Limits(limited) => limited.interval.span(),
        }
    }

    /// Standard uncertainty of what it tells, base unit: of limits that of any place between them, without end where
    /// one of them is missing.
    pub fn u(&self) -> f64 {
        match self {
            Self::Value(stated) => stated.estimate.u(),
            Self::Limits(limited) => {
                let span = limited.interval.span();
                (span.high - span.low) / 12_f64.sqrt()
            }
        }
    }

    /// The figure that it states; none where it only gives limits.
    pub fn value(&self) -> Option<&Stated> {
        match self {
            Self::Value(stated) => Some(stated),
            Self::Limits(_) => None,
        }
    }

    /// The limits that it gives; none where it states a figure.
    pub fn limits(&self) -> Option<&Limited> {
        match self {
            Self::Value(_) => None,
            Self::Limits(limited) => Some(limited),
        }
    }
}

/// Ends of limits in the keys of their sources.
const LOWER: &str = ", lower end";
const UPPER: &str = ", upper end";

/// Reads one gauge value. `place` counts the gauges of one question, so that each has its own
/// source of doubt.
///
/// # Errors
/// What cannot be read, and how it is written.
pub fn gauge(text: &str, place: usize, tables: &Tables) -> Result<Gauge, Problem> {
    let bad = |why: Sentence| {
        Problem::new(Kind::BadGauge, sentence!("gauge `{text}`: {why}", text, why = why))
            .hint(sentence!("write it like `rim inner diameter@inner edge=16.2±0.1mm`, or `throat diameter=passes drill 27, not drill 26`"))
    };
    let (what, value) = text
        .split_once('=')
        .ok_or_else(|| bad(sentence!("there is no `=`")))?;
    let (quantity, method) = what.split_once('@').unwrap_or((what, ""));
    let quantity = Quantity::named(quantity).ok_or_else(|| bad(unknown_quantity(quantity)))?;
    let method = named(&tables.methods, quantity, method).map_err(bad)?;
    let label = |which: &str| match which {
        LOWER => sentence!("the gauge at the counter, {what}, lower end", what),
        UPPER => sentence!("the gauge at the counter, {what}, upper end", what),
        _ => sentence!("the gauge at the counter, {what}", what),
    };
    let usual = usual(&tables.methods, &method);
    let read = |text: &str, which: &str| {
        let amount = amount(text.trim(), quantity, tables)?;
        if which.is_empty() {
            is_divided(text, &amount)?;
        }
        let reading = Reading {
            method: &method,
            usual,
            key: format!("gauge {place}{which}"),
            label: label(which),
            is_end: !which.is_empty(),
        };
        Ok(reading.estimate(&amount))
    };
    let (mut given, source) = (value.trim().to_owned(), sentence!("the counter"));
    if let Some(drill) = given.strip_prefix("drill ")
        && !method.row.at_the_counter.drilled
    {
        given = largest_that_passes(drill.trim(), tables).map_err(bad)?;
    }
    Ok(match ends(&given) {
        Some((low, high)) => {
            let unit = range_unit(&given);
            let end = |text: Option<&str>, which| {
                let with_unit =
                    |text: &str| match unit.filter(|_| !text.contains(char::is_alphabetic)) {
                        Some(unit) => read(&format!("{text} {unit}"), which),
                        None => read(text, which),
                    };
                text.map(with_unit).transpose()
            };
            let low = end(low, LOWER).map_err(bad)?;
            let high = end(high, UPPER).map_err(bad)?;
            let interval = Interval::new(low, high).map_err(|fault| {
                let unit = quantity.dimension().base_unit().symbol;
                bad(sentence!("{fault} {unit}", fault = fault.sentence(), unit))
            })?;
            if let (Some(low), Some(high)) = (interval.low(), interval.high())
                && low.value() == high.value()
            {
                return Err(bad(sentence!(
                    "`{given}` leaves nothing between its limits",
                    given
                )));
            }
            Gauge::Limits(Limited {
                method: method.clone(),
                interval,
                given: given.into(),
                source,
            })
        }
        None => Gauge::Value(Stated {
            method: method.clone(),
            estimate: if given.contains(';') {
                mean(&given, (place, what), &method, tables).map_err(bad)?
            } else {
                read(&given, "").map_err(bad)?
            },
            given: given.into(),
            source,
        }),
    })
}

/// The mean of readings taken anew (JCGM 100, 4.2): what scatters has n − 1 degrees of freedom and stands beside
/// the doubt of one reading. Readings without ± that scatter no more than one is presumed to be in doubt tell nothing
/// new of it: they keep that doubt. The last unit holds where one has none.
fn mean(
    text: &str,
    (place, what): (usize, &str),
    method: &Method,
    tables: &Tables,
) -> Result<Estimate, Sentence> {
    let texts: Vec<&str> = text.split(';').map(str::trim).collect();
    let last = texts.last().copied().unwrap_or_default();
    let unit_of_last = last.trim_start_matches(|sign: char| !sign.is_alphabetic());
    let read = |text: &&str| match text.contains(|sign: char| sign.is_alphabetic() || sign == '"') {
        true => amount(text, method.quantity(), tables),
        false => amount(&format!("{text} {unit_of_last}"), method.quantity(), tables),
    };
    let readings: Vec<AmountWithSpread> = texts.iter().map(read).collect::<Result<_, _>>()?;
    for (text, reading) in texts.iter().zip(&readings) {
        is_divided(text, reading)?;
    }
    let readings_left = readings.len().saturating_sub(1);
    let count = readings.len() as f64;
    let mean = readings.iter().map(|one| one.amount.value).sum::<f64>() / count;
    let squares = readings.iter().map(|one| (one.amount.value - mean).powi(2));
    let squares = squares.sum::<f64>();
    let scatter = (squares / (count - 1.0) / count).sqrt();
    let doubt = |one: &AmountWithSpread| match one.spread {
        Some(spread) => spread.standard_uncertainty(),
        None => one.amount.resolution,
    };
    let mut coarsest = readings
        .into_iter()
        .max_by(|one, other| doubt(one).total_cmp(&doubt(other)))
        .ok_or_else(|| sentence!("there is no reading"))?;
    coarsest.amount.value = mean;
    let one = Reading {
        method,
        usual: usual(&tables.methods, method),
        key: format!("gauge {place}"),
        label: sentence!("the gauge at the counter, {what}", what),
        is_end: false,
    };
    let is_presumed = coarsest.spread.is_none();
    let one = one.estimate(&coarsest);
    let presumed = squares / one.variance();
    if is_presumed && upper_tail(presumed, readings_left) >= SCATTERS_AS_PRESUMED {
        return Ok(one);
    }
    let source = Source::new(
        format!("gauge {place}, scatter"),
        sentence!("scatter of {count} readings, {what}", count, what),
        Distribution::Normal,
    );
    let source = source
        .with_degrees_of_freedom(count - 1.0)
        .in_unit(unit(method));
    let scattered = Estimate::new(0.0, scatter, Arc::new(source));
    Ok(one.plus(&scattered))
}

/// Readings that would scatter as much more rarely than this contradict what is presumed of one.
const SCATTERS_AS_PRESUMED: f64 = 0.05;

/// The unit of a range, which may be written once for both ends.
fn range_unit(text: &str) -> Option<&'static str> {
    let between = text.strip_prefix("between ");
    let between = between.and_then(|ends| ends.split_once(" and "));
    let (_, upper) = between.or_else(|| text.split_once(".."))?;
    // Of the upper end alone: the ends may cross, and that is told by their figures.
    Some(Amount::parse(upper.trim()).ok()?.unit.symbol)
}

/// The texts of the lower and the upper end, where limits are written: `at least A`, `at most B`,
/// `between A and B`, `A..B`, `passes A, not B` or either half of it. A bore that a gauge passes is at
/// least as wide as the gauge.
fn ends(text: &str) -> Option<(Option<&str>, Option<&str>)> {
    if let Some((low, high)) = text
        .strip_prefix("between ")
        .and_then(|ends| ends.split_once(" and "))
    {
        return Some((Some(low), Some(high)));
    }
    if let Some((low, high)) = text.split_once("..") {
        return Some((Some(low), Some(high)));
    }
    let (mut low, mut high) = (None, None);
    for part in text.split(',').map(str::trim) {
        let from = part
            .strip_prefix("passes ")
            .or_else(|| part.strip_prefix("at least "));
        let to = part
            .strip_prefix("not ")
            .or_else(|| part.strip_prefix("at most "));
        match (from, to) {
            (Some(from), _) if low.is_none() => low = Some(from),
            (_, Some(to)) if high.is_none() => high = Some(to),
            _ => return None,
        }
    }
    Some((low, high))
}

/// "passes drill 27, not drill 26": what is meant by `drill 27` alone. Of the largest drill that there is
/// only the lower limit is known.
fn largest_that_passes(name: &str, tables: &Tables) -> Result<String, Sentence> {
    let table = table_of(name, tables)?;
    Ok(match table.neighbour(name, 1) {
        Ok(next) => format!("passes drill {name}, not drill {}", next.name),
        Err(_) => format!("passes drill {name}"),
    })
}

fn table_of<'a>(name: &str, tables: &'a Tables) -> Result<&'a GaugeTable, Sentence> {
    let has = |table: &&GaugeTable| table.by_name(name).is_ok();
    let found = tables.gauges.iter().find(has);
    found.ok_or_else(|| {
        let known: Vec<&str> = tables.gauges.iter().map(GaugeTable::name).collect();
        sentence!(
            "no drill `{text}` in the tables, which have {known}; a size does too: `passes 3.6 mm, not 3.7 mm`",
            text = name.to_owned(),
            known = known.join(", ")
        )
    })
}

/// Refuses a fraction without ±: in its lowest terms it does not tell by which division the rule was read.
fn is_divided(text: &str, amount: &AmountWithSpread) -> Result<(), Sentence> {
    if amount.spread.is_some() || !text.contains('/') {
        return Ok(());
    }
    Err(sentence!(
        "a fraction does not say how finely the rule is divided: add it, as `{text} ± 1/64 in`",
        text = text.trim().to_owned()
    ))
}

/// Standard uncertainty of one reading by a method; where none is known of it, the largest of the methods of its
/// measure.
fn usual(methods: &Methods, method: &Method) -> Option<f64> {
    let of_measure = || {
        let rows = methods.rows().iter();
        let same = rows.filter(|row| row.quantity == method.quantity());
        let readings = same.filter_map(|row| row.standard_reading());
        readings.max_by(f64::total_cmp)
    };
    method.row.standard_reading().or_else(of_measure)
}

/// A reading about to become an estimate.
struct Reading<'a> {
    method: &'a Method,
    /// Standard uncertainty of a reading to which no ± is typed.
    usual: Option<f64>,
    key: String,
    label: Sentence,
    /// Whether it is one end of limits.
    is_end: bool,
}

impl Reading<'_> {
    /// With two sources: the gauge's, which all readings by the method share, and what is the reading's own.
    fn estimate(self, read: &AmountWithSpread) -> Estimate {
        let gauge = Estimate::rectangular(0.0, self.method.row.at_the_counter.off, self.gauge());
        let (u, distribution) = match read.spread {
            None => self.unstated(read.amount.resolution),
            Some(spread @ Spread::Limits { .. }) => {
                (spread.standard_uncertainty(), Distribution::Rectangular)
            }
            Some(Spread::Standard { u }) => (u, Distribution::Normal),
        };
        let rest = (u * u - gauge.variance()).max(0.0).sqrt();
        let own = Source::new(self.key, self.label, distribution).in_unit(unit(self.method));
        let own = Estimate::new(read.amount.value, rest, Arc::new(own));
        own.plus(&gauge)
    }

    /// Standard uncertainty of a reading to which no ± is typed, the gauge's included.
    fn unstated(&self, resolution: f64) -> (f64, Distribution) {
        let half_width = resolution / 2.0;
        let digits = Spread::Limits { half_width }.standard_uncertainty();
        match self.usual {
            _ if self.is_end => (0.0, Distribution::Rectangular),
            Some(reading) if reading >= digits => (reading, Distribution::Normal),
            _ => {
                let off = self.method.row.at_the_counter.off / 3_f64.sqrt();
                (digits.hypot(off), Distribution::Rectangular)
            }
        }
    }

    fn gauge(&self) -> Arc<Source> {
        let row = &self.method.row;
        let functional = Functional::ALL
            .iter()
            .find(|(functional, ..)| *functional == row.functional)
            .map_or("", |(_, name, _)| name);
        let key = format!("gauge/{}/{functional}", row.quantity);
        let label = sentence!(
            "what a gauge is good for, {quantity} by {method}",
            quantity = row.quantity.in_words(),
            method = Word(row.name.clone())
        );
        let source = Source::new(key, label, Distribution::Rectangular);
        Arc::new(source.in_unit(unit(self.method)))
    }
}

fn unit(method: &Method) -> &'static str {
    method.quantity().dimension().base_unit().symbol
}

fn named(methods: &Methods, quantity: Quantity, text: &str) -> Result<Method, Sentence> {
    if text.trim().is_empty() {
        return methods.neutral(quantity).ok_or_else(|| {
            sentence!(
                "no method is named for {quantity}; write `{name}@` and one of {known}, with what it needs",
                quantity = quantity.in_words(),
                name = quantity.name(),
                known = methods.names(quantity).join(", ")
            )
        });
    }
    methods.parse(quantity, text)
}

fn unknown_quantity(found: &str) -> Sentence {
    let known: Vec<&str> = Quantity::ALL
        .iter()
        .map(|quantity| quantity.name())
        .collect();
    sentence!(
        "`{text}` is no quantity; there are: {known}",
        text = found.trim().to_string(),
        known = known.join(", ")
    )
}

/// An amount with its unit, or a drill: `drill 27`, `drill E`.
fn amount(text: &str, quantity: Quantity, tables: &Tables) -> Result<AmountWithSpread, Sentence> {
    if let Some(name) = text.strip_prefix("drill ") {
        let table = table_of(name.trim(), tables)?;
        let gauge = table
            .by_name(name.trim())
            .map_err(|why| Sentence::from(why.to_string()))?;
        if let Some(why) = implausible(quantity, gauge.size_mm) {
            return Err(why);
        }
        let half_width = gauge.given.resolution / 2.0;
        return Ok(AmountWithSpread {
            amount: gauge.given.clone(),
            spread: Some(Spread::Limits { half_width }),
        });
    }
    let amount = AmountWithSpread::parse(text).map_err(Sentence::showing)?;
    if amount.amount.dimension != quantity.dimension() {
        return Err(sentence!(
            "{quantity} is a {dimension}, and `{text}` is a {other_dimension}",
            quantity = quantity.in_words(),
            dimension = Word(quantity.dimension().name()),
            text,
            other_dimension = Word(amount.amount.dimension.name())
        ));
    }
    if let Some(why) = implausible(quantity, amount.amount.value) {
        return Err(why);
    }
    believable(amount)
}

/// Limits, mm or mm³, below which nobody reads a gauge at a counter. Judged; no source.
const FINEST: f64 = 0.0005;

/// How far limits lie from the value, or two standard uncertainties.
fn reach(spread: Option<Spread>, u: f64) -> f64 {
    match spread {
        Some(Spread::Limits { half_width }) => half_width,
        _ => 2.0 * u,
    }
}

fn believable(amount: AmountWithSpread) -> Result<AmountWithSpread, Sentence> {
    match amount.spread.map(Spread::standard_uncertainty) {
        Some(u) if u < FINEST => Err(sentence!(
            "its limits are finer than any gauge at a counter"
        )),
        Some(u) if reach(amount.spread, u) >= amount.amount.value => {
            Err(sentence!("its limits are wider than the value"))
        }
        _ => Ok(amount),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::{self, Folder};

    fn tables() -> Arc<Tables> {
        load::tables(&Folder::BuiltIn).expect("good tables").tables
    }

    fn value(text: &str, place: usize) -> Estimate {
        let Gauge::Value(stated) = gauge(text, place, &tables()).expect("a gauge") else {
            panic!("`{text}` gives limits")
        };
        stated.estimate
    }

    fn limits(text: &str) -> (Option<f64>, Option<f64>) {
        let Gauge::Limits(limited) = gauge(text, 0, &tables()).expect("a gauge") else {
            panic!("`{text}` gives a value")
        };
        let end = |end: Option<&Estimate>| end.map(Estimate::value);
        (end(limited.interval.low()), end(limited.interval.high()))
    }

    #[test]
    fn readings_taken_anew_give_their_mean_and_scatter() {
        // By hand: mean 16.22, s = 0.02, s / √3 = 0.011547; two degrees of freedom.
        let many = value(
            "rim inner diameter@seam=16.20±0.02; 16.24±0.02; 16.22±0.02 mm",
            0,
        );
        let one = value("rim inner diameter@seam=16.22±0.02 mm", 0);
        assert!((many.value() - 16.22).abs() < 1e-9);
        let scatter = (many.variance() - one.variance()).sqrt();
        assert!((scatter - 0.02 / 3.0_f64.sqrt()).abs() < 1e-6, "{scatter}");
        assert!(many.coverage_factor() > one.coverage_factor());
        // As one reading is presumed to be, U = 0.10 mm: 0.02 mm tells nothing new, 0.4 mm does.
        let edge = |text: &str| value(&format!("rim inner diameter@inner edge={text} mm"), 0).u();
        assert!((edge("16.20; 16.24") - 0.05).abs() < 1e-9);
        assert!((edge("16.20; 16.24; 16.22; 16.21; 16.22") - 0.05).abs() < 1e-9);
        assert!(edge("16.20; 16.60") > 0.2);
        let inches = value("rim inner diameter@seam=0.64; 0.64 in", 0);
        assert!((inches.value() - 16.256).abs() < 1e-9);
        assert!(gauge("rim inner diameter@seam=16.2; 5 ml", 0, &tables()).is_err());
        assert!(gauge("rim inner diameter@seam=16.2 mm;", 0, &tables()).is_err());
    }

    #[test]
    fn a_drill_alone_is_the_largest_that_passes() {
        // 0.1440 in and 0.1470 in (ASME B94.11M).
        let both = (Some(3.6576), Some(3.7338));
        assert_eq!(limits("throat diameter=drill 27"), both);
        assert_eq!(
            limits("throat diameter=passes drill 27, not drill 26"),
            both
        );
        assert_eq!(limits("throat diameter@go and no-go=drill 27"), both);
        assert_eq!(
            limits("throat diameter=passes drill 27"),
            (Some(3.6576), None)
        );
        assert_eq!(
            limits("throat diameter=drill Z"),
            (Some(10.4902), None),
            "the largest there is"
        );
        // 9/64 in and 5/32 in.
        assert_eq!(
            limits("throat diameter=drill 9/64"),
            (Some(3.571875), Some(3.96875))
        );
        let opened = value("throat diameter@drill=drill 27", 0);
        assert_eq!(opened.value(), 3.6576);
        let within = 0.02 / 3_f64.sqrt();
        assert!((opened.u() / within - 1.0).abs() < 1e-9, "{}", opened.u());
    }

    #[test]
    fn no_reading_is_surer_than_its_gauge() {
        let floor = 0.01 / 3_f64.sqrt();
        for (text, u) in [
            ("throat diameter=3.70±0.1mm", 0.1 / 3_f64.sqrt()),
            ("throat diameter=3.70±0.001mm", floor),
            ("throat diameter=3.70mm u 0.1mm", 0.1),
        ] {
            let found = value(text, 0);
            assert!(
                (found.u() / u - 1.0).abs() < 1e-6,
                "{text}: {} {u}",
                found.u()
            );
            let mut parts = found.parts().iter();
            assert!(
                parts.any(|part| part
                    .source
                    .label()
                    .to_string()
                    .starts_with("what a gauge is good for")),
                "{text}"
            );
        }
    }

    #[test]
    fn digits_alone_are_one_reading() {
        // `reading` in tables/methods.yml is U with k = 2; a seam has none, and the least sure of the measure is the crest.
        for (text, u) in [
            ("rim inner diameter@inner edge=16.60 mm", 0.05),
            ("rim inner diameter@inner edge=16.6000000 mm", 0.05),
            ("throat diameter=3.700 mm", 0.015),
            ("cup depth=12 mm", 0.5_f64.hypot(0.05) / 3_f64.sqrt()),
            ("rim inner diameter@seam=16.60 mm", 0.10),
        ] {
            let found = value(text, 0).u();
            assert!((found / u - 1.0).abs() < 1e-6, "{text}: {found} {u}");
        }
    }

    #[test]
    fn a_fraction_says_how_finely_it_was_read() {
        let bare = gauge("rim inner diameter=5/8 in", 0, &tables()).expect_err("no division");
        assert!(bare.message.to_string().contains("`5/8 in ± 1/64 in`"));
        assert!(gauge("rim inner diameter=5/8; 5/8 in", 0, &tables()).is_err());
        let read = value("rim inner diameter=5/8 in ± 1/64 in", 0);
        assert!((read.value() - 15.875).abs() < 1e-9);
        assert!((read.u() - 25.4 / 64.0 / 3_f64.sqrt()).abs() < 1e-9);
        assert_eq!(
            limits("rim inner diameter=between 5/8 and 41/64 in"),
            (Some(15.875), Some(16.271875))
        );
    }

    #[test]
    fn ends_lie_where_they_are_typed() {
        let ends = |text: &str| {
            let Gauge::Limits(limited) = gauge(text, 0, &tables()).expect("a gauge") else {
                panic!("`{text}` gives a value")
            };
            let end = |end: Option<&Estimate>| end.map(|end| (end.value(), end.u()));
            (end(limited.interval.low()), end(limited.interval.high()))
        };
        let off = |off: f64| off / 3_f64.sqrt();
        assert_eq!(
            ends("cup depth=at least 15 mm"),
            (Some((15.0, off(0.05))), None)
        );
        let (low, high) = (Some((16.0, off(0.02))), Some((16.5, off(0.02))));
        assert_eq!(ends("rim inner diameter=16..16,5 mm"), (low, high));
        assert_eq!(
            ends("rim inner diameter=between 16 and 16,5 mm"),
            (low, high)
        );
        let (_, stated) = ends("rim inner diameter=at most 16.5±0.2 mm");
        assert!((stated.expect("an end").1 - off(0.2)).abs() < 1e-9);
    }

    #[test]
    fn readings_by_one_method_share_what_their_gauge_is_off() {
        let rim =
            |method: &str, place| value(&format!("rim inner diameter@{method}=16.2±0.05mm"), place);
        let (one, other) = (rim("depth at 1.0 mm", 0), rim("depth at 1.1 mm", 1));
        let shared = 0.02_f64.powi(2) / 3.0;
        assert!((one.covariance(&other) / shared - 1.0).abs() < 1e-9);
        assert_eq!(
            one.covariance(&rim("crest", 2)),
            0.0,
            "another gauge, as far as anyone says"
        );
    }
}
