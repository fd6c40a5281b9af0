//! Named sizes, such as number drills.
//!
//! A table is a list of names and sizes that only rise. The names follow no
//! formula (the steps between number drills are irregular), so a size is looked
//! up and never computed. Sizes are compared in whole nanometres, so that
//! equal means equal.
//!
//! Reading a table's file is another room's; rows come in as text. A drill's
//! number is not a wire gauge's.

use super::{Amount, AmountError, Unit};
use std::fmt;

/// A table as written: text only, not yet checked.
#[derive(Debug, Clone)]
pub struct GaugeRows<'a> {
    /// What the table is called: `number drills`.
    pub name: &'a str,
    /// Who says so.
    pub source: &'a str,
    /// The unit of sizes that have none.
    pub unit: Unit,
    /// Name and size of each gauge, rising or falling.
    pub rows: &'a [(String, String)],
}

/// One gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// `30`, `E`.
    pub name: String,
    /// Diameter in millimetres.
    pub size_mm: f64,
    /// The size as the table has it.
    pub given: Amount,
}

/// Gauges from the smallest to the largest; at least one.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeTable {
    name: String,
    source: String,
    gauges: Vec<Gauge>,
}

/// What a hole lets through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passes<'a> {
    /// The largest gauge that goes in; one of the hole's own size does. None
    /// if even the smallest stops.
    pub goes: Option<&'a Gauge>,
    /// The next larger, which does not. None if the largest goes in.
    pub stops: Option<&'a Gauge>,
}

/// What is wrong with a row of a table; `row` counts from zero.
#[derive(Debug, Clone, PartialEq)]
pub enum GaugeFault {
    /// No rows at all.
    NoRows,
    /// A name of nothing but spaces.
    NoName {
        /// Where.
        row: usize,
    },
    /// A name that stood before; small and capital letters are alike.
    NameTwice {
        /// Where it stands again.
        row: usize,
        /// Where it stood first.
        first: usize,
        /// The name.
        name: String,
    },
    /// A size that cannot be read.
    Size {
        /// Where.
        row: usize,
        /// Why not.
        error: AmountError,
    },
    /// A size that is no length above zero.
    NotALength {
        /// Where.
        row: usize,
        /// The size.
        found: String,
    },
    /// A size that turns back against the order of the table.
    OutOfOrder {
        /// Where.
        row: usize,
        /// The size.
        found: String,
        /// The size before it.
        before: String,
    },
}

/// Why a table has no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GaugeError {
    /// No gauge of that name.
    Unknown {
        /// The name.
        name: String,
        /// The table.
        table: String,
        /// Its smallest and its largest gauge.
        ends: (String, String),
    },
    /// So many steps lead out of the table.
    BeyondTheEnd {
        /// Where the steps start.
        name: String,
        /// How many, larger gauges counting up.
        steps: i32,
        /// The table.
        table: String,
        /// Its smallest and its largest gauge.
        ends: (String, String),
    },
}

impl GaugeRows<'_> {
    /// The table, if nothing is wrong with it.
    ///
    /// # Errors
    /// Every fault of every row.
    pub fn check(&self) -> Result<GaugeTable, Vec<GaugeFault>> {
        let mut faults = self.name_faults();
        let mut gauges = Vec::with_capacity(self.rows.len());
        for (row, (name, size)) in self.rows.iter().enumerate() {
            match self.gauge(row, name, size) {
                Ok(gauge) => gauges.push((row, gauge)),
                Err(fault) => faults.push(fault),
            }
        }
        faults.extend(order_faults(&gauges));
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut gauges: Vec<Gauge> = gauges.into_iter().map(|(_, gauge)| gauge).collect();
        gauges.sort_by(|one, other| one.size_mm.total_cmp(&other.size_mm));
        Ok(GaugeTable {
            name: self.name.to_owned(),
            source: self.source.to_owned(),
            gauges,
        })
    }

    fn name_faults(&self) -> Vec<GaugeFault> {
        if self.rows.is_empty() {
            return vec![GaugeFault::NoRows];
        }
        let names: Vec<&str> = self.rows.iter().map(|(name, _)| name.trim()).collect();
        let fault_of = |(row, name): (usize, &&str)| {
            if name.is_empty() {
                return Some(GaugeFault::NoName { row });
            }
            let first = names.iter().position(|other| same_name(other, name))?;
            (first < row).then(|| GaugeFault::NameTwice {
                row,
                first,
                name: (*name).to_owned(),
            })
        };
        names.iter().enumerate().filter_map(fault_of).collect()
    }

    fn gauge(&self, row: usize, name: &str, size: &str) -> Result<Gauge, GaugeFault> {
        let not_a_length = || GaugeFault::NotALength {
            row,
            found: size.trim().to_owned(),
        };
        if self.unit.dimension != super::Dimension::Length {
            return Err(not_a_length());
        }
        let given =
            Amount::parse_in(size, self.unit).map_err(|error| GaugeFault::Size { row, error })?;
        if nanometres(given.value) <= 0 {
            return Err(not_a_length());
        }
        Ok(Gauge {
            name: name.trim().to_owned(),
            size_mm: given.value,
            given,
        })
    }
}

/// Each size that does not go on the way that the first and the last row show.
fn order_faults(gauges: &[(usize, Gauge)]) -> Vec<GaugeFault> {
    let size = |(_, gauge): &(usize, Gauge)| nanometres(gauge.size_mm);
    let rising = gauges.first().map(size) <= gauges.last().map(size);
    let turns_back = |pair: &&[(usize, Gauge)]| {
        let (before, after) = (size(&pair[0]), size(&pair[1]));
        before == after || (before < after) != rising
    };
    gauges
        .windows(2)
        .filter(turns_back)
        .map(|pair| GaugeFault::OutOfOrder {
            row: pair[1].0,
            found: pair[1].1.given.given.clone(),
            before: pair[0].1.given.given.clone(),
        })
        .collect()
}

impl GaugeTable {
    /// The same for a shop's own gauges: each is surely within so many millimetres of its size.
    #[must_use]
    pub fn within(mut self, half_width_mm: f64) -> Self {
        for gauge in &mut self.gauges {
            gauge.given.resolution = gauge.given.resolution.max(2.0 * half_width_mm);
        }
        self
    }

    /// What the table is called.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Who says so.
    pub fn source(&self) -> &str {
        &self.source
    }

    /// All gauges, the smallest first.
    pub fn gauges(&self) -> &[Gauge] {
        &self.gauges
    }

    /// The gauge of this name, small and capital letters alike.
    ///
    /// # Errors
    /// [`GaugeError::Unknown`], with the ends of the table.
    pub fn by_name(&self, name: &str) -> Result<&Gauge, GaugeError> {
        self.place(name).map(|place| &self.gauges[place])
    }

    /// The gauge nearest to a diameter in millimetres, however far; of two
    /// equally near the smaller. None if the diameter is not finite.
    pub fn nearest(&self, diameter_mm: f64) -> Option<&Gauge> {
        let away = |gauge: &&Gauge| nanometres((gauge.size_mm - diameter_mm).abs());
        self.gauges
            .iter()
            .filter(|_| diameter_mm.is_finite())
            .min_by_key(away)
    }

    /// What goes into a hole of this diameter in millimetres, and what stops.
    /// None if the diameter is not finite.
    pub fn passes(&self, diameter_mm: f64) -> Option<Passes<'_>> {
        if !diameter_mm.is_finite() {
            return None;
        }
        let fits = |gauge: &Gauge| nanometres(gauge.size_mm) <= nanometres(diameter_mm);
        let (inside, outside) = self.gauges.split_at(self.gauges.partition_point(fits));
        Some(Passes {
            goes: inside.last(),
            stops: outside.first(),
        })
    }

    /// The gauge so many steps on; larger gauges count up.
    ///
    /// # Errors
    /// [`GaugeError`]: no such name, or no gauge there.
    pub fn neighbour(&self, name: &str, steps: i32) -> Result<&Gauge, GaugeError> {
        let beyond = || GaugeError::BeyondTheEnd {
            name: name.trim().to_owned(),
            steps,
            table: self.name.clone(),
            ends: self.ends(),
        };
        self.place(name)?
            .checked_add_signed(steps as isize)
            .and_then(|place| self.gauges.get(place))
            .ok_or_else(beyond)
    }

    fn place(&self, name: &str) -> Result<usize, GaugeError> {
        let unknown = || GaugeError::Unknown {
            name: name.trim().to_owned(),
            table: self.name.clone(),
            ends: self.ends(),
        };
        self.gauges
            .iter()
            .position(|gauge| same_name(&gauge.name, name.trim()))
            .ok_or_else(unknown)
    }

    fn ends(&self) -> (String, String) {
        let name =
            |gauge: Option<&Gauge>| gauge.map(|gauge| gauge.name.clone()).unwrap_or_default();
        (name(self.gauges.first()), name(self.gauges.last()))
    }
}

fn same_name(one: &str, other: &str) -> bool {
    one.eq_ignore_ascii_case(other)
}

/// Whole nanometres; far outside any gauge the number stays at its limit.
fn nanometres(millimetres: f64) -> i64 {
    (millimetres * 1e6).round() as i64
}

impl fmt::Display for GaugeFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoRows => write!(out, "found no gauges; expected at least one name and size"),
            Self::NoName { .. } => write!(out, "found no name; expected one for each gauge"),
            Self::NameTwice { name, .. } => {
                write!(out, "found `{name}` a second time; expected each name once")
            }
            Self::Size { error, .. } => write!(out, "{error}"),
            Self::NotALength { found, .. } => {
                write!(out, "found `{found}`; expected a length above zero")
            }
            Self::OutOfOrder { found, before, .. } => write!(
                out,
                "found `{found}` after `{before}`; expected sizes that only rise or only fall"
            ),
        }
    }
}

impl fmt::Display for GaugeError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (Self::Unknown { table, ends, .. } | Self::BeyondTheEnd { table, ends, .. }) = self;
        match self {
            Self::Unknown { name, .. } => write!(out, "no `{name}` in {table}")?,
            Self::BeyondTheEnd { name, steps, .. } => {
                write!(out, "nothing {steps:+} from `{name}` in {table}")?;
            }
        }
        write!(out, "; they run from {} to {}", ends.0, ends.1)
    }
}

impl std::error::Error for GaugeFault {}
impl std::error::Error for GaugeError {}
