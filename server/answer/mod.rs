//! The questions of the counter and their answers, as data.
//!
//! One function a question, each on a [`Snapshot`](crate::snapshot::Snapshot), each giving a
//! structure that serialises to the JSON of the command line and of `/api/v1/`, and that
//! pages, cards and printed text are made from. Every number in one has its
//! unit in its field's name and its method, coverage factor and route beside it.
//!
//! No question is decided here; see [`crate::stamp`], [`crate::route`], [`crate::translate`].

mod address;
mod chart;
mod compare;
mod decode;
mod difference;
mod explain;
mod figure;
mod find;
mod gauge;
mod guide;
mod limits;
mod measure_name;
mod measures;
mod nearest;
mod pictures;
mod places;
mod schemes;
mod settings;
mod trace;
mod translate;
mod unread;
mod wished;

/// Results of one question; more help nobody.
pub const MOST_RESULTS: usize = 100;

pub use address::card_address;
pub use chart::{ChartAnswer, ChartLane, ChartSize, NoPlace, chart, chart_measures};
pub use compare::{
    AgainstAnswer, CompareAnswer, ComparedPiece, MOST_PIECES, ReadPiece, compare, compare_read,
    enough, read_piece,
};
pub use decode::{
    AgreementAnswer, DecodeAnswer, FigureAnswer, NeutralAnswer, PartAnswer, ReadingAnswer, Said,
    SchemeName, SegmentAnswer, decode, decode_explained, reading,
};
pub use difference::{Change, DifferenceAnswer};
pub use explain::{BudgetAnswer, ExplainedAnswer, Left, LineAnswer, MonteCarloAnswer, Run, Wish};
pub use figure::{Amount, Figure, Reads, RouteAnswer, Shown, StepAnswer, factor, method_text};
pub use find::{
    ContradictingGauge, ContradictionAnswer, FindAnswer, FindAsk, FoundAnswer, FoundSegment,
    GaugeCheck, GaugedPiece, LimitCheck, LookAnswered, NextAnswer, NextGauge, NextLook, ReadingOf,
    TakenAnswer, WordAnswer, find,
};
pub use gauge::{Gauge, gauge};
pub use guide::{
    DrawnAnswer, GuideAnswer, RowAnswer, SignAnswer, SignsAnswer, WorkedAnswer, guide,
};
pub use limits::Limits;
pub use measure_name::measure_name;
pub use nearest::{MatchAnswer, NotComparedAnswer, OutsideAnswer, TranslationAnswer};
pub use pictures::{MeasuringPoint, Place, Point, SectionAnswer, section};
pub use places::{MethodPlace, PlacesAnswer, places};
pub use schemes::{
    CheckAnswer, CheckedFile, FaultAnswer, SchemeAnswer, SchemesAnswer, check, scheme, schemes,
};
pub use settings::{SettingAnswer, SettingsAnswer, settings};
pub use trace::{TraceAnswer, TraceAsk, TraceRefused, trace};
pub use translate::{Ask, TranslateAnswer, translate, translate_explained, translate_wished};
pub use wished::{MetAnswer, Wished, WishedAnswer, wishes};
