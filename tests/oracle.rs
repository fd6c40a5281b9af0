//! A second opinion on the metal from general Python libraries (`oracle/*.py`).
//!
//! Proves, on random metal with a fixed seed:
//! 1. every method reads what numeric quadrature of an independent formulation gives, to 1e-8;
//! 2. a pinned profile reads what an independent solver gives, with the same u to 1e-6;
//! 3. a trace reads what scipy's monotone cubic gives, with the same u to 1e-6;
//! 4. least squares find what scipy's find, with the same chi-square and p.
//!
//! Skipped, saying so, where `target/oracle` has no Python; `tests/run` prepares it.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;

use counterbore::method::{
    Across, AtTheCounter, From, Functional, Method, MethodRow, Parameters, Quantity,
};
use counterbore::profile::{
    Contour, ContourFigure, Shape, Trace, TraceFigures, TracePoint, figure,
};
use counterbore::route::{Reading, Solved, pin};
use counterbore::uncertainty::{Distribution, Estimate, Source};
use counterbore::unit::Spread;
use serde_json::{Value, json};

/// Numbers between 0 and 1, the same at every run (D. E. Knuth's MMIX multiplier).
struct Numbers(u64);

impl Numbers {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

fn shape(numbers: &mut Numbers) -> Shape {
    let mut draw = |low, high| numbers.between(low, high);
    let (crest, edge) = (draw(1.5, 3.0), draw(0.5, 1.3));
    let (join, wall) = (draw(0.95, 1.2), draw(0.1, 0.35));
    let crest_radius = draw(8.5, 16.0);
    let edge_end = crest * (1.0 - join.sin()) + edge * (join.sin() - wall.sin());
    let seam = edge_end + draw(0.3, 1.5);
    let throat = draw(1.6, 3.5);
    let exit = throat * draw(1.2, 2.0);
    let flat = draw(0.1, 1.2);
    let mut shape = Shape::rim_and_cup([
        crest_radius,
        seam + draw(5.0, 18.0),
        throat,
        crest,
        edge,
        join,
        wall,
        seam,
        draw(0.1, 0.9),
    ]);
    let beyond = [
        draw(-0.2, 0.2),
        draw(0.5, 8.0),
        exit,
        draw(35.0, 65.0),
        draw(0.6, 2.0),
        crest_radius + flat + draw(2.0, 5.0),
        flat,
        exit + draw(2.0, 3.0),
        draw(0.03, 0.06),
        draw(20.0, 30.0),
    ];
    shape.figures[figure::BEYOND..].copy_from_slice(&beyond);
    shape.known = shape.known.with(figure::THROAT_RADIUS);
    for place in figure::BEYOND..shape.figures.len() {
        shape.known = shape.known.with(place);
    }
    shape
}

fn method(functional: Functional, quantity: Quantity, parameters: Parameters) -> Method {
    let row = MethodRow {
        quantity,
        name: "test".into(),
        functional,
        says: String::new(),
        neutral: false,
        reading: None,
        source: "test".into(),
        defaults: parameters,
        at_the_counter: AtTheCounter::default(),
    };
    Method {
        row: Arc::new(row),
        parameters,
    }
}

/// Every functional of these quantities with parameters that suit all metal of this test.
fn methods(plain: Parameters, wanted: impl Fn(Functional) -> bool) -> Vec<Method> {
    let mut all = Vec::new();
    for (functional, _, quantities) in Functional::ALL {
        if functional == Functional::AsStated || !wanted(functional) {
            continue;
        }
        for from in [From::Crest, From::Seam] {
            for across in [Across::Crest, Across::InnerEdge, Across::Seam] {
                let parameters = Parameters {
                    from,
                    across: Some(across),
                    ..plain
                };
                let one = method(functional, quantities[0], parameters);
                if !all.contains(&one) {
                    all.push(one);
                }
            }
        }
    }
    all
}

/// A method as the script takes it; `within` are the depths between which a disc stops.
fn written(method: &Method, within: (f64, f64)) -> Value {
    let words = Functional::ALL
        .iter()
        .find(|row| row.0 == method.row.functional)
        .unwrap()
        .1;
    let of = &method.parameters;
    let across = of.text(counterbore::method::Parameter::Across);
    let from = of.text(counterbore::method::Parameter::From);
    json!([words, {
        "angle_deg": of.angle_deg, "at_mm": of.at_mm, "from": from, "across": across,
        "diameter_mm": of.diameter_mm, "plug_mm": of.diameter_mm, "distance_mm": of.distance_mm,
        "over_mm": of.over_mm, "receiver_mm": of.receiver_mm, "narrows_mm": of.narrows_mm,
        "sides": of.sides, "within": [within.0, within.1],
    }])
}

fn plain() -> Parameters {
    Parameters {
        angle_deg: 38.0,
        at_mm: Some(0.35),
        distance_mm: Some(6.5),
        narrows_mm: Some(0.45),
        sides: 2,
        ..Parameters::default()
    }
}

/// Where the second opinion comes from; none where it is not installed.
fn asked(cases: &[Value]) -> Option<Vec<Vec<Value>>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = root.join("target/oracle/bin/python");
    if !python.is_file() {
        println!("skipped: no {}; tests/run prepares it", python.display());
        return None;
    }
    let mut child = Command::new(python)
        .arg(root.join("tests/oracle/oracle.py"))
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    input
        .write_all(json!(cases).to_string().as_bytes())
        .unwrap();
    drop(input);
    let output = child.wait_with_output().unwrap();
    assert!(
        output.status.success(),
        "the script failed; tests/run installs what it needs"
    );
    let answers = serde_json::from_slice::<Vec<Vec<Value>>>(&output.stdout).unwrap();
    assert_eq!(answers.len(), cases.len());
    Some(answers)
}

#[track_caller]
fn same(found: f64, expected: f64, relative: f64, what: &str) {
    let apart = (found - expected).abs();
    assert!(
        apart <= relative * expected.abs().max(1e-3),
        "{what}: found {found}, the second opinion is {expected}"
    );
}

/// The standard uncertainty but for what lies between a trace's points, which is judged here alone.
fn of_points(found: &Estimate) -> f64 {
    let parts = found.parts().iter();
    let known = parts.filter(|part| !part.source.key().ends_with("/between"));
    let squares = known.map(|part| part.contribution * part.contribution);
    squares.sum::<f64>().sqrt()
}

/// Values to 1e-8 and, where there is one, u to 1e-6.
fn compared(answers: &[Value], found: &[Estimate], methods: &[Method]) {
    assert!(answers.len() == found.len() && !found.is_empty());
    for ((answer, found), method) in answers.iter().zip(found).zip(methods) {
        let what = format!("{:?} {:?}", method.row.functional, method.parameters);
        same(
            found.value(),
            answer["value"].as_f64().unwrap(),
            1e-8,
            &what,
        );
        if let Some(u) = answer["u"].as_f64() {
            same(of_points(found), u, 1e-6, &format!("u of {what}"));
        }
    }
}

#[test]
fn sections_read_as_by_quadrature() {
    let mut numbers = Numbers(20_261_125);
    let (mut cases, mut all) = (Vec::new(), Vec::new());
    while cases.len() < 12 {
        let shape = shape(&mut numbers);
        assert!(shape.possible().is_ok());
        let section = shape.section();
        let cup = section.throat_depth().unwrap();
        let seam = section.seam_depth();
        let end = 2.0 * shape.figures[figure::SHANK_END];
        let (disc, within) = match cases.len() % 2 {
            0 => (2.0 * section.radius_at(0.3 * seam).unwrap(), (0.0, seam)),
            _ => (
                2.0 * section.radius_at(0.5 * (seam + cup)).unwrap(),
                (seam + 1e-9, cup),
            ),
        };
        let with = |diameter_mm: f64| Parameters {
            diameter_mm: Some(diameter_mm),
            receiver_mm: Some(end + 0.4),
            ..plain()
        };
        let throat = shape.figures[figure::THROAT_RADIUS];
        let plug = throat + shape.figures[figure::EXIT_RADIUS];
        let mut methods = methods(with(disc), |one| one != Functional::PlugDepth);
        methods.push(method(
            Functional::PlugDepth,
            Quantity::PlugDepth,
            with(plug),
        ));
        let read = |one: &Method| Estimate::exact(shape.read(one).unwrap());
        let found: Vec<Estimate> = methods.iter().map(read).collect();
        let methods_written: Vec<Value> = methods.iter().map(|one| written(one, within)).collect();
        cases
            .push(json!({"kind": "section", "figures": shape.figures, "methods": methods_written}));
        all.push((methods, found));
    }
    let Some(answers) = asked(&cases) else { return };
    for (answers, (methods, found)) in answers.iter().zip(&all) {
        compared(answers, found, methods);
    }
}

fn of(key: &str, value: f64, u: f64) -> Estimate {
    let source = Source::new(key, key, Distribution::Normal);
    Estimate::new(value, u, Arc::new(source))
}

/// Standard uncertainties of the six contour figures.
const FORM_U: [f64; 6] = [0.1, 0.05, 0.03, 0.02, 0.05, 0.04];

fn contour(shape: &Shape, moved: impl Fn(usize) -> f64) -> (Contour, Vec<(f64, f64)>) {
    let form: Vec<(f64, f64)> = (0..6)
        .map(|place| {
            let value = shape.figures[figure::CONTOUR + place];
            (value + moved(place) * FORM_U[place], FORM_U[place])
        })
        .collect();
    let figures = ContourFigure::ALL.map(|which| {
        let (value, u) = form[which as usize];
        of(which.name(), value, u)
    });
    (Contour::new(figures, None), form)
}

/// Methods of rim and cup without a disc.
fn of_rim_and_cup(functional: Functional) -> bool {
    use Functional::*;
    matches!(
        functional,
        RimAtCrest
            | RimAtTangent
            | RimAtSeam
            | RimAtDepth
            | DepthAtCentre
            | DepthBySection
            | DepthByArea
            | Volume
    )
}

fn without_step(numbers: &mut Numbers) -> Shape {
    let shape = shape(numbers);
    let mut nine = [0.0; figure::BEYOND];
    nine.copy_from_slice(&shape.figures[..figure::BEYOND]);
    Shape::rim_and_cup(nine)
}

/// A reading of the metal by a method, with its u: as Rust takes it and as the script does.
fn stated(
    shape: &Shape,
    method: &Method,
    (key, shift): (&str, f64),
) -> ((Method, Estimate), Value) {
    let value = shape.read(method).unwrap();
    let u = 0.002 * value;
    let value = value + shift * u;
    let json = json!({"method": written(method, (0.0, 0.0)), "value": value, "u": u, "scale": value / 10.0});
    ((method.clone(), of(key, value, u)), json)
}

fn throat(shape: &Shape) -> (Method, Estimate) {
    let method = method(
        Functional::Throat,
        Quantity::ThroatDiameter,
        Parameters::default(),
    );
    let estimate = of("throat", 2.0 * shape.figures[figure::THROAT_RADIUS], 0.02);
    (method, estimate)
}

fn solved(stated: &[(Method, Estimate)], contour: &Contour) -> Solved {
    let readings: Vec<Reading<'_>> = stated.iter().map(|(one, value)| (one, value)).collect();
    pin(&readings, contour).unwrap()
}

#[test]
fn pinned_profiles_read_as_by_another_solver() {
    let mut numbers = Numbers(7);
    let methods = methods(plain(), of_rim_and_cup);
    let (rims, cups): (Vec<&Method>, Vec<&Method>) = methods
        .iter()
        .partition(|one| one.quantity() == Quantity::RimInnerDiameter);
    let written: Vec<Value> = methods.iter().map(|one| written(one, (0.0, 0.0))).collect();
    let (mut cases, mut all) = (Vec::new(), Vec::new());
    for place in 0..3 {
        let shape = without_step(&mut numbers);
        let (rim, rim_json) = stated(&shape, rims[place % rims.len()], ("rim", 0.0));
        let (cup, cup_json) = stated(&shape, cups[place * 3 % cups.len()], ("cup", 0.0));
        let throat = throat(&shape);
        let (contour, form) = contour(&shape, |_| 0.0);
        cases.push(json!({
            "kind": "pinned", "rim": rim_json, "cup": cup_json, "form": form, "methods": written,
            "throat": [throat.1.value(), throat.1.u()],
            "start": [shape.figures[0] + 0.1, shape.figures[1] + 0.2],
        }));
        let profile = solved(&[rim, cup, throat], &contour).profile;
        let read = |one: &Method| profile.read(one).unwrap();
        all.push(methods.iter().map(read).collect::<Vec<Estimate>>());
    }
    let Some(answers) = asked(&cases) else { return };
    for (answers, found) in answers.iter().zip(&all) {
        compared(answers, found, &methods);
    }
}

#[test]
fn traces_read_as_by_another_cubic() {
    let mut numbers = Numbers(99);
    let (mut cases, mut all) = (Vec::new(), Vec::new());
    for _ in 0..3 {
        let mut draw = |low, high| numbers.between(low, high);
        let mut at = (0.0, draw(18.0, 26.0));
        let mut points = vec![at];
        while at.1 > 7.0 {
            // Steep at the crest, then shallower, then steep again towards the throat.
            let slope = if at.0 < 1.0 {
                draw(1.6, 4.0)
            } else {
                draw(0.3, 2.4)
            };
            let down = draw(0.15, 0.9);
            at = (at.0 + down, at.1 - down * slope);
            points.push(at);
        }
        let throat_at = at.0;
        // Not quite a cylinder: where a chord is level the cubic has no derivative by its ends.
        at = (at.0 + 3.1, at.1 - 0.05);
        points.push(at);
        for _ in 0..6 {
            at = (at.0 + draw(4.0, 9.0), at.1 + draw(0.1, 0.9));
            points.push(at);
        }
        let seam = draw(2.0, 3.0);
        let marks = [
            (seam, 0.04),
            (throat_at - 0.07, 0.05),
            (throat_at + 3.0, 0.2),
            (at.0 - 0.5, 0.1),
        ];
        let points: Vec<TracePoint> = points
            .into_iter()
            .map(|(depth, diameter)| TracePoint {
                depth,
                diameter,
                u: draw(0.005, 0.03),
            })
            .collect();
        let trace = Trace::new(TraceFigures {
            key: "t".into(),
            points: points.clone(),
            gauge_u: 0.012,
            depth_u: 0.0,
            marks: marks.map(|(depth, u)| Some((depth, Spread::Standard { u }))),
            source: "invented".into(),
        })
        .unwrap();
        let disc = points[points.len() / 3].diameter - 0.05;
        let plain = Parameters {
            diameter_mm: Some(disc),
            at_mm: Some(2.6),
            ..plain()
        };
        let plug = Parameters {
            diameter_mm: Some(points[points.len() - 3].diameter + 0.03),
            ..plain
        };
        let beyond = [
            Functional::Throat,
            Functional::ThroatLength,
            Functional::MeanBore,
            Functional::EquivalentBore,
            Functional::Exit,
            Functional::BackboreLength,
        ];
        let mut methods = methods(plain, |one| {
            of_rim_and_cup(one) || one == Functional::DepthAtDiameter || beyond.contains(&one)
        });
        methods.push(method(Functional::PlugDepth, Quantity::PlugDepth, plug));
        methods.retain(|one| trace.read(one).is_some());
        assert!(methods.len() > 20, "{} methods", methods.len());
        let within = (0.0, marks[1].0);
        let methods_written: Vec<Value> = methods.iter().map(|one| written(one, within)).collect();
        let points: Vec<_> = points
            .iter()
            .map(|one| (one.depth, one.diameter, one.u))
            .collect();
        cases.push(json!({"kind": "traced", "points": points, "marks": marks, "gauge_u": 0.012, "methods": methods_written}));
        let found: Vec<Estimate> = methods.iter().map(|one| trace.read(one).unwrap()).collect();
        all.push((methods, found));
    }
    let Some(answers) = asked(&cases) else { return };
    for (answers, (methods, found)) in answers.iter().zip(&all) {
        compared(answers, found, methods);
    }
}

#[test]
fn least_squares_find_what_others_find() {
    let mut numbers = Numbers(4711);
    let methods = methods(plain(), of_rim_and_cup);
    let written: Vec<Value> = methods.iter().map(|one| written(one, (0.0, 0.0))).collect();
    let (mut cases, mut all) = (Vec::new(), Vec::new());
    for _ in 0..4 {
        let shape = without_step(&mut numbers);
        let mut figures = Vec::new();
        let mut readings = Vec::new();
        for (place, one) in methods
            .iter()
            .enumerate()
            .filter(|(place, _)| place % 3 != 1)
        {
            let shift = numbers.between(-1.2, 1.2);
            let (figure, json) = stated(&shape, one, (&format!("reading {place}"), shift));
            figures.push(figure);
            readings.push(json);
        }
        let throat = throat(&shape);
        readings.push(json!({"method": self::written(&throat.0, (0.0, 0.0)), "value": throat.1.value(), "u": throat.1.u()}));
        figures.push(throat.clone());
        let shifts: Vec<f64> = (0..6).map(|_| numbers.between(-1.0, 1.0)).collect();
        let (contour, form) = contour(&shape, |place| shifts[place]);
        cases.push(json!({
            "kind": "weighed", "readings": readings, "form": form, "methods": written,
            "start": [shape.figures[0] + 0.05, shape.figures[1] + 0.1, throat.1.value()],
        }));
        all.push(solved(&figures, &contour));
    }
    let Some(answers) = asked(&cases) else { return };
    for (answers, solved) in answers.iter().zip(&all) {
        let expected = |place: usize| answers[place]["value"].as_f64().unwrap();
        for (place, method) in methods.iter().enumerate() {
            let found = solved.profile.read(method).unwrap().value();
            same(
                found,
                expected(place),
                1e-7,
                &format!("{:?}", method.row.functional),
            );
        }
        let found = solved.consistency.as_ref().unwrap();
        assert!(found.chi_square > 1.0, "nothing is left over");
        same(
            found.chi_square,
            expected(methods.len()),
            1e-6,
            "chi-square",
        );
        same(found.p, expected(methods.len() + 1), 1e-5, "p");
    }
}
