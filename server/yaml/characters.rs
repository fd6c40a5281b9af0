//! From bytes to characters that can be seen.
//!
//! First the size, then UTF-8, then each character: what a person cannot see
//! in an editor, or what two parsers take for different things, is refused.
//! Line ends may be LF or CR LF. Tabs are refused everywhere, not only before
//! the first word, since YAML's rules for them depend on who reads.

use crate::diagnostic::{Diagnostic, Place};
use crate::language::Digits;

use super::gate::MOST_FAULTS;
use super::source::Source;

/// Some editors put this before the first character.
const BYTE_ORDER_MARK: &[u8] = "\u{feff}".as_bytes();

/// The text of a file, or why it is none.
pub(super) fn read(file: &str, bytes: &[u8], most: usize) -> Result<Source, Vec<Diagnostic>> {
    if bytes.len() > most {
        return Err(vec![too_large(file, bytes.len(), most)]);
    }
    let bytes = bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes);
    let source = match std::str::from_utf8(bytes) {
        Ok(text) => Source::new(file, text.to_owned()),
        Err(error) => return Err(vec![not_utf8(file, bytes, error.valid_up_to())]),
    };
    if is_plain(&source.text) {
        return Ok(source);
    }
    let faults: Vec<_> = faults(&source).take(MOST_FAULTS).collect();
    if faults.is_empty() {
        Ok(source)
    } else {
        Err(faults)
    }
}

fn too_large(file: &str, bytes: usize, most: usize) -> Diagnostic {
    let message = sentence!(
        "the file has {bytes} bytes, more than the {most} it may have",
        bytes,
        most
    );
    Diagnostic::error("too-large", Place::whole(file), message)
        .hint(sentence!("split it into several files"))
}

fn not_utf8(file: &str, bytes: &[u8], good: usize) -> Diagnostic {
    let before = String::from_utf8_lossy(&bytes[..good]).into_owned();
    let source = Source::new(file, before);
    let message = sentence!(
        "byte 0x{good} is not UTF-8 text",
        good = Digits(format!("{:02X}", bytes[good]))
    );
    Diagnostic::error("not-utf8", source.place(good..good), message)
        .hint(sentence!("save the file with the encoding UTF-8"))
}

/// One fault a line, however many characters of it are wrong.
fn faults(source: &Source) -> impl Iterator<Item = Diagnostic> {
    let mut at = 0;
    source.text.split_inclusive('\n').filter_map(move |line| {
        let start = at;
        at += line.len();
        let body = line.strip_suffix('\n').unwrap_or(line);
        let body = match body.strip_suffix('\r') {
            Some(body) if line.ends_with('\n') => body,
            _ => body,
        };
        let (offset, found) = first_refused(body)?;
        let from = start + offset;
        Some(refusal(source.place(from..from + found.len_utf8()), found))
    })
}

/// Whether a text is surely good: it has nothing but visible ASCII, blanks and line ends.
fn is_plain(text: &str) -> bool {
    let plain = |byte: &u8| matches!(byte, b' '..=b'~' | b'\n');
    // Without a way out for each byte many are looked at in one instruction.
    let all = |some: &[u8]| some.iter().fold(true, |all, byte| all & plain(byte));
    text.as_bytes().chunks(256).all(all)
}

fn first_refused(line: &str) -> Option<(usize, char)> {
    if line.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return None;
    }
    line.char_indices().find(|(_, found)| is_refused(*found))
}

/// Says what is wrong with a character without writing it: a terminal would
/// obey it.
pub(super) fn refusal(place: Place, found: char) -> Diagnostic {
    let code_point = u32::from(found);
    if found == '\t' {
        return Diagnostic::error("tab", place, sentence!("a tab where only spaces may be"))
            .hint(sentence!("use spaces; within text write \"\\t\""));
    }
    let message = sentence!(
        "a character that cannot be seen, U+{code_point}",
        code_point = Digits(format!("{:04X}", code_point))
    );
    Diagnostic::error("unseen-character", place, message).hint(sentence!("delete it"))
}

/// Whether a character gives no ink, breaks lines only for some readers, or
/// turns the direction of writing.
///
/// Control characters, and from Unicode's list of default-ignorable code
/// points all but the variation selectors, which follow a visible character.
pub(super) fn is_refused(found: char) -> bool {
    found.is_control()
        || matches!(found,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}'
            | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e00ff}')
}
