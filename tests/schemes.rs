//! The invented schemes on which stamps are tried.

use std::fs;
use std::sync::Arc;

use counterbore::diagnostic::Diagnostic;
use counterbore::scheme::{Entry, Scheme, Tables, check, tables};
use counterbore::stamp::Glyphs;
use counterbore::yaml::{Document, Limits, gate};

/// A file of the project, past the gate.
pub fn document(path: &str) -> Document {
    let text = fs::read(format!("{}/{path}", env!("CARGO_MANIFEST_DIR"))).unwrap();
    gate(path, &text, Limits::PLUGIN).unwrap()
}

/// The tables of the project.
pub fn our_tables() -> Tables {
    let files =
        ["methods", "contours", "drills"].map(|name| document(&format!("tables/{name}.yml")));
    let (tables, faults) = tables(&files);
    assert!(faults.is_empty(), "{}", shown(&faults));
    tables
}

/// The table of misreadings of the project.
pub fn our_glyphs() -> Glyphs {
    Glyphs::read(&document("tables/glyphs.yml")).unwrap()
}

/// A table of misreadings from its text.
pub fn glyphs(text: &str) -> Glyphs {
    Glyphs::read(&gate("glyphs.yml", text.as_bytes(), Limits::PLUGIN).unwrap()).unwrap()
}

/// A scheme from its text, with the text to point at.
pub fn written(text: &str) -> (Arc<Scheme>, Document) {
    let document = gate("written.yml", text.as_bytes(), Limits::PLUGIN).unwrap();
    let (scheme, faults) = check(&document, &our_tables());
    (
        Arc::new(scheme.unwrap_or_else(|| panic!("{}", shown(&faults)))),
        document,
    )
}

/// A scheme of `tests/plugins`.
pub fn plugin(name: &str) -> Arc<Scheme> {
    written(document(&format!("tests/plugins/{name}.yml")).text()).0
}

/// All schemes on which stamps are tried.
pub fn all() -> Vec<Arc<Scheme>> {
    ["tarnbeck", "quillhaven", "ostley"].map(plugin).to_vec()
}

/// A scheme of which every stamp is one of these names, as it stands.
pub fn catalogue(names: &[impl AsRef<str>]) -> Arc<Scheme> {
    let rows: Vec<String> = names
        .iter()
        .map(|name| format!("    - [\"{}\", \"16.00\"]\n", name.as_ref()))
        .collect();
    let first = names[0].as_ref();
    let text = format!(
        "scheme: listed\ntitle: Listed (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {{class: trumpet bowl}}\nfigures:\n  rim: {{quantity: rim inner diameter, method: seam, unit: mm}}\n\
         entries:\n  columns: [name, rim]\n  rows:\n{}stamps:\n  - {{part: one-piece, template: \"{{entry}}\"}}\n\
         examples:\n  - {{stamp: \"{first}\", says: {{entry: \"{first}\"}}}}\n",
        rows.concat()
    );
    written(&text).0
}

/// A scheme with one template and these entries, which may be more than a file may hold. Its
/// rim is 1600, of the grid from 1590 to 1610 in steps of 5.
pub fn listed(id: &str, template: &str, names: &[String]) -> Arc<Scheme> {
    let example = template
        .split('[')
        .next()
        .unwrap_or(template)
        .replace("{entry}", "Q1");
    let text = format!(
        "scheme: {id}\ntitle: Listed (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {{class: trumpet bowl}}\nfigures:\n  rim: {{quantity: rim inner diameter, method: seam, \
         unit: 0.01 mm, grid: {{from: 1590, to: 1610, step: 5}}}}\nentries:\n  columns: [name, rim]\n  \
         rows:\n    - [Q1, \"1600\"]\nstamps:\n  - {{part: one-piece, template: \"{template}\"}}\n\
         examples:\n  - {{stamp: \"{example}\", says: {{entry: Q1}}}}\n"
    );
    let mut scheme = Arc::try_unwrap(written(&text).0).expect("nobody else has it yet");
    let row = scheme.entries.remove(0);
    scheme.entries = names
        .iter()
        .map(|name| Entry {
            name: name.clone(),
            ..row.clone()
        })
        .collect();
    Arc::new(scheme)
}

/// Diagnostics as lines.
pub fn shown(faults: &[Diagnostic]) -> String {
    faults.iter().map(|fault| format!("{fault}\n")).collect()
}
