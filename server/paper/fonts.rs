//! The faces of paper, all from inside the program.
//!
//! One pair: IBM Plex Sans Condensed for words and figures, which are all of one width, and IBM Plex
//! Mono for what is struck into metal; under the SIL Open Font License 1.1, beside the files.
//! No face of the system is ever used, so that a card looks the same wherever it is set.
//!
//! Read when the first sheet is set, not before.

use std::sync::LazyLock;

use rust_embed::{Embed, EmbeddedFile};
use typst::foundations::Bytes;
use typst::layout::Abs;
use typst::text::{Font, FontInstance};

use super::metrics::Face;

#[derive(Embed)]
#[folder = "server/paper/fonts/"]
struct Files;

/// In the order of [`Face`].
const NAMES: [&str; 3] = [
    "IBMPlexSansCondensed-Regular.ttf",
    "IBMPlexSansCondensed-Bold.ttf",
    "IBMPlexMono-Bold.ttf",
];

static FACES: LazyLock<Vec<Font>> = LazyLock::new(|| NAMES.map(read).to_vec());

static MEASURED: LazyLock<Vec<FontInstance>> = LazyLock::new(|| {
    let plain = |font: &Font| {
        let variant = font.info().variant;
        font.clone()
            .instantiate(variant, Abs::pt(1.0), &Default::default())
    };
    FACES.iter().map(plain).collect()
});

fn read(name: &str) -> Font {
    let file = Files::get(name).expect("the face is part of the program");
    Font::new(Bytes::new(file.data.into_owned()), 0).expect("the face is whole")
}

/// A file of the folder, for pages that are set in the same faces.
pub fn file(name: &str) -> Option<EmbeddedFile> {
    Files::get(name)
}

/// All faces.
pub fn all() -> &'static [Font] {
    &FACES
}

/// Whether every face has a letter for it.
pub fn have(sign: char) -> bool {
    let code = u32::from(sign);
    FACES.iter().all(|face| face.info().coverage.contains(code))
}

/// The width of a letter, as a share of the size of the type; none where the face lacks it.
pub fn advance(sign: char, face: Face) -> Option<f64> {
    let face = &MEASURED[face as usize];
    let glyph = face.ttf().glyph_index(sign)?;
    Some(face.x_advance(glyph.0)?.get())
}
