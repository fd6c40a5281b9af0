//! What templates say, in the language in force.
//!
//! ```text
//! {{ say("in the scheme {scheme}", scheme=link) }}            a sentence, what is not safe escaped
//! {{ say("{count} rows", one="one row", count=rows) }}        about a number of things
//! {{ row.quantity | word }}   {{ row.method | method }}       words of tables and constants
//! {{ row.quantity | word | breakable }}                       the same where long words have to be broken
//! {{ figure.k | number }}   {{ decimal_sign() }}              digits with the decimal sign
//! ```
//!
//! A name in a sentence without an argument, or the other way about, is an error of the template.

use std::fmt::Display;

use minijinja::value::Kwargs;
use minijinja::{Environment, Error, ErrorKind, HtmlEscape, Value};

use crate::language::{self, filled, names};
use crate::method;

/// Adds the functions and filters.
pub(super) fn add_to(environment: &mut Environment<'static>) {
    environment.add_function("say", say);
    environment.add_function("decimal_sign", || language::sign().to_string());
    environment.add_filter("word", |text: &str| language::word(text));
    environment.add_filter("breakable", language::breakable);
    environment.add_filter("method", |text: &str| method::said(text));
    environment.add_filter("number", |digits: Value| {
        language::number(digits.to_string())
    });
}

fn say(pattern: &str, arguments: Kwargs) -> Result<Value, Error> {
    let one: Option<&str> = arguments.get("one")?;
    let sentence = match one {
        Some(one) => language::sentence_of([one, pattern], arguments.get("count")?),
        None => language::sentence(pattern),
    };
    let wanted = names(&sentence);
    let values: Result<Vec<String>, Error> = wanted
        .iter()
        .map(|name| Ok(escaped(&arguments.get::<Value>(name)?)))
        .collect();
    let values = values.map_err(|fault| lacking(pattern, fault))?;
    // A form for one thing may leave the number unsaid.
    let _: Option<Value> = arguments.get("count")?;
    arguments.assert_all_used()?;
    let given: Vec<(&str, &dyn Display)> = wanted
        .iter()
        .zip(&values)
        .map(|(name, value)| (*name, value as &dyn Display))
        .collect();
    let sentence = HtmlEscape(&sentence).to_string();
    Ok(Value::from_safe_string(filled(&sentence, &given)))
}

/// What is not yet HTML, as HTML.
fn escaped(value: &Value) -> String {
    match value.is_safe() {
        true => value.to_string(),
        false => HtmlEscape(&value.to_string()).to_string(),
    }
}

fn lacking(pattern: &str, fault: Error) -> Error {
    let says = format!("`{pattern}` lacks an argument");
    Error::new(ErrorKind::MissingArgument, says).with_source(fault)
}
