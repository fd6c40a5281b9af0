//! What stands on the card, block by block, in reading order.
//!
//! The blocks hold finished words: spelled for their form, values held to their units. HTML,
//! sheets and plain text are made from the same blocks, so that none says more than
//! another. A block stays whole on a page where a page can hold it; [`Block::split`] is for those
//! that no page holds.

use serde::Serialize;

use super::signs;
use super::wrap::held;
use crate::answer::{
    DifferenceAnswer, FigureAnswer, MatchAnswer, NeutralAnswer, PartAnswer, ReadingAnswer,
    SectionAnswer, TranslationAnswer,
};
use crate::card::Card;

/// One block.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Block {
    /// Who hands the card out.
    Shop(Shop),
    /// The stamp, segment by segment.
    Stamp(Stamp),
    /// Values by their methods.
    Measures(Measures),
    /// The section drawing.
    Section(SectionAnswer),
    /// The nearest piece of one scheme.
    Nearest(Nearest),
    /// Sentences.
    Notes(Notes),
}

/// Who hands the card out.
#[derive(Clone, Debug, Serialize)]
pub struct Shop {
    /// Its name; may be empty.
    pub name: String,
    /// Its address.
    pub lines: Vec<String>,
}

/// The stamp as read.
#[derive(Clone, Debug, Serialize)]
pub struct Stamp {
    /// The maker.
    pub maker: String,
    /// Instruments, and when it can have been made.
    pub about: String,
    /// Part by part.
    pub parts: Vec<Part>,
    /// The canonical spelling where it differs from what was typed, rivals, what is said besides.
    pub says: Vec<String>,
}

/// What is struck into one part.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// Which, with its thread; empty for a piece of one part.
    pub title: String,
    /// Segment by segment.
    pub segments: Vec<Segment>,
}

/// One segment.
#[derive(Clone, Debug, Serialize)]
pub struct Segment {
    /// As on the metal.
    pub struck: String,
    /// In words; may be empty.
    pub meaning: String,
}

/// The measures of the piece: the same metal by two ways of measuring, side by side.
#[derive(Clone, Debug, Serialize)]
pub struct Measures {
    /// Row by row.
    pub rows: Vec<Measure>,
}

/// One quantity.
#[derive(Clone, Debug, Serialize)]
pub struct Measure {
    /// What is meant.
    pub quantity: String,
    /// By the maker's method.
    pub maker: Option<Value>,
    /// By the method of the neutral frame.
    pub neutral: Option<Value>,
    /// Why there is none in the neutral frame; empty where there is one.
    pub cannot: String,
}

/// A value, divided where the decimal points stand under one another.
#[derive(Clone, Debug, Serialize)]
pub struct Value {
    /// Sign and figures before the decimal point.
    pub whole: String,
    /// From the decimal point on, unit and uncertainty included.
    pub rest: String,
    /// Where and how the gauge is put, and where the value comes from; empty for a difference.
    pub from: String,
}

/// The nearest piece of one scheme.
#[derive(Clone, Debug, Serialize)]
pub struct Nearest {
    /// Its maker.
    pub maker: String,
    /// Its stamp; empty where nothing could be compared.
    pub stamp: String,
    /// When it was made and on how many measures it was compared.
    pub about: String,
    /// What is said first where it is not near; empty where it is.
    pub far: String,
    /// Measure by measure.
    pub rows: Vec<Step>,
    /// What was not compared, what is outside the scheme's scale.
    pub notes: Vec<String>,
}

/// One measure of two pieces.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    /// What is compared, by which method.
    pub measure: String,
    /// Theirs less ours.
    pub difference: Value,
    /// The verdict.
    pub words: String,
}

/// Sentences under a heading.
#[derive(Clone, Debug, Serialize)]
pub struct Notes {
    /// The heading.
    pub title: String,
    /// The sentences.
    pub lines: Vec<String>,
    /// Whether they are cautions.
    pub caution: bool,
}

/// How a form spells.
pub type Spelling = fn(&str) -> String;

/// The blocks of a card.
pub fn blocks(card: &Card, spelling: Spelling) -> Vec<Block> {
    Writer { spelling }.card(card)
}

impl Block {
    /// The block in two, the first with `count` rows; none where that is no division.
    pub fn split(&self, count: usize) -> Option<(Self, Self)> {
        match self {
            Self::Measures(block) => {
                let (head, tail) = divided(&block.rows, count)?;
                let part = |rows| {
                    Self::Measures(Measures {
                        rows,
                        ..block.clone()
                    })
                };
                Some((part(head), part(tail)))
            }
            Self::Nearest(block) => {
                let (head, tail) = divided(&block.rows, count)?;
                let head = Nearest {
                    rows: head,
                    notes: Vec::new(),
                    ..block.clone()
                };
                Some((
                    Self::Nearest(head),
                    Self::Nearest(Nearest {
                        rows: tail,
                        ..block.clone()
                    }),
                ))
            }
            Self::Notes(block) => {
                let (head, tail) = divided(&block.lines, count)?;
                let part = |lines| {
                    Self::Notes(Notes {
                        lines,
                        ..block.clone()
                    })
                };
                Some((part(head), part(tail)))
            }
            Self::Stamp(block) => {
                let (head, tail) = divided(&block.says, count)?;
                let first = Stamp {
                    says: head,
                    ..block.clone()
                };
                let rest = Notes {
                    title: block.maker.clone(),
                    lines: tail,
                    caution: false,
                };
                Some((Self::Stamp(first), Self::Notes(rest)))
            }
            Self::Shop(_) | Self::Section(_) => None,
        }
    }

    /// How many rows it can be split by.
    pub fn rows(&self) -> usize {
        match self {
            Self::Measures(block) => block.rows.len(),
            Self::Nearest(block) => block.rows.len(),
            Self::Notes(block) => block.lines.len(),
            Self::Stamp(block) => block.says.len(),
            Self::Shop(_) | Self::Section(_) => 0,
        }
    }
}

fn divided<T: Clone>(rows: &[T], count: usize) -> Option<(Vec<T>, Vec<T>)> {
    let (head, tail) = rows.split_at_checked(count)?;
    (!head.is_empty() && !tail.is_empty()).then(|| (head.to_vec(), tail.to_vec()))
}

/// Turns data into words.
struct Writer {
    spelling: Spelling,
}

impl Writer {
    /// A text as this form spells it.
    fn say(&self, text: &str) -> String {
        held(&(self.spelling)(&signs::visible(text)))
    }

    fn card(&self, card: &Card) -> Vec<Block> {
        let mut blocks = vec![self.shop(card), self.stamp(card)];
        blocks.extend(self.measures(&card.reading));
        blocks.extend(self.section(&card.reading));
        blocks.push(self.notes("How sure", &how_sure(card), false));
        blocks.extend(card.into.iter().map(|one| self.nearest(one)));
        blocks.extend(self.small_print(card));
        blocks
    }

    fn shop(&self, card: &Card) -> Block {
        let lines = card.shop.lines.iter().map(|line| self.say(line)).collect();
        Block::Shop(Shop {
            name: self.say(&card.shop.name),
            lines,
        })
    }

    fn stamp(&self, card: &Card) -> Block {
        let reading = &card.reading;
        let mut about = reading.serves.join(", ");
        if let Some(made) = &reading.made {
            about = format!("{about}; made {made}");
        }
        let mut says = Vec::new();
        if card.stamp != reading.canonical {
            says.push(format!(
                "Typed {}; its canonical spelling is {}.",
                card.stamp, reading.canonical
            ));
        }
        let besides = besides(reading);
        if !besides.is_empty() {
            says.push(besides.join("; "));
        }
        if !card.rivals.is_empty() {
            says.push(format!(
                "It can also be read as {}.",
                card.rivals.join("; or as ")
            ));
        }
        Block::Stamp(Stamp {
            maker: self.say(&reading.scheme.title),
            about: self.say(&about),
            parts: reading
                .parts
                .iter()
                .map(|part| self.part(part, reading.parts.len()))
                .collect(),
            says: says.iter().map(|text| self.say(text)).collect(),
        })
    }

    fn part(&self, part: &PartAnswer, of: usize) -> Part {
        let title = match &part.thread {
            Some(thread) => format!("{}, thread {thread}", part.part),
            None if of > 1 || part.part != "one-piece" => part.part.clone(),
            None => String::new(),
        };
        let segments = part
            .segments
            .iter()
            .filter(|one| !one.text.trim().is_empty());
        let segment = |one: &crate::answer::SegmentAnswer| Segment {
            struck: self.say(&one.text),
            meaning: if one.kind == "separator" {
                String::new()
            } else {
                self.say(&one.meaning)
            },
        };
        Part {
            title: self.say(&title),
            segments: segments.map(segment).collect(),
        }
    }

    fn measures(&self, reading: &ReadingAnswer) -> Option<Block> {
        let mut figures: Vec<&FigureAnswer> = reading.figures.iter().collect();
        let mut rows: Vec<Measure> = Vec::new();
        for neutral in &reading.neutral {
            let same = figures
                .iter()
                .position(|one| one.measured.quantity == neutral.quantity);
            let figure = same.map(|place| figures.remove(place));
            rows.push(self.measure(figure, Some(neutral)));
        }
        rows.extend(
            figures
                .into_iter()
                .map(|figure| self.measure(Some(figure), None)),
        );
        (!rows.is_empty()).then_some(Block::Measures(Measures { rows }))
    }

    fn measure(&self, figure: Option<&FigureAnswer>, neutral: Option<&NeutralAnswer>) -> Measure {
        let quantity = neutral
            .map(|one| &one.quantity)
            .or(figure.map(|one| &one.measured.quantity));
        let carried = neutral.and_then(|one| one.measured.as_ref());
        let why = neutral
            .filter(|one| one.measured.is_none())
            .map(|one| one.cannot.as_deref().unwrap_or("no route"));
        Measure {
            quantity: self.say(quantity.map_or("", String::as_str)),
            maker: figure.map(|one| {
                self.value(
                    &one.measured.text(),
                    &format!("{}; {}", one.measured.method, because(one)),
                )
            }),
            neutral: carried
                .map(|one| self.value(&one.text(), &format!("{}; {}", one.method, one.route.kind))),
            cannot: self
                .say(&why.map_or(String::new(), |why| format!("cannot be compared: {why}"))),
        }
    }

    fn value(&self, text: &str, from: &str) -> Value {
        let text = self.say(text);
        let point =
            text.find(|sign: char| !(sign.is_ascii_digit() || "+-\u{2013}\u{2212}".contains(sign)));
        let (whole, rest) = text.split_at(point.unwrap_or(text.len()));
        Value {
            whole: whole.to_owned(),
            rest: rest.to_owned(),
            from: self.say(from),
        }
    }

    fn section(&self, reading: &ReadingAnswer) -> Option<Block> {
        if let Some(section) = &reading.section {
            let mut section = section.clone();
            for point in &mut section.points {
                point.text = self.say(&point.text);
                point.value = self.say(&point.value);
            }
            return Some(Block::Section(section));
        }
        let why = reading.no_section.as_ref()?;
        Some(self.notes("Section", &[format!("No section is drawn: {why}.")], false))
    }

    fn nearest(&self, one: &TranslationAnswer) -> Block {
        let Some(best) = one.matches.first() else {
            return self.not_comparable(one);
        };
        let about: Vec<&str> = best
            .made
            .iter()
            .map(String::as_str)
            .chain([best.compared.as_str()])
            .collect();
        Block::Nearest(Nearest {
            maker: self.say(&one.scheme.title),
            stamp: self.say(&best.canonical),
            about: self.say(&about.join(", ")),
            far: if one.near {
                String::new()
            } else {
                self.say(&one.says)
            },
            rows: best
                .differences
                .iter()
                .map(|difference| self.step(difference))
                .collect(),
            notes: self.nearest_notes(one, best),
        })
    }

    fn not_comparable(&self, one: &TranslationAnswer) -> Block {
        Block::Nearest(Nearest {
            maker: self.say(&one.scheme.title),
            stamp: String::new(),
            about: String::new(),
            far: self.say(&one.says),
            rows: Vec::new(),
            notes: one
                .not_compared
                .iter()
                .map(|why| self.say(&format!("{}: {}", why.quantity, why.why)))
                .collect(),
        })
    }

    fn nearest_notes(&self, one: &TranslationAnswer, best: &MatchAnswer) -> Vec<String> {
        let missing = best
            .not_compared
            .iter()
            .map(|why| format!("Not compared: {} ({})", why.quantity, why.why));
        let outside = one
            .outside
            .iter()
            .map(|outside| outside.says.clone())
            .filter(|says| !one.says.contains(says));
        missing.chain(outside).map(|text| self.say(&text)).collect()
    }

    /// A difference; its number stands beside the words, so it is taken out of them.
    fn step(&self, one: &DifferenceAnswer) -> Step {
        let size = one.text.trim_start_matches(['+', '-', '\u{2212}']);
        let words = one
            .words
            .strip_suffix(&format!(" by {size}"))
            .unwrap_or(&one.words);
        Step {
            measure: self.say(&format!("{}, {}", one.quantity, one.method)),
            difference: self.value(&one.text, ""),
            words: self.say(words),
        }
    }

    fn small_print(&self, card: &Card) -> Vec<Block> {
        let mut blocks = Vec::new();
        if !card.into.is_empty() {
            let feel = format!(
                "{} Feel limits: {}.",
                card.rule,
                card.feel_source.trim_end_matches('.')
            );
            blocks.push(self.notes("Verdicts", &[feel], false));
        }
        blocks.push(self.notes("Cautions", &card.cautions, true));
        blocks.push(self.notes("Tables", &[tables(card)], false));
        if !card.address.is_empty() {
            blocks.push(self.notes("Reopen at", std::slice::from_ref(&card.address), false));
        }
        blocks
    }

    fn notes(&self, title: &str, lines: &[String], caution: bool) -> Block {
        let lines = lines.iter().map(|line| self.say(line)).collect();
        Block::Notes(Notes {
            title: self.say(title),
            lines,
            caution,
        })
    }
}

/// What is said besides, but for what stands beneath a segment already.
fn besides(reading: &ReadingAnswer) -> Vec<String> {
    let struck = |says: &str| {
        reading
            .parts
            .iter()
            .flat_map(|part| &part.segments)
            .any(|segment| segment.meaning == says)
    };
    let says = reading.says.iter().filter(|one| !struck(&one.says));
    says.map(|one| format!("{} ({})", one.says.trim_end_matches('.'), one.because))
        .collect()
}

fn because(figure: &FigureAnswer) -> String {
    if figure.altered_by.is_empty() {
        figure.because.clone()
    } else {
        format!(
            "{}, altered by {}",
            figure.because,
            figure.altered_by.join(", ")
        )
    }
}

/// The kinds of route on the card, each explained.
const ROUTES: [(&str, &str); 6] = [
    ("stated", "the maker's own figure"),
    ("traced", "both methods read on the piece's own trace"),
    ("paired", "from pieces that the shop measured both ways"),
    (
        "declared",
        "by an offset that a table states, with its source",
    ),
    ("contour", "worked out from the form of the maker's series"),
    (
        "generic",
        "worked out from a usual form; the series' own is not known",
    ),
];

/// What stands behind the figures: how uncertainty is stated, and the kinds of route.
fn how_sure(card: &Card) -> Vec<String> {
    let kinds: Vec<&str> = card
        .reading
        .neutral
        .iter()
        .filter_map(|one| Some(one.measured.as_ref()?.route.kind.as_str()))
        .collect();
    let used = ROUTES.iter().filter(|(kind, _)| kinds.contains(kind));
    let routes: Vec<String> = used.map(|(kind, says)| format!("{kind}: {says}")).collect();
    let routes = (!routes.is_empty()).then(|| format!("Routes: {}.", routes.join("; ")));
    std::iter::once(card.uncertainty.clone())
        .chain(routes)
        .collect()
}

/// Every table once.
fn tables(card: &Card) -> String {
    let name = |table: &crate::answer::SchemeName| {
        format!(
            "{}, revision {} [{}]",
            table.title, table.revision, table.hash
        )
    };
    let digest: String = card.tables.chars().take(12).collect();
    let mut names: Vec<String> = card.tables_used.iter().map(name).collect();
    names.dedup();
    format!("{}; all tables together [{digest}]", names.join("; "))
}
