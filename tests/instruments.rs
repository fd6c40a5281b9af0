//! What instruments show, as figures: weighed water, and drills that pass or do not.
//!
//! Proves:
//! 1. the density of water is that of independent measurements within the u that is stated;
//! 2. a weighed volume has the sensitivities of its own formula;
//! 3. two drills give an interval, and a crossed one is refused with both drills.

use std::sync::Arc;

use counterbore::method::go_no_go::between;
use counterbore::method::water::{Water, density, volume};
use counterbore::uncertainty::{Distribution, Estimate, Source};
use counterbore::unit::{GaugeRows, GaugeTable, Unit};

use crate::case_file::assert_near;

/// Values by others than the formula's authors: the maximum 999.9756 kg/m³ and 998.9468 kg/m³ at
/// 16 °C (Masui, Fujii, Takenaka, Metrologia 32 (1995) 333, hydrostatic weighing of a quartz
/// sphere), and handbook values by G. S. Kell, J. Chem. Eng. Data 20 (1975) 97.
#[test]
fn water_has_its_density() {
    for (celsius, expected) in [
        (3.983_035, 999.9756),
        (16.0, 998.9468),
        (10.0, 999.7026),
        (20.0, 998.2071),
        (25.0, 997.0479),
        (30.0, 995.6502),
    ] {
        let (found, _) = density(celsius).unwrap();
        assert_near(found, expected, 1e-5 * expected);
    }
    for celsius in [0.5, 4.0, 17.0, 33.0] {
        let at = |celsius: f64| density(celsius).unwrap().0;
        let slope = (at(celsius + 1e-4) - at(celsius - 1e-4)) / 2e-4;
        assert_near(density(celsius).unwrap().1, slope, 1e-6);
    }
    assert_eq!(
        density(55.0).unwrap_err(),
        "water of 55 °C; its density is known from 0 °C to 40 °C"
    );
    assert!(density(f64::NAN).is_err());
}

fn of(key: &str, value: f64, u: f64) -> Estimate {
    let source = Source::new(key, key, Distribution::Normal);
    Estimate::new(value, u, Arc::new(source))
}

#[test]
fn a_weighed_volume_has_the_sensitivities_of_its_formula() {
    let at = |grams: f64, celsius: f64| {
        let (grams, celsius) = (of("m", grams, 0.002), of("t", celsius, 1.0));
        volume(&grams, &celsius, Water::Tap).unwrap()
    };
    let one = at(1.25, 21.0);
    // 1.25 g × (1 − 1.2/8000) ÷ (997.9948 − 1.2) kg/m³, by hand.
    assert_near(one.value(), 1253.832, 0.003);
    let by_mass = (at(1.26, 21.0).value() - at(1.24, 21.0).value()) / 0.02;
    let by_degree = (at(1.25, 21.5).value() - at(1.25, 20.5).value()) / 1.0;
    let part = |key: &str| {
        let mut parts = one.parts().iter();
        parts
            .find(|part| part.source.key() == key)
            .unwrap()
            .contribution
    };
    assert_near(part("m"), by_mass * 0.002, 1e-6);
    assert_near(part("t"), by_degree, 1e-4);
    let distilled = volume(&of("m", 1.25, 0.002), &of("t", 21.0, 1.0), Water::Distilled).unwrap();
    assert!(distilled.u() < one.u());
    assert!(volume(&of("m", 0.0, 0.1), &of("t", 21.0, 1.0), Water::Tap).is_err());
}

#[test]
fn two_drills_give_an_interval() {
    let rows = [("30", "3.264"), ("29", "3.454"), ("28", "3.569")];
    let rows: Vec<(String, String)> = rows.map(|(a, b)| (a.into(), b.into())).into();
    let table: GaugeTable = GaugeRows {
        name: "test drills",
        source: "invented",
        unit: Unit::MILLIMETRE,
        rows: &rows,
    }
    .check()
    .unwrap();
    assert_eq!(between(&table, "30", "28").unwrap(), (3.264, 3.569));
    assert_eq!(
        between(&table, "28", "30").unwrap_err(),
        "drill 28 (3.569 mm) passes and drill 30 (3.264 mm) does not, which is no larger"
    );
    assert!(between(&table, "29", "29").is_err());
    assert!(
        between(&table, "29", "7")
            .unwrap_err()
            .to_string()
            .contains('7')
    );
}
