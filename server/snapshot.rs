//! Everything that was loaded, as one thing that never changes.
//!
//! A question is answered from one snapshot from end to end, so that a file
//! saved meanwhile cannot mix two states. A new snapshot takes over from the
//! one before what turned bad: a plug-in's last good scheme, the last good
//! tables, the files of a folder that is no longer there. All of that shows.
//!
//! When to make a new one is [`crate::reload`]'s.

use std::collections::HashSet;
use std::fmt;
use std::sync::{Arc, LazyLock};

use sha2::{Digest, Sha256};

use crate::config::{Config, Sha256Sum};
use crate::diagnostic::{Diagnostic, Place};
use crate::language::Languages;
use crate::load::{self, Folder, LoadedFile, LoadedLanguages, LoadedTables, Look, Moment};
use crate::scheme::{Scheme, Tables};
use crate::stamp::{Automaton, Decoder};
use crate::translate::{Feel, Many, Target};
use crate::words::Words;

/// What few questions need: made when the first of them asks, or by [`Snapshot::prepare`].
pub type Late<T> = LazyLock<T, Box<dyn FnOnce() -> T + Send + Sync>>;

/// All that questions are answered from.
pub struct Snapshot {
    /// Methods, contour classes, gauges.
    pub tables: Arc<Tables>,
    /// If these are older tables since the files turned bad: since when.
    pub tables_kept_since: Option<Moment>,
    /// What is wrong with no single plug-in: tables, folders.
    pub faults: Vec<Diagnostic>,
    /// The plug-in files, good or bad, folder by folder and by name.
    pub files: Vec<LoadedFile>,
    /// The schemes in force, in the order of their files.
    pub schemes: Vec<Arc<Scheme>>,
    /// The same, arranged for translation; one a scheme. A scheme that did not change keeps its own.
    pub targets: Vec<Arc<Target>>,
    /// Reads legible stamps of all of them.
    pub decoder: Decoder,
    /// Their free words.
    pub words: Late<Words<Remembered>>,
    /// Finds worn and partial stamps of all of them.
    pub automaton: Late<Automaton>,
    /// The languages in which people are spoken to.
    pub languages: Languages,
    /// What the shop holds to be felt.
    pub feel: Feel,
    /// SHA-256 over the content of all tables and plug-ins in force, hexadecimal.
    pub hash: String,
    /// What the folders looked like before they were read.
    pub(crate) look: Look,
    loaded_tables: LoadedTables,
    /// SHA-256 over all catalogues, hexadecimal.
    catalogues: String,
}

impl Snapshot {
    /// Loads everything that a configuration names. Plug-ins that cannot be used
    /// are [`Snapshot::broken`] and stop nothing.
    ///
    /// # Errors
    /// What is wrong with the tables, or a folder that cannot be read.
    pub fn load(config: &Config) -> Result<Self, Vec<Diagnostic>> {
        let look = look(config);
        let tables = load::tables(&config.tables.value)?;
        let mut files = Vec::new();
        let mut faults = Vec::new();
        for folder in &config.plugins.value {
            match load::plugins(folder, &tables.tables, config.plugin_limits.value) {
                Ok(more) => files.extend(more),
                Err(fault) => faults.push(fault),
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        load::mark_twins(&mut files, &[]);
        let languages = load::languages(&config.tables.value);
        let mut faults = tables.warnings.clone();
        if let Some(fault) = no_catalogue(config, &languages.languages) {
            return Err(vec![fault]);
        }
        faults.extend(languages.faults.iter().cloned());
        Ok(Parts {
            languages,
            look,
            tables,
            tables_kept_since: None,
            faults,
            files,
        }
        .snapshot(config, &[]))
    }

    /// Loads everything anew; what has turned bad is taken over from this one.
    #[must_use]
    pub fn renewed(&self, config: &Config) -> Self {
        let now = Moment::now();
        let look = look(config);
        let (tables, tables_kept_since, mut faults) = match load::tables(&config.tables.value) {
            Ok(tables) => {
                let warnings = tables.warnings.clone();
                (tables, None, warnings)
            }
            Err(faults) => {
                let since = self.tables_kept_since.unwrap_or(now);
                (self.loaded_tables.clone(), Some(since), faults)
            }
        };
        // What a plug-in means hangs on the tables too.
        let same_tables = tables.digests == self.loaded_tables.digests;
        let before = if same_tables { &*self.files } else { &[] };
        let mut files = Vec::new();
        for folder in &config.plugins.value {
            match load::plugins_since(before, folder, &tables.tables, config.plugin_limits.value) {
                Ok(more) => files.extend(more),
                Err(fault) => {
                    files.extend(self.kept_folder(folder, &fault, now));
                    faults.push(fault);
                }
            }
        }
        load::mark_twins(&mut files, &self.files);
        self.keep(&mut files, now);
        let languages = load::languages(&config.tables.value);
        faults.extend(no_catalogue(config, &languages.languages));
        faults.extend(languages.faults.iter().cloned());
        Parts {
            languages,
            look,
            tables,
            tables_kept_since,
            faults,
            files,
        }
        .snapshot(config, &self.targets)
    }

    /// Differs where answers may differ: what is in force, and what of it is kept from before.
    pub fn state(&self) -> String {
        let kept = self.files.iter().filter_map(|file| {
            let since = file.kept_since?;
            Some(format!(" {} of {since}", file.name))
        });
        let in_force = [&self.hash, " ", &self.catalogues].concat();
        std::iter::once(in_force).chain(kept).collect()
    }

    /// Makes what no question has asked for yet, so that none has to wait for it.
    pub fn prepare(&self) {
        LazyLock::force(&self.automaton);
        LazyLock::force(&self.words);
        self.languages.prepare();
        self.targets.iter().for_each(|target| target.prepare());
    }

    /// The files whose last text cannot be used, though an older one may be in force.
    pub fn broken(&self) -> impl Iterator<Item = &LoadedFile> {
        self.files.iter().filter(|file| file.is_broken())
    }

    /// The scheme of that name.
    pub fn scheme(&self, id: &str) -> Option<&Arc<Scheme>> {
        self.schemes.iter().find(|scheme| scheme.id == id)
    }

    /// The scheme of that name as a target.
    pub fn target(&self, id: &str) -> Option<&Target> {
        let mut targets = self.targets.iter().map(Arc::as_ref);
        targets.find(|target| target.scheme.id == id)
    }

    /// The file of the scheme of that name.
    pub fn file(&self, id: &str) -> Option<&LoadedFile> {
        let holds = |file: &&LoadedFile| file.scheme.as_ref().is_some_and(|scheme| scheme.id == id);
        self.files.iter().find(holds)
    }

    /// Puts the last good scheme into files that turned bad, unless a good file
    /// has its name by now.
    fn keep(&self, files: &mut [LoadedFile], now: Moment) {
        let schemes = files.iter().filter_map(|file| file.scheme.as_ref());
        let mut taken: HashSet<String> = schemes.map(|scheme| scheme.id.clone()).collect();
        for file in files.iter_mut().filter(|file| file.scheme.is_none()) {
            let Some(before) = self.files.iter().find(|before| before.name == file.name) else {
                continue;
            };
            let Some(scheme) = before
                .scheme
                .as_ref()
                .filter(|scheme| !taken.contains(&scheme.id))
            else {
                continue;
            };
            taken.insert(scheme.id.clone());
            file.scheme = Some(scheme.clone());
            file.digest = before.digest;
            file.kept_since = Some(before.kept_since.unwrap_or(now));
        }
    }

    /// The files of a folder that is no longer there.
    fn kept_folder(
        &self,
        folder: &Folder,
        fault: &Diagnostic,
        now: Moment,
    ) -> impl Iterator<Item = LoadedFile> {
        let files = self.files.iter().filter(move |file| file.folder == *folder);
        files.cloned().map(move |mut file| {
            file.kept_since = file.scheme.as_ref().map(|_| file.kept_since.unwrap_or(now));
            file.diagnostics = vec![fault.clone()];
            file
        })
    }
}

impl fmt::Debug for Snapshot {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            hash,
            files,
            faults,
            ..
        } = self;
        let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
        out.debug_struct("Snapshot")
            .field("hash", hash)
            .field("files", &names)
            .field("faults", faults)
            .finish_non_exhaustive()
    }
}

fn late<T>(
    schemes: &[Arc<Scheme>],
    make: impl FnOnce(&[Arc<Scheme>]) -> T + Send + Sync + 'static,
) -> Late<T> {
    let schemes = schemes.to_vec();
    LazyLock::new(Box::new(move || make(&schemes)))
}

/// The target that an unchanged scheme had before, or a new one.
fn target(scheme: &Arc<Scheme>, before: &[Arc<Target>]) -> Arc<Target> {
    let mut before = before.iter();
    let kept = before.find(|target| Arc::ptr_eq(&target.scheme, scheme));
    let many: Many = |shares, work| load::in_parallel(shares, work);
    kept.cloned()
        .unwrap_or_else(|| Arc::new(Target::shared_out(scheme.clone(), many)))
}

/// What a free word stands for, by places: of the scheme in [`Snapshot::schemes`], and in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remembered {
    /// A maker.
    Scheme(usize),
    /// A series of a scheme.
    Series(usize, usize),
    /// An entry of a scheme, by what is noted of it.
    Entry(usize, usize),
}

impl Remembered {
    /// The place of the scheme.
    pub fn scheme(self) -> usize {
        match self {
            Self::Scheme(scheme) | Self::Series(scheme, _) | Self::Entry(scheme, _) => scheme,
        }
    }
}

/// What people remember of schemes besides figures. Sentences about a whole scheme are for its
/// page: some letters of them are found in any word.
fn words(schemes: &[Arc<Scheme>]) -> Words<Remembered> {
    let of_scheme =
        |(place, scheme): (usize, &Arc<Scheme>)| {
            let mut texts = vec![(scheme.title.clone(), Remembered::Scheme(place))];
            for (one, series) in scheme.series.iter().enumerate() {
                let words = series.words.iter().map(|(word, _)| word.clone());
                texts.extend(words.map(|word| (word, Remembered::Series(place, one))));
            }
            let notes = scheme.entries.iter().enumerate();
            texts.extend(notes.filter_map(|(one, entry)| {
                Some((entry.note.clone()?, Remembered::Entry(place, one)))
            }));
            texts
        };
    Words::new(schemes.iter().enumerate().flat_map(of_scheme))
}

/// What all folders look like.
pub(crate) fn look(config: &Config) -> Look {
    Look::at(config.plugins.value.iter().chain([&config.tables.value]))
        .and_languages(&config.tables.value)
}

/// What was loaded, before it is arranged.
struct Parts {
    languages: LoadedLanguages,
    look: Look,
    tables: LoadedTables,
    tables_kept_since: Option<Moment>,
    faults: Vec<Diagnostic>,
    files: Vec<LoadedFile>,
}

impl Parts {
    fn snapshot(self, config: &Config, before: &[Arc<Target>]) -> Snapshot {
        let schemes: Vec<Arc<Scheme>> = self
            .files
            .iter()
            .filter_map(|file| file.scheme.clone())
            .collect();
        Snapshot {
            tables: self.tables.tables.clone(),
            tables_kept_since: self.tables_kept_since,
            faults: self.faults,
            targets: schemes
                .iter()
                .map(|scheme| target(scheme, before))
                .collect(),
            decoder: Decoder::new(&schemes),
            automaton: late(&schemes, {
                let glyphs = self.tables.glyphs.clone();
                move |schemes| Automaton::build(schemes, &glyphs)
            }),
            words: late(&schemes, words),
            schemes,
            languages: self.languages.languages,
            catalogues: Sha256Sum(self.languages.digest).to_string(),
            feel: config.feel.value.clone(),
            hash: hash(&self.tables, &self.files),
            files: self.files,
            look: self.look,
            loaded_tables: self.tables,
        }
    }
}

/// The language that is configured may be one for which there is nothing.
fn no_catalogue(config: &Config, languages: &Languages) -> Option<Diagnostic> {
    let tag = config.language.value.as_ref()?;
    if languages.meant(tag).is_some() {
        return None;
    }
    let there: Vec<String> = languages.all().map(|one| one.tag().to_owned()).collect();
    let place = Place::whole(config.language.origin.to_string());
    let message = sentence!("there is no catalogue for the language `{tag}`", tag);
    let hint = sentence!(
        "there are: {there}; another is one file in the folder `language` of the tables",
        there = there.join(", ")
    );
    Some(Diagnostic::error("no-language", place, message).hint(hint))
}

/// Sums of sums: where one file ends and the next begins cannot be mistaken.
fn hash(tables: &LoadedTables, files: &[LoadedFile]) -> String {
    let in_force = files
        .iter()
        .filter(|file| file.scheme.is_some())
        .map(|file| &file.digest);
    let mut tables_sum = Sha256::new();
    tables
        .digests
        .iter()
        .for_each(|digest| tables_sum.update(digest));
    let mut plugins_sum = Sha256::new();
    in_force.for_each(|digest| plugins_sum.update(digest));
    let both = Sha256::new()
        .chain_update(tables_sum.finalize())
        .chain_update(plugins_sum.finalize());
    Sha256Sum(both.finalize().into()).to_string()
}
