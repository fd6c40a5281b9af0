//! The OpenAPI 3.1 document of the programming interface, from the table of routes.

use schemars::JsonSchema;
use schemars::SchemaGenerator;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde_json::{Map, Value, json};

use super::parameters::Parameter;
use super::question::{Answer, Media, Question};
use super::routes::{ROUTES, Route};
use crate::problem::{Problem, ProblemDetails};

/// An OpenAPI document; its own schema is the standard's.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(transparent)]
pub(super) struct Document(Map<String, Value>);

/// Answers with the document.
pub(super) fn answer(_: &Question) -> Result<Answer, Problem> {
    Answer::json(&document())
}

/// The document.
pub(super) fn document() -> Document {
    let settings = SchemaSettings::draft2020_12()
        .for_serialize()
        .with(|settings| {
            settings.definitions_path = "/components/schemas".into();
            settings.meta_schema = None;
        });
    let mut generator = settings.into_generator();
    let problem = generator.subschema_for::<ProblemDetails>();
    let mut paths = Map::new();
    for route in ROUTES.iter() {
        paths.insert(
            route.path.to_owned(),
            path(route, &mut generator, problem.as_value()),
        );
    }
    let schemas = generator.take_definitions(true);
    let info = json!({"title": "counterbore", "version": env!("CARGO_PKG_VERSION"), "license": {"name": "MIT OR Apache-2.0"}});
    let whole = json!({"openapi": "3.1.0", "info": info, "paths": paths, "components": {"schemas": schemas}});
    match whole {
        Value::Object(document) => Document(document),
        _ => unreachable!("an object was written above"),
    }
}

/// GET and HEAD of one path.
fn path(route: &Route, generator: &mut SchemaGenerator, problem: &Value) -> Value {
    let schema = route.schema.map_or_else(
        || json!({"type": "string"}),
        |schema| schema(generator).to_value(),
    );
    let mut responses = Map::new();
    let content = json!({route.media.name(): {"schema": schema}});
    responses.insert(
        "200".into(),
        json!({"description": route.summary, "content": content}),
    );
    let refusal = match route.path.starts_with("/api/") {
        true => json!({Media::Problem.name(): {"schema": problem}}),
        false => json!({Media::Html.name(): {"schema": {"type": "string"}}}),
    };
    for (status, says) in REFUSALS {
        responses.insert(
            (*status).into(),
            json!({"description": says, "content": refusal}),
        );
    }
    let parameters: Vec<Value> = in_path(route)
        .into_iter()
        .chain(route.known().iter().map(parameter))
        .collect();
    let operation = |method: &str| {
        let id = format!("{method}{}", route.path.replace(['/', '{', '}', '.'], "_"));
        json!({"operationId": id, "summary": route.summary, "parameters": parameters, "responses": responses})
    };
    let mut methods = json!({"get": operation("get"), "head": operation("head")});
    if route.path == "/" {
        methods["post"] = posted();
    }
    methods
}

/// The counter's form, for browsers that post it.
fn posted() -> Value {
    let form = json!({"type": "object", "properties": {"q": {"type": "string"}}});
    json!({
        "operationId": "post_",
        "summary": "leads to the address that asks the same",
        "requestBody": {"content": {"application/x-www-form-urlencoded": {"schema": form}}},
        "responses": {
            "303": {"description": "the address"},
            "400": {"description": "the form cannot be read"},
            "408": {"description": "the form took too long"},
            "413": {"description": "the form is too large"},
        },
    })
}

/// What may come instead of an answer.
const REFUSALS: &[(&str, &str)] = &[
    ("400", "a parameter is unknown, missing or cannot be read"),
    ("404", "nothing matches, or nothing is there"),
    ("421", "the server does not answer under that name"),
    ("500", "the server could not"),
];

fn parameter(parameter: &Parameter) -> Value {
    let text = json!({"type": "string"});
    let schema = if parameter.repeats {
        json!({"type": "array", "items": text})
    } else {
        text
    };
    json!({
        "name": parameter.name, "in": "query", "required": parameter.required,
        "description": parameter.says, "schema": schema,
    })
}

fn in_path(route: &Route) -> Option<Value> {
    let name = route.path.split(['{', '}']).nth(1)?;
    Some(json!({"name": name, "in": "path", "required": true, "schema": {"type": "string"}}))
}
