//! Figures that do not exist, and what is made beside them.

use counterbore::stamp::{LONGEST, NearMiss, near_miss};

use crate::schemes;

fn misses(stamp: &str) -> Vec<NearMiss> {
    near_miss(&schemes::all(), stamp)
}

#[test]
fn a_number_off_its_grid_is_named() {
    let miss = &misses("Lyra 64/1641")[0];
    assert_eq!(
        miss.message,
        "1641 is not made; the nearest are 1636 and 1648"
    );
    assert_eq!(
        (miss.below.as_deref(), miss.above.as_deref()),
        (Some("1636"), Some("1648"))
    );
    assert_eq!(miss.suggestions, ["Lyra 64/1636", "Lyra 64/1648"]);
    assert_eq!(
        (miss.found.as_str(), miss.figure, miss.scheme.id.as_str()),
        ("1641", 1, "tarnbeck")
    );
    assert_eq!(
        misses("7K-25.60")[0].message,
        "25.60 is not made; the nearest are 25.50 and 25.75"
    );
}

#[test]
fn beyond_the_ends_is_said_so() {
    let above = &misses("Lyra 64/1741")[0];
    assert_eq!(
        above.message,
        "1741 is beyond the scale, which ends at 1720"
    );
    assert_eq!(above.suggestions, ["Lyra 64/1720"]);
    let below = &misses("Lyra 12/1612")[0];
    assert_eq!(below.message, "12 is beyond the scale, which begins at 58");
    assert_eq!(
        (below.below.as_deref(), below.above.as_deref()),
        (None, Some("58"))
    );
}

#[test]
fn a_drill_or_word_that_is_not_used_is_named() {
    let drill = &misses("T31")[0];
    assert_eq!(drill.message, "no throat 31 among 30 to 22");
    assert_eq!(drill.suggestions, ["T30"]);
    let word = &misses("QH 44 owl shalow")[0];
    assert_eq!(word.message, "no depth shalow among shallow, medium, deep");
    assert_eq!(word.suggestions, ["QH 44 owl shallow"]);
}

#[test]
fn what_is_right_or_all_wrong_has_no_near_miss() {
    for stamp in [
        "Lyra 64/1612",
        "hello",
        "",
        "Lyra 12/1741",
        &"1".repeat(LONGEST + 1),
    ] {
        assert!(misses(stamp).is_empty(), "{stamp}");
    }
}
