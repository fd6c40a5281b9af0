//! A scheme held against its own examples and against itself.
//!
//! Every example must decode to what it says; every entry, and a sample of what the
//! templates can spell, must come back from its canonical spelling; and no two entries of
//! one time may be spelled alike. The sample takes each word of each field at least once,
//! so the work grows with the number of names, not with their combinations; of a grid, whose
//! numbers are all read alike, it takes some.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

use super::comes_back::{Spelling, name_and_value, only_reading, telling};
use super::decode::{Decoder, possible, years};
use super::encode::{encode, entry_stamps};
use super::reading::Reading;
use super::spellings::values;
use crate::diagnostic::Diagnostic;
use crate::scheme::{Binding, Example, Field, Scheme, Signs};
use crate::yaml::{Document, Path};

/// All that is wrong with a scheme as a way to read and write stamps. `document` is the file
/// it was checked from. Codes: `ambiguous`, `example`, `not-reversible`, `same-spelling`.
pub fn verify(scheme: &Arc<Scheme>, document: &Document) -> Vec<Diagnostic> {
    let verifier = Verifier {
        scheme,
        document,
        decoder: Decoder::new(std::slice::from_ref(scheme)),
    };
    let mut faults = verifier.examples();
    faults.extend(verifier.spellings());
    faults.extend(verifier.templates());
    faults
}

struct Verifier<'a> {
    scheme: &'a Arc<Scheme>,
    document: &'a Document,
    decoder: Decoder,
}

/// Faults of one kind after which a person mends first and checks again.
const MOST_FAULTS: usize = 20;

/// Points of a grid that are tried in each template, with others.
const GRID_SAMPLE: usize = 24;

/// Readings of all samples of a template together. What is spelled mostly has one.
const MOST_READ: usize = 50_000;

/// Names of a catalogue that are tried in each template.
const ENTRY_SAMPLE: usize = 100_000;

impl Verifier<'_> {
    fn examples(&self) -> Vec<Diagnostic> {
        let examples = self.scheme.examples.iter().enumerate();
        examples
            .filter_map(|(place, example)| self.example(place, example))
            .collect()
    }

    fn example(&self, place: usize, example: &Example) -> Option<Diagnostic> {
        if self.is_surely_good(example) {
            return None;
        }
        let path = Path::root().key("examples").index(place);
        let fault = |key: &str, message: String| {
            Diagnostic::error("example", self.document.place(&path.key(key)), message)
        };
        let readings = self.decoder.decode(&example.stamp).readings;
        let stamp = &example.stamp;
        let Some(reading) = readings
            .iter()
            .find(|reading| says(reading) == sorted(&example.says))
        else {
            let message = match readings.first() {
                None => format!("`{stamp}` is read by no template"),
                Some(_) => format!("`{stamp}` does not say this; it says {}", told(&readings)),
            };
            return Some(self.with_hint(fault("stamp", message), stamp));
        };
        let wanted = example.spelled.as_ref().unwrap_or(stamp);
        let canonical = reading.canonical();
        if canonical != *wanted {
            let message = format!("`{stamp}` is spelled `{canonical}`, not `{wanted}`");
            let key = if example.spelled.is_some() {
                "spelled"
            } else {
                "stamp"
            };
            return Some(fault(key, message).hint(format!("write `spelled: {canonical}`")));
        }
        let rivals = readings.len() - 1;
        (rivals != example.rivals.unwrap_or(0)).then(|| {
            let key = if example.rivals.is_some() {
                "rivals"
            } else {
                "stamp"
            };
            let others = match rivals {
                0 => "no other reading".to_owned(),
                1 => "1 other reading".to_owned(),
                more => format!("{more} other readings"),
            };
            let message = format!("`{stamp}` has {others}: {}", told(&readings));
            fault(key, message).hint(format!("write `rivals: {rivals}` if that is so"))
        })
    }

    /// Whether an example is read in one way, which is what it says, without a word of what
    /// that means.
    fn is_surely_good(&self, example: &Example) -> bool {
        let Some((stamp, bindings)) = only_reading(&example.stamp, &self.decoder) else {
            return false;
        };
        let wanted = example.spelled.as_ref().unwrap_or(&example.stamp);
        sorted(&names_and_values(self.scheme, &bindings)) == sorted(&example.says)
            && encode(self.scheme, stamp, &bindings).as_ref() == Some(wanted)
            && example.rivals.unwrap_or(0) == 0
    }

    fn with_hint(&self, fault: Diagnostic, stamp: &str) -> Diagnostic {
        match self.decoder.near_miss(stamp).into_iter().next() {
            Some(miss) => fault.hint(miss.message),
            None => fault,
        }
    }

    /// No two entries of one time may have one spelling.
    fn spellings(&self) -> Vec<Diagnostic> {
        let place = |entry: usize| {
            self.document
                .place(&Path::root().key("entries").key("rows").index(entry))
        };
        let mut known: HashMap<(usize, String), Vec<usize>> = HashMap::new();
        let mut faults = Vec::new();
        for (entry, stamp) in entry_stamps(self.scheme).into_iter().enumerate() {
            let Some(stamp) = stamp else { continue };
            let text = stamp.1.clone();
            let alike = known.entry(stamp).or_default();
            let entries = &self.scheme.entries;
            if let Some(&first) = alike
                .iter()
                .find(|&&one| entries[one].years.overlap(entries[entry].years))
                && faults.len() < MOST_FAULTS
            {
                let message = format!("two entries are both spelled `{text}`");
                let fault = Diagnostic::error("same-spelling", place(entry), message);
                faults.push(
                    fault
                        .also(place(first), "first here")
                        .hint("give `from` and `until`, or other names"),
                );
            }
            alike.push(entry);
        }
        faults
    }

    /// What a template spells must be read back, and read as nothing else.
    fn templates(&self) -> Vec<Diagnostic> {
        (0..self.scheme.stamps.len())
            .flat_map(|stamp| self.template(stamp))
            .collect()
    }

    /// The first sample that does not come back, and the first that means two pieces. Nothing else where what is spelled
    /// has more readings than anybody can tell apart.
    fn template(&self, stamp: usize) -> Vec<Diagnostic> {
        let path = Path::root().key("stamps").index(stamp).key("template");
        let place = || self.document.place(&path);
        let (mut lost, mut alike) = (None, None);
        let mut read = 0;
        for bindings in samples(&self.columns(stamp)) {
            let Some(text) = encode(self.scheme, stamp, &bindings) else {
                continue;
            };
            if !possible(years(self.scheme, stamp, &bindings)) {
                continue;
            }
            let spelling = Spelling {
                stamp,
                bindings: &bindings,
                text: &text,
            };
            if spelling.surely_comes_back(&self.decoder) {
                continue;
            }
            let decoded = self.decoder.decode(&text);
            read += decoded.readings.len();
            let is_endless = !decoded.complete && !decoded.readings.is_empty();
            if is_endless || read > MOST_READ {
                let message =
                    format!("`{text}` and others that it spells can be read in too many ways");
                let fault = Diagnostic::error("ambiguous", place(), message);
                return vec![fault.hint(
                    "put separators between fields whose signs can stand one for the other, or make fewer fields optional",
                )];
            }
            let readings = decoded.readings;
            lost = lost.or_else(|| self.lost(&text, &bindings, &readings));
            alike = alike.or_else(|| self.alike(&text, &readings));
        }
        let lost = lost.map(|message| Diagnostic::error("not-reversible", place(), message));
        let alike = alike.map(|message| Diagnostic::warning("same-spelling", place(), message));
        lost.into_iter().chain(alike).collect()
    }

    fn lost(&self, text: &str, bindings: &[Binding], readings: &[Reading]) -> Option<String> {
        let same = |reading: &&Reading| {
            telling(self.scheme, &reading.bindings()) == telling(self.scheme, bindings)
        };
        let Some(reading) = readings.iter().find(same) else {
            let read = if readings.is_empty() {
                "nothing".to_owned()
            } else {
                told(readings)
            };
            return Some(format!(
                "`{text}` is written for {} but reads as {read}",
                self.words(bindings)
            ));
        };
        let canonical = reading.canonical();
        (canonical != text).then(|| format!("`{text}` is written, but comes back as `{canonical}`"))
    }

    /// Two pieces with one spelling. Entries of one name are reported by their rows.
    fn alike(&self, text: &str, readings: &[Reading]) -> Option<String> {
        let mut alike = readings
            .iter()
            .filter(|reading| reading.canonical() == text);
        let first = alike.next()?;
        let other = alike.find(|other| says(other) != says(first))?;
        let both = [first.clone(), other.clone()];
        Some(format!("`{text}` can be two pieces: {}", told(&both)))
    }

    fn words(&self, bindings: &[Binding]) -> String {
        in_words(&names_and_values(self.scheme, bindings))
    }

    /// The values of each field of a stamp that are tried.
    fn columns(&self, stamp: usize) -> Vec<Column> {
        let mut fields = self.scheme.stamps[stamp].template.fields();
        fields.dedup();
        fields.iter().map(|field| self.column(*field)).collect()
    }

    /// The values of a field that are tried: of a long grid both ends and some between.
    fn column(&self, field: Field) -> Column {
        if let Field::Figure(figure) = field
            && let Signs::Grid(grid) = &self.scheme.figures[figure].signs
        {
            let count = grid.count();
            let step = count.div_ceil(GRID_SAMPLE).max(1);
            let places = (0..count).step_by(step).chain([count - 1]);
            let numbers = places.map(|place| Binding::Figure(figure, grid.sign(place)));
            return Column {
                kind: Kind::Numbers,
                values: numbers.collect(),
            };
        }
        let spellings = values(self.scheme, field)
            .into_iter()
            .flat_map(|value| value.spellings);
        let mut values: Vec<Binding> = spellings.map(|(_, binding)| binding).collect();
        values.dedup();
        let kind = match field {
            Field::Entry => Kind::Names,
            _ => Kind::Words,
        };
        Column { kind, values }
    }
}

/// The values of one field that are tried.
struct Column {
    kind: Kind,
    values: Vec<Binding>,
}

/// What the values of a column are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Of a grid. They differ in their digits alone, so that by themselves the ends are enough.
    Numbers,
    /// Of a catalogue. Each stands by itself, which is how it is mostly struck; with others, so many as those need.
    Names,
    /// All else.
    Words,
}

impl Column {
    /// How many lines this column asks for.
    fn lines(&self) -> usize {
        match self.kind {
            Kind::Names => 1,
            Kind::Numbers | Kind::Words => self.values.len(),
        }
    }

    /// What is tried by itself.
    fn alone(&self) -> impl Iterator<Item = &Binding> {
        let step = match self.kind {
            Kind::Numbers => self.values.len().saturating_sub(1).max(1),
            Kind::Names | Kind::Words => 1,
        };
        self.values.iter().step_by(step)
    }
}

/// Bindings for all fields of a stamp, so many that each word comes once with others; then
/// without one of the fields, and values alone.
fn samples(columns: &[Column]) -> impl Iterator<Item = Cow<'_, [Binding]>> {
    // Of one column all stand alone.
    let lines = match columns {
        [_] => 0,
        _ => columns.iter().map(Column::lines).max().unwrap_or(1),
    };
    let rows = (0..lines).map(|row| line(columns, row, None));
    let sparse = (0..columns.len()).map(|place| line(columns, place, Some(place)));
    let alone = columns.iter().flat_map(Column::alone).take(ENTRY_SAMPLE);
    let alone = alone.map(|one| Cow::Borrowed(std::slice::from_ref(one)));
    rows.chain(sparse).chain(alone)
}

/// One value of each column but the one at `skipped`.
fn line(columns: &[Column], row: usize, skipped: Option<usize>) -> Cow<'_, [Binding]> {
    let columns = columns.iter().map(|column| &column.values).enumerate();
    let filled = columns.filter(|(place, values)| Some(*place) != skipped && !values.is_empty());
    filled
        .map(|(place, values)| values[turned(row, place, values.len())].clone())
        .collect()
}

/// Which of `length` values stands in a row. The first rows take each value once, in turn;
/// each further round is turned on against the columns before, so that others meet.
fn turned(row: usize, column: usize, length: usize) -> usize {
    let round = row / length;
    (row + column * (round + 1)) % length
}

fn says(reading: &Reading) -> Vec<(String, String)> {
    sorted(&names_and_values(&reading.scheme, &reading.bindings()))
}

fn names_and_values(scheme: &Scheme, bindings: &[Binding]) -> Vec<(String, String)> {
    let pairs = bindings.iter().map(|one| name_and_value(scheme, one));
    pairs
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect()
}

fn sorted(says: &[(String, String)]) -> Vec<(String, String)> {
    let mut says = says.to_vec();
    says.sort();
    says
}

/// "{rim: 165, depth: deep}", further readings after "or".
fn told(readings: &[Reading]) -> String {
    const FEW: usize = 3;
    let few: Vec<String> = readings
        .iter()
        .take(FEW)
        .map(|reading| in_words(&says(reading)))
        .collect();
    few.join(" or ")
}

fn in_words(says: &[(String, String)]) -> String {
    let pairs: Vec<String> = says
        .iter()
        .map(|(name, value)| format!("{name}: {value}"))
        .collect();
    format!("{{{}}}", pairs.join(", "))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn each_value_of_each_column_comes_with_others() {
        let lengths = [4, 12, 3, 6, 1, 12, 5];
        let column = |(mark, &length): (usize, &usize)| Column {
            kind: Kind::Words,
            values: (0..length)
                .map(|code| Binding::Mark { mark, code })
                .collect(),
        };
        let columns: Vec<Column> = lengths.iter().enumerate().map(column).collect();
        let all = columns.iter().flat_map(|column| &column.values);
        let all = all.map(|one| format!("{one:?}"));
        let whole = samples(&columns).filter(|line| line.len() == columns.len());
        let tried: Vec<Vec<Binding>> = whole.map(Cow::into_owned).collect();
        let came: BTreeSet<String> = tried
            .iter()
            .flatten()
            .map(|one| format!("{one:?}"))
            .collect();
        assert_eq!(came, all.collect());
        let pairs: BTreeSet<String> = tried
            .iter()
            .map(|line| format!("{:?}", &line[..2]))
            .collect();
        assert_eq!(pairs.len(), 12, "a round pairs as the round before");
    }
}
