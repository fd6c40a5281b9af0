//! The pages, from their templates.
//!
//! A name that is not there is an error, everything is escaped, and a page that would take
//! too long is cut off: a fault in a template is found by the first test that opens the page.

use std::error::Error;

use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};
use rust_embed::Embed;
use serde::Serialize;
use sha2::{Digest, Sha256};

use super::assets::{Addresses, hexadecimal};
use super::words;
use crate::language::{Language, current};
use crate::problem::{Kind, Problem, ProblemDetails};
use crate::snapshot::Snapshot;

#[derive(Embed)]
#[folder = "server/web/pages/"]
struct Pages;

/// Steps of one page; the longest takes a hundredth of it.
const FUEL: u64 = 5_000_000;

/// All pages.
#[derive(Debug)]
pub struct Templates {
    environment: Environment<'static>,
}

impl Templates {
    /// The embedded templates, each read when a page first needs it: a program that asks for JSON waits for none.
    pub fn new() -> Self {
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_auto_escape_callback(|_| AutoEscape::Html);
        environment.set_fuel(Some(FUEL));
        environment.add_global("asset", value(&Addresses::now()));
        environment.add_global("version", env!("CARGO_PKG_VERSION"));
        words::add_to(&mut environment);
        environment.set_loader(|name| {
            let page = Pages::get(name);
            Ok(page.map(|page| String::from_utf8_lossy(&page.data).into_owned()))
        });
        Self { environment }
    }

    /// What pages are made from, as one hash.
    pub fn digest() -> String {
        let mut sum = Sha256::new();
        let pages = Pages::iter().filter_map(|name| Pages::get(&name));
        pages.for_each(|page| sum.update(page.metadata.sha256_hash()));
        sum.update(serde_json::to_vec(&Addresses::now()).unwrap_or_default());
        hexadecimal(&sum.finalize())
    }

    /// A page or a part of one. `here` is the place in the navigation.
    ///
    /// # Errors
    /// The template failed; the cause is in the log.
    pub fn page(
        &self,
        name: &str,
        here: &str,
        snapshot: &Snapshot,
        page: Value,
    ) -> Result<String, Problem> {
        let common = context! {
            here,
            title => "counterbore",
            tables => snapshot.hash.as_str(),
            language => current().tag(),
            languages => languages(snapshot),
        };
        self.environment
            .get_template(name)
            .and_then(|template| template.render(context! { ..page, ..common }))
            .map_err(|fault| told(&fault))
    }

    /// A problem as a page or as a part of one. `entered` is the stamp that was asked about; it is kept.
    ///
    /// # Errors
    /// The template failed; the cause is in the log.
    pub fn problem(
        &self,
        name: &str,
        details: &ProblemDetails,
        entered: &str,
        snapshot: &Snapshot,
    ) -> Result<String, Problem> {
        let answer = context! { kind => "problem", announce => details.detail.as_str(), problem => value(details) };
        self.page(name, "", snapshot, context! { answer, entered })
    }
}

/// The languages that there are, for a page to lead to them.
fn languages(snapshot: &Snapshot) -> Vec<Value> {
    let here = current();
    let language =
        |one: Language| context! { tag => one.tag(), name => one.name(), here => one == here };
    snapshot.languages.all().map(language).collect()
}

/// Data as a template sees it.
pub(super) fn value(data: &impl Serialize) -> Value {
    Value::from(Serde(data))
}

/// The whole chain goes to the log: the first link names only the page.
fn told(fault: &minijinja::Error) -> Problem {
    let chain = std::iter::successors(Some(fault as &dyn Error), |fault: &&dyn Error| {
        (*fault).source()
    });
    let chain: Vec<String> = chain.map(ToString::to_string).collect();
    tracing::error!(fault = chain.join(": "), "a page could not be made");
    Problem::new(Kind::CouldNot, sentence!("the page could not be made"))
        .hint(sentence!("the log says why"))
}
