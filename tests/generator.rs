//! Invented names in the manner of shop tables, and what a worn one looks like.
//!
//! All is drawn from a seed. A catalogue is several tables; a table has a few words and two to
//! four columns (figures in even steps, fractions, numbers with a point, codes of letters,
//! numbers with a letter before), each column after a separator of its own or none, and about
//! a third to four fifths of all combinations are made. Common practice, no source.
//!
//! Wear is judged by this project, no source, and on purpose not drawn from
//! `tables/glyphs.yml`, so that probabilities computed from that table are tested on what it
//! does not describe: a glyph looks like another by the short list here, all of a row alike
//! often; a scratch takes any place as often as any other; of first parts and middle pieces
//! half to three quarters is left; where half is missing, `*` is typed for it.

use std::collections::HashSet;

/// Numbers from a seed: the splitmix64 generator.
pub struct Random(u64);

impl Random {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let one = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let two = (one ^ (one >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        two ^ (two >> 31)
    }

    /// A number below another, which is not 0.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }

    /// One of several.
    pub fn one_of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

struct Table {
    words: Vec<String>,
    columns: Vec<(&'static str, Vec<String>)>,
}

/// So many different names.
pub fn names(count: usize, seed: u64) -> Vec<String> {
    let mut random = Random::new(seed);
    let tables = (count / 40_000).max(6);
    let each = count.div_ceil(tables);
    let mut known = HashSet::new();
    let mut names = Vec::with_capacity(count);
    while names.len() < count {
        let table = Table::with_room(each, &mut random);
        let until = (names.len() + each).min(count);
        while names.len() < until {
            let name = table.name(&mut random);
            if known.insert(name.clone()) {
                names.push(name);
            }
        }
    }
    names
}

impl Table {
    /// A table of a little more names than are asked for.
    fn with_room(names: usize, random: &mut Random) -> Self {
        loop {
            let words: Vec<String> = (0..2 + random.below(10)).map(|_| word(random)).collect();
            let columns: Vec<_> = (0..2 + random.below(3)).map(|_| column(random)).collect();
            let room = words.len() * columns.iter().map(|one| one.1.len()).product::<usize>();
            if room > names * 5 / 4 && room < names * 3 {
                return Self { words, columns };
            }
        }
    }

    fn name(&self, random: &mut Random) -> String {
        let mut name = random.one_of(&self.words).clone();
        for (separator, values) in &self.columns {
            name += separator;
            let value: &String = random.one_of(values);
            name += value;
        }
        name
    }
}

fn word(random: &mut Random) -> String {
    let mut word = String::new();
    for _ in 0..1 + random.below(3) {
        word.push(*random.one_of(&[
            'B', 'D', 'F', 'G', 'H', 'K', 'L', 'M', 'N', 'R', 'S', 'T', 'V', 'Z',
        ]));
        word.push(*random.one_of(&['A', 'E', 'I', 'O', 'U']));
    }
    if random.below(2) == 0 {
        word.push(*random.one_of(&['C', 'D', 'K', 'L', 'N', 'R', 'S', 'T', 'X']));
    }
    word
}

fn column(random: &mut Random) -> (&'static str, Vec<String>) {
    const LETTERS: [&str; 18] = [
        "A", "B", "C", "D", "E", "F", "G", "S", "M", "K", "V", "X", "W", "EW", "CL", "SV", "DX",
        "MT",
    ];
    const PARTS: [&str; 8] = ["", " 1/4", " 1/2", " 3/4", " 1/8", " 3/8", " 5/8", " 7/8"];
    let separator = *random.one_of(&["", " ", "-", "/", ".", " "]);
    let from = random.below(60);
    let values: Vec<String> = match random.below(6) {
        0 => (0..40)
            .map(|step| (1480 + 4 * from / 3 + 4 * step).to_string())
            .collect(),
        1 => (0..15 + from / 2)
            .map(|step| (1 + from + step).to_string())
            .collect(),
        2 => (0..80)
            .map(|step| format!("{}{}", 1 + from / 5 + step / 8, PARTS[step % 8]))
            .collect(),
        3 => (0..60)
            .map(|step| format!("{}.{:02}", 14 + from / 20 + step / 20, step % 20 * 5))
            .collect(),
        4 => (0..16)
            .map(|step| format!("T{}", 15 + from / 8 + step))
            .collect(),
        _ => LETTERS[..6 + from / 5]
            .iter()
            .map(ToString::to_string)
            .collect(),
    };
    (separator, values)
}

/// How much of a name can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grade {
    /// One glyph cannot be read.
    OneUnreadable,
    /// Two cannot, and one looks like another.
    TwoAndALookAlike,
    /// Only the first part is left.
    FirstPart,
    /// Only a piece of the middle is left.
    MiddlePiece,
    /// All separators are lost, and two neighbours are swapped.
    SeparatorsAndASwap,
    /// Half the text is missing.
    HalfMissing,
}

/// All grades with their names.
pub const GRADES: [(Grade, &str); 6] = [
    (Grade::OneUnreadable, "one unreadable"),
    (Grade::TwoAndALookAlike, "two and a look-alike"),
    (Grade::FirstPart, "first part"),
    (Grade::MiddlePiece, "middle piece"),
    (Grade::SeparatorsAndASwap, "separators and a swap"),
    (Grade::HalfMissing, "half missing"),
];

/// What each glyph may look like, all as often.
const ALIKE: [(char, &str); 28] = [
    ('0', "OOD8"),
    ('O', "00DQ"),
    ('1', "IIL7"),
    ('I', "11L"),
    ('5', "SS6"),
    ('S', "55"),
    ('8', "BB3"),
    ('B', "88"),
    ('2', "ZZ"),
    ('Z', "22"),
    ('6', "GG8"),
    ('G', "6C"),
    ('7', "1T"),
    ('3', "88"),
    ('4', "A"),
    ('E', "FF"),
    ('F', "EP"),
    ('C', "GO"),
    ('U', "V"),
    ('V', "U"),
    ('M', "N"),
    ('N', "M"),
    ('9', "Q"),
    ('R', "K"),
    ('K', "RX"),
    ('D', "0O"),
    ('L', "1I"),
    ('H', "N"),
];

/// A name as it is read at a place in [`GRADES`].
pub fn worn(name: &str, grade: usize, random: &mut Random) -> String {
    let mut glyphs: Vec<char> = name.chars().collect();
    let mut solid: Vec<usize> = (0..glyphs.len())
        .filter(|&at| glyphs[at].is_alphanumeric())
        .collect();
    let (length, share) = (glyphs.len(), 50 + random.below(26));
    let left = (length * share / 100).clamp(length.min(3), length);
    match GRADES[grade].0 {
        Grade::OneUnreadable => glyphs[*random.one_of(&solid)] = '?',
        Grade::TwoAndALookAlike => {
            for _ in 0..2.min(solid.len() - 1) {
                glyphs[solid.swap_remove(random.below(solid.len()))] = '?';
            }
            solid.retain(|&at| look_alikes(glyphs[at]).is_some());
            if !solid.is_empty() {
                let at = *random.one_of(&solid);
                let alike: Vec<char> = look_alikes(glyphs[at])
                    .unwrap_or_default()
                    .chars()
                    .collect();
                glyphs[at] = *random.one_of(&alike);
            }
        }
        Grade::FirstPart => glyphs.truncate(left.min(length - 1).max(1)),
        Grade::MiddlePiece => {
            let left = left.min(length.saturating_sub(2)).max(1);
            let start = 1 + random.below((length - left - 1).max(1));
            glyphs = glyphs[start.min(length - left)..][..left].to_vec();
        }
        Grade::SeparatorsAndASwap => {
            glyphs.retain(|glyph| glyph.is_alphanumeric());
            let unlike: Vec<usize> = (1..glyphs.len())
                .filter(|&at| glyphs[at - 1] != glyphs[at])
                .collect();
            if !unlike.is_empty() {
                let at = *random.one_of(&unlike);
                glyphs.swap(at - 1, at);
            }
        }
        Grade::HalfMissing => {
            let start = random.below(length - length / 2 + 1);
            glyphs.splice(start..start + length / 2, ['*']);
        }
    }
    glyphs.into_iter().collect()
}

fn look_alikes(glyph: char) -> Option<&'static str> {
    ALIKE.iter().find(|row| row.0 == glyph).map(|row| row.1)
}
