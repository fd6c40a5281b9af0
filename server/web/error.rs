//! A problem as a response: problem details for programs, a page for people.

use actix_web::http::StatusCode;
use actix_web::http::header::CACHE_CONTROL;
use actix_web::{HttpRequest, HttpResponse};

use super::language::Chosen;
use super::parameters::Parameters;
use super::question::{Counter, Media};
use crate::language::{within, word};
use crate::problem::{Kind, Problem, ProblemDetails};

/// Who reads a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reader {
    /// A program, by its path.
    Program,
    /// A person, who gets a page.
    Person,
    /// A person whose page has room for it.
    Fragment,
}

impl Reader {
    /// By the path that was asked for.
    pub fn of(path: &str) -> Self {
        match path {
            "/answer" => Self::Fragment,
            path if path.starts_with("/api/") => Self::Program,
            _ => Self::Person,
        }
    }
}

/// A problem as a response, with the status of its kind.
pub(super) fn response(
    counter: &Counter,
    problem: &Problem,
    request: &HttpRequest,
) -> HttpResponse {
    detailed(counter, &|| problem.details(), request)
}

/// What only HTTP can refuse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    /// Another method than the address answers.
    WrongMethod,
    /// A host under which the server does not answer.
    WrongHost,
    /// A form that is larger than any stamp.
    FormTooLarge,
    /// A form that did not arrive in time.
    FormTooSlow,
    /// A form that broke off.
    FormBroken,
}

impl Refusal {
    /// All, for the page that explains their codes.
    #[cfg(test)]
    const ALL: [Self; 5] = [
        Self::WrongMethod,
        Self::WrongHost,
        Self::FormTooLarge,
        Self::FormTooSlow,
        Self::FormBroken,
    ];

    /// Status, code, sentence, what to do.
    fn row(self) -> (u16, &'static str, &'static str, &'static str) {
        match self {
            Self::WrongMethod => (
                405,
                "wrong-method",
                word!("this address is only read"),
                word!("ask with GET or HEAD"),
            ),
            Self::WrongHost => (
                421,
                "wrong-host",
                word!("this server does not answer under that name"),
                word!("add the name to `allowed_hosts` in config.yml, or use the address"),
            ),
            Self::FormTooLarge => (
                413,
                "form-too-large",
                word!("the form is larger than 64 KiB; a stamp is a few characters"),
                word!("type only what is on the metal"),
            ),
            Self::FormTooSlow => (
                408,
                "form-too-slow",
                word!("the form took too long to arrive"),
                word!("try again"),
            ),
            Self::FormBroken => (
                400,
                "form-broken",
                word!("the form could not be read"),
                word!("try again"),
            ),
        }
    }
}

/// A refusal as a response.
pub(super) fn refused(counter: &Counter, refusal: Refusal, request: &HttpRequest) -> HttpResponse {
    let (status, code, says, hint) = refusal.row();
    let details = || ProblemDetails {
        kind: format!("/help#{code}"),
        title: word(&code.replace('-', " ")),
        status,
        code: code.to_owned(),
        detail: word(says),
        hint: Some(word(hint)),
    };
    detailed(counter, &details, request)
}

/// `details` says them in the language in force.
fn detailed(
    counter: &Counter,
    details: &dyn Fn() -> ProblemDetails,
    request: &HttpRequest,
) -> HttpResponse {
    let reader = Reader::of(request.path());
    let page = match reader {
        Reader::Program => None,
        Reader::Person => Some("error.html"),
        Reader::Fragment => Some("answer.html"),
    };
    let snapshot = counter.current.snapshot();
    let chosen = Chosen::of(request, &counter.config, &snapshot.languages);
    let entered = Parameters::any(request.query_string());
    let (details, html) = within(&chosen.language, || {
        let details = details();
        let entered = entered.text("stamp");
        let problem = |page| {
            let templates = &counter.templates;
            templates.problem(page, &details, entered, &snapshot).ok()
        };
        let html = page.and_then(problem);
        (details, html.map(|html| chosen.in_addresses(&html)))
    });
    let (media, body) = match html {
        Some(html) => (Media::Html, html.into_bytes()),
        None => (
            Media::Problem,
            serde_json::to_vec(&details).unwrap_or_default(),
        ),
    };
    let mut answer = HttpResponse::build(
        StatusCode::from_u16(details.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR),
    )
    .insert_header((CACHE_CONTROL, "no-store"))
    .content_type(media.name())
    .body(body);
    if reader != Reader::Program {
        chosen.in_headers(&mut answer);
    }
    answer
}

/// Nothing is at this address.
pub(super) fn not_found(path: &str) -> Problem {
    let path: String = path.chars().take(80).collect();
    Problem::new(
        Kind::NotFound,
        sentence!("there is nothing at `{path}`", path),
    )
    .hint(sentence!(
        "the counter is at `/`, the questions at `/api/v1/openapi.json`"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_has_its_place_on_the_help_page() {
        let page = include_str!("pages/help.html");
        for refusal in Refusal::ALL {
            let (_, code, ..) = refusal.row();
            assert!(page.contains(&format!("id=\"{code}\"")), "{code}");
        }
    }
}
