//! What stands for the signs of a template on real metal.

use crate::scheme::faults::{Faults, Finding, Spot, item};
use crate::scheme::written;
use crate::yaml::{OneOrMany, Path, Text};

/// Stand-ins of one sign, and characters of each: every spelling that has the sign is laid with
/// all of them. More was never seen (common practice, no source).
const MOST: usize = 16;
const LONGEST: usize = 4;

/// Signs and what stands for each.
pub(super) fn separators(
    written: &written::Scheme,
    faults: &mut Faults<'_>,
) -> Vec<(char, Vec<String>)> {
    let path = Path::root().key("separators");
    let mut separators = Vec::with_capacity(written.separators.len());
    for (sign, others) in written.separators.iter() {
        let mut characters = sign.chars();
        match (characters.next(), characters.next()) {
            (Some(sign), None) => {
                bounded(others, &path.key(&sign.to_string()), faults);
                separators.push((sign, others.iter().map(Text::to_string).collect()));
            }
            _ => {
                let message = sentence!("`{sign}` is not one sign of a template", sign);
                let finding = Finding::new("bad-separator", message)
                    .hint(sentence!("write a line for each sign"));
                faults.error_on(&Spot::Key(path.key(sign)), finding);
            }
        }
    }
    separators
}

fn bounded(others: &OneOrMany<Text>, path: &Path, faults: &mut Faults<'_>) {
    if others.len() > MOST {
        let message = sentence!(
            "{others} stand-ins; a sign may have {most}",
            others = others.len(),
            most = MOST
        );
        faults.error(path, Finding::new("bad-separator", message));
    }
    for (place, one) in others.iter().enumerate() {
        if one.chars().nth(LONGEST).is_some() {
            let message = sentence!(
                "`{one}` stands for one sign; at most {longest} characters can",
                one,
                longest = LONGEST
            );
            let place = item(faults.document(), path, place);
            faults.error(&place, Finding::new("bad-separator", message));
        }
    }
}
