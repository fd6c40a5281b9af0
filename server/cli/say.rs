//! Answers as text for people at a terminal.

use std::fmt::Write;

use super::explain::explained;
use crate::answer::{
    DecodeAnswer, Figure, FigureAnswer, FindAnswer, FoundAnswer, MatchAnswer, NeutralAnswer,
    ReadingAnswer, Reads, TraceAnswer, TranslateAnswer, TranslationAnswer, factor,
};
use crate::card::{LIMITS, UNCERTAINTY};
use crate::language::{number, sign, word};
use crate::method;
use crate::scheme::PartKind;

/// Adds a line; writing to a string cannot fail.
macro_rules! line {
    ($out:expr, $($words:tt)*) => {
        let _ = writeln!($out, $($words)*);
    };
}

/// All readings of a stamp.
pub fn decoded(answer: &DecodeAnswer) -> String {
    let mut out = String::new();
    for (place, reading) in answer.readings.iter().enumerate() {
        if answer.readings.len() > 1 {
            let all = answer.readings.len();
            line!(
                out,
                "{}",
                say!("Reading {number} of {all}", number = place + 1, all)
            );
        }
        read(&mut out, reading);
        line!(out, "");
    }
    if !answer.explained.is_empty() {
        explained(&mut out, &answer.explained);
        line!(out, "");
    }
    line!(out, "{}", word(UNCERTAINTY));
    if answer.readings.iter().any(ReadingAnswer::has_limits) {
        line!(out, "{}", word(LIMITS));
    }
    out
}

fn read(out: &mut String, reading: &ReadingAnswer) {
    line!(out, "{}: {}", reading.scheme.title, reading.canonical);
    let about = say!(
        "for {instruments}; table revision {revision}, {hash}",
        instruments = words(&reading.serves),
        revision = reading.scheme.revision,
        hash = reading.scheme.hash
    );
    line!(out, "  {about}");
    if let Some(kept) = reading.scheme.kept_sentence() {
        line!(out, "  {kept}");
    }
    if let Some(made) = &reading.made {
        line!(out, "  {}", say!("made {years}", years = made));
    }
    for part in &reading.parts {
        let thread = part.thread.as_ref();
        let thread = thread.map_or(String::new(), |thread| {
            format!(", {}", say!("thread {thread}", thread))
        });
        let on = match part.part == PartKind::OnePiece.name() {
            true => say!("Stamped on the piece"),
            false => say!("Stamped on the {part}", part = word(&part.part)),
        };
        line!(out, "  {on}{thread}");
        for segment in part
            .segments
            .iter()
            .filter(|segment| !segment.meaning.is_empty())
        {
            line!(out, "    {:<12} {}", segment.text, segment.meaning);
        }
    }
    line!(out, "  {}", say!("By the maker's methods"));
    table(out, reading.figures.iter().map(figure_row).collect());
    for said in &reading.says {
        line!(out, "    {} ({})", said.says, said.because);
    }
    line!(out, "  {}", say!("In the neutral frame"));
    table(out, reading.neutral.iter().map(neutral_row).collect());
    if let Some(why) = &reading.no_section {
        line!(out, "    {}", say!("no section: {why}", why));
    }
    if let Some(agreement) = &reading.agreement {
        line!(out, "    {}", agreement.says);
    }
}

/// What is measured, the value, and the remark behind it.
type Row = (String, Option<(String, String, String)>, String);

/// A row of a figure. A value has k beside its unit; limits have no point to stand beneath others, and
/// are the first of the remark.
fn row(what: String, measured: &Figure, remark: String) -> Row {
    match &measured.reads {
        Reads::Value(shown) => {
            let (unit, k) = (&measured.unit, factor(shown.amount.k()));
            let behind = format!("{} {unit} (k {k})", shown.plus_minus);
            (
                what,
                Some((shown.value.clone(), behind, unit.clone())),
                remark,
            )
        }
        Reads::Limits(limits) => (what, None, format!("{}  ({remark})", limits.text())),
    }
}

fn figure_row(figure: &FigureAnswer) -> Row {
    let measured = &figure.measured;
    let altered = match figure.altered_by.as_slice() {
        [] => String::new(),
        codes => format!(", {}", say!("altered by {marks}", marks = codes.join(", "))),
    };
    let what = named(&measured.quantity, &measured.method);
    row(what, measured, format!("{}{altered}", figure.because))
}

fn neutral_row(one: &NeutralAnswer) -> Row {
    match (&one.measured, &one.cannot) {
        (Some(measured), _) => {
            let what = named(&measured.quantity, &measured.method);
            let route = &measured.route;
            row(
                what,
                measured,
                format!("{}: {}", word(&route.kind), route.text),
            )
        }
        (None, why) => (
            word(&one.quantity),
            None,
            say!(
                "cannot be compared: {why}",
                why = why.clone().unwrap_or_else(|| say!("no route"))
            ),
        ),
    }
}

/// Rows with their decimal points beneath one another.
fn table(out: &mut String, rows: Vec<Row>) {
    let whole = |value: &str| {
        value
            .split(sign())
            .next()
            .unwrap_or_default()
            .chars()
            .count()
    };
    let words = rows
        .iter()
        .map(|row| row.0.chars().count())
        .max()
        .unwrap_or(0);
    let values = || rows.iter().filter_map(|row| row.1.as_ref());
    let before = values().map(|(value, ..)| whole(value)).max().unwrap_or(0);
    let after = values()
        .map(|(value, ..)| value.chars().count() - whole(value))
        .max()
        .unwrap_or(0);
    for (what, value, remark) in &rows {
        match value {
            Some((value, plus_minus, unit)) => {
                let left = before - whole(value);
                let right = after - (value.chars().count() - whole(value));
                let blank = |count: usize| " ".repeat(count);
                line!(
                    out,
                    "    {what:<words$}  {}{value}{} {unit} ± {plus_minus}  ({remark})",
                    blank(left),
                    blank(right)
                );
            }
            None => {
                line!(out, "    {what:<words$}  {remark}");
            }
        }
    }
}

/// Words of tables in a row.
pub(super) fn words(all: &[String]) -> String {
    let said: Vec<String> = all.iter().map(|one| word(one)).collect();
    said.join(", ")
}

/// "cup depth, centre".
pub(super) fn named(quantity: &str, by: &str) -> String {
    format!("{}, {}", word(quantity), method::said(by))
}

/// A probability with one digit behind the sign.
fn percent(probability: f64) -> String {
    number(format!("{:>6.1}", 100.0 * probability))
}

/// What it may be.
pub fn found(answer: &FindAnswer) -> String {
    let mut out = String::new();
    if let Some(found) = &answer.contradiction {
        line!(
            out,
            "Stamp and gauge contradict each other. The stamp says {} ({}):",
            found.canonical,
            found.scheme.title
        );
        for gauge in &found.gauges {
            line!(out, "  {}: {}", gauge.quantity, gauge.text());
        }
    }
    if let Some(says) = &answer.gauges_contradict {
        line!(out, "{says}");
    }
    if let Some(says) = &answer.gauges_untold {
        line!(out, "{says}");
    }
    for one in &answer.results {
        candidate(&mut out, one);
    }
    line!(
        out,
        "{} %  {}",
        percent(answer.something_else),
        say!("all else: further pieces that fit, and markings of no scheme here")
    );
    if !answer.complete {
        line!(
            out,
            "{}",
            say!("Not every piece was looked at: more of the stamp or one more gauge narrows it.")
        );
    }
    if let Some(next) = &answer.next {
        line!(out, "{}", say!("Next: {what}", what = next.says));
    }
    if let Some(alike) = &answer.alike {
        line!(out, "{alike}.");
    }
    line!(
        out,
        "{}",
        say!(
            "Probabilities rest on judged costs of worn signs; they are not calibrated from outside."
        )
    );
    out
}

/// "  22.4 %"; below what is worth a figure only that.
fn chance(probability: f64) -> String {
    match probability {
        p if p < 0.001 => say!("under {share} %", share = number("0.1")),
        p => format!("{} %", percent(p)),
    }
}

fn candidate(out: &mut String, one: &FoundAnswer) {
    let remarks = match one.remarks() {
        none if none.is_empty() => none,
        some => format!(", {some}"),
    };
    line!(
        out,
        "{}  {}  ({}{remarks})",
        chance(one.probability),
        one.canonical,
        one.scheme.title
    );
    let taken: Vec<String> = one
        .taken
        .iter()
        .map(|taken| match (taken.seen.as_str(), taken.meant.as_str()) {
            (seen, "") => say!(
                "`{seen}` at sign {place} left out",
                seen,
                place = taken.position
            ),
            ("", meant) => say!(
                "`{meant}` missing at sign {place}",
                meant,
                place = taken.position
            ),
            (seen, meant) => say!(
                "`{seen}` at sign {place} taken for `{meant}`",
                seen,
                place = taken.position,
                meant
            ),
        })
        .collect();
    if !taken.is_empty() {
        line!(out, "          {}", taken.join("; "));
    }
    if let Some(words) = &one.words {
        let says = say!(
            "by words, {of}: {text}",
            of = word(&words.of),
            text = words.text
        );
        line!(out, "          {says}");
    }
    if let Some(why) = &one.more_usual {
        line!(out, "          {why}");
    }
    let certain = one.certain_in_part();
    if !certain.is_empty() {
        let says = say!("certain: {what}", what = certain.join(", "));
        line!(out, "          {says}");
    }
    for check in &one.limits {
        let piece = check.piece.as_ref().map_or(String::new(), |piece| {
            format!("{}, ", say!("the piece {value}", value = piece.text()))
        });
        line!(
            out,
            "          {}: {piece}{}: {}",
            word(&check.quantity),
            say!("gauge {value}", value = check.text),
            check.says
        );
    }
    for check in &one.gauges {
        let piece = check.piece.as_ref().map_or(String::new(), |piece| {
            format!("{}, ", say!("the piece {value}", value = piece.text()))
        });
        line!(
            out,
            "          {}: {piece}{}: {}",
            word(&check.gauge.quantity),
            say!("gauge {value}", value = check.gauge.text()),
            check.says
        );
    }
}

/// What is read on a trace, and what comes near.
pub fn traced(answer: &TraceAnswer) -> String {
    let mut out = String::new();
    let points = say_count!(answer.points, "one point", "{count} points");
    line!(out, "{}: {points}", answer.file);
    line!(out, "  {}", say!("In the neutral frame"));
    let (told, untold): (Vec<_>, Vec<_>) =
        (answer.neutral.iter()).partition(|one| one.measured.is_some());
    table(&mut out, told.into_iter().map(neutral_row).collect());
    let untold: Vec<String> = untold.iter().map(|one| word(&one.quantity)).collect();
    if !untold.is_empty() {
        line!(
            out,
            "    {}",
            say!(
                "not told, for want of points there or of a mark of seam, throat or exit: {measures}",
                measures = untold.join(", ")
            )
        );
    }
    for into in &answer.into {
        line!(out, "");
        translation(&mut out, &answer.ours, into);
    }
    line!(out, "");
    line!(out, "{}", word(UNCERTAINTY));
    line!(out, "{}", answer.rule);
    line!(
        out,
        "{}",
        say!("Feel limits: {source}.", source = word(&answer.feel_source))
    );
    out
}

/// A piece in other schemes.
pub fn translated(answer: &TranslateAnswer) -> String {
    let mut out = String::new();
    read(&mut out, &answer.reading);
    for rival in &answer.rivals {
        line!(out, "  {}", say!("could also be read: {rival}", rival));
    }
    for wish in &answer.wished {
        line!(out, "  {}", say!("wished: {wish}", wish = wish.says));
    }
    for into in &answer.into {
        line!(out, "");
        translation(&mut out, &answer.ours, into);
    }
    explained(&mut out, &answer.explained);
    line!(out, "");
    if !answer.left_out.is_empty() {
        line!(
            out,
            "{}",
            say!(
                "Not asked, since they serve other instruments: {schemes}.",
                schemes = answer.left_out.join(", ")
            )
        );
    }
    line!(out, "{}", word(UNCERTAINTY));
    if answer.reading.has_limits() {
        line!(out, "{}", word(LIMITS));
    }
    line!(out, "{}", answer.rule);
    line!(
        out,
        "{}",
        say!("Feel limits: {source}.", source = word(&answer.feel_source))
    );
    out
}

fn translation(out: &mut String, ours: &[Figure], into: &TranslationAnswer) {
    line!(out, "{}", into.says);
    if let Some(kept) = into.scheme.kept_sentence() {
        line!(out, "  {kept}");
    }
    for beyond in &into.outside {
        line!(out, "  {}", say!("outside: {why}", why = beyond.says));
    }
    for one in &into.not_compared {
        line!(out, "  {}: {}", word(&one.quantity), one.why);
    }
    for one in &into.matches {
        matched(out, ours, one);
    }
}

fn matched(out: &mut String, ours: &[Figure], one: &MatchAnswer) {
    let made = one.made.as_ref().map_or(String::new(), |made| {
        format!(", {}", say!("made {years}", years = made))
    });
    let far = match one.near {
        true => String::new(),
        false => format!(", {}", say!("not near")),
    };
    line!(out, "  {}{made}  ({}{far})", one.canonical, one.compared);
    if let Some(other) = &one.other_instrument {
        line!(out, "    {other}");
    }
    if !one.same_rim_and_cup.is_empty() {
        line!(out, "    {}", one.same_rim_and_cup_sentence());
    }
    for wish in &one.wishes {
        line!(
            out,
            "    {}: {}",
            say!("wish {wish}", wish = wish.wish),
            wish.says
        );
    }
    for difference in &one.differences {
        let e_n = difference.e_n.map_or(String::new(), |e_n| {
            format!(", E_n {}", number(format!("{e_n:.2}")))
        });
        let same =
            |one: &&Figure| one.quantity == difference.quantity && one.method == difference.method;
        let mut ours = ours.iter();
        let ours = ours.find(same).map_or(String::new(), |ours| {
            format!("{}, ", say!("ours {value}", value = ours.text()))
        });
        line!(
            out,
            "    {}: {}, {ours}{}{e_n}: {}",
            named(&difference.quantity, &difference.method),
            say!("theirs {value}", value = difference.theirs.text()),
            say!("difference {value}", value = difference.text),
            difference.words
        );
    }
    for missing in &one.not_compared {
        line!(
            out,
            "    {}: {}",
            word(&missing.quantity),
            say!("not compared, {why}", why = missing.why)
        );
    }
}
