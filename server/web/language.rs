//! The language of an answer, and how it stays.
//!
//! What the address says outranks the configuration, that what the browser asks for
//! (RFC 9110, section 12.5.4), that English. There is no cookie: a language that stands in the
//! address is written into every address of the page. Programs are answered in English.

use std::cmp::Reverse;

use actix_web::http::header::{
    AcceptLanguage, CONTENT_LANGUAGE, Header, HeaderValue, Preference, Quality, VARY,
};
use actix_web::{HttpRequest, HttpResponse};
use minijinja::HtmlEscape;

use super::error::Reader;
use super::parameters::{Parameters, query};
use super::question::{Answer, Media};
use crate::config::Config;
use crate::language::{Language, Languages};
use crate::problem::{Kind, Problem};

/// The parameter that says it.
pub(super) const PARAMETER: &str = "language";

/// The language of one answer.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    pub language: Language,
    /// Whether the address says it.
    asked: bool,
    /// The address, without the language.
    path: String,
    query: String,
}

impl Chosen {
    /// What a request is answered in.
    pub fn of(request: &HttpRequest, config: &Config, languages: &Languages) -> Self {
        let written = Parameters::any(request.query_string());
        let asked = asked(&written, languages).ok().flatten();
        let language = match (&asked, Reader::of(request.path())) {
            (_, Reader::Program) => Language::ENGLISH,
            (Some(language), _) => language.clone(),
            (None, _) => match &config.language.value {
                Some(tag) => languages.meant(tag).unwrap_or_default(),
                None => accepted(request, languages).unwrap_or_default(),
            },
        };
        let others = written.pairs().filter(|(name, _)| *name != PARAMETER);
        Self {
            language,
            asked: asked.is_some(),
            path: request.path().to_owned(),
            query: query(others),
        }
    }

    /// Says so in the headers of an answer.
    pub fn in_headers(&self, response: &mut HttpResponse) {
        let headers = response.headers_mut();
        if let Ok(tag) = HeaderValue::from_str(self.language.tag()) {
            headers.insert(CONTENT_LANGUAGE, tag);
        }
        headers.insert(VARY, HeaderValue::from_static("Accept-Language"));
    }

    /// An answer, its addresses as they must be where it is a page.
    pub fn page(&self, answer: Answer) -> Answer {
        match answer {
            Answer::Whole(status, Media::Html, body) => {
                let page = self.in_addresses(&String::from_utf8_lossy(&body));
                Answer::Whole(status, Media::Html, page.into_bytes())
            }
            other => other,
        }
    }

    /// A page whose addresses keep the language that the address says, and whose links to
    /// other languages lead to the same place.
    pub fn in_addresses(&self, html: &str) -> String {
        let mut out = String::with_capacity(html.len() + html.len() / 16);
        let (mut rest, mut open_form) = (html, false);
        while let Some(at) = rest.find("=\"") {
            let (before, after) = rest.split_at(at + 2);
            self.text(before, &mut open_form, &mut out);
            let value = &after[..after.find('"').unwrap_or(after.len())];
            if before.ends_with(" href=\"") {
                out.push_str(&self.address(value));
            } else {
                open_form |= before.ends_with(" action=\"");
                out.push_str(value);
            }
            rest = &after[value.len()..];
        }
        self.text(rest, &mut open_form, &mut out);
        out
    }

    /// What stands between the values of attributes; a form that is read from its fields has
    /// one for the language.
    fn text(&self, text: &str, open_form: &mut bool, out: &mut String) {
        let end = text.find('>').filter(|_| *open_form && self.asked);
        let (tag, after) = text.split_at(end.map_or(0, |end| end + 1));
        out.push_str(tag);
        if end.is_some() {
            *open_form = false;
            let tag = self.language.tag();
            out.push_str(&format!(
                "<input type=\"hidden\" name=\"{PARAMETER}\" value=\"{tag}\">"
            ));
        }
        out.push_str(after);
    }

    /// An address of this server as it stands in a page.
    fn address(&self, written: &str) -> String {
        let here = format!("?{PARAMETER}=");
        if let Some(tag) = written.strip_prefix(&here) {
            let others = match self.query.as_str() {
                "" => String::new(),
                query => query.replace('&', "&amp;") + "&amp;",
            };
            let path = HtmlEscape(&self.path).to_string();
            let path = path.replace(ESCAPED_SLASH, "/");
            return format!("{path}?{others}{PARAMETER}={tag}");
        }
        let path = written.replace(ESCAPED_SLASH, "/");
        let ours = path.starts_with('/') && !UNSPOKEN.iter().any(|one| path.starts_with(one));
        if !self.asked || !ours {
            return written.to_owned();
        }
        let fragment = path.rfind('#').filter(|at| !path[..*at].ends_with('&'));
        let (path, fragment) = path.split_at(fragment.unwrap_or(path.len()));
        let joint = if path.contains('?') { "&amp;" } else { "?" };
        format!("{path}{joint}{PARAMETER}={}{fragment}", self.language.tag())
    }
}

/// What templates make of a slash.
const ESCAPED_SLASH: &str = "&#x2f;";

/// What says nothing to people.
const UNSPOKEN: [&str; 2] = ["/assets/", "/api/"];

/// The language that the address says, if it says one.
///
/// # Errors
/// It is none for which there is a catalogue.
pub(super) fn asked(
    parameters: &Parameters,
    languages: &Languages,
) -> Result<Option<Language>, Problem> {
    let tag = parameters.text(PARAMETER);
    if tag.is_empty() {
        return Ok(None);
    }
    languages.meant(tag).map(Some).ok_or_else(|| {
        let there: Vec<String> = languages.all().map(|one| one.tag().to_owned()).collect();
        Problem::new(
            Kind::BadParameter,
            sentence!(
                "there is no language `{tag}` here",
                tag = super::parameters::short(tag).to_string()
            ),
        )
        .hint(sentence!("there are: {there}", there = there.join(", ")))
    })
}

/// The best of what the browser takes for which there is a catalogue.
fn accepted(request: &HttpRequest, languages: &Languages) -> Option<Language> {
    let mut ranges = AcceptLanguage::parse(request).ok()?.0;
    ranges.retain(|range| range.quality > Quality::ZERO);
    ranges.sort_by_key(|range| Reverse(range.quality));
    ranges.iter().find_map(|range| match &range.item {
        Preference::Any => Some(Language::ENGLISH),
        Preference::Specific(tag) => languages.meant(tag.as_str()),
    })
}
