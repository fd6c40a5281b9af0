//! How the counter is set up.
//!
//! Four may say how, each over those after it: the options of the command, the
//! environment (`COUNTERBORE_` and the key, as `COUNTERBORE_LOG_LEVEL`), `config.yml`, the defaults. The
//! file is read like a plug-in: through the gate, with a place and a way to mend
//! for each mistake; an unknown key is one. Every setting knows who set it.
//!
//! Paths in the file start at the file; those of options and environment where
//! the command is called. An empty variable says nothing.
//!
//! What the keys mean is written at the fields of `written`. Nothing here reads
//! a plug-in or listens.

mod assembly;
mod feel;
mod layers;
mod meaning;
mod paper;
mod plugin_limits;
mod setting;
mod shelf;
mod written;

use std::net::SocketAddr;
use std::path::{Path, PathBuf};

use tracing::Level;

use crate::diagnostic::Diagnostic;
use crate::load::Folder;
use crate::translate::Feel;
use crate::yaml::Limits;

pub use meaning::LogFormat;
pub use paper::Paper;
pub use setting::{Effective, Origin, Setting};
pub use shelf::{PluginName, Sha256Sum, ShelfLimits, Shelved};

/// What the options of a command say.
#[derive(Clone, Debug, Default)]
pub struct Flags {
    /// `--config FILE`
    pub config: Option<PathBuf>,
    /// `--bind ADDRESS:PORT`
    pub bind: Option<String>,
    /// `--plugins DIR`, repeatable
    pub plugins: Vec<PathBuf>,
    /// `--tables DIR`
    pub tables: Option<PathBuf>,
    /// `--language TAG`
    pub language: Option<String>,
    /// `--public-address URL`
    pub public_address: Option<String>,
    /// `--log-level WORD`
    pub log_level: Option<String>,
    /// `--log-format WORD`
    pub log_format: Option<String>,
}

/// Where a command is called.
pub struct Surroundings<'a> {
    /// The working folder; empty stands for the process's own.
    pub folder: &'a Path,
    /// The value of a variable of the environment.
    pub environment: &'a dyn Fn(&str) -> Option<String>,
}

impl Surroundings<'_> {
    /// Those of this process.
    pub fn of_process() -> Surroundings<'static> {
        Surroundings {
            folder: Path::new(""),
            environment: &process_variable,
        }
    }

    fn variable(&self, name: &str) -> Option<String> {
        (self.environment)(name).filter(|value| !value.is_empty())
    }
}

fn process_variable(name: &str) -> Option<String> {
    std::env::var_os(name).map(|value| value.to_string_lossy().into_owned())
}

/// Who hands out the cards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shop {
    /// Its name.
    pub name: String,
    /// Where it is, in one line.
    pub address: Option<String>,
    /// Lines for the foot of a card.
    pub lines: Vec<String>,
    /// The file with its sign.
    pub logo: Option<PathBuf>,
}

/// How the counter is set up. All of it can be used.
#[derive(Clone, Debug)]
pub struct Config {
    /// The configuration file, if one was read.
    pub file: Setting<Option<PathBuf>>,
    /// In which language people are spoken to; none where they choose.
    pub language: Setting<Option<String>>,
    /// The locale of the environment, where it names one.
    pub locale: Option<String>,
    /// Where to listen.
    pub bind: Setting<SocketAddr>,
    /// Folders of plug-ins, first to last; at least one.
    pub plugins: Setting<Vec<Folder>>,
    /// Folder of tables.
    pub tables: Setting<Folder>,
    /// Who hands out the cards.
    pub shop: Setting<Option<Shop>>,
    /// In which schemes cards state a piece, where nobody says; empty stands for all.
    pub card_into: Setting<Vec<String>>,
    /// On which paper cards are printed, where nobody says.
    pub card_paper: Setting<Paper>,
    /// The folder of templates.
    pub templates: Setting<Folder>,
    /// What is held to be felt.
    pub feel: Setting<Feel>,
    /// What is fetched from elsewhere; no two have the same file name.
    pub shelf: Setting<Vec<Shelved>>,
    /// How much and how long a fetch may take.
    pub shelf_limits: Setting<ShelfLimits>,
    /// How large a plug-in file may be.
    pub plugin_limits: Setting<Limits>,
    /// More names by which browsers may call, in small letters.
    pub allowed_hosts: Setting<Vec<String>>,
    /// From which level on to log.
    pub log_level: Setting<Level>,
    /// How the log looks.
    pub log_format: Setting<LogFormat>,
    /// How customers reach the server, without a slash at the end.
    public_address: Setting<Option<String>>,
}

impl Config {
    /// What all four say together.
    ///
    /// # Errors
    /// Every mistake in any of them, overridden or not.
    pub fn load(flags: &Flags, around: &Surroundings<'_>) -> Result<Self, Vec<Diagnostic>> {
        assembly::assembled(flags, around)
    }

    /// What is printed on cards before the path of their own address: as set, or
    /// where the server listens, which is known once it does.
    pub fn public_address(&self, bound: SocketAddr) -> String {
        self.public_address
            .value
            .clone()
            .unwrap_or_else(|| format!("http://{bound}"))
    }

    /// Each setting with its value and who set it, for logs and screens.
    pub fn effective(&self) -> Vec<Effective> {
        fn line<T>(key: &'static str, of: &Setting<T>, show: impl Fn(&T) -> String) -> Effective {
            Effective {
                key,
                value: show(&of.value),
                origin: of.origin.clone(),
            }
        }
        let none = || "none".to_owned();
        vec![
            line("config", &self.file, |file| {
                file.as_ref()
                    .map_or_else(none, |file| file.display().to_string())
            }),
            line("bind", &self.bind, SocketAddr::to_string),
            line("plugins", &self.plugins, |folders| list(folders)),
            line("tables", &self.tables, Folder::to_string),
            line("language", &self.language, |tag| {
                tag.clone().unwrap_or_else(|| "auto".to_owned())
            }),
            line("shop", &self.shop, |shop| {
                shop.as_ref().map_or_else(none, |shop| shop.name.clone())
            }),
            line("card.into", &self.card_into, |into| {
                if into.is_empty() {
                    "[all]".to_owned()
                } else {
                    list(into)
                }
            }),
            line("card.paper", &self.card_paper, |paper| {
                paper.name().to_owned()
            }),
            line("templates", &self.templates, Folder::to_string),
            line("feel", &self.feel, |feel| feel.source.clone()),
            line("shelf", &self.shelf, |shelf| {
                list(shelf.iter().map(|shelved| &shelved.file))
            }),
            line("shelf_limits", &self.shelf_limits, |limits| {
                format!("{{bytes: {}, seconds: {}}}", limits.bytes, limits.seconds)
            }),
            line("plugin_limits", &self.plugin_limits, |limits| {
                format!("{{bytes: {}, nodes: {}}}", limits.bytes, limits.nodes)
            }),
            line("allowed_hosts", &self.allowed_hosts, |hosts| list(hosts)),
            line("log.level", &self.log_level, |level| {
                level.to_string().to_lowercase()
            }),
            line("log.format", &self.log_format, |format| {
                format.name().to_owned()
            }),
            line("public_address", &self.public_address, |address| {
                address
                    .clone()
                    .unwrap_or_else(|| "where it listens".to_owned())
            }),
        ]
    }
}

fn list<T: ToString>(items: impl IntoIterator<Item = T>) -> String {
    let items: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    format!("[{}]", items.join(", "))
}
