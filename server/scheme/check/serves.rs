//! The instruments that a scheme and its series serve.

use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::Instrument;
use crate::scheme::written;
use crate::yaml::{OneOrMany, Path, Text};

/// Those of a scheme, at least one.
pub(super) fn of_scheme(written: &written::Scheme, faults: &mut Faults<'_>) -> Vec<Instrument> {
    let path = Path::root().key("serves");
    if written.serves.is_empty() {
        let hint = sentence!(
            "name one or more of `{names}`",
            names = names().join("`, `")
        );
        faults.error(
            &path,
            Finding::new("unknown-instrument", sentence!("no instrument is named")).hint(hint),
        );
    }
    known(&written.serves, &path, &names(), faults)
}

/// Those of a series, each one of its scheme's; empty where it names none.
pub(super) fn of_series(
    written: &written::Series,
    (path, of_scheme): (&Path, &OneOrMany<Text>),
    faults: &mut Faults<'_>,
) -> Vec<Instrument> {
    let names: Vec<&str> = of_scheme.iter().map(Text::as_str).collect();
    known(&written.serves, &path.key("serves"), &names, faults)
}

fn names() -> [&'static str; 7] {
    Instrument::ALL.map(Instrument::name)
}

fn known(
    written: &OneOrMany<Text>,
    path: &Path,
    among: &[&str],
    faults: &mut Faults<'_>,
) -> Vec<Instrument> {
    let mut instruments = Vec::with_capacity(written.len());
    for (place, text) in written.iter().enumerate() {
        let named = |one: &Instrument| one.name() == text.as_str() && among.contains(&one.name());
        match Instrument::ALL.into_iter().find(named) {
            Some(instrument) => instruments.push(instrument),
            None => {
                let among = among.iter().copied();
                let finding =
                    Finding::unknown("unknown-instrument", sentence!("instrument"), text, among);
                faults.error_on(&Spot::Item(path.clone(), place), finding);
            }
        }
    }
    instruments
}
