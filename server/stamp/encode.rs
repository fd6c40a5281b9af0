//! The canonical spelling of what a stamp says.
//!
//! An optional group is left out when all that it holds is unbound or is what would stand
//! there unmarked: what the entry states, what the series implies, what the figure is where
//! nothing is marked. A field that must be there and is not bound takes such a value too.

use std::borrow::Cow;
use std::sync::Arc;

use super::decode;
use super::meaning::{kind, meaning};
use super::reading::{PartReading, Reading, Segment, SegmentKind};
use crate::scheme::{Binding, Field, Scheme, Sign, Token};

/// The canonical spelling of `bindings` on the stamp at place `stamp`; none where a field
/// that must be there has no value. What the stamp has no field for is not written.
pub fn encode(scheme: &Scheme, stamp: usize, bindings: &[Binding]) -> Option<String> {
    let written = Writer::write(scheme, stamp, bindings)?;
    let mut text = String::with_capacity(USUAL_BYTES);
    for one in written {
        match one {
            Written::Glyph(glyph) => text.push(glyph),
            Written::Value(binding) => text.push_str(spelling(scheme, &binding)),
        }
    }
    Some(text)
}

/// Most stamps are shorter.
const USUAL_BYTES: usize = 24;

/// The canonical spelling as a reading of its own text; `None` as for [`encode`].
pub fn spelled(
    scheme: &Arc<Scheme>,
    stamp: usize,
    bindings: &[Binding],
) -> Option<(String, Reading)> {
    let mut cut = Cut::default();
    for one in Writer::write(scheme, stamp, bindings)? {
        match one {
            Written::Glyph(glyph) => cut.literal(glyph),
            Written::Value(binding) => {
                let text = spelling(scheme, &binding);
                cut.segment(text, kind(&binding), meaning(scheme, &binding));
            }
        }
    }
    let part = PartReading {
        part: scheme.stamps[stamp].part,
        stamp,
        spelling: 0,
        bindings: bindings.to_vec(),
        years: decode::years(scheme, stamp, bindings),
        segments: cut.segments,
    };
    Some((
        cut.text,
        Reading {
            scheme: scheme.clone(),
            parts: vec![part],
        },
    ))
}

/// The canonical stamp of every entry, in the order of the catalogue, each with the place of
/// its stamp: the first that names an entry and needs nothing that the entry does not state.
/// Where no stamp names entries, the first that can show what the entry states.
pub fn entry_stamps(scheme: &Scheme) -> Vec<Option<(usize, String)>> {
    (0..scheme.entries.len())
        .map(|entry| entry_stamp(scheme, entry))
        .collect()
}

fn entry_stamp(scheme: &Scheme, entry: usize) -> Option<(usize, String)> {
    let by_name = entry_bindings_of(scheme, entry, Field::Entry, vec![Binding::Entry(entry)]);
    by_name.or_else(|| {
        let states = scheme.entries[entry].states.iter();
        let mut bindings: Vec<Binding> = states
            .map(|(figure, sign)| Binding::Figure(*figure, sign.clone()))
            .collect();
        let series = scheme.entries[entry].series;
        bindings.extend(series.map(|series| Binding::Series { series, word: 0 }));
        let field = if series.is_some() {
            Field::Series
        } else {
            Field::Figure(scheme.entries[entry].states.first()?.0)
        };
        entry_bindings_of(scheme, entry, field, bindings)
    })
}

fn entry_bindings_of(
    scheme: &Scheme,
    entry: usize,
    field: Field,
    bindings: Vec<Binding>,
) -> Option<(usize, String)> {
    let stamps = scheme.stamps.iter().enumerate();
    let fitting = stamps.filter(|(_, stamp)| {
        stamp.template.fields().contains(&field) && stamp.years.overlap(scheme.entries[entry].years)
    });
    fitting
        .into_iter()
        .find_map(|(place, _)| Some((place, encode(scheme, place, &bindings)?)))
}

/// What a figure is where the stamp does not say: by the entry, the series, or unmarked.
pub(super) fn implied<'a>(
    scheme: &'a Scheme,
    bindings: &[Binding],
    figure: usize,
) -> Option<&'a Sign> {
    let of = |states: &'a [(usize, Sign)]| {
        states
            .iter()
            .find(|(place, _)| *place == figure)
            .map(|(_, sign)| sign)
    };
    let entry = bindings.iter().find_map(|binding| match binding {
        Binding::Entry(entry) => Some(&scheme.entries[*entry]),
        _ => None,
    });
    let stamped = bindings.iter().find_map(|binding| match binding {
        Binding::Series { series, .. } => Some(*series),
        _ => None,
    });
    let series = stamped
        .or(entry.and_then(|entry| entry.series))
        .map(|place| &scheme.series[place]);
    let by_entry = entry.and_then(|entry| of(&entry.states));
    by_entry
        .or_else(|| series.and_then(|series| of(&series.implies)))
        .or(scheme.figures[figure].unmarked.as_ref())
}

/// Whether a binding says only what would hold without it.
pub(super) fn goes_without_saying(
    scheme: &Scheme,
    bindings: &[Binding],
    binding: &Binding,
) -> bool {
    match binding {
        Binding::Figure(figure, sign) => {
            implied(scheme, bindings, *figure).is_some_and(|implied| implied.text == sign.text)
        }
        Binding::Series { series, word: 0 } => {
            bindings.iter().any(|one| matches!(one, Binding::Entry(entry) if scheme.entries[*entry].series == Some(*series)))
        }
        _ => false,
    }
}

/// What is struck, one after the other.
enum Written<'a> {
    /// A glyph of the template.
    Glyph(char),
    /// The value of a field.
    Value(Cow<'a, Binding>),
}

struct Writer<'a> {
    scheme: &'a Scheme,
    bindings: &'a [Binding],
    written: Vec<Written<'a>>,
}

impl<'a> Writer<'a> {
    fn write(
        scheme: &'a Scheme,
        stamp: usize,
        bindings: &'a [Binding],
    ) -> Option<Vec<Written<'a>>> {
        let tokens = &scheme.stamps.get(stamp)?.template.tokens;
        let mut writer = Self {
            scheme,
            bindings,
            written: Vec::with_capacity(tokens.len()),
        };
        writer.tokens(tokens)?;
        Some(writer.written)
    }

    fn tokens(&mut self, tokens: &[Token]) -> Option<()> {
        for token in tokens {
            match token {
                Token::Literal(glyph) => self.written.push(Written::Glyph(*glyph)),
                Token::Field(field) => {
                    let value = self.value(*field)?;
                    self.written.push(Written::Value(value));
                }
                Token::Group(inner) if self.says_something(inner) => self.tokens(inner)?,
                Token::Group(_) => {}
            }
        }
        Some(())
    }

    fn value(&self, field: Field) -> Option<Cow<'a, Binding>> {
        let bound = self.bound(field).map(Cow::Borrowed);
        bound.or_else(|| self.unsaid(field).map(Cow::Owned))
    }

    fn bound(&self, field: Field) -> Option<&'a Binding> {
        self.bindings
            .iter()
            .find(|binding| field_of(binding) == field)
    }

    /// What must be written although nobody says it; only what the figure has a sign for.
    fn unsaid(&self, field: Field) -> Option<Binding> {
        match field {
            Field::Figure(figure) => {
                let sign = implied(self.scheme, self.bindings, figure)?;
                let signs = &self.scheme.figures[figure].signs;
                signs
                    .read(&sign.text, true)
                    .map(|sign| Binding::Figure(figure, sign))
            }
            Field::Series => self.bindings.iter().find_map(|binding| match binding {
                Binding::Entry(entry) => self.scheme.entries[*entry]
                    .series
                    .map(|series| Binding::Series { series, word: 0 }),
                _ => None,
            }),
            Field::Entry | Field::Mark(_) => None,
        }
    }

    fn says_something(&self, tokens: &[Token]) -> bool {
        tokens.iter().any(|token| match token {
            Token::Literal(_) => false,
            Token::Group(inner) => self.says_something(inner),
            Token::Field(field) => self
                .bound(*field)
                .is_some_and(|binding| !goes_without_saying(self.scheme, self.bindings, binding)),
        })
    }
}

/// A spelling with its segments.
#[derive(Default)]
struct Cut {
    text: String,
    length: usize,
    segments: Vec<Segment>,
}

impl Cut {
    fn literal(&mut self, glyph: char) {
        let letter = glyph.is_alphanumeric();
        match self.segments.last_mut() {
            Some(last)
                if letter
                    && last.what == SegmentKind::Literal
                    && last.start + last.length == self.length =>
            {
                last.text.push(glyph);
                last.length += 1;
            }
            _ if glyph.is_whitespace() => {}
            _ => {
                let (what, meaning) = if letter {
                    (SegmentKind::Literal, decode::STRUCK)
                } else {
                    (SegmentKind::Separator, decode::PARTS)
                };
                return self.segment(&glyph.to_string(), what, meaning.to_owned());
            }
        }
        self.text.push(glyph);
        self.length += 1;
    }

    fn segment(&mut self, text: &str, what: SegmentKind, meaning: String) {
        let (start, length) = (self.length, text.chars().count());
        self.text.push_str(text);
        self.length += length;
        self.segments.push(Segment {
            text: text.to_owned(),
            start,
            length,
            what,
            meaning,
        });
    }
}

/// The field that shows a binding.
pub(super) fn field_of(binding: &Binding) -> Field {
    match binding {
        Binding::Series { .. } => Field::Series,
        Binding::Entry(_) => Field::Entry,
        Binding::Figure(figure, _) => Field::Figure(*figure),
        Binding::Mark { mark, .. } => Field::Mark(*mark),
    }
}

/// How a binding is written. An older word of a series is kept: it dates the piece.
fn spelling<'a>(scheme: &'a Scheme, binding: &'a Binding) -> &'a str {
    match binding {
        Binding::Series { series, word } => &scheme.series[*series].words[*word].0,
        Binding::Entry(entry) => &scheme.entries[*entry].name,
        Binding::Figure(_, sign) => &sign.text,
        Binding::Mark { mark, code } => &scheme.marks[*mark].codes[*code].code,
    }
}
