//! The table of routes: it registers the handlers, and the OpenAPI document is made from it.
//!
//! A route answers GET and HEAD. One more thing is served that is no question: a form posted
//! to `/` is led to the address that says the same.

use std::sync::LazyLock;

use schemars::{JsonSchema, Schema, SchemaGenerator};

use super::parameters::{DATE, Parameter};
use super::question::{Answer, Media, Question};
use super::{
    api, cards, chart, compare, counter, gauge, help, language, openapi, pages, schemes, settings,
};
use crate::answer::{
    ChartAnswer, CompareAnswer, DecodeAnswer, FindAnswer, GuideAnswer, SchemeAnswer, SchemesAnswer,
    SettingsAnswer, TranslateAnswer,
};
use crate::card::Card;
use crate::problem::Problem;

/// Makes the schema of an answer.
type SchemaOf = fn(&mut SchemaGenerator) -> Schema;

/// One route.
#[derive(Debug)]
pub struct Route {
    /// Its path; `{name}` stands for one segment.
    pub path: &'static str,
    /// What it answers, in one line.
    pub summary: &'static str,
    /// What may stand behind the `?`.
    pub parameters: &'static [Parameter],
    /// What it gives.
    pub media: Media,
    /// The schema of its JSON.
    pub schema: Option<SchemaOf>,
    /// Whether the answer depends on nothing but tables and settings.
    pub kept: bool,
    /// Whether the answer is there sooner than another thread would have taken the question up.
    pub at_once: bool,
    /// The handler.
    pub answer: fn(&Question) -> Result<Answer, Problem>,
}

impl Route {
    /// Whether people read it, each in their language.
    pub fn speaks(&self) -> bool {
        self.schema.is_none() && !matches!(self.path, "/live" | "/ready")
    }

    /// All that may stand behind the `?`.
    pub fn known(&self) -> Vec<Parameter> {
        let language = self.speaks().then_some(LANGUAGE);
        self.parameters.iter().copied().chain(language).collect()
    }
}

const fn parameter(name: &'static str, says: &'static str) -> Parameter {
    Parameter {
        name,
        says,
        repeats: false,
        empty_counts: false,
        required: false,
    }
}

const fn needed(name: &'static str, says: &'static str) -> Parameter {
    Parameter {
        required: true,
        ..parameter(name, says)
    }
}

const fn repeated(name: &'static str, says: &'static str) -> Parameter {
    Parameter {
        repeats: true,
        ..parameter(name, says)
    }
}

const STAMP: Parameter = needed(
    "stamp",
    "what is on the metal; stamps of several parts joined by ` + `",
);
const INTO: Parameter = Parameter {
    empty_counts: true,
    ..repeated(
        "into",
        "schemes by id, repeated or joined by commas, or `all`; all if not given",
    )
};
const READING: Parameter = parameter(
    "reading",
    "which reading of the stamp, counted from 1; 1 if not given",
);
const LIMIT: Parameter = parameter("limit", "how many results, 1 to 100");
const GAUGE: Parameter = repeated(
    "gauge",
    "a gauge value, as `rim inner diameter@inner edge=16.2±0.1mm`, readings taken anew between `;`, or limits, as `throat diameter=passes drill 27, not drill 26`",
);
const BUDGET: Parameter = parameter(
    "budget",
    "`yes` explains each uncertainty source by source, with the routes that were not taken; `no` if not given",
);
const MONTE_CARLO: Parameter = parameter(
    "monte_carlo",
    "the same values by so many trials (JCGM 101), 1000 to 10000",
);
const SEED: Parameter = parameter("seed", "seed of the trials, from 1; 1 if not given");
const WISH: Parameter = Parameter {
    empty_counts: true,
    ..repeated(
        "wish",
        "how other pieces are to differ, as `cup depth@centre:less 0.5 mm`, `throat diameter:more` or `rim inner diameter:same within 0.1 mm`",
    )
};
const LANGUAGE: Parameter = parameter(
    language::PARAMETER,
    "the tag of a language, as `de`; as configured, or else as the browser asks, if not given",
);
const UNITS: Parameter = parameter("units", "`both`, `mm` or `inch`");

const PIECES: &[Parameter] = &[
    repeated(
        "piece",
        "a stamp, two to four of them; `136 (2)` is the second reading of `136`",
    ),
    parameter(
        "pinned",
        "which piece the others are held against, counted from 1; 1 if not given",
    ),
];
const SIDE_BY_SIDE: &[Parameter] = &[PIECES[0], PIECES[1], UNITS];

const SCHEMES: Parameter = repeated("scheme", "a scheme by its id; one or more");
const MEASURE: Parameter = parameter(
    "measure",
    "`QUANTITY@METHOD`, or a quantity for its neutral method; `rim inner diameter` if not given",
);
const LOOKED_FOR: &[Parameter] = &[parameter(
    "q",
    "a stamp of this scheme, or what stands in its catalogue",
)];
const CHART: &[Parameter] = &[
    SCHEMES,
    MEASURE,
    parameter(
        "sheet",
        "`a4`, `a3`, `letter` or `tabloid`, landscape; `a4` if not given",
    ),
    DATE,
];

const COUNTER: &[Parameter] = &[
    parameter("q", "what is on the metal, legible or not"),
    READING,
    GAUGE,
    WISH,
    UNITS,
    Parameter {
        empty_counts: true,
        ..repeated(
            "want",
            "the measure and direction of a row of wishes; the next `amount` is by how much",
        )
    },
    Parameter {
        empty_counts: true,
        ..repeated(
            "amount",
            "by how much, with its unit; empty where only a direction is wished",
        )
    },
];
const GAUGES: &[Parameter] = &[
    parameter("q", "what can be read of the marking, if anything"),
    GAUGE,
    UNITS,
    parameter(
        "by",
        "where another gauge was put, as `rim inner diameter@depth`",
    ),
    parameter(
        "at",
        "depth below the crest plane of a method that has one, with its unit",
    ),
    parameter("angle", "the tangent's angle with the axis, as `45 deg`"),
    parameter("from", "where a depth begins: `crest` or `seam`"),
    parameter(
        "across",
        "the mouth of a mean: `crest`, `inner edge` or `seam`",
    ),
    parameter("diameter", "diameter of a disc or plug, with its unit"),
    parameter("distance", "distance from the shank's end, with its unit"),
    parameter("over", "length over which a taper is stated, with its unit"),
    parameter("receiver", "diameter of a receiver's mouth, with its unit"),
    parameter(
        "narrows",
        "how much a receiver narrows over that length, with its unit",
    ),
    parameter(
        "sides",
        "sides of the rim that a width counts: `one` or `both`",
    ),
    repeated("shows", "what the gauge shows; one for each reading"),
    parameter("unit", "the unit of readings that state none"),
    parameter("within", "limits of each reading, as `0.05`"),
    parameter("passes", "the drill that passes"),
    parameter("stops", "the drill that does not pass"),
    parameter("add", "`yes` takes the gauge of the form into the list"),
];
const FRAGMENT: &[Parameter] = &[
    parameter("q", "what is on the metal, legible or not"),
    READING,
    GAUGE,
    WISH,
    UNITS,
];
const INTO_USUAL: Parameter = Parameter {
    says: "schemes by id, repeated or joined by commas, or `all`; those of the configuration if not given",
    ..INTO
};
const CARD: &[Parameter] = &[STAMP, INTO_USUAL, READING, DATE];
const PRINTED: &[Parameter] = &[
    STAMP,
    INTO_USUAL,
    READING,
    parameter(
        "paper",
        "`a6`, `a5`, `half-letter` or `roll-80`; that of the configuration if not given",
    ),
    DATE,
];

const fn page(
    path: &'static str,
    summary: &'static str,
    answer: fn(&Question) -> Result<Answer, Problem>,
) -> Route {
    Route {
        path,
        summary,
        parameters: &[],
        media: Media::Html,
        schema: None,
        kept: false,
        at_once: false,
        answer,
    }
}

const fn card(
    path: &'static str,
    summary: &'static str,
    media: Media,
    answer: fn(&Question) -> Result<Answer, Problem>,
) -> Route {
    Route {
        parameters: PRINTED,
        media,
        kept: true,
        ..page(path, summary, answer)
    }
}

fn data<A: JsonSchema>(
    path: &'static str,
    summary: &'static str,
    answer: fn(&Question) -> Result<Answer, Problem>,
) -> Route {
    Route {
        media: Media::Json,
        schema: Some(SchemaGenerator::subschema_for::<A>),
        ..page(path, summary, answer)
    }
}

/// All routes.
pub(super) static ROUTES: LazyLock<Vec<Route>> = LazyLock::new(|| {
    vec![
        Route {
            parameters: COUNTER,
            kept: true,
            ..page("/", "the counter", counter::page)
        },
        Route {
            parameters: FRAGMENT,
            kept: true,
            ..page(
                "/answer",
                "the counter's answer, a part of its page",
                counter::fragment,
            )
        },
        Route {
            parameters: SIDE_BY_SIDE,
            kept: true,
            ..page("/compare", "pieces side by side", compare::page)
        },
        Route {
            parameters: CHART,
            kept: true,
            ..page("/chart", "sizes of schemes on one scale", chart::page)
        },
        Route {
            parameters: CHART,
            media: Media::Svg,
            kept: true,
            ..page("/chart.svg", "the chart as a drawing", chart::drawing)
        },
        Route {
            parameters: GAUGES,
            kept: true,
            ..page("/gauge", "gauge values, entered by picture", gauge::page)
        },
        page("/settings", "how the counter is set up", settings::page),
        Route {
            parameters: CHART,
            media: Media::Pdf,
            kept: true,
            ..page("/chart.pdf", "the chart as a document", chart::document)
        },
        page("/schemes", "the schemes and their state", schemes::all),
        Route {
            parameters: LOOKED_FOR,
            ..page("/schemes/{id}", "one scheme", schemes::one)
        },
        card(
            "/card",
            "the card as a page to print",
            Media::Html,
            cards::html,
        ),
        card("/card.txt", "the card as text", Media::Text, cards::text),
        card("/card.svg", "the card as a drawing", Media::Svg, cards::svg),
        card(
            "/card.pdf",
            "the card as a document",
            Media::Pdf,
            cards::pdf,
        ),
        Route {
            parameters: const {
                &[
                    needed("width", "of a sheet, mm"),
                    needed("height", "of a sheet, mm"),
                ]
            },
            media: Media::Css,
            kept: true,
            ..page("/sheet.css", "the size of a printed page", cards::style)
        },
        Route {
            kept: true,
            ..page(
                "/help",
                "how to type, what words and problems mean",
                help::typing,
            )
        },
        Route {
            kept: true,
            ..page("/help/schemes", "how to write a scheme", help::schemes)
        },
        Route {
            media: Media::Text,
            ..page("/live", "whether the process answers", pages::live)
        },
        Route {
            media: Media::Text,
            ..page("/ready", "whether tables are loaded", pages::ready)
        },
        Route {
            parameters: const { &[STAMP, BUDGET, MONTE_CARLO, SEED] },
            kept: true,
            at_once: true,
            ..data::<DecodeAnswer>("/api/v1/decode", "what a legible stamp says", api::decode)
        },
        Route {
            parameters: const {
                &[
                    parameter(
                        "partial",
                        "what can be seen of the stamp: `?` one character, `*` a stretch",
                    ),
                    GAUGE,
                    LIMIT,
                ]
            },
            kept: true,
            ..data::<FindAnswer>(
                "/api/v1/find",
                "what a worn stamp or gauge values may belong to",
                api::find,
            )
        },
        Route {
            parameters: const { &[STAMP, INTO, READING, LIMIT, WISH, BUDGET, MONTE_CARLO, SEED] },
            kept: true,
            at_once: true,
            ..data::<TranslateAnswer>(
                "/api/v1/translate",
                "a piece in other makers' schemes",
                api::translate,
            )
        },
        Route {
            parameters: PIECES,
            kept: true,
            ..data::<CompareAnswer>(
                "/api/v1/compare",
                "two to four pieces, the others against the pinned one",
                api::compare,
            )
        },
        Route {
            parameters: const { &[SCHEMES, MEASURE] },
            kept: true,
            ..data::<ChartAnswer>(
                "/api/v1/chart",
                "all sizes of schemes by one measure",
                chart::data,
            )
        },
        Route {
            parameters: CARD,
            kept: true,
            ..data::<Card>("/api/v1/card", "the card as data", api::card)
        },
        data::<api::CheckAnswer>("/api/v1/check", "faults of all files", api::check),
        data::<SettingsAnswer>(
            "/api/v1/settings",
            "how the counter is set up, without credentials",
            settings::data,
        ),
        data::<SchemesAnswer>(
            "/api/v1/schemes",
            "all schemes, broken ones too",
            api::schemes,
        ),
        data::<SchemeAnswer>("/api/v1/schemes/{id}", "one scheme", api::scheme),
        Route {
            parameters: LOOKED_FOR,
            ..data::<GuideAnswer>(
                "/api/v1/schemes/{id}/guide",
                "how the stamps of one scheme are read, and its catalogue",
                api::guide,
            )
        },
        Route {
            kept: true,
            ..data::<openapi::Document>("/api/v1/openapi.json", "this document", openapi::answer)
        },
    ]
});
