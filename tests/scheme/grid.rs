//! Numbers on a grid.

use counterbore::scheme::{Grid, GridMeaning, Sign, Signs};
use counterbore::unit::{Amount, Scale};

use super::plugin;

fn hundredths() -> Grid {
    let meaning = GridMeaning::Unit(Scale::parse("0.01 mm").unwrap());
    Grid {
        from: 1540,
        to: 1720,
        step: 12,
        decimals: 0,
        width: 1,
        meaning,
    }
}

fn millimetres() -> Grid {
    let meaning = GridMeaning::Unit(Scale::parse("mm").unwrap());
    Grid {
        from: 975,
        to: 1025,
        step: 25,
        decimals: 2,
        width: 2,
        meaning,
    }
}

fn falling() -> Grid {
    let amount = |text| Amount::parse(text).unwrap();
    let meaning = GridMeaning::Steps {
        first: amount("17.00 mm"),
        each: amount("-0.25 mm"),
    };
    Grid {
        from: 1,
        to: 12,
        step: 1,
        decimals: 0,
        width: 2,
        meaning,
    }
}

fn texts(signs: (Option<Sign>, Option<Sign>)) -> (Option<String>, Option<String>) {
    (signs.0.map(|sign| sign.text), signs.1.map(|sign| sign.text))
}

fn pair(one: &str, other: &str) -> (Option<String>, Option<String>) {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    (some(one), some(other))
}

#[test]
fn numbers_keep_their_digits() {
    let spelled = |grid: Grid| -> Vec<String> {
        Signs::Grid(grid)
            .spellings()
            .map(|(sign, also)| {
                assert!(also.is_empty());
                sign.text
            })
            .collect()
    };
    assert_eq!(spelled(millimetres()), ["09.75", "10.00", "10.25"]);
    assert_eq!(spelled(falling())[..3], ["01", "02", "03"]);
    assert_eq!(spelled(hundredths()).len(), 16);
}

#[test]
fn a_number_states_its_multiple_of_the_unit() {
    let sign = hundredths().read("1552").unwrap();
    assert_eq!(
        (sign.amount.amount.value, sign.amount.amount.resolution),
        (15.52, 0.01)
    );
    let sign = falling().read("03").unwrap();
    assert_eq!(
        (sign.amount.amount.value, sign.amount.amount.resolution),
        (16.5, 0.01)
    );
}

#[test]
fn only_what_is_stamped_is_read() {
    for other in [
        "1541", "1528", "1732", "01552", "1552.0", "15.52", " 1552", "+1552", "-1552", "",
    ] {
        assert_eq!(hundredths().read(other), None, "{other}");
    }
    for other in ["9.75", "10.0", "10", "10.000", "10.10", "1000", "10,00"] {
        assert_eq!(millimetres().read(other), None, "{other}");
    }
    assert_eq!(
        millimetres().read("09.75").unwrap().amount.amount.value,
        9.75
    );
    assert_eq!(falling().read("3"), None);
}

#[test]
fn what_is_read_is_what_was_written() {
    for grid in [hundredths(), millimetres(), falling()] {
        for place in 0..grid.count() {
            let sign = grid.sign(place);
            assert_eq!(grid.read(&sign.text).as_ref(), Some(&sign));
        }
        assert_eq!(grid.ends(), (grid.sign(0), grid.sign(grid.count() - 1)));
    }
}

#[test]
fn a_number_that_is_not_made_has_neighbours() {
    let around = |text| hundredths().around(text).map(texts);
    assert_eq!(around("1641"), Some(pair("1636", "1648")));
    assert_eq!(around("1636"), Some(pair("1636", "1636")));
    assert_eq!(around("1636.5"), Some(pair("1636", "1648")));
    assert_eq!(around("12"), Some(pair("", "1540")));
    assert_eq!(around("99999999999999999999"), Some(pair("1720", "")));
    for text in ["", "16x4", "-1641", "1e9", "."] {
        assert_eq!(around(text), None, "{text}");
    }
    assert_eq!(
        millimetres().around("9.8").map(texts),
        Some(pair("09.75", "10.00"))
    );
}

#[test]
fn a_size_has_the_signs_below_and_above_it() {
    assert_eq!(texts(hundredths().nearest(16.41)), pair("1636", "1648"));
    assert_eq!(texts(hundredths().nearest(16.48)), pair("1648", "1648"));
    assert_eq!(texts(hundredths().nearest(15.0)), pair("", "1540"));
    assert_eq!(texts(hundredths().nearest(18.0)), pair("1720", ""));
    assert_eq!(
        texts(falling().nearest(16.6)),
        pair("03", "02"),
        "the larger number is the smaller size"
    );
    assert_eq!(texts(falling().nearest(17.1)), pair("01", ""));
    assert_eq!(texts(falling().nearest(14.2)), pair("", "12"));
}

#[test]
fn the_width_of_a_number_is_that_of_the_file() {
    let scheme = plugin("ostmere.yml");
    let cup = &scheme.figures[scheme.figure("cup").unwrap()];
    assert_eq!(cup.signs.count(), 41);
    assert!(cup.signs.read("090", false).is_some());
    assert!(cup.signs.read("90", false).is_none());
    assert!(cup.signs.read("110", false).is_some());
}
