//! Tables as they are written: one shape for all, so that a file can hold any of them.

use serde::Deserialize;

use crate::yaml::Text;

/// A file of tables.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct File {
    /// Where its rows come from, unless one says otherwise.
    pub source: Option<Text>,
    /// Measuring methods.
    #[serde(default)]
    pub methods: Vec<MethodRow>,
    /// Generic contour classes.
    #[serde(default)]
    pub classes: Vec<Class>,
    /// Gauge tables.
    #[serde(default)]
    pub tables: Vec<Gauges>,
}

/// A measuring method.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MethodRow {
    /// What it measures.
    pub quantity: Text,
    /// Its name among the methods of that quantity.
    pub method: Text,
    /// Which code it is.
    pub functional: Text,
    /// `true` where the neutral frame states the quantity by it.
    pub neutral: Option<Text>,
    /// One sentence for a person.
    pub says: Text,
    /// Expanded uncertainty (k = 2) of one reading at a counter, as `0.05 mm`; left out where the figure is worked
    /// out and not read off a gauge.
    pub reading: Option<Text>,
    /// Tangent angle where a use states none, as `45 deg`.
    pub angle: Option<Text>,
    /// Depth where a use states none, as `1.0 mm`.
    pub at: Option<Text>,
    /// Where a depth begins where a use does not say: `crest` or `seam`.
    pub from: Option<Text>,
    /// The mouth of a mean where a use does not say.
    pub across: Option<Text>,
    /// Diameter of the disc or plug where a use does not say, as `16.0 mm`.
    pub diameter: Option<Text>,
    /// Distance from the shank's end where a use does not say, as `5 mm`.
    pub distance: Option<Text>,
    /// Length over which a taper is stated where a use does not say, as `10 mm`.
    pub over: Option<Text>,
    /// Diameter of the receiver's mouth where a use does not say, as `11.0 mm`.
    pub receiver: Option<Text>,
    /// How much the receiver narrows over that length where a use does not say, as `0.5 mm`.
    pub narrows: Option<Text>,
    /// How far a gauge at a counter may be off by it, whatever is read from it, as `0.02 mm`; exact if left out.
    pub off: Option<Text>,
    /// `true` where a drill that is named says that the bore was opened with it; otherwise its shank is the
    /// largest that passes.
    pub drilled: Option<Text>,
    /// Whether a width counts one side of the rim or both where a use does not say.
    pub sides: Option<Text>,
    /// Where the row comes from; the file's source if left out.
    pub source: Option<Text>,
}

/// A generic contour class: every figure with its limits.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Class {
    /// Its name.
    pub class: Text,
    /// One sentence for a person.
    pub says: Text,
    /// Radius of the rounding from the crest inward.
    pub crest: Text,
    /// Radius of the inner edge.
    pub edge: Text,
    /// Tangent angle with the axis where the two meet.
    pub join: Text,
    /// Angle of the wall with the axis.
    pub wall: Text,
    /// Depth of the seam below the crest.
    pub seam: Text,
    /// Form of the cup, 1 a bowl, 0 a cone.
    pub form: Text,
    /// Throat diameter where a piece states none.
    pub throat: Text,
    /// Where the row comes from; the file's source if left out.
    pub source: Option<Text>,
}

/// A gauge table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Gauges {
    /// What it is called, as `number drills`.
    pub name: Text,
    /// The unit of its sizes, as `inch`.
    pub unit: Text,
    /// How far a gauge of the shop may be off its size, as `0.02 mm`; exact but for its digits if left out.
    pub within: Option<Text>,
    /// Name and size of each gauge.
    pub gauges: Vec<[Text; 2]>,
    /// Where the table comes from; the file's source if left out.
    pub source: Option<Text>,
}
