//! Which characters reach paper.
//!
//! A text may come from a file or a keyboard that somebody else filled. What cannot be seen
//! (control characters, marks that turn the direction of writing) is made visible before
//! anything else, so that nothing steers a printer or reorders a line. Then a form spells with the
//! characters it has: those of the faces in print, ASCII with `±` on receipt printers. A character that has no
//! spelling there is shown by its number, `[U+4E2D]`.

use unicode_normalization::UnicodeNormalization;

use super::fonts;
use crate::language;

/// The most characters of a sentence: the rule behind the verdicts is the longest of ours, in any language.
pub const LONGEST: usize = 1200;

/// The most characters of a name or of what is struck in one place.
pub const LONGEST_NAME: usize = 120;

/// What cannot be seen made visible, and spaces made single.
pub fn visible(text: &str) -> String {
    let spaced = text.split_whitespace().collect::<Vec<_>>().join(" ");
    spaced.chars().map(seen).collect()
}

/// What cannot be seen made visible, line by line; spaces stay as they are.
pub fn line_by_line(text: &str) -> String {
    let line = |line: &str| line.chars().map(seen).collect::<String>();
    text.split('\n').map(line).collect::<Vec<_>>().join("\n")
}

/// The end of an endless text counted instead of shown.
pub fn shortened(text: &str, most: usize) -> String {
    let length = text.chars().count();
    if length <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most).collect();
    let more = say!("{count} more characters", count = length - most);
    format!("{kept} [{more}]")
}

fn seen(sign: char) -> String {
    if sign.is_control() || is_unseen(sign) {
        by_number(sign)
    } else {
        sign.into()
    }
}

/// Characters that take no room or turn the direction: Unicode's default ignorables and
/// directional formatting (Unicode Standard Annex 9, section 2).
fn is_unseen(sign: char) -> bool {
    matches!(sign,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}'..='\u{1160}' | '\u{17b4}'..='\u{17b5}' | '\u{180b}'..='\u{180f}'
        | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}'
        | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{fffe}'..='\u{ffff}' | '\u{e0000}'..='\u{e0fff}')
}

fn by_number(sign: char) -> String {
    format!("[U+{:04X}]", u32::from(sign))
}

/// Spelled with the letters of the faces that are printed with.
pub fn printed(text: &str) -> String {
    spelled(text, fonts::have)
}

/// Spelled in ASCII and `±`; no-break spaces stay.
pub fn plain(text: &str) -> String {
    spelled(text, |sign| {
        sign.is_ascii() || sign == '±' || sign == super::wrap::HOLD
    })
}

fn spelled(text: &str, has: impl Fn(char) -> bool) -> String {
    text.nfc()
        .map(|sign| {
            if has(sign) {
                sign.into()
            } else {
                substitute(sign, &has)
            }
        })
        .collect()
}

/// The nearest spelling: by meaning, without accents, or by number.
fn substitute(sign: char, has: &impl Fn(char) -> bool) -> String {
    if let Some((_, spelling)) = SPELLINGS
        .iter()
        .find(|(one, to)| *one == sign && to.chars().all(has))
    {
        return (*spelling).to_owned();
    }
    let own = language::word(sign.encode_utf8(&mut [0; 4]));
    if !own.starts_with(sign) && own.chars().all(has) {
        return own;
    }
    let bare: String = sign
        .nfkd()
        .filter(|part| !unicode_normalization::char::is_combining_mark(*part))
        .collect();
    let known = !bare.is_empty() && bare.chars().all(has);
    if known { bare } else { by_number(sign) }
}

/// Signs that a language may spell in its own way: in German ä is ae.
#[expect(dead_code, reason = "holds the catalogues to have them")]
const SPELLED_BY_LANGUAGES: [&str; 6] = [
    word!("ä"),
    word!("ö"),
    word!("ü"),
    word!("Ä"),
    word!("Ö"),
    word!("Ü"),
];

/// The better spelling first where there are two.
const SPELLINGS: [(char, &str); 40] = [
    ('\u{2212}', "–"),
    ('\u{2212}', "-"),
    ('\u{2010}', "-"),
    ('\u{2011}', "-"),
    ('\u{2012}', "-"),
    ('–', "-"),
    ('—', "-"),
    ('‘', "'"),
    ('’', "'"),
    ('‚', ","),
    ('“', "\""),
    ('”', "\""),
    ('„', "\""),
    ('«', "\""),
    ('»', "\""),
    ('°', " deg"),
    ('×', "x"),
    ('÷', "/"),
    ('µ', "u"),
    ('μ', "µ"),
    ('μ', "u"),
    ('∅', "ø"),
    ('⌀', "ø"),
    ('⌀', "dia. "),
    ('→', "->"),
    ('≤', "<="),
    ('≥', ">="),
    ('≈', "~"),
    ('·', "-"),
    ('•', "-"),
    ('′', "'"),
    ('″', "\""),
    ('ß', "ss"),
    ('æ', "ae"),
    ('œ', "oe"),
    ('ø', "o"),
    ('Ø', "O"),
    ('ł', "l"),
    ('Ł', "L"),
    ('√', "root "),
];
