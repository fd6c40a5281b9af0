//! Pieces side by side, as text.

use super::say::named;
use crate::answer::{AgainstAnswer, CompareAnswer, DifferenceAnswer};
use crate::card::UNCERTAINTY;
use crate::language::{number, word};

/// The others against the pinned piece, measure by measure.
pub fn compared(answer: &CompareAnswer) -> String {
    let piece = heading(answer, answer.pinned);
    let mut lines = vec![say!("Against {piece}", piece)];
    for piece in &answer.pieces {
        let rivals = piece.rivals.iter();
        lines.extend(rivals.map(|rival| {
            let rival = say!("could also be read: {rival}", rival);
            format!("  {} {rival}", piece.piece)
        }));
    }
    for one in &answer.against {
        lines.push(String::new());
        lines.extend(against(answer, one));
    }
    lines.push(String::new());
    lines.push(word(UNCERTAINTY));
    lines.push(answer.rule.clone());
    lines.push(say!(
        "Feel limits: {source}.",
        source = word(&answer.feel_source)
    ));
    lines.join("\n") + "\n"
}

/// A piece with its maker, and its years where another here is of the same name.
fn heading(answer: &CompareAnswer, piece: usize) -> String {
    let reading = &answer.pieces[piece - 1].reading;
    let maker = &reading.scheme.title;
    let mut told = vec![maker.clone()];
    let apart = answer.told_apart(piece);
    told.extend(apart.into_iter().filter(|one| one != maker));
    format!("{} ({})", reading.canonical, told.join(", "))
}

fn against(answer: &CompareAnswer, one: &AgainstAnswer) -> Vec<String> {
    let mut lines = vec![heading(answer, one.piece)];
    lines.extend(
        one.differences
            .iter()
            .flat_map(|one| difference(answer, one)),
    );
    let missing = one.not_compared.iter();
    lines.extend(missing.map(|one| {
        let why = say!("cannot be compared: {why}", why = one.why);
        format!("  {}: {why}", word(&one.quantity))
    }));
    lines
}

fn difference(answer: &CompareAnswer, one: &DifferenceAnswer) -> [String; 3] {
    let ours = answer
        .ours(&one.quantity, &one.method)
        .map(|ours| format!("{}, ", say!("pinned {value}", value = ours.text())));
    let e_n = one
        .e_n
        .map(|e_n| format!(", E_n {}", number(format!("{e_n:.2}"))));
    [
        format!("  {}: {}", named(&one.quantity, &one.method), one.words),
        format!(
            "    {}{}",
            say!("difference {value}", value = one.text),
            e_n.unwrap_or_default()
        ),
        format!(
            "    {}{}",
            ours.unwrap_or_default(),
            say!("this {value}", value = one.theirs.text())
        ),
    ]
}
