//! What a shop's paper looks like: templates and the shop's sign.
//!
//! The templates inside the program, or those of the folder that `config.yml` names; the folder is
//! read as a whole, and each of its templates is tried on a sample there and then ([`super::fresh`] does so
//! again when it changes). One that fails, or takes too long over a card, is not used: the one inside the program
//! is, and [`Stationery::faults`] says why. The same holds for a sign that cannot be drawn.
//!
//! A template of the shop runs on a thread of its own, since nothing can end it from outside: one
//! that goes on for ever costs a core until the program is started anew, but holds up nobody, and is not
//! run again until it is changed.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::Duration;

use rust_embed::Embed;
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::brought::{read_folder, read_logo, unusable_logo};
use super::press::{Files, Sheets, Template};
use crate::config::Config;
use crate::diagnostic::{Diagnostic, Place};
use crate::load::{Day, Folder};
use crate::problem::{Kind, Problem};

#[derive(Embed)]
#[folder = "server/paper/templates/"]
struct BuiltIn;

/// A template of the shop may take so long over a card; the one inside takes a hundredth of it.
const TIME: Duration = Duration::from_secs(5);

/// A day for samples.
const SAMPLE_DAY: Day = Day {
    year: 2031,
    month: 4,
    day: 5,
};

/// What is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// A card.
    Card,
    /// A wall chart.
    Chart,
}

impl Work {
    const ALL: [Self; 2] = [Self::Card, Self::Chart];

    fn main(self) -> &'static str {
        match self {
            Self::Card => "card.typ",
            Self::Chart => "chart.typ",
        }
    }

    fn sample(self) -> &'static str {
        match self {
            Self::Card => "card-sample.json",
            Self::Chart => "chart-sample.json",
        }
    }
}

/// What is wanted of the sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Want {
    /// A document of that day.
    Pdf(Day),
    /// A drawing of each sheet.
    Drawings,
    /// All sheets in one drawing.
    Drawing,
}

/// Sheets as they leave the press.
#[derive(Clone, Debug)]
pub struct Printed {
    /// Width and height of each sheet, mm.
    pub sizes_mm: Vec<(f64, f64)>,
    /// The document, the drawing, or the drawings sheet by sheet.
    pub content: Vec<Vec<u8>>,
    /// What is doubtful about the template.
    pub warnings: Vec<Diagnostic>,
}

/// A template of the shop, until it fails.
#[derive(Debug)]
struct Own {
    template: Arc<Template>,
    given_up: AtomicBool,
}

/// Templates and the shop's sign.
#[derive(Debug)]
pub struct Stationery {
    /// Of the shop, in the order of [`Work::ALL`].
    own: [Option<Own>; 2],
    logo: Option<(&'static str, Arc<[u8]>)>,
    /// Why something of the shop's is not used.
    pub faults: Vec<Diagnostic>,
}

impl Stationery {
    /// That inside the program, without a sign.
    pub fn built_in() -> Self {
        Self {
            own: [None, None],
            logo: None,
            faults: Vec::new(),
        }
    }

    /// As a configuration says. What cannot be used is among the faults.
    pub fn of(config: &Config) -> Self {
        let mut made = Self::built_in();
        if let Some(file) = config
            .shop
            .value
            .as_ref()
            .and_then(|shop| shop.logo.as_ref())
        {
            made.take_logo(file);
        }
        if let Folder::At(folder) = &config.templates.value {
            made.take_templates(folder);
        }
        made
    }

    /// What sheets are made from, as one hash.
    pub fn digest(&self) -> String {
        let mut sum = Sha256::new();
        let own = self.own.iter().flatten();
        let built_in = Work::ALL.map(built_in);
        let templates = built_in.iter().chain(own.map(|own| &*own.template));
        for (name, bytes) in templates.flat_map(|one| &one.files).chain(&self.files()) {
            sum.update(name);
            sum.update(bytes);
        }
        sum.finalize()
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }

    /// The name by which templates find the sign.
    pub fn logo(&self) -> Option<&'static str> {
        self.logo.as_ref().map(|(name, _)| *name)
    }

    /// Prints what is given.
    ///
    /// # Errors
    /// The template inside the program failed; the log says how.
    pub fn print(&self, work: Work, given: &Value, want: Want) -> Result<Printed, Problem> {
        let given = given.to_string();
        if let Some(own) = self.own[work as usize].as_ref().filter(|own| own.holds()) {
            match timed(&own.template, &given, &self.files(), want) {
                Ok(printed) => return Ok(printed),
                Err(faults) => own.give_up(&faults),
            }
        }
        printed(&built_in(work), &given, &self.files(), want).map_err(|faults| {
            let why: Vec<String> = faults.iter().map(ToString::to_string).collect();
            let says = sentence!("the sheet could not be set: {why}", why = why.join("; "));
            Problem::new(Kind::CouldNot, says)
                .hint(sentence!("plain text needs no setting; please report this"))
        })
    }

    fn files(&self) -> Files {
        let logo = self.logo.iter();
        logo.map(|(name, bytes)| ((*name).to_owned(), bytes.clone()))
            .collect()
    }

    fn take_logo(&mut self, file: &Path) {
        match read_logo(file) {
            Ok(logo) => {
                self.logo = Some(logo);
                if let Some(fault) = self.fault_of_logo(file) {
                    self.logo = None;
                    self.faults.push(fault);
                }
            }
            Err(fault) => self.faults.push(fault),
        }
    }

    /// Why the sign cannot be drawn, if it cannot.
    fn fault_of_logo(&self, file: &Path) -> Option<Diagnostic> {
        let mut sample: Value = serde_json::from_str(&sample(Work::Card)).unwrap_or_default();
        sample["logo"] = self.logo().into();
        let tried = printed(
            &built_in(Work::Card),
            &sample.to_string(),
            &self.files(),
            Want::Pdf(SAMPLE_DAY),
        );
        let faults = tried.err()?;
        let why = faults.first().map(|fault| fault.message.to_string());
        let why = say!("it cannot be drawn: {why}", why = why.unwrap_or_default());
        Some(unusable_logo(file, &why))
    }

    fn take_templates(&mut self, folder: &Path) {
        let files = match read_folder(folder) {
            Ok(files) => files,
            Err(fault) => return self.faults.push(fault),
        };
        if Work::ALL
            .iter()
            .all(|work| !files.contains_key(work.main()))
        {
            let place = Place::whole(folder.display().to_string());
            let fault = Diagnostic::warning(
                "no-template",
                place,
                sentence!("the folder of templates holds neither `card.typ` nor `chart.typ`"),
            );
            self.faults
                .push(fault.hint(sentence!("put one there, or leave `templates` out")));
        }
        for work in Work::ALL {
            if files.contains_key(work.main()) {
                match tried(work, folder, &files) {
                    Ok((own, warnings)) => {
                        self.own[work as usize] = Some(own);
                        self.faults.extend(warnings);
                    }
                    Err(faults) => self.faults.extend(faults),
                }
            }
        }
    }
}

impl Own {
    fn holds(&self) -> bool {
        !self.given_up.load(Ordering::Relaxed)
    }

    fn give_up(&self, faults: &[Diagnostic]) {
        self.given_up.store(true, Ordering::Relaxed);
        for fault in faults {
            tracing::warn!(%fault, "the shop's template failed; the one inside the program is used from now on");
        }
    }
}

/// A template of the shop that sets the sample, and what is doubtful about it.
fn tried(
    work: Work,
    folder: &Path,
    files: &Files,
) -> Result<(Own, Vec<Diagnostic>), Vec<Diagnostic>> {
    let mut template = Template {
        main: work.main(),
        folder: folder.display().to_string(),
        files: files.clone(),
    };
    let common = || BuiltIn::get("common.typ").map(|file| file.data.as_ref().into());
    if let Some(common) = common().filter(|_| !files.contains_key("common.typ")) {
        template.files.insert("common.typ".into(), common);
    }
    let template = Arc::new(template);
    let tried = timed(
        &template,
        &sample(work),
        &Files::new(),
        Want::Pdf(SAMPLE_DAY),
    );
    let own = Own {
        template,
        given_up: AtomicBool::new(false),
    };
    Ok((own, tried.map_err(unused)?.warnings))
}

/// Faults of a template that another stands in for.
fn unused(faults: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let told = |fault: Diagnostic| {
        let message = sentence!(
            "{fault}; the template inside the program is used",
            fault = fault.message
        );
        let told = Diagnostic::warning(fault.code, fault.place, message);
        match fault.hint {
            Some(hint) => told.hint(hint),
            None => told,
        }
    };
    faults.into_iter().map(told).collect()
}

/// The template inside the program.
fn built_in(work: Work) -> Template {
    let files = BuiltIn::iter().filter(|name| name.ends_with(".typ"));
    let read = |name: std::borrow::Cow<'static, str>| {
        let file = BuiltIn::get(&name)?;
        Some((name.into_owned(), file.data.as_ref().into()))
    };
    Template {
        main: work.main(),
        folder: "<built in>/templates".into(),
        files: files.filter_map(read).collect(),
    }
}

/// What a template is given to be tried.
fn sample(work: Work) -> String {
    let file = BuiltIn::get(work.sample()).expect("the samples are part of the program");
    String::from_utf8_lossy(&file.data).into_owned()
}

/// Sets and prints, however long it takes.
fn printed(
    template: &Template,
    given: &str,
    more: &Files,
    want: Want,
) -> Result<Printed, Vec<Diagnostic>> {
    let sheets = template.set(given, more)?;
    let content = match want {
        Want::Pdf(day) => vec![template.pdf(&sheets, day)?],
        Want::Drawings => sheets
            .drawings()
            .into_iter()
            .map(String::into_bytes)
            .collect(),
        Want::Drawing => vec![Sheets::drawing(&sheets).into_bytes()],
    };
    Ok(Printed {
        sizes_mm: sheets.sizes_mm(),
        content,
        warnings: sheets.warnings,
    })
}

/// The same on a thread of its own, which is left alone when it takes too long.
fn timed(
    template: &Arc<Template>,
    given: &str,
    more: &Files,
    want: Want,
) -> Result<Printed, Vec<Diagnostic>> {
    let (done, waiting) = mpsc::channel();
    let (template, place) = (template.clone(), template.place());
    let (given, more) = (given.to_owned(), more.clone());
    std::thread::spawn(move || done.send(printed(&template, &given, &more, want)));
    waiting.recv_timeout(TIME).unwrap_or_else(|why| {
        let says = match why {
            RecvTimeoutError::Timeout => sentence!(
                "the template took longer than {seconds} s",
                seconds = TIME.as_secs()
            ),
            RecvTimeoutError::Disconnected => sentence!("the template broke off"),
        };
        Err(vec![Diagnostic::error("slow-template", place, says)])
    })
}
