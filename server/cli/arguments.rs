//! What may be typed after `counterbore`.

use std::path::PathBuf;

use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};

use crate::answer::MOST_RESULTS;
use crate::config::{Flags, Paper};
use crate::load::Day;

/// What is it, what does its marking mean, what comes near? Table server for the counter of a
/// brass-instrument repair shop.
#[derive(Parser, Debug)]
#[command(
    name = "counterbore",
    version,
    max_term_width = 100,
    after_help = "\
Examples:
  counterbore serve
  counterbore decode \"Lyra 68/1612\"
  counterbore find \"L?ra 6*\" --gauge \"rim inner diameter@inner edge=16.6±0.1mm\"
  counterbore translate \"Lyra 68/1612\" --into all
  counterbore compare \"Lyra 68/1612\" \"38 L\"
  counterbore decode \"Lyra 68/1612\" --budget --monte-carlo 20000
  counterbore card \"Lyra 68/1612\" --into all --out card.html

Exit codes: 0 done; 1 the answer is no; 2 wrong usage; 3 could not (input, output, a port that is taken)."
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// What every command takes.
    #[command(flatten)]
    pub common: Common,
}

/// Options of every command.
#[derive(Args, Debug)]
pub struct Common {
    /// Configuration file [default: ./config.yml where there is one]
    #[arg(long, global = true, value_name = "FILE")]
    pub config: Option<PathBuf>,
    /// Folder of plug-ins, in place of all others; may be given more than once [default: those of the configuration, or built in]
    #[arg(long, global = true, value_name = "DIR")]
    pub plugins: Vec<PathBuf>,
    /// Folder of tables [default: that of the configuration, or built in]
    #[arg(long, global = true, value_name = "DIR")]
    pub tables: Option<PathBuf>,
    /// Language of what people read: en, de, another for which there is a catalogue, or auto, by the locale [default: that of the configuration, or auto]
    #[arg(long, global = true, value_name = "TAG")]
    pub language: Option<String>,
    /// How answers are printed
    #[arg(long, global = true, value_enum, default_value_t = Output::Text)]
    pub format: Output,
}

/// How answers are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Output {
    /// For people.
    Text,
    /// The JSON of the programming interface.
    Json,
}

/// The commands.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Open the counter: pages and programming interface
    Serve {
        /// Address and port to listen at [default: 127.0.0.1:8017]
        #[arg(long, value_name = "ADDRESS:PORT")]
        bind: Option<String>,
    },
    /// Say what a legible stamp means
    Decode {
        /// What is on the metal; stamps of several parts of one piece joined by " + "
        stamp: String,
        /// Why figures are as uncertain as they are.
        #[command(flatten)]
        explain: Explain,
    },
    /// Find what a worn or partial stamp, or gauge values, may belong to
    Find {
        /// What can be seen: ? for one sign that cannot be read, * for a stretch; may be left out where gauges are given
        #[arg(default_value = "")]
        partial: String,
        /// A gauge value, as QUANTITY@METHOD=VALUE±LIMITS (without ± as sure as one reading by the method is, `reading` in tables/methods.yml), or limits, as "throat diameter=passes drill 27, not drill 26"; may be given more than once
        #[arg(long = "gauge", value_name = "GAUGE")]
        gauges: Vec<String>,
        /// How many to list
        #[arg(long, allow_negative_numbers = true, default_value_t = 10, value_parser = between::<1, MOST_RESULTS>)]
        limit: usize,
    },
    /// State a piece in other makers' schemes
    Translate {
        /// Which piece and where to.
        #[command(flatten)]
        what: StampAsk,
        /// How the others are to differ, as "cup depth@centre:less 0.5 mm", "throat diameter:more" or "rim inner diameter:same within 0.1 mm"; may be given more than once
        #[arg(long = "wish", value_name = "WISH")]
        wishes: Vec<String>,
        /// Why figures are as uncertain as they are.
        #[command(flatten)]
        explain: Explain,
    },
    /// Read measured points of a piece by every neutral method, and list what comes near
    Trace(TraceAsk),
    /// Hold two to four pieces against each other
    Compare {
        /// Their stamps; `136 (2)` is the second reading of `136`
        #[arg(required = true, num_args = 1.., value_name = "STAMP")]
        pieces: Vec<String>,
        /// Which of them the others are held against, counted from 1
        #[arg(
            long,
            allow_negative_numbers = true,
            default_value_t = 1,
            value_name = "NUMBER"
        )]
        pinned: usize,
    },
    /// Make the card that the customer takes away
    Card(CardAsk),
    /// Check plug-ins and tables, and run their examples
    Check {
        /// Files or folders [default: those of the configuration]
        paths: Vec<PathBuf>,
    },
    /// Fetch the plug-ins that the configuration's shelf lists
    Pull,
}

/// Why figures are as uncertain as they are.
#[derive(Args, Debug)]
pub struct Explain {
    /// Show what each uncertainty adds up from, and the routes that were not taken
    #[arg(long)]
    pub budget: bool,
    /// Find the same values by so many trials, 1000 to 1000000 (JCGM 101)
    #[arg(long, value_name = "TRIALS", allow_negative_numbers = true)]
    pub monte_carlo: Option<usize>,
    /// Seed of the trials: the same gives the same answer
    #[arg(
        long,
        value_name = "NUMBER",
        allow_negative_numbers = true,
        default_value_t = 1,
        requires = "monte_carlo"
    )]
    pub seed: u64,
}

/// A stamp and where to.
#[derive(Args, Debug)]
pub struct StampAsk {
    /// What is on the metal; stamps of several parts of one piece joined by " + "
    pub stamp: String,
    /// A scheme, several joined by commas, or all [default: all; of a card, those of the configuration]
    #[arg(long, value_name = "SCHEME")]
    pub into: Vec<String>,
    /// Which reading of the stamp, counted from 1
    #[arg(
        long,
        allow_negative_numbers = true,
        default_value_t = 1,
        value_name = "NUMBER"
    )]
    pub reading: usize,
    /// How many pieces of each scheme to list
    #[arg(long, allow_negative_numbers = true, default_value_t = 3, value_parser = between::<1, MOST_RESULTS>)]
    pub limit: usize,
}

/// Measured points and where their marks are. A length is written as 2.4 (mm), "2.4 mm ± 0.05 mm" or "0.095 in".
#[derive(Args, Debug)]
pub struct TraceAsk {
    /// Comma-separated points; the first line names the columns: depth [mm],diameter [mm] and, where known, u [um]
    pub file: PathBuf,
    /// Depth of the seam below the crest
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub seam: Option<String>,
    /// Depth of the upper end of the throat
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub throat: Option<String>,
    /// Depth of the lower end of the throat
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub throat_end: Option<String>,
    /// Depth of the exit
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub exit: Option<String>,
    /// Standard uncertainty of each diameter of which the file states none
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub u: Option<String>,
    /// Standard uncertainty that the gauge gives all diameters alike [default: none]
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub gauge_u: Option<String>,
    /// Standard uncertainty of each depth; it moves a diameter by the slope of the metal there [default: none]
    #[arg(long, value_name = "MM", allow_hyphen_values = true)]
    pub depth_u: Option<String>,
    /// A scheme, several joined by commas, or all
    #[arg(long, value_name = "SCHEME", default_value = "all")]
    pub into: Vec<String>,
    /// How many pieces of each scheme to list
    #[arg(long, allow_negative_numbers = true, default_value_t = 3, value_parser = between::<1, MOST_RESULTS>)]
    pub limit: usize,
}

/// A card and where it goes.
#[derive(Args, Debug)]
pub struct CardAsk {
    /// Of which piece.
    #[command(flatten)]
    pub stamp: StampAsk,
    /// File to write, its form by its ending: .html, .pdf, .txt or .svg [default: text on standard output]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Paper of a card [default: that of the configuration]
    #[arg(long, value_name = "PAPER", value_parser = clap::builder::PossibleValuesParser::new(Paper::NAMES))]
    pub paper: Option<String>,
    /// The day that stands on it, as 2031-04-05 [default: today in UTC]
    #[arg(long, value_name = "DAY", value_parser = day)]
    pub date: Option<Day>,
    /// Columns of a card as text
    #[arg(long, allow_negative_numbers = true, default_value_t = 42, value_parser = between::<32, 80>)]
    pub columns: usize,
}

impl Arguments {
    /// What the options say of the configuration.
    pub fn flags(&self) -> Flags {
        let bind = match &self.command {
            Command::Serve { bind } => bind.clone(),
            _ => None,
        };
        Flags {
            config: self.common.config.clone(),
            bind,
            plugins: self.common.plugins.clone(),
            tables: self.common.tables.clone(),
            language: self.common.language.clone(),
            ..Flags::default()
        }
    }
}

/// The command line as clap knows it, for help and tests.
pub fn command() -> clap::Command {
    Arguments::command()
}

/// A whole number within limits.
fn day(text: &str) -> Result<Day, String> {
    Day::read(text).ok_or_else(|| "a day is wanted, as 2031-04-05".to_owned())
}

fn between<const LOW: usize, const HIGH: usize>(text: &str) -> Result<usize, String> {
    let number = text
        .parse()
        .ok()
        .filter(|number| (LOW..=HIGH).contains(number));
    number.ok_or_else(|| format!("a whole number from {LOW} to {HIGH} is wanted"))
}
