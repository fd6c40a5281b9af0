//! A scheme's file as it is written, text as text.
//!
//! These types mirror the keys of a file and nothing more. What they say of each key is
//! the manual, and becomes the descriptions of the JSON Schema that editors read
//! ([`schema`]). What the text means, and whether it can be, is [`super::check`].

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;

use super::meant::{Instrument, PartKind};
use crate::method::Quantity;
use crate::yaml::{OneOrMany, Ordered, Text};

/// One maker's naming scheme: what is stamped, what each sign means, where that maker puts
/// the gauge, and what a name implies without saying it. How to write one is in
/// plugins/README.md.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Scheme {
    /// The name that commands and addresses use: lower-case letters, digits, hyphens, as
    /// `brindlow`.
    pub scheme: Text,
    /// The name that people read, as `Brindlow (invented)`.
    pub title: Text,
    /// One instrument or a list of them.
    #[schemars(schema_with = "instruments")]
    pub serves: OneOrMany<Text>,
    /// Revision of this file; it is printed on every card.
    pub revision: Text,
    /// Where these statements come from; holds for every statement below that names none of
    /// its own. Required.
    #[schemars(required)]
    pub source: Option<Text>,
    /// Sentences for the scheme's page.
    #[serde(default)]
    pub notes: OneOrMany<Text>,
    /// `matters` where `C` and `c` are different marks; left out otherwise.
    #[schemars(extend("enum" = ["matters"]))]
    pub case: Option<Text>,
    /// What stands for a sign of a template on real metal, as `{"/": ["/", "-", " "]}`. A
    /// blank may always be read as blanks, a hyphen, or nothing.
    #[serde(default)]
    pub separators: Ordered<OneOrMany<Text>>,
    /// What the pieces are made of, by part.
    #[serde(default)]
    #[schemars(schema_with = "parts")]
    pub parts: Ordered<Part>,
    /// The form of a piece without a series, and of every series as far as it says nothing of
    /// its own.
    pub contour: Option<Contour>,
    /// What a name can state, by the figure's name.
    #[serde(default)]
    pub figures: Ordered<Figure>,
    /// Bores below the throat that series have unsaid, by the form's name.
    #[serde(default)]
    pub backbores: Ordered<Backbore>,
    /// Families that share a form, by the series' name.
    #[serde(default)]
    pub series: Ordered<Series>,
    /// Letters and signs that alter a piece or say what it is made of, by the mark's name.
    #[serde(default)]
    pub marks: Ordered<Mark>,
    /// The catalogue, where there is one.
    pub entries: Option<Entries>,
    /// How usual series, entries and figures are, where somebody counted.
    pub common: Option<Common>,
    /// Offsets between measuring methods that the maker or someone else states.
    #[serde(default)]
    pub declared: Vec<Declared>,
    /// Measured points of specimens.
    #[serde(default)]
    pub traces: Vec<Trace>,
    /// What is stamped on which part.
    #[serde(default)]
    pub stamps: Vec<Stamp>,
    /// Stamps and what each must decode to; at least one for every template and for every
    /// mark code.
    #[serde(default)]
    pub examples: Vec<Example>,
}

/// What is said of one part.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Part {
    /// Its thread, as the maker states it.
    pub thread: Option<Text>,
    /// A sentence.
    pub says: Option<Text>,
}

/// The bore below the throat, by the neutral methods. Each figure is an amount with limits; what is left out is not known.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Backbore {
    /// Length of the throat's cylinder, as `4 mm ± 0.5 mm`.
    pub throat_length: Option<Text>,
    /// From the lower end of the throat to the exit, as `62 mm ± 0.5 mm`.
    pub length: Option<Text>,
    /// Mean of the diameters along it, as `6.2 mm ± 0.1 mm`.
    pub bore: Option<Text>,
    /// Diameter at the exit, as `8.9 mm ± 0.1 mm`.
    pub exit: Option<Text>,
    /// Where this comes from; the scheme's source if left out.
    pub source: Option<Text>,
}

/// The inside of the rim and the form of the cup, crest plane = 0. Each figure is an amount
/// with limits, as `1.1 mm ± 0.1 mm`.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Contour {
    /// A class of tables/contours.yml, as `trumpet bowl`: gives the figures left out.
    pub class: Option<Text>,
    /// Radius of the rounding from the crest inward, as `2.2 mm ± 0.3 mm`.
    pub crest: Option<Text>,
    /// Radius of the inner edge (the bite), as `0.9 mm ± 0.1 mm`.
    pub edge: Option<Text>,
    /// Where the two meet: the angle of the tangent with the axis, as `62 deg ± 3 deg`.
    pub join: Option<Text>,
    /// The angle of the wall below the edge with the axis, as `12 deg ± 2 deg`.
    pub wall: Option<Text>,
    /// Depth of the seam below the crest, as `2.4 mm ± 0.1 mm`.
    pub seam: Option<Text>,
    /// Form of the cup, 1 a bowl, 0 a cone, as `0.75 ± 0.10`.
    pub form: Option<Text>,
}

/// One figure that a name can state. Its signs are given by one of `grid`, `fractions`,
/// `gauge`, `steps`, `values`, or by none when it is only given in `entries` or `series`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Figure {
    /// What is measured.
    #[schemars(schema_with = "quantities")]
    pub quantity: Text,
    /// Where the gauge goes: a name from tables/methods.yml of that quantity.
    pub method: Text,
    /// The method's tangent angle with the axis, where it has one, as `45 deg`.
    pub angle: Option<Text>,
    /// The method's depth below the crest, where it has one, as `1.0 mm`.
    pub at: Option<Text>,
    /// Where the method's depth begins: `crest` (the default) or `seam`.
    pub from: Option<Text>,
    /// Which circle is the mouth of the method's mean: `crest`, `inner edge` or `seam`.
    pub across: Option<Text>,
    /// Diameter of the disc or plug, where the method has one, as `16.0 mm`.
    pub diameter: Option<Text>,
    /// Distance from the shank's end, where the method has one, as `5 mm`.
    pub distance: Option<Text>,
    /// Length over which a taper is stated, where the method has one, as `10 mm`.
    pub over: Option<Text>,
    /// Diameter of the receiver's mouth, where the method has one, as `11.0 mm`.
    pub receiver: Option<Text>,
    /// How much the receiver narrows over that length, where the method has one, as `0.5 mm`.
    pub narrows: Option<Text>,
    /// Whether a width counts one side of the rim or both, where the method has it: `one`
    /// (if left out) or `both`.
    #[schemars(extend("enum" = ["one", "both"]))]
    pub sides: Option<Text>,
    /// What one step of the figure's number is: `mm`, `0.1 mm`, `0.01 mm`, `inch`, `thou`, `ml`.
    pub unit: Option<Text>,
    /// Numbers that are stamped; any grid point can be made.
    pub grid: Option<Grid>,
    /// Fractions of the unit, stamped in lowest terms, `1 1/16` above one.
    pub fractions: Option<Fractions>,
    /// The number or letter of a drill.
    pub gauge: Option<Gauge>,
    /// A running number; each step adds the same.
    pub steps: Option<Steps>,
    /// Words or letters, each with its amount or range, as `{shallow: 9.0..10.5 mm}`.
    pub values: Option<Ordered<Text>>,
    /// Spellings of `values` that are read and never written, as `{shallow: [shal, flat]}`.
    #[serde(default)]
    pub also_spelled: Ordered<OneOrMany<Text>>,
    /// How far the metal may be off the name, as `0.03 mm` (limits, ±). None if left out.
    pub tolerance: Option<Text>,
    /// The value that stands where nothing is marked and no series or entry says.
    pub unmarked: Option<Text>,
    /// A sentence.
    pub means: Option<Text>,
    /// Where this figure's statements come from; the scheme's source if left out.
    pub source: Option<Text>,
}

/// Numbers as stamped, all with the same digits after the point: `{from: 1540, to: 1720,
/// step: 12}`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Grid {
    /// The first number; `15.50` and `007` keep their digits.
    pub from: Text,
    /// The last number, which the steps must reach.
    pub to: Text,
    /// Between two numbers; above zero.
    pub step: Text,
}

/// Fractions of the unit: `{from: 5/8, to: 3/4, step: 1/64}`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Fractions {
    /// The first, in lowest terms.
    pub from: Text,
    /// The last, in lowest terms, which the steps must reach.
    pub to: Text,
    /// Between two; above zero.
    pub step: Text,
}

/// Drills of a table: `{table: number drills, from: "30", to: "20"}`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Gauge {
    /// A table of tables/drills.yml.
    pub table: Text,
    /// The first drill; the table's smallest if left out.
    pub from: Option<Text>,
    /// The last drill; the table's largest if left out.
    pub to: Option<Text>,
}

/// A running number: `{from: 1, to: 12, first: 17.00 mm, each: -0.25 mm}`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Steps {
    /// The first number.
    pub from: Text,
    /// The last number.
    pub to: Text,
    /// What the first number stands for, with its unit.
    pub first: Text,
    /// What each further number adds, with its unit; may be below zero.
    pub each: Text,
}

/// A family of pieces that share a form.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Series {
    /// Words as stamped, as `[Lyra, Lyre]`: the first is the one written, all are read.
    pub words: OneOrMany<Text>,
    /// The last year of an older word, as `{Lyre: "2009"}`: dates a piece that bears it.
    #[serde(default)]
    pub named_until: Ordered<Text>,
    /// The instruments that it serves, of those of the scheme, where not all.
    #[serde(default)]
    #[schemars(schema_with = "instruments")]
    pub serves: OneOrMany<Text>,
    /// Its form; these figures stand over the scheme's.
    pub contour: Option<Contour>,
    /// The form of its backbore: a name of `backbores`. It is left aside whole where a stamp, an entry or `implies` states
    /// any of its figures, or a throat as wide as it is further down.
    pub backbore: Option<Text>,
    /// Figures that the series has unsaid, as `{throat: "27"}`.
    #[serde(default)]
    pub implies: Ordered<Text>,
    /// Sentences: what the name implies besides.
    #[serde(default)]
    pub says: OneOrMany<Text>,
    /// Where this comes from; the scheme's source if left out.
    pub source: Option<Text>,
}

/// A kind of mark.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Mark {
    /// For people; the mark's name if left out.
    pub title: Option<Text>,
    /// What holds where there is no mark, in words.
    pub unmarked: Option<Text>,
    /// Its codes as written on the metal.
    pub codes: Ordered<Code>,
}

/// One code of a mark. With none of `set`, `add` and `multiply` it only tells (finish,
/// metal, heat treatment). They act on contour figures or on figures.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Code {
    /// What it means, in words.
    pub means: Text,
    /// Takes the place of what was there, as `{throat: "26"}`.
    #[serde(default)]
    pub set: Ordered<Text>,
    /// Is added, as `{rim: 0.1 mm}`.
    #[serde(default)]
    pub add: Ordered<Text>,
    /// Multiplies, as `{edge: "1.35 ± 0.1"}`.
    #[serde(default)]
    pub multiply: Ordered<Text>,
    /// Other spellings that are read and never written.
    #[serde(default)]
    pub also_spelled: OneOrMany<Text>,
    /// Where this comes from; the scheme's source if left out.
    pub source: Option<Text>,
}

/// The catalogue.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Entries {
    /// Names of the columns: `name` (required), `series`, `also` (other spellings, separated by
    /// `;`), `from`, `until` (years), `note`, and any figure.
    pub columns: Vec<Text>,
    /// The lines, as many cells as columns. A cell holds the figure's sign, or an amount in
    /// the figure's unit; `-` means not stated.
    pub rows: Vec<Vec<Text>>,
}

/// How usual values are against one another: relative weights, as counts, above nought. What is
/// not named has the weight 1, so that `{lyra: 3}` is met three times as often as each other. They
/// decide between pieces that a worn stamp fits as well.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Common {
    /// Who counted, and what. Required.
    #[schemars(required)]
    pub source: Option<Text>,
    /// By the series' name, as `{lyra: 3, corva: 0.5}`.
    #[serde(default)]
    pub series: Ordered<Text>,
    /// By the entry's name, as `{QH 31 wren: 5}`; times the weight of its series.
    #[serde(default)]
    pub entries: Ordered<Text>,
    /// By the figure's name and its sign, as `{throat: {"27": 4}}`.
    #[serde(default)]
    pub figures: Ordered<Ordered<Text>>,
}

/// An offset between two measuring methods: what `to` reads is what `from` reads plus `add`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Declared {
    /// What both measure.
    #[schemars(schema_with = "quantities")]
    pub quantity: Text,
    /// The method of the value at hand, with its parameters, as `depth at 1.0 mm`.
    pub from: Text,
    /// The method it is carried to, with its parameters.
    pub to: Text,
    /// Is added, with limits, as `0.34 mm ± 0.04 mm`.
    pub add: Text,
    /// Values by the `from` method for which it holds, as `15.0..17.5 mm`.
    pub range: Text,
    /// The series it holds for; all if left out.
    #[serde(default)]
    pub series: OneOrMany<Text>,
    /// Who says so; the scheme's source if left out.
    pub source: Option<Text>,
}

/// Measured points of one specimen of an entry or a series: the bore's diameter at depths below
/// the crest plane.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Trace {
    /// The entry it is of.
    pub entry: Option<Text>,
    /// The series it is of: it holds for pieces of the series whose figures agree with it.
    pub series: Option<Text>,
    /// The unit of the `points`, as `mm`; a `file` states its own.
    pub unit: Option<Text>,
    /// Standard uncertainty of each diameter by itself, as `0.01 mm`, where the point states none.
    pub u: Text,
    /// Standard uncertainty that the gauge gives all diameters alike, as `0.01 mm`; nothing if
    /// left out.
    pub gauge_u: Option<Text>,
    /// Standard uncertainty of each depth by itself, as `0.02 mm`; it moves a diameter by the slope of the metal
    /// there. Exact if left out.
    pub depth_u: Option<Text>,
    /// Depth of the seam, with limits, as `2.4 mm ± 0.05 mm`.
    pub seam: Option<Text>,
    /// Depth of the upper end of the throat, with limits.
    pub throat: Option<Text>,
    /// Depth of the lower end of the throat, with limits.
    pub throat_end: Option<Text>,
    /// Depth of the exit, with limits.
    pub exit: Option<Text>,
    /// Each `[depth, diameter]`, or `[depth, diameter, u]` where the point has a doubt of its
    /// own.
    #[serde(default)]
    pub points: Vec<Vec<Text>>,
    /// In place of `points`: a file beside this one, as `a1.csv`. Its first line names the columns with their units:
    /// `depth [mm],diameter [mm]` and, where it is known, `u [um]`; then a line a point.
    pub file: Option<Text>,
    /// Who measured it, with what; the scheme's source if left out.
    pub source: Option<Text>,
}

/// What is stamped on one part.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Stamp {
    /// Which part.
    #[schemars(schema_with = "part_kinds")]
    pub part: Text,
    /// The spelling that is written, as `BR {rim}[ {depth}]`: `{name}` stands for a figure, a
    /// mark, `{series}` or `{entry}`; what stands in `[…]` may be absent.
    pub template: Text,
    /// Templates that are read as well.
    #[serde(default)]
    pub also: OneOrMany<Text>,
    /// The first year of this stamp.
    pub from: Option<Text>,
    /// The last year of this stamp.
    pub until: Option<Text>,
}

/// A stamp and what it must decode to.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Example {
    /// As stamped; ` + ` between the stamps of several parts.
    pub stamp: Text,
    /// Each field that the stamp shows and its value: a series or an entry by its name, a
    /// figure by its sign, a mark by its code.
    pub says: Ordered<Text>,
    /// The canonical spelling, if it differs.
    pub spelled: Option<Text>,
    /// The number of other readings, if any.
    pub rivals: Option<Text>,
}

/// The JSON Schema (2020-12) of a scheme's file.
pub fn schema() -> serde_json::Value {
    let without_null = RecursiveTransform(without_null);
    let settings = SchemaSettings::draft2020_12().with_transform(without_null);
    settings
        .into_generator()
        .into_root_schema_for::<Scheme>()
        .to_value()
}

/// A key may be left out and never be empty, so that nothing may be null.
fn without_null(schema: &mut Schema) {
    let null = serde_json::Value::from("null");
    if let Some(serde_json::Value::Array(types)) = schema.get_mut("type") {
        types.retain(|one| *one != null);
    }
    if let Some(serde_json::Value::Array(choices)) = schema.get_mut("anyOf") {
        choices.retain(|one| one.get("type") != Some(&null));
    }
}

fn words(words: &[&str]) -> Schema {
    json_schema!({ "enum": words })
}

fn instruments(_: &mut SchemaGenerator) -> Schema {
    let one = words(&Instrument::ALL.map(Instrument::name));
    json_schema!({ "anyOf": [one, { "type": "array", "items": one, "minItems": 1 }] })
}

fn quantities(_: &mut SchemaGenerator) -> Schema {
    words(&Quantity::ALL.map(Quantity::name))
}

fn part_kinds(_: &mut SchemaGenerator) -> Schema {
    words(&PartKind::ALL.map(PartKind::name))
}

fn parts(generator: &mut SchemaGenerator) -> Schema {
    let part = generator.subschema_for::<Part>();
    let names = words(&PartKind::ALL.map(PartKind::name));
    json_schema!({ "type": "object", "propertyNames": names, "additionalProperties": part })
}
