//! Plug-ins from elsewhere: what `shelf` in the configuration lists.
//!
//! ```text
//! download --SHA-256--> gate, check, examples --> temporary file --rename--> plug-in
//! ```
//!
//! The sum says that it is the file that was meant; the checks that it is of
//! use. Only then is the old file replaced, whole; whatever fails leaves it as it
//! was. Each file has an outcome of its own.
//!
//! Where to fetch from is in the configuration only, never in a request, so
//! addresses within the house are allowed. A server that answers "it is over
//! there" is not followed.

mod download;
mod install;

use std::collections::HashMap;
use std::path::Path;

use crate::config::{Config, PluginName, Shelved};
use crate::diagnostic::Severity;
use crate::language::Sentence;
use crate::load::{self, Folder};
use crate::snapshot::Snapshot;
use crate::yaml::Limits;

/// What became of one file of the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pulled {
    /// Its name here.
    pub file: PluginName,
    /// Where it lies.
    pub url: String,
    /// How it went.
    pub outcome: Outcome,
}

/// How it went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It is new, or replaced an older one.
    Fetched,
    /// It was there already, and nothing was asked of the network.
    AlreadyTheSame,
    /// It was left as it was.
    Failed(Failure),
}

/// Why a file was left as it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failure {
    /// Of which kind.
    pub kind: FailureKind,
    /// What happened.
    pub why: Sentence,
    /// What to do.
    pub mend: Sentence,
}

/// Kinds of failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FailureKind {
    /// What came, or would have come, is not wanted.
    Refused,
    /// Network or disk did not serve.
    OutOfReach,
}

impl Failure {
    fn refused(why: impl Into<Sentence>, mend: impl Into<Sentence>) -> Self {
        Self {
            kind: FailureKind::Refused,
            why: why.into(),
            mend: mend.into(),
        }
    }

    fn out_of_reach(why: impl Into<Sentence>, mend: impl Into<Sentence>) -> Self {
        Self {
            kind: FailureKind::OutOfReach,
            why: why.into(),
            mend: mend.into(),
        }
    }
}

/// Exit code for some outcomes: 0 all is well; 1 something was refused; 3 network or disk did
/// not serve.
pub fn exit_code(pulled: &[Pulled]) -> u8 {
    let failed = |kind| {
        pulled
            .iter()
            .any(|one| matches!(&one.outcome, Outcome::Failed(why) if why.kind == kind))
    };
    match (
        failed(FailureKind::Refused),
        failed(FailureKind::OutOfReach),
    ) {
        (true, _) => 1,
        (false, true) => 3,
        (false, false) => 0,
    }
}

/// Fetches the whole shelf into the first folder of plug-ins, one file after the
/// other. `snapshot` is what is loaded from the same configuration.
pub async fn pull(config: &Config, snapshot: &Snapshot) -> Vec<Pulled> {
    let folder = folder(config);
    let mut names = Names::of(snapshot);
    let mut pulled = Vec::new();
    for shelved in &config.shelf.value {
        let outcome = match &folder {
            Ok(folder) => one(config, shelved, folder, snapshot, &mut names).await,
            Err(failure) => Err(failure.clone()),
        };
        pulled.push(Pulled {
            file: shelved.file.clone(),
            url: shelved.url.to_string(),
            outcome: outcome.unwrap_or_else(Outcome::Failed),
        });
    }
    pulled
}

/// As [`pull`], for who has no runtime; waits until it is done.
pub fn pull_now(config: &Config, snapshot: &Snapshot) -> Vec<Pulled> {
    actix_web::rt::System::new().block_on(pull(config, snapshot))
}

fn folder(config: &Config) -> Result<&Path, Failure> {
    let first = config.plugins.value.first().and_then(Folder::path);
    let Some(folder) = first else {
        return Err(Failure::refused(
            sentence!("the first folder of plug-ins is the one inside the program"),
            sentence!("name a folder of the disk first in `plugins`"),
        ));
    };
    if !folder.is_dir() {
        let why = sentence!(
            "there is no folder {folder}",
            folder = folder.display().to_string()
        );
        return Err(Failure::out_of_reach(why, sentence!("make it")));
    }
    Ok(folder)
}

async fn one(
    config: &Config,
    shelved: &Shelved,
    folder: &Path,
    snapshot: &Snapshot,
    names: &mut Names,
) -> Result<Outcome, Failure> {
    let limits = config.shelf_limits.value;
    let path = folder.join(shelved.file.as_str());
    if install::is_there(&path, shelved.sha256, limits.bytes) {
        return Ok(Outcome::AlreadyTheSame);
    }
    let bytes = download::download(&shelved.url, limits).await?;
    install::same_sum(&bytes, shelved.sha256)?;
    let id = useful(shelved, &bytes, snapshot, config.plugin_limits.value)?;
    names.claim(id, &path.display().to_string())?;
    install::replace(folder, &path, &bytes)?;
    Ok(Outcome::Fetched)
}

/// The name of the scheme in a text that passes all checks.
fn useful(
    shelved: &Shelved,
    bytes: &[u8],
    snapshot: &Snapshot,
    allowed: Limits,
) -> Result<String, Failure> {
    let name = shelved.file.as_str();
    let checked = load::checked(name, bytes, &snapshot.tables, allowed);
    if let Some(scheme) = checked.scheme {
        return Ok(scheme.id.clone());
    }
    let error = checked
        .diagnostics
        .iter()
        .find(|one| one.severity == Severity::Error);
    let what = error.map_or_else(
        || sentence!("it holds no scheme"),
        |error| Sentence::showing(error.clone()),
    );
    Err(Failure::refused(
        sentence!(
            "it is the file that was meant, and cannot be used: {what}",
            what = what
        ),
        sentence!("tell who publishes it"),
    ))
}

/// Which file has which scheme.
struct Names(HashMap<String, String>);

impl Names {
    fn of(snapshot: &Snapshot) -> Self {
        let holds =
            |file: &load::LoadedFile| Some((file.scheme.as_ref()?.id.clone(), file.name.clone()));
        Self(snapshot.files.iter().filter_map(holds).collect())
    }

    /// A new file must not take the name of another's scheme: one of the two would be broken.
    fn claim(&mut self, id: String, file: &str) -> Result<(), Failure> {
        match self.0.get(&id) {
            Some(other) if other != file => Err(Failure::refused(
                sentence!("there is already a scheme `{id}`, in {other}", id, other),
                sentence!("take that file away, or give this entry of `shelf` its name"),
            )),
            _ => {
                self.0.insert(id, file.to_owned());
                Ok(())
            }
        }
    }
}
