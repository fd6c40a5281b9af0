//! All integration tests, in one binary.
//!
//! * `agreement`: E_n
//! * `amount`: numbers with units, spreads and scales as people write them
//! * `chart`: the wall chart, as data, on paper and over HTTP
//! * `compare`: pieces side by side, over HTTP
//! * `config`: who may set what, and mistakes in the configuration
//! * `budget`: what an uncertainty adds up from
//! * `coverage`: whether a stated interval holds 95 %, by trials
//! * `demo`: the demo schemes against their own examples
//! * `browser`: the main job through a real browser, by `webdriver`
//! * `catalogue`: large catalogues as targets
//! * `cli`: the built program as a process
//! * `instruments`: weighed water, and drills that pass or do not
//! * `language`: sentences and numbers in the language in force, and who chooses it
//! * `layers`: who may name whom
//! * `diagnostic`: how a problem in a file is shown
//! * `estimate`: sources, combining, expanding
//! * `fetch`: plug-ins from elsewhere, against servers that misbehave
//! * `find`: worn stamps, and the table of misreadings
//! * `fuzz`: the grammar compiler and the reader on what nobody would write
//! * `gauge`: the drill tables, and tables with faults
//! * `gauging`: gauge values entered by picture, and the settings, over HTTP
//! * `geometry`: sections against closed forms
//! * `guide`: the schemes' own pages
//! * `gum`: worked examples of the GUM and its first supplement
//! * `interval`: values of which only limits are known, through routes and differences
//! * `limits`: words and ranges of a scheme, from the file to the verdict
//! * `load`: folders of plug-ins, good and bad, read and read again
//! * `look`: what to look at or to gauge next
//! * `oracle`: a second opinion on the metal from Python libraries, skipped where they are not installed
//! * `pairs`: fits against certified and published ones, and routes by them
//! * `paper`: the card as page, text and SVG
//! * `press`: card and chart as documents, judged by programs that are not ours
//! * `properties`: what every kind of route keeps to, by every method
//! * `refused`: what cannot be, refused where it enters
//! * `route`: from one method to another
//! * `scheme`: schemes and tables as they are read, and what is said of their faults
//! * `serves`: instruments of schemes and series, and pieces for others
//! * `shown`: the rounding function
//! * `solve`: more figures than are needed, and fewer
//! * `specimens`: measured points at the counter, and what is said of a piece besides its figures
//! * `stationery`: the shop's own templates and sign
//! * `stamp`: legible stamps, read, written and held against their scheme
//! * `trace`: a piece's own measured points
//! * `translate`: into other schemes
//! * `usual`: how usual things are
//! * `web`: the counter over real HTTP
//! * `wish`: like this, but otherwise
//! * `words`: free words
//! * `yaml`: what may come in from a file, and what is said of the rest
//!
//! `generator` invents names and wear from a seed, `grammars` whole schemes. `card` is one made by hand, `population` pieces whose truth is known. `case_file` reads the tables in
//! `cases/`, each of which names its source.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the answer")]

mod agreement;
mod amount;
mod browser;
mod budget;
mod card;
mod case_file;
mod catalogue;
mod chart;
mod cli;
mod compare;
mod config;
mod coverage;
mod demo;
mod diagnostic;
mod estimate;
mod fetch;
mod find;
mod fuzz;
mod gauge;
mod gauging;
mod generator;
mod geometry;
mod grammars;
mod guide;
mod gum;
mod instruments;
mod interval;
mod language;
mod layers;
mod limits;
mod load;
mod look;
mod oracle;
mod pairs;
mod paper;
mod population;
mod press;
mod properties;
mod refused;
mod route;
mod scheme;
mod schemes;
mod serves;
mod shop;
mod shown;
mod solve;
mod specimens;
mod stamp;
mod stationery;
mod trace;
mod translate;
mod usual;
mod web;
mod webdriver;
mod wish;
mod words;
mod yaml;
