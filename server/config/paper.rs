//! On which paper cards are printed.

/// A paper for cards.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 105 mm × 148 mm (ISO 216).
    #[default]
    A6,
    /// 148 mm × 210 mm (ISO 216).
    A5,
    /// Half a letter sheet (ANSI Y14.1), 5.5 in × 8.5 in.
    HalfLetter,
    /// A roll of 80 mm, as long as it must be.
    Roll80,
}

impl Paper {
    /// Their names, in addresses, options and `config.yml`.
    pub const NAMES: &'static [&'static str] = &["a6", "a5", "half-letter", "roll-80"];

    const ALL: [Self; 4] = [Self::A6, Self::A5, Self::HalfLetter, Self::Roll80];

    /// The paper of that name.
    pub fn named(name: &str) -> Option<Self> {
        let same = |paper: &Self| paper.name() == name;
        Self::ALL.into_iter().find(same)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        Self::NAMES[self as usize]
    }

    /// Width, and height where it has one, mm.
    pub fn size_mm(self) -> (f64, Option<f64>) {
        match self {
            Self::A6 => (105.0, Some(148.0)),
            Self::A5 => (148.0, Some(210.0)),
            Self::HalfLetter => (139.7, Some(215.9)),
            Self::Roll80 => (80.0, None),
        }
    }
}
