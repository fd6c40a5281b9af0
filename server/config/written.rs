//! `config.yml` as written: text as text, nothing decided.
//!
//! The comments on the fields are the manual.

use serde::Deserialize;

use crate::method::Quantity;
use crate::yaml::Text;

/// The whole file. Every key may be left out.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Written {
    /// Address and port to listen on, as `127.0.0.1:8017`, which only this machine
    /// reaches, or `0.0.0.0:8017` for the whole network. Default `127.0.0.1:8017`.
    pub bind: Option<Text>,
    /// In which language people are spoken to: a tag for which there is a catalogue, as `de` or
    /// `en`, or `auto`: pages by what the browser asks for, the terminal by its locale.
    /// Default `auto`.
    pub language: Option<Text>,
    /// Folders with one scheme a file. A path that is not absolute starts where this file
    /// is; `built in` stands for the plug-ins inside the program. Default `[built in]`.
    pub plugins: Option<Vec<Text>>,
    /// The folder with methods, contours, drills and glyphs; paths as for `plugins`.
    /// Default `built in`.
    pub tables: Option<Text>,
    /// Who hands out the cards. Default: none, and cards say nothing of a shop.
    pub shop: Option<Shop>,
    /// What cards hold where nobody says otherwise. Default `{into: [all], paper: a6}`.
    pub card: CardUsual,
    /// A folder with the shop's own `card.typ` or `chart.typ`, or both; a path as for
    /// `plugins`. It is read when the program starts; a template that fails is replaced by
    /// the one inside the program, with a warning. Default `built in`.
    pub templates: Option<Text>,
    /// What this shop holds to be felt. Default: limits of common practice, without source.
    pub feel: Option<Feel>,
    /// Plug-ins to be fetched from elsewhere by `counterbore pull`. Default: none.
    pub shelf: Option<Vec<Shelved>>,
    /// How much and how long a fetch may take. Default `{bytes: 1048576, seconds: 10}`.
    pub shelf_limits: Option<ShelfLimits>,
    /// How large a plug-in file may be. Default `{bytes: 8388608, nodes: 1500000}`: 100,000 entries.
    pub plugin_limits: Option<PluginLimits>,
    /// Names, beside addresses, `localhost`, names in `.local` and this machine's own, by
    /// which browsers may call the server. Without port. Default: none.
    pub allowed_hosts: Option<Vec<Text>>,
    /// What is written to the log. Default `{level: info, format: human}`.
    pub log: Log,
    /// How customers reach this server, `http://…` or `https://…`; it is printed on
    /// cards, with the card's own address after it. Default: where it listens.
    pub public_address: Option<Text>,
}

/// Who hands out the cards.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Shop {
    /// Its name.
    pub name: Text,
    /// Where it is, in one line. Default: nothing.
    pub address: Option<Text>,
    /// Lines for the foot of a card: telephone, hours. Default: none.
    #[serde(default)]
    pub lines: Vec<Text>,
    /// The shop's sign, an SVG or PNG file of 512 KiB at most; a path as for `plugins`. One that
    /// cannot be drawn is left out, with a warning. Default: none.
    pub logo: Option<Text>,
}

/// What cards hold where nobody says otherwise.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct CardUsual {
    /// The schemes that a piece is stated in, by id; `all` are all that serve its instruments. One that is
    /// not loaded is named on the card. Default `[all]`.
    pub into: Option<Vec<Text>>,
    /// `a6`, `a5`, `half-letter` or `roll-80`. Default `a6`.
    pub paper: Option<Text>,
}

/// What this shop holds to be felt. A quantity that is left out keeps its default.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Feel {
    /// Who found these limits, and how.
    pub source: Text,
    /// Lengths, as `{same: 0.15 mm, near: 0.40 mm, weight: 2}`.
    #[serde(rename = "rim inner diameter")]
    pub rim_inner_diameter: Option<Limit>,
    /// Lengths.
    #[serde(rename = "rim outer diameter")]
    pub rim_outer_diameter: Option<Limit>,
    /// Lengths.
    #[serde(rename = "cup depth")]
    pub cup_depth: Option<Limit>,
    /// Volumes, as `{same: 0.08 ml, near: 0.25 ml}`.
    #[serde(rename = "cup volume")]
    pub cup_volume: Option<Limit>,
    /// Lengths.
    #[serde(rename = "throat diameter")]
    pub throat_diameter: Option<Limit>,
    /// Lengths.
    #[serde(rename = "backbore bore")]
    pub backbore_bore: Option<Limit>,
    /// Lengths.
    #[serde(rename = "disc depth")]
    pub disc_depth: Option<Limit>,
    /// Lengths.
    #[serde(rename = "rim width")]
    pub rim_width: Option<Limit>,
    /// Lengths.
    #[serde(rename = "cushion width")]
    pub cushion_width: Option<Limit>,
    /// Lengths.
    #[serde(rename = "edge radius")]
    pub edge_radius: Option<Limit>,
    /// Lengths.
    #[serde(rename = "throat length")]
    pub throat_length: Option<Limit>,
    /// Lengths.
    #[serde(rename = "backbore length")]
    pub backbore_length: Option<Limit>,
    /// Lengths.
    #[serde(rename = "exit diameter")]
    pub exit_diameter: Option<Limit>,
    /// Lengths.
    #[serde(rename = "plug depth")]
    pub plug_depth: Option<Limit>,
    /// Lengths.
    #[serde(rename = "shank diameter")]
    pub shank_diameter: Option<Limit>,
    /// Lengths.
    #[serde(rename = "shank taper")]
    pub shank_taper: Option<Limit>,
    /// Lengths.
    #[serde(rename = "shank length")]
    pub shank_length: Option<Limit>,
    /// Lengths.
    #[serde(rename = "insertion depth")]
    pub insertion_depth: Option<Limit>,
}

impl Feel {
    /// The limit of a quantity, if the file has one.
    pub fn limit(&self, quantity: Quantity) -> Option<&Limit> {
        match quantity {
            Quantity::RimInnerDiameter => self.rim_inner_diameter.as_ref(),
            Quantity::RimOuterDiameter => self.rim_outer_diameter.as_ref(),
            Quantity::CupDepth => self.cup_depth.as_ref(),
            Quantity::CupVolume => self.cup_volume.as_ref(),
            Quantity::ThroatDiameter => self.throat_diameter.as_ref(),
            Quantity::BackboreBore => self.backbore_bore.as_ref(),
            Quantity::DiscDepth => self.disc_depth.as_ref(),
            Quantity::RimWidth => self.rim_width.as_ref(),
            Quantity::CushionWidth => self.cushion_width.as_ref(),
            Quantity::EdgeRadius => self.edge_radius.as_ref(),
            Quantity::ThroatLength => self.throat_length.as_ref(),
            Quantity::BackboreLength => self.backbore_length.as_ref(),
            Quantity::ExitDiameter => self.exit_diameter.as_ref(),
            Quantity::PlugDepth => self.plug_depth.as_ref(),
            Quantity::ShankDiameter => self.shank_diameter.as_ref(),
            Quantity::ShankTaper => self.shank_taper.as_ref(),
            Quantity::ShankLength => self.shank_length.as_ref(),
            Quantity::InsertionDepth => self.insertion_depth.as_ref(),
        }
    }
}

/// Limits of one quantity.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Limit {
    /// Differences up to here are not felt; an amount, `0.15 mm`.
    pub same: Text,
    /// Differences up to here still count as near; an amount, not less than `same`.
    pub near: Text,
    /// How much the quantity counts when nearness is weighed, from 0. Default: as built in.
    pub weight: Option<Text>,
}

/// A plug-in that is fetched from elsewhere.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Shelved {
    /// Where it lies: `https://…`, or `http://…` within the house.
    pub url: Text,
    /// What its content must be: SHA-256 as 64 hexadecimal digits, as `sha256sum` prints.
    pub sha256: Text,
    /// The name that it gets in the first of the `plugins` folders, ending in `.yml`.
    pub file: Text,
}

/// How much and how long a fetch may take.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShelfLimits {
    /// Longest file, 1 to 67108864 bytes. Default 1048576 (1 MiB).
    pub bytes: Option<u64>,
    /// Longest wait for one file, 1 to 600 seconds. Default 10.
    pub seconds: Option<u64>,
}

/// How large a plug-in file may be. A larger one is refused before it is read.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PluginLimits {
    /// Longest file, 1 to 67108864 bytes. Default 8388608 (8 MiB).
    pub bytes: Option<u64>,
    /// Most lists, mappings, keys and values in it, 1 to 12000000. Default 1500000.
    pub nodes: Option<u64>,
}

/// What is written to the log.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(super) struct Log {
    /// `error`, `warn`, `info`, `debug` or `trace`. Stamps are logged from `debug` on. Default `info`.
    pub level: Option<Text>,
    /// `human`, or `json` with one object a line. Default `human`.
    pub format: Option<Text>,
}
