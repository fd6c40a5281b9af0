//! Whether a spelling comes back as what it was written for, without a word of what it means.
//!
//! Nearly every spelling of a sound scheme does, and a catalogue has thousands: here one walk
//! of the templates settles that. A spelling that does not come back, or of which this cannot
//! be sure, is for [`super::verify`] to read in full and to put into words.

use super::decode::{Decoder, bindings, possible, years};
use super::encode::{encode, goes_without_saying};
use super::grammar::Grammar;
use super::typed::{LONGEST, Typed};
use super::walk::{Bound, Walk, Way};
use crate::scheme::{Binding, Scheme};

/// A spelling, and what it was written for.
pub(super) struct Spelling<'a> {
    /// Place of the stamp.
    pub stamp: usize,
    /// What it is to say.
    pub bindings: &'a [Binding],
    /// As it is written.
    pub text: &'a str,
}

/// What a way to read a spelling is to what was meant.
enum Reads {
    /// The same, binding by binding.
    Same,
    /// The same, but for what goes without saying.
    Nearly,
    /// Another, and spelled otherwise.
    Apart,
    /// This cannot be told here.
    Unsure,
}

/// The one way in which a scheme reads a text: the place of the stamp, and what it binds. None
/// where there are several, or none, or this cannot be told here.
pub(super) fn only_reading(text: &str, decoder: &Decoder) -> Option<(usize, Vec<Binding>)> {
    let [grammar] = decoder.grammars() else {
        return None;
    };
    let typed = one_piece(text)?;
    let mut ways = grammar.programs.iter().flat_map(|program| {
        let (ways, _) = Walk::all(grammar, program, &typed, false);
        ways.into_iter().map(|way| (program.stamp, bindings(&way)))
    });
    let only = ways.next()?;
    let sole = ways.next().is_none() && possible(years(&grammar.scheme, only.0, &only.1));
    sole.then_some(only)
}

/// What was typed, if it is surely the stamp of one piece: where a `+` stands there may be
/// several.
fn one_piece(text: &str) -> Option<Typed> {
    let typed = (text.chars().count() <= LONGEST).then(|| Typed::of(text))?;
    (!typed.glyphs.contains(&'+')).then_some(typed)
}

impl Spelling<'_> {
    /// Whether it is surely read as what was meant and spelled so again, and as nothing else
    /// that is spelled so. `false` where that is not so or not sure.
    pub fn surely_comes_back(&self, decoder: &Decoder) -> bool {
        let [grammar] = decoder.grammars() else {
            return false;
        };
        let Some(typed) = one_piece(self.text) else {
            return false;
        };
        let (mut same, mut nearly) = (0, 0);
        for program in &grammar.programs {
            for way in Walk::all(grammar, program, &typed, false).0 {
                match self.reads(grammar, program.stamp, &way) {
                    Reads::Same => same += 1,
                    Reads::Nearly => nearly += 1,
                    Reads::Apart => {}
                    Reads::Unsure => return false,
                }
            }
        }
        matches!((same, nearly), (1.., 0) | (0, 1))
    }

    fn reads(&self, grammar: &Grammar, stamp: usize, way: &Way<'_>) -> Reads {
        let scheme = &grammar.scheme;
        let meant = |bound: Bound<'_>| self.bindings.iter().any(|one| bound.is(one));
        if stamp == self.stamp
            && way.bound().count() == self.bindings.len()
            && way.bound().all(meant)
        {
            return Reads::Same;
        }
        let read = bindings(way);
        if !possible(years(scheme, stamp, &read)) {
            return Reads::Apart;
        }
        let Some(text) = encode(scheme, stamp, &read) else {
            return Reads::Unsure;
        };
        let same = telling(scheme, &read) == telling(scheme, self.bindings);
        match (same, text == self.text) {
            (true, true) if stamp == self.stamp => Reads::Nearly,
            (false, false) => Reads::Apart,
            _ => Reads::Unsure,
        }
    }
}

/// What bindings say beyond what goes without saying, in one order.
pub(super) fn telling<'a>(scheme: &'a Scheme, bindings: &'a [Binding]) -> Vec<(&'a str, &'a str)> {
    let telling = bindings
        .iter()
        .filter(|one| !goes_without_saying(scheme, bindings, one));
    let mut said: Vec<_> = telling.map(|one| name_and_value(scheme, one)).collect();
    said.sort_unstable();
    said
}

/// A binding as `says` names it.
pub(super) fn name_and_value<'a>(scheme: &'a Scheme, binding: &'a Binding) -> (&'a str, &'a str) {
    match binding {
        Binding::Series { series, .. } => ("series", &scheme.series[*series].name),
        Binding::Entry(entry) => ("entry", &scheme.entries[*entry].name),
        Binding::Figure(figure, sign) => (&scheme.figures[*figure].name, &sign.text),
        Binding::Mark { mark, code } => {
            let mark = &scheme.marks[*mark];
            (&mark.name, &mark.codes[*code].code)
        }
    }
}
