//! What people read, in their language.
//!
//! The English sentence in the code is the key, and a [`Catalogue`] has the same sentence in
//! another language with the same names in braces. A face sets the language in force for the
//! work of one question ([`within`]); [`say!`](crate::say) and [`word`] look there, and so does
//! [`number`] for the decimal sign. In English nothing is looked up.
//!
//! The language in force belongs to the thread. It is not handed down as an argument, since then
//! every figure and every error would have to carry it through rooms that have nothing to do
//! with it. So nothing that is kept for later questions may hold text in a language: it holds a
//! [`Sentence`], which is said when it is shown.
//!
//! What a catalogue looks like as a file is [`crate::load`]'s. What is stamped, names of
//! schemes and the words of plug-ins are not translated.

mod catalogue;
mod force;
mod kept;
mod pattern;
mod shelf;

pub use catalogue::{Catalogue, Sentences};
pub use force::{Language, current, is_english, number, within};
pub use force::{breakable, sentence, sentence_of, sign, word};
#[doc(hidden)]
pub use force::{rendered, rendered_count};
pub use kept::{Digits, Row, Sentence, Word};
pub use pattern::{filled, names};
pub use shelf::Languages;

/// A sentence in the language in force, as a `String`.
///
/// Names in braces are filled from arguments of the same name; what is a number comes as text
/// that [`number`] has seen.
///
/// ```
/// let stamp = "Lyra 68";
/// let said = counterbore::say!("{stamp} is of {maker}", stamp, maker = "Tarnbeck");
/// assert_eq!(said, "Lyra 68 is of Tarnbeck");
/// ```
#[macro_export]
macro_rules! say {
    (@value $name:ident) => { $name };
    (@value $name:ident $value:expr) => { $value };
    ($pattern:literal $(,)?) => { $crate::language::word($pattern) };
    ($pattern:literal $(, $name:ident $(= $value:expr)?)+ $(,)?) => {
        match ($(&$crate::say!(@value $name $($value)?),)+) {
            ($($name,)+) => {
                let arguments: &[(&str, &dyn ::std::fmt::Display)] = &[$((stringify!($name), $name)),+];
                $crate::language::rendered($pattern, arguments)
                    .unwrap_or_else(|| format!($pattern, $($name = $name),+))
            }
        }
    };
}

/// A sentence about a number of things: the first pattern for one, the second for all others. The
/// second is the key, and a catalogue has a form for each of its language's plural categories
/// (CLDR). The number is there as `{count}`.
///
/// ```
/// let said = |rows: usize| counterbore::say_count!(rows, "one row", "{count} rows");
/// assert_eq!((said(1).as_str(), said(0).as_str()), ("one row", "0 rows"));
/// ```
#[macro_export]
macro_rules! say_count {
    ($count:expr, $one:literal, $others:literal $(, $name:ident $(= $value:expr)?)* $(,)?) => {
        match ($count, $(&$crate::say!(@value $name $($value)?),)*) {
            (count, $($name,)*) => {
                let arguments: &[(&str, &dyn ::std::fmt::Display)] = &[("count", &count) $(, (stringify!($name), $name))*];
                $crate::language::rendered_count([$one, $others], count, arguments)
            }
        }
    };
}

/// Marks a constant that [`word`] says later, so that the catalogues are held to have it.
///
/// ```
/// const SAME: &str = counterbore::word!("the same");
/// ```
#[macro_export]
macro_rules! word {
    ($text:literal) => {
        $text
    };
}

/// A sentence that is kept, as a [`Sentence`](crate::language::Sentence). What fills it is owned and says itself in the
/// language in which it is shown: [`Word`](crate::language::Word), [`Digits`](crate::language::Digits).
///
/// ```
/// let kept = counterbore::sentence!("the odd one is {one}", one = "cup depth");
/// assert_eq!(kept.to_string(), "the odd one is cup depth");
/// ```
#[macro_export]
macro_rules! sentence {
    (@value $name:ident) => { $name.to_owned() };
    (@value $name:ident $value:expr) => { $value };
    ($pattern:literal $(, $name:ident $(= $value:expr)?)* $(,)?) => {
        $crate::language::Sentence::of(
            $pattern,
            vec![$((stringify!($name), ::std::sync::Arc::new($crate::sentence!(@value $name $($value)?)) as _)),*],
        )
    };
}
