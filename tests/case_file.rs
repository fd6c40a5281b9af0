//! Rows of a table in `cases/`: a line with the source, a line with the
//! columns, then one row a line. No field has a comma.

/// The rows, without source and columns.
pub fn rows(text: &str) -> Vec<Vec<&str>> {
    let mut lines = text.lines();
    let source = lines.next().unwrap();
    assert!(source.starts_with("# source: "), "no source: {source}");
    let columns = lines.next().unwrap().split(',').count();
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    assert!(!rows.is_empty() && rows.iter().all(|row| row.len() == columns));
    rows
}

/// A JSON file, which must name its source.
pub fn json(text: &str) -> serde_json::Value {
    let cases: serde_json::Value = serde_json::from_str(text).unwrap();
    assert!(cases["source"].is_string());
    cases
}

/// A list of numbers.
pub fn numbers(list: &serde_json::Value) -> Vec<f64> {
    let number = |item: &serde_json::Value| item.as_f64().unwrap();
    list.as_array().unwrap().iter().map(number).collect()
}

/// Fails unless the two are within `tolerance` of each other, in their own unit.
#[track_caller]
pub fn assert_near(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected} within {tolerance}"
    );
}
