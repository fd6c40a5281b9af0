//! What stands on the card, in words and in reading order.
//!
//! Turns the data of a card into finished blocks: spelled for their form, values held to their units.
//! HTML, sheets and plain text are made from the same blocks, so that none says more than
//! another. Nothing is computed here.

use serde::Serialize;

use super::block::{
    Block, Measure, Measures, Nearest, Notes, Part, Reopen, Segment, Shop, Stamp, Step, Value,
};
use super::code;
use super::signs;
use super::wrap::held;
use crate::answer::{
    Change, DifferenceAnswer, Figure, FigureAnswer, MatchAnswer, NeutralAnswer, NotComparedAnswer,
    PartAnswer, ReadingAnswer, Reads, TranslationAnswer,
};
use crate::card::{Card, LIMITS};
use crate::language::{number, word};
use crate::method;

/// The words of a template: headings of columns, and what stands for those who cannot see.
#[derive(Clone, Debug, Serialize)]
pub struct Words {
    quantity: String,
    maker: String,
    neutral: String,
    /// The same three ways in short: by the maker's method, in the neutral frame, one figure for both.
    of_maker: String,
    of_neutral: String,
    of_both: String,
    same: String,
    figure: String,
    source: String,
    measure: String,
    difference: String,
    verdict: String,
    /// With a blank for the page and one for how many there are.
    page: String,
    logo: String,
    code: String,
}

/// In the language in force.
pub fn words() -> Words {
    Words {
        quantity: say!("quantity"),
        maker: say!("by the maker's method"),
        neutral: say!("in the neutral frame"),
        of_maker: say!("maker"),
        of_neutral: say!("neutral"),
        of_both: say!("both"),
        same: say!("the same"),
        figure: say!("figure"),
        source: say!("method; where from"),
        measure: say!("measure"),
        difference: say!("difference"),
        verdict: say!("in words"),
        page: say!("page {page}/{pages}", page = "{}", pages = "{}"),
        logo: say!("the shop's sign"),
        code: say!("the address that reopens this card, for a telephone"),
    }
}

/// How a form spells.
pub type Spelling = fn(&str) -> String;

/// The blocks of a card.
pub fn blocks(card: &Card, spelling: Spelling) -> Vec<Block> {
    Writer { spelling }.card(card)
}

/// Turns data into words.
struct Writer {
    spelling: Spelling,
}

impl Writer {
    /// A sentence as this form spells it.
    fn say(&self, text: &str) -> String {
        self.spelled(text, signs::LONGEST)
    }

    /// A name as this form spells it.
    fn name(&self, text: &str) -> String {
        self.spelled(text, signs::LONGEST_NAME)
    }

    fn spelled(&self, text: &str, most: usize) -> String {
        held(&signs::shortened(
            &(self.spelling)(&signs::visible(text)),
            most,
        ))
    }

    fn card(&self, card: &Card) -> Vec<Block> {
        let mut blocks = vec![self.shop(card), self.stamp(card)];
        blocks.extend(self.measures(&card.reading));
        blocks.extend(self.section(&card.reading));
        blocks.push(self.notes(&say!("How sure"), &how_sure(card), false));
        if card.into.iter().any(|one| !one.matches.is_empty()) {
            blocks.push(self.notes(&say!("Nearest pieces"), &[how_compared()], false));
        }
        blocks.extend(card.into.iter().map(|one| self.nearest(one, &card.reading)));
        blocks.extend(self.small_print(card));
        blocks
    }

    fn shop(&self, card: &Card) -> Block {
        let lines = card.shop.lines.iter().map(|line| self.say(line)).collect();
        Block::Shop(Shop {
            name: self.name(&card.shop.name),
            lines,
        })
    }

    fn stamp(&self, card: &Card) -> Block {
        let reading = &card.reading;
        let serves: Vec<String> = reading.serves.iter().map(|one| word(one)).collect();
        let mut about = serves.join(", ");
        if let Some(years) = &reading.made {
            about = format!("{about}; {}", say!("made {years}", years));
        }
        let mut says = Vec::new();
        if card.stamp != reading.canonical {
            says.push(say!(
                "Typed {stamp}; its canonical spelling is {canonical}.",
                stamp = card.stamp,
                canonical = reading.canonical
            ));
        }
        says.extend(reading.scheme.kept_sentence());
        let besides = besides(reading);
        if !besides.is_empty() {
            says.push(besides.join("; "));
        }
        if !card.rivals.is_empty() {
            says.push(say!(
                "It may also be read as {rivals}.",
                rivals = card.rivals.join(&say!("; or as "))
            ));
        }
        Block::Stamp(Stamp {
            maker: self.name(&reading.scheme.title),
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
            Some(thread) => {
                format!("{}, {}", word(&part.part), say!("thread {thread}", thread))
            }
            None if of > 1 || part.part != "one-piece" => word(&part.part),
            None => String::new(),
        };
        let segments = part
            .segments
            .iter()
            .filter(|one| !one.text.trim().is_empty());
        let segment = |one: &crate::answer::SegmentAnswer| Segment {
            struck: self.name(&one.text),
            meaning: if one.kind == "separator" {
                String::new()
            } else {
                self.say(&one.meaning)
            },
        };
        Part {
            title: self.name(&title),
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
        let same = figure
            .zip(carried)
            .filter(|(maker, neutral)| is_the_same(&maker.measured, neutral));
        let why = neutral
            .filter(|one| one.measured.is_none())
            .map(|one| one.cannot.clone().unwrap_or_else(|| say!("no route")));
        Measure {
            quantity: self.name(&quantity.map_or_else(String::new, |one| word(one))),
            both: same.map(|(maker, neutral)| {
                let methods = both_methods(&maker.measured.method, &neutral.method);
                self.figure(&maker.measured, &[&methods, &because(maker)])
            }),
            maker: figure.filter(|_| same.is_none()).map(|one| {
                self.figure(
                    &one.measured,
                    &[&method::said(&one.measured.method), &because(one)],
                )
            }),
            neutral: carried
                .filter(|_| same.is_none())
                .map(|one| self.figure(one, &[&method::said(&one.method), &word(&one.route.kind)])),
            cannot: self
                .say(&why.map_or(String::new(), |why| say!("cannot be compared: {why}", why))),
        }
    }

    fn value(&self, text: &str, from: &str, k: &str) -> Value {
        let text = self.say(text);
        let point =
            text.find(|sign: char| !(sign.is_ascii_digit() || "+-\u{2013}\u{2212}".contains(sign)));
        let (whole, rest) = text.split_at(point.unwrap_or(text.len()));
        Value {
            whole: whole.to_owned(),
            rest: rest.to_owned(),
            limits: String::new(),
            from: self.name(from),
            k: factor_alone(k),
        }
    }

    /// A figure: a value, or limits in words.
    fn figure(&self, one: &Figure, from: &[&str]) -> Value {
        let (from, k) = (phrases(from), one.factors());
        match &one.reads {
            Reads::Value(_) => self.value(&one.plain(), &from, &k),
            Reads::Limits(limits) => self.limits(&limits.plain(), &from, &k),
        }
    }

    fn limits(&self, text: &str, from: &str, k: &str) -> Value {
        Value {
            whole: String::new(),
            rest: String::new(),
            limits: self.say(text),
            from: self.name(from),
            k: factor_alone(k),
        }
    }

    fn section(&self, reading: &ReadingAnswer) -> Option<Block> {
        if let Some(section) = &reading.section {
            let mut section = section.clone();
            for point in &mut section.points {
                point.text = self.name(&point.text);
                point.value = self.say(&point.value);
            }
            return Some(Block::Section(section));
        }
        let why = reading.no_section.as_ref()?;
        Some(self.notes(
            &say!("Section"),
            &[say!("No section can be drawn: {why}.", why)],
            false,
        ))
    }

    fn nearest(&self, one: &TranslationAnswer, ours: &ReadingAnswer) -> Block {
        let Some(best) = one.matches.first() else {
            return self.not_comparable(one);
        };
        // Where nothing is missing, the rows say so themselves.
        let compared = Some(best.compared.as_str()).filter(|_| !best.not_compared.is_empty());
        let about: Vec<&str> = best
            .made
            .iter()
            .map(String::as_str)
            .chain(compared)
            .chain(best.other_instrument.as_deref())
            .collect();
        Block::Nearest(Nearest {
            maker: self.name(&heading(one)),
            near: one.near,
            stamp: self.name(&best.canonical),
            about: self.name(&about.join(", ")),
            far: self.say(&why_far(one)),
            rows: best
                .differences
                .iter()
                .map(|difference| self.step(difference, ours))
                .collect(),
            notes: self.nearest_notes(one, best),
        })
    }

    fn not_comparable(&self, one: &TranslationAnswer) -> Block {
        Block::Nearest(Nearest {
            maker: self.name(&one.scheme.title),
            near: false,
            stamp: String::new(),
            about: String::new(),
            far: self.say(&one.says),
            rows: Vec::new(),
            notes: one
                .not_compared
                .iter()
                .map(|why| format!("{}: {}", word(&why.quantity), why.why))
                .chain(one.scheme.kept_sentence())
                .map(|text| self.say(&text))
                .collect(),
        })
    }

    fn nearest_notes(&self, one: &TranslationAnswer, best: &MatchAnswer) -> Vec<String> {
        let missing = missing(&best.not_compared);
        let outside = one
            .outside
            .iter()
            .map(|outside| outside.says.clone())
            .filter(|says| !one.says.contains(says))
            .map(|says| format!("{}.", capital(&says)));
        let open = best
            .canonical
            .contains('?')
            .then(|| say!("? stands for what the piece at hand does not tell."));
        missing
            .into_iter()
            .chain(outside)
            .chain(open)
            .chain(one.scheme.kept_sentence())
            .map(|text| self.say(&text))
            .collect()
    }

    /// A difference; its number stands beside the words, which do without it.
    fn step(&self, one: &DifferenceAnswer, ours: &ReadingAnswer) -> Step {
        let (k, method) = (one.factors(), method::said(&one.method));
        let difference = match &one.difference {
            Change::Value(_) => {
                let size_alone = one.text.strip_suffix(&format!(" ({k})"));
                self.value(size_alone.unwrap_or(&one.text), "", &k)
            }
            Change::Limits(limits) => self.limits(&limits.signed_plain(), "", &k),
        };
        let e_n = one.e_n.map(|e_n| number(format!("{e_n:.2}")));
        Step {
            measure: self.name(&word(&one.quantity)),
            method: if is_neutral(one, ours) {
                String::new()
            } else {
                self.name(&method)
            },
            difference,
            e_n: e_n.unwrap_or_default(),
            words: self.name(&verdict(one)),
        }
    }

    fn small_print(&self, card: &Card) -> Vec<Block> {
        let mut blocks = Vec::new();
        if !card.into.is_empty() {
            let source = word(&card.feel_source);
            let source = source.trim_end_matches('.');
            let feel = format!("{} {}", card.rule, say!("Feel limits: {source}.", source));
            blocks.push(self.notes(&say!("Verdicts"), &[feel], false));
        }
        blocks.push(self.notes(&say!("Cautions"), &card.cautions, true));
        blocks.push(self.notes(&say!("Tables"), &[tables(card)], false));
        if !card.address.is_empty() {
            blocks.push(self.reopen(card));
        }
        blocks
    }

    /// Where no telephone reaches the address, what the counter itself needs of it.
    fn reopen(&self, card: &Card) -> Block {
        let own = || {
            card.address
                .find("/card?")
                .map(|place| &card.address[place..])
        };
        let (title, address) = match own().filter(|_| !card.scannable) {
            Some(own) => (say!("Reopen at the counter"), own),
            None => (say!("Reopen at"), card.address.as_str()),
        };
        let code = card.scannable.then(|| code::code(&card.address)).flatten();
        Block::Reopen(Reopen {
            title: self.say(&title),
            address: self.say(address),
            code,
        })
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
        let marks = figure.altered_by.join(", ");
        format!("{}, {}", figure.because, say!("altered by {marks}", marks))
    }
}

/// How differences are read, once, before the first.
fn how_compared() -> String {
    format!(
        "{} {} {}",
        say!("A difference is the named piece less this one: + is more, - is less."),
        say!("The same: as far as anyone can feel."),
        say!("Methods are those of the neutral frame unless named.")
    )
}

/// Whether the neutral frame has the maker's own figure: one line says both.
fn is_the_same(maker: &Figure, neutral: &Figure) -> bool {
    neutral.route.kind == "stated"
        && maker.plain() == neutral.plain()
        && maker.factors() == neutral.factors()
}

/// The maker's method, and that of the neutral frame where it is another that reads the same.
fn both_methods(maker: &str, neutral: &str) -> String {
    let (maker, neutral) = (method::said(maker), method::said(neutral));
    if maker == neutral {
        return maker;
    }
    say!("{maker} or {neutral}", maker, neutral)
}

/// Whether a difference is by the method by which the measures state that quantity in the neutral frame.
fn is_neutral(difference: &DifferenceAnswer, ours: &ReadingAnswer) -> bool {
    let mut figures = ours.neutral.iter().filter_map(|one| one.measured.as_ref());
    figures.any(|one| one.quantity == difference.quantity && one.method == difference.method)
}

/// The verdict in words; that of the usual case in short, which [`how_compared`] says in full.
fn verdict(difference: &DifferenceAnswer) -> String {
    match difference.verdict.as_str() {
        "same" => difference.says(),
        _ => difference.judged.clone(),
    }
}

/// "1.96" of "k 1.96".
fn factor_alone(factors: &str) -> String {
    factors.trim_start_matches("k ").to_owned()
}

/// Over a match; over one that is not near, that it is not.
fn heading(one: &TranslationAnswer) -> String {
    match one.near {
        true => one.scheme.title.clone(),
        false => say!("{scheme}: nothing near", scheme = one.scheme.title),
    }
}

/// Why nothing is near, without what the heading has said already.
fn why_far(one: &TranslationAnswer) -> String {
    if one.near {
        return String::new();
    }
    let rest = one.says.strip_prefix(&heading(one));
    let rest = rest.map_or(one.says.as_str(), |rest| rest.trim_start_matches("; "));
    if rest.is_empty() {
        return String::new();
    }
    format!("{}.", capital(rest))
}

/// A sentence with its first letter large.
fn capital(text: &str) -> String {
    let mut signs = text.chars();
    let first = signs.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(signs).collect()
}

/// What is not compared; quantities of which the same is said stand together.
fn missing(all: &[NotComparedAnswer]) -> Vec<String> {
    let mut reasons: Vec<(Vec<String>, String)> = Vec::new();
    for one in all {
        let quantity = word(&one.quantity);
        let why = one.why.replace(&quantity, "{}");
        match reasons.iter_mut().find(|(_, same)| *same == why) {
            Some((quantities, _)) => quantities.push(quantity),
            None => reasons.push((vec![quantity], why)),
        }
    }
    let said = |(quantities, why): &(Vec<String>, String)| {
        let quantities = quantities.join(", ");
        match why.contains("{}") {
            true => why.replace("{}", &quantities),
            false => format!("{quantities}: {why}"),
        }
    };
    let reasons: Vec<String> = reasons.iter().map(said).collect();
    match reasons.is_empty() {
        true => Vec::new(),
        false => vec![say!("Not compared: {why}.", why = reasons.join("; "))],
    }
}

/// Phrases that are not empty, one behind the other.
fn phrases(all: &[&str]) -> String {
    let said: Vec<&str> = all.iter().copied().filter(|one| !one.is_empty()).collect();
    said.join("; ")
}

/// The kinds of route on the card, each explained.
const ROUTES: [(&str, &str); 6] = [
    ("stated", word!("the maker's own figure")),
    (
        "traced",
        word!("both methods read on the piece's own trace"),
    ),
    (
        "paired",
        word!("from pieces that the shop measured both ways"),
    ),
    (
        "declared",
        word!("by an offset that a table states, with its source"),
    ),
    (
        "contour",
        word!("worked out from the form of the maker's series"),
    ),
    (
        "generic",
        word!("worked out from a usual form; the series' own is not known"),
    ),
];

/// What stands behind the figures: how uncertainty is stated, and the kinds of route.
fn how_sure(card: &Card) -> Vec<String> {
    let kinds: Vec<&str> = card
        .reading
        .neutral
        .iter()
        .filter_map(|one| Some(one.measured.as_ref()?.route.kind.as_str()))
        .filter(|kind| *kind != "stated")
        .collect();
    let used = ROUTES.iter().filter(|(kind, _)| kinds.contains(kind));
    let routes: Vec<String> = used
        .map(|(kind, says)| format!("{}: {}", word(kind), word(says)))
        .collect();
    let routes =
        (!routes.is_empty()).then(|| say!("Routes: {routes}.", routes = routes.join("; ")));
    let drawn = card.reading.section.iter();
    let drawn = drawn.flat_map(|section| {
        section
            .within_limits
            .iter()
            .map(|one| say!("In the section {limits}.", limits = one))
    });
    let whose = (!card.reading.neutral.is_empty())
        .then(|| say!("Maker: as its maker measures; neutral: in one way for all makers."));
    whose
        .into_iter()
        .chain([card.uncertainty.clone()])
        .chain(card.reading.has_limits().then(|| word(LIMITS)))
        .chain(drawn)
        .chain(routes)
        .collect()
}

/// Every table once, those of one revision together.
fn tables(card: &Card) -> String {
    let digest: String = card.tables.chars().take(12).collect();
    let mut revisions: Vec<(&str, Vec<&str>)> = Vec::new();
    for table in &card.tables_used {
        let title = table.title.as_str();
        match revisions.iter_mut().find(|(one, _)| *one == table.revision) {
            Some((_, titles)) if titles.contains(&title) => {}
            Some((_, titles)) => titles.push(title),
            None => revisions.push((&table.revision, vec![title])),
        }
    }
    let names = revisions.iter().map(|(revision, titles)| {
        let tables = titles.join(", ");
        say!("revision {revision} of {tables}", revision, tables)
    });
    let names: Vec<String> = names.collect();
    let mut all = say!("all tables together [{digest}]", digest);
    if !card.not_loaded.is_empty() {
        let missing = card.not_loaded.join(", ");
        all = format!(
            "{all}; {}",
            say!("not loaded: {schemes}", schemes = missing)
        );
    }
    format!("{}; {all}", names.join("; "))
}
