//! Schemes of anything that a template can hold, drawn from a seed, and texts put to them.
//!
//! Words, signs and separators are of any glyphs: of other scripts, wide, combining, unseen. Templates are nested
//! and full of groups. What comes out is no scheme that anybody would write; the reader must be quick and honest
//! with it all the same.

use std::sync::Arc;
use std::time::{Duration, Instant};

use counterbore::scheme::{Code, Entry, Field, Scheme, Stamp, Template, Years};
use counterbore::stamp::{Automaton, Decoder, Glyphs, near_miss};

use crate::generator::{self, GRADES, Random};
use crate::schemes::listed;

/// Glyphs of all kinds, common ones often.
const GLYPHS: &str = "0123456789ABCDEFGHKLMNRSTabekol-/.,+: 01?*½¼éß×٣۴漢Ωж\u{301}\u{200B}\u{AD}\u{200F}\u{A0}\u{2033}ﬁⅣ|'\"&";

/// A scheme of which all else may be anything.
#[derive(Debug)]
pub struct Blank(Arc<Scheme>);

impl Blank {
    /// One with a grid and a place for entries.
    pub fn new() -> Self {
        Self(listed("anything", "{entry}[ {rim}]", &["Q1".to_owned()]))
    }

    /// A scheme drawn on it.
    pub fn drawn(&self, random: &mut Random) -> Arc<Scheme> {
        let blank = &*self.0;
        let few = |random: &mut Random| 1 + random.below(6);
        let entries = if random.below(40) == 0 {
            2_100
        } else {
            few(random) * few(random)
        };
        let series = (0..few(random)).map(|place| counterbore::scheme::Series {
            name: format!("s{place}"),
            words: words(random)
                .into_iter()
                .map(|word| (word, Years::default()))
                .collect(),
            serves: Vec::new(),
            contour: blank.contour.clone(),
            backbore: Vec::new(),
            implies: Vec::new(),
            says: Vec::new(),
            source: "invented".into(),
        });
        let series: Vec<_> = series.collect();
        let marks = (0..2).map(|place| counterbore::scheme::Mark {
            name: format!("m{place}"),
            title: "mark".into(),
            unmarked: None,
            codes: words(random)
                .into_iter()
                .map(|code| Code {
                    code,
                    also: words(random),
                    means: "anything".into(),
                    effects: Vec::new(),
                    source: "invented".into(),
                })
                .collect(),
        });
        let marks: Vec<_> = marks.collect();
        let row = &blank.entries[0];
        let entries = (0..entries).map(|_| Entry {
            name: word(random),
            also: if random.below(4) == 0 {
                words(random)
            } else {
                Vec::new()
            },
            ..row.clone()
        });
        let entries: Vec<_> = entries.collect();
        let separators = (0..random.below(4))
            .map(|_| (glyph(random), words(random)))
            .collect();
        let stamps: Vec<Stamp> = (0..few(random))
            .filter_map(|_| {
                let template = template(random)?;
                Some(Stamp {
                    template,
                    also: template_or_none(random),
                    ..blank.stamps[0].clone()
                })
            })
            .collect();
        Arc::new(Scheme {
            id: "anything".into(),
            title: "Anything (invented)".into(),
            serves: blank.serves.clone(),
            revision: "1".into(),
            source: "invented".into(),
            notes: Vec::new(),
            case_matters: random.below(3) == 0,
            separators,
            parts: Vec::new(),
            figures: blank.figures.clone(),
            series,
            contour: blank.contour.clone(),
            marks,
            entries,
            usual: blank.usual.clone(),
            declared: Vec::new(),
            traces: Vec::new(),
            stamps: if stamps.is_empty() {
                blank.stamps.clone()
            } else {
                stamps
            },
            examples: Vec::new(),
            hash: String::new(),
            file: "anything.yml".into(),
        })
    }
}

fn glyph(random: &mut Random) -> char {
    let glyphs: Vec<char> = GLYPHS.chars().collect();
    *random.one_of(&glyphs)
}

fn word(random: &mut Random) -> String {
    let length = 1 + random.below(5) + if random.below(200) == 0 { 140 } else { 0 };
    (0..length).map(|_| glyph(random)).collect()
}

fn words(random: &mut Random) -> Vec<String> {
    (0..1 + random.below(3)).map(|_| word(random)).collect()
}

fn template_or_none(random: &mut Random) -> Vec<Template> {
    if random.below(3) == 0 {
        template(random).into_iter().collect()
    } else {
        Vec::new()
    }
}

const FIELDS: [&str; 5] = ["{series}", "{entry}", "{rim}", "{m0}", "{m1}"];

/// A template that can be parsed; fields may stand twice, which no file may say.
fn template(random: &mut Random) -> Option<Template> {
    let mut text = String::new();
    let mut open = 0;
    for _ in 0..1 + random.below(14) {
        match random.below(7) {
            0 | 1 => text.push(glyph(random)),
            2 | 3 => text.push_str(FIELDS[random.below(FIELDS.len())]),
            4 => {
                text.push('[');
                open += 1;
            }
            _ if open > 0 => {
                text.push(']');
                open -= 1;
            }
            _ => text.push_str("{entry}"),
        }
    }
    text.extend(std::iter::repeat_n(']', open));
    let field = |name: &str| match name {
        "series" => Some(Field::Series),
        "entry" => Some(Field::Entry),
        "rim" => Some(Field::Figure(0)),
        "m0" => Some(Field::Mark(0)),
        "m1" => Some(Field::Mark(1)),
        _ => None,
    };
    Template::parse(&text, field).ok()
}

/// What was seen while texts were read.
#[derive(Clone, Copy, Debug, Default)]
pub struct Worst {
    /// The longest that building took.
    pub built: Duration,
    /// The longest that reading one text took.
    pub read: Duration,
    /// The most states of an automaton.
    pub states: usize,
}

impl Worst {
    /// The worse of both in all.
    pub fn or(self, other: Self) -> Self {
        Self {
            built: self.built.max(other.built),
            read: self.read.max(other.read),
            states: self.states.max(other.states),
        }
    }
}

/// Draws a scheme from a seed and reads so many texts on it.
///
/// # Panics
/// Where an answer breaks what is promised of every answer.
pub fn tried(blank: &Blank, glyphs: &Glyphs, seed: u64, texts: usize) -> Worst {
    let mut random = Random::new(seed);
    let scheme = blank.drawn(&mut random);
    let start = Instant::now();
    let automaton = Automaton::build(std::slice::from_ref(&scheme), glyphs);
    let decoder = Decoder::new(std::slice::from_ref(&scheme));
    let mut worst = Worst {
        built: start.elapsed(),
        states: automaton.states(),
        read: Duration::ZERO,
    };
    let mut text = scheme.entries[0].name.clone();
    for _ in 0..texts {
        let start = Instant::now();
        let found = automaton.find(&text, 5);
        let decoded = decoder.decode(&text);
        if decoded.readings.is_empty() && random.below(8) == 0 {
            near_miss(std::slice::from_ref(&scheme), &text);
        }
        worst.read = worst.read.max(start.elapsed());
        let Ok(found) = found else {
            text = word(&mut random);
            continue;
        };
        let all: f64 = found
            .readings
            .iter()
            .map(|one| one.probability)
            .sum::<f64>()
            + found.unexplained;
        assert!(
            all <= 1.0 + 1e-6 && found.unexplained >= 0.0,
            "seed {seed}, {text:?}: {all}"
        );
        assert!(
            found.readings.iter().all(|one| one.cost.is_finite()),
            "seed {seed}, {text:?}"
        );
        // The next text is what was found, worn; or anything.
        let name = found
            .readings
            .first()
            .map(|one| one.text.clone())
            .filter(|name| name.chars().filter(|one| one.is_alphanumeric()).count() > 1);
        text = match name {
            Some(name) if random.below(4) > 0 => {
                generator::worn(&name, random.below(GRADES.len()), &mut random)
            }
            _ => word(&mut random),
        };
    }
    worst
}
