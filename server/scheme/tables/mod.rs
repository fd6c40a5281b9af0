//! The tables that schemes refer to: measuring methods, contour classes, gauges.
//!
//! Read as schemes are: every fault with its place, and what is faulty is left out.
//! Every row has a source, its own or that of its file.

mod written;

use std::collections::HashSet;

use super::amounts;
use super::faults::{Faults, Finding, Spot};
use crate::diagnostic::Diagnostic;
use crate::language::Sentence;
use crate::method::{
    AtTheCounter, Functional, MethodRow, Methods, Parameter, Parameters, Quantity,
};
use crate::profile::{Class, ContourFigure};
use crate::unit::{Amount, Dimension, GaugeFault, GaugeRows, GaugeTable, Spread, Unit};
use crate::yaml::{Document, Path, Text, decode};

/// All tables.
#[derive(Clone, Debug, Default)]
pub struct Tables {
    /// Measuring methods.
    pub methods: Methods,
    /// Generic contour classes, in table order.
    pub classes: Vec<Class>,
    /// Gauge tables, in table order.
    pub gauges: Vec<GaugeTable>,
}

impl Tables {
    /// The contour class of that name.
    pub(super) fn class(&self, name: &str) -> Result<&Class, Finding> {
        let names = self.classes.iter().map(|class| class.name.as_str());
        let found = self.classes.iter().find(|class| class.name == name);
        found.ok_or_else(|| {
            Finding::unknown("unknown-class", sentence!("contour class"), name, names)
        })
    }

    /// The gauge table of that name.
    pub(super) fn gauge(&self, name: &str) -> Result<&GaugeTable, Finding> {
        let names = self.gauges.iter().map(GaugeTable::name);
        let found = self.gauges.iter().find(|table| table.name() == name);
        found
            .ok_or_else(|| Finding::unknown("unknown-table", sentence!("gauge table"), name, names))
    }
}

/// The tables of these files, and everything that is wrong in them. Each file holds any of
/// `methods`, `classes` and `tables`.
pub fn tables(documents: &[Document]) -> (Tables, Vec<Diagnostic>) {
    let mut rows = Vec::new();
    let mut tables = Tables::default();
    let mut found = Vec::new();
    for document in documents {
        match decode::<written::File>(document) {
            Ok(file) => {
                let mut reading = Reading {
                    faults: Faults::new(document),
                    file: &file,
                };
                rows.extend(reading.methods(&rows));
                let classes = reading.classes(&tables.classes);
                tables.classes.extend(classes);
                let gauges = reading.gauges(&tables.gauges);
                tables.gauges.extend(gauges);
                reading.holds_something();
                found.extend(reading.faults.into_found());
            }
            Err(fault) => found.push(fault),
        }
    }
    tables.methods = Methods::new(rows);
    (tables, found)
}

/// One file, as it is read.
struct Reading<'a> {
    faults: Faults<'a>,
    file: &'a written::File,
}

impl Reading<'_> {
    fn holds_something(&mut self) {
        let written::File {
            methods,
            classes,
            tables,
            ..
        } = self.file;
        if methods.is_empty() && classes.is_empty() && tables.is_empty() {
            let finding = Finding::new("no-table", sentence!("the file holds no table"))
                .hint(sentence!("add `methods`, `classes` or `tables`"));
            self.faults.error(&Path::root(), finding);
        }
    }

    /// The source of a row: its own, or the file's.
    fn source(&mut self, own: &Option<Text>, path: &Path) -> Option<String> {
        let source = own
            .as_ref()
            .or(self.file.source.as_ref())
            .filter(|text| !text.trim().is_empty());
        if source.is_none() {
            let finding = Finding::new(
                "no-source",
                sentence!("nothing says where this row comes from"),
            )
            .hint(sentence!("add `source: ...` to the row or to the file"));
            self.faults.error(path, finding);
        }
        source.map(Text::to_string)
    }

    fn same_name(&mut self, what: Sentence, name: &str, path: &Path) {
        let message = sentence!("another {what} is called `{name}`", what = what, name);
        self.faults.error(
            path,
            Finding::new("same-name", message).hint(sentence!("rename one of them")),
        );
    }

    fn methods(&mut self, before: &[MethodRow]) -> Vec<MethodRow> {
        let key = |row: &MethodRow| (row.quantity, row.name.to_lowercase());
        let mut names: HashSet<_> = before.iter().map(key).collect();
        let mut neutral: HashSet<Quantity> = before
            .iter()
            .filter(|row| row.neutral)
            .map(|row| row.quantity)
            .collect();
        let mut rows = Vec::new();
        for (place, written) in self.file.methods.iter().enumerate() {
            let path = Path::root().key("methods").index(place);
            let Some(row) = self.method(written, &path) else {
                continue;
            };
            if !names.insert(key(&row)) {
                self.same_name(
                    sentence!("method of {quantity}", quantity = row.quantity.in_words()),
                    &row.name,
                    &path.key("method"),
                );
            }
            if row.neutral && !neutral.insert(row.quantity) {
                let message = sentence!(
                    "a second neutral method of {quantity}",
                    quantity = row.quantity.in_words()
                );
                let finding = Finding::new("two-neutral", message)
                    .hint(sentence!("keep `neutral: true` on one of them"));
                self.faults.error(&path.key("neutral"), finding);
            }
            rows.push(row);
        }
        rows
    }

    fn method(&mut self, written: &written::MethodRow, path: &Path) -> Option<MethodRow> {
        let names = Quantity::ALL.map(Quantity::name);
        let quantity = Quantity::named(&written.quantity).ok_or_else(|| {
            Finding::unknown(
                "unknown-quantity",
                sentence!("quantity"),
                &written.quantity,
                names,
            )
        });
        let quantity = self.faults.keep(&path.key("quantity"), quantity);
        let functional = self
            .faults
            .keep(&path.key("functional"), functional(&written.functional));
        let source = self.source(&written.source, path);
        let (quantity, (functional, can_be_of)) = (quantity?, functional?);
        if !can_be_of.contains(&quantity) {
            let message = sentence!(
                "`{functional}` is no functional of {quantity}",
                functional = written.functional.to_string(),
                quantity = quantity.in_words()
            );
            self.faults.error(
                &path.key("functional"),
                Finding::new("wrong-functional", message),
            );
            return None;
        }
        Some(MethodRow {
            quantity,
            name: written.method.to_string(),
            functional,
            says: written.says.to_string(),
            neutral: self.truth(&written.neutral, "neutral", path)?,
            reading: self.reading(written, quantity, path),
            source: source?,
            defaults: self.defaults(written, functional, path),
            at_the_counter: AtTheCounter {
                off: self.off(written, quantity, path)?,
                drilled: self.truth(&written.drilled, "drilled", path)?,
            },
        })
    }

    /// How far a gauge may be off, base unit; nothing where it is not said.
    fn off(
        &mut self,
        written: &written::MethodRow,
        quantity: Quantity,
        path: &Path,
    ) -> Option<f64> {
        let Some(text) = &written.off else {
            return Some(0.0);
        };
        let amount = amounts::plain(text, quantity.dimension());
        let off = self.faults.keep(&path.key("off"), amount)?.value;
        if off < 0.0 {
            let message = format!("`{text}` is below zero");
            self.faults
                .error(&path.key("off"), Finding::new("bad-amount", message));
            return None;
        }
        Some(off)
    }

    fn truth(&mut self, written: &Option<Text>, key: &str, path: &Path) -> Option<bool> {
        match written.as_ref().map(Text::as_str) {
            None | Some("false") => Some(false),
            Some("true") => Some(true),
            Some(other) => {
                let message = sentence!("`{key}` is `true` or `false`, not `{other}`", key, other);
                self.faults
                    .error(&path.key(key), Finding::new("bad-neutral", message));
                None
            }
        }
    }

    /// How sure one reading at a counter is; above nought, else it would tell everything.
    fn reading(
        &mut self,
        written: &written::MethodRow,
        quantity: Quantity,
        path: &Path,
    ) -> Option<f64> {
        let text = written.reading.as_ref()?;
        let amount = amounts::plain(text, quantity.dimension()).and_then(|amount| {
            let above = amount.value > 0.0;
            let message = format!("a reading is never sure to {text}");
            let not =
                || Finding::new("bad-amount", message).hint(sentence!("write it like `0.05 mm`"));
            above.then_some(amount.value).ok_or_else(not)
        });
        self.faults.keep(&path.key("reading"), amount)
    }

    fn defaults(
        &mut self,
        written: &written::MethodRow,
        functional: Functional,
        path: &Path,
    ) -> Parameters {
        let given = [
            (Parameter::Angle, &written.angle),
            (Parameter::At, &written.at),
            (Parameter::From, &written.from),
            (Parameter::Across, &written.across),
            (Parameter::Diameter, &written.diameter),
            (Parameter::Distance, &written.distance),
            (Parameter::Over, &written.over),
            (Parameter::Receiver, &written.receiver),
            (Parameter::Narrows, &written.narrows),
            (Parameter::Sides, &written.sides),
        ];
        let mut defaults = Parameters::default();
        for (parameter, text) in given {
            let Some(text) = text else { continue };
            let path = path.key(parameter.name());
            if functional.parameters().contains(&parameter) {
                let set = defaults.set(parameter, text);
                self.faults.keep(
                    &path,
                    set.map_err(|fault| Finding::new("bad-parameter", fault)),
                );
            } else {
                let message = sentence!(
                    "`{functional}` has no `{parameter}`",
                    functional = written.functional.to_string(),
                    parameter = parameter.name().to_string()
                );
                self.faults.error_on(
                    &Spot::Key(path),
                    Finding::new("unknown-parameter", message).hint(sentence!("delete it")),
                );
            }
        }
        defaults
    }

    fn classes(&mut self, before: &[Class]) -> Vec<Class> {
        let mut names: HashSet<String> = before.iter().map(|class| class.name.clone()).collect();
        let mut classes = Vec::new();
        for (place, written) in self.file.classes.iter().enumerate() {
            let path = Path::root().key("classes").index(place);
            if !names.insert(written.class.to_string()) {
                self.same_name(
                    sentence!("contour class"),
                    &written.class,
                    &path.key("class"),
                );
            }
            classes.extend(self.class(written, &path));
        }
        classes
    }

    fn class(&mut self, written: &written::Class, path: &Path) -> Option<Class> {
        let texts = [
            &written.crest,
            &written.edge,
            &written.join,
            &written.wall,
            &written.seam,
            &written.form,
        ];
        let figures = ContourFigure::ALL.map(|which| {
            let limits = limits(
                texts[which as usize],
                amounts::dimension_of(which),
                |value| amounts::plausible_form(which, value),
            );
            self.faults.keep(&path.key(which.name()), limits)
        });
        let throat = limits(&written.throat, Dimension::Length, |value| {
            amounts::plausible(Quantity::ThroatDiameter, value)
        });
        let throat = self.faults.keep(&path.key("throat"), throat);
        let source = self.source(&written.source, path);
        Some(Class {
            name: written.class.to_string(),
            source: source?,
            says: written.says.to_string(),
            figures: ContourFigure::of_each(figures)?,
            throat: throat?,
        })
    }

    fn gauges(&mut self, before: &[GaugeTable]) -> Vec<GaugeTable> {
        let mut names: HashSet<String> =
            before.iter().map(|table| table.name().to_owned()).collect();
        let mut tables = Vec::new();
        for (place, written) in self.file.tables.iter().enumerate() {
            let path = Path::root().key("tables").index(place);
            if !names.insert(written.name.to_string()) {
                self.same_name(sentence!("gauge table"), &written.name, &path.key("name"));
            }
            tables.extend(self.gauge_table(written, &path));
        }
        tables
    }

    fn gauge_table(&mut self, written: &written::Gauges, path: &Path) -> Option<GaugeTable> {
        let unit =
            Unit::named(&written.unit).map_err(|error| Finding::amount(&written.unit, &error));
        let unit = self.faults.keep(&path.key("unit"), unit);
        let source = self.source(&written.source, path);
        let (unit, source) = (unit?, source?);
        let within = written.within.as_ref().map(|text| {
            let amount = Amount::parse_in(text, unit);
            let amount = amount.map_err(|error| Finding::amount(text, &error));
            self.faults
                .keep(&path.key("within"), amount.and_then(small))
        });
        let pairs = written
            .gauges
            .iter()
            .map(|[name, size]| (name.to_string(), size.to_string()));
        let rows: Vec<(String, String)> = pairs.collect();
        let table = GaugeRows {
            name: &written.name,
            source: &source,
            unit,
            rows: &rows,
        };
        match table.check() {
            Ok(table) => match within {
                None => Some(table),
                Some(within) => Some(table.within(within?)),
            },
            Err(faults) => {
                for fault in faults {
                    let place = gauge_place(&fault, &path.key("gauges"));
                    self.faults
                        .error(&place, Finding::new("bad-gauge", fault.to_string()));
                }
                None
            }
        }
    }
}

/// A gauge that is further off its size is another one, mm.
const MOST_OFF_MM: f64 = 0.2;

/// A length by which a gauge may be off, mm.
fn small(amount: Amount) -> Result<f64, Finding> {
    if amount.unit.dimension == Dimension::Length && (0.0..=MOST_OFF_MM).contains(&amount.value) {
        return Ok(amount.value);
    }
    Err(Finding::new(
        "bad-gauge",
        sentence!(
            "gauges that may be off by {given}; expected a length of 0 to {most_off_mm} mm",
            given = amount.given.to_string(),
            most_off_mm = MOST_OFF_MM
        ),
    ))
}

/// Where a fault of a gauge table stands.
fn gauge_place(fault: &GaugeFault, gauges: &Path) -> Path {
    match *fault {
        GaugeFault::NoRows => gauges.clone(),
        GaugeFault::NoName { row } | GaugeFault::NameTwice { row, .. } => {
            gauges.index(row).index(0)
        }
        GaugeFault::Size { row, .. }
        | GaugeFault::NotALength { row, .. }
        | GaugeFault::OutOfOrder { row, .. } => gauges.index(row).index(1),
    }
}

/// A functional, with the quantities it can be of.
fn functional(name: &str) -> Result<(Functional, &'static [Quantity]), Finding> {
    let found = Functional::ALL
        .into_iter()
        .find(|(_, words, _)| *words == name);
    found
        .map(|(functional, _, quantities)| (functional, quantities))
        .ok_or_else(|| {
            let names = Functional::ALL.map(|(_, words, _)| words);
            Finding::unknown("unknown-functional", sentence!("functional"), name, names)
        })
}

/// A value and the half-width of its limits, angles in radians.
fn limits(
    text: &str,
    dimension: Dimension,
    plausible: impl Fn(f64) -> Result<(), Finding>,
) -> Result<(f64, f64), Finding> {
    let (amount, spread) = amounts::limited(text, dimension)?;
    plausible(amount.value)?;
    let Spread::Limits { half_width } = spread else {
        let message = sentence!(
            "`{text}` has a standard uncertainty where limits are due",
            text
        );
        return Err(Finding::new("no-limits", message).hint(sentence!("write it with `±`")));
    };
    Ok(match dimension {
        Dimension::Angle => (amount.value.to_radians(), half_width.to_radians()),
        _ => (amount.value, half_width),
    })
}
