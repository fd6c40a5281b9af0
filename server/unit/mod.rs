//! Amounts as people write them, and gauge tables.
//!
//! Text comes in with its digits, its unit and perhaps a spread, and leaves as
//! a number in one base unit a dimension: millimetre, degree, cubic
//! millimetre, gram, one. What was written stays beside the number.
//!
//! * [`decimal`]: exact decimal numbers, so that 1612 hundredths are 16.12
//! * [`dimension`]: what can be measured, and its units
//! * [`amount`]: `16.34 mm`, `1 1/16"`
//! * [`spread`]: `1.1 mm ± 0.1`, `9.5..10.5 mm`
//! * [`scale`]: what one step of a stamped figure is worth
//! * [`gauge`]: named sizes, such as number drills
//!
//! Nothing is guessed: a missing unit, a thousands separator and `mil` are
//! refused. What a spread means for a result is [`crate::uncertainty`].

pub mod amount;
pub mod decimal;
pub mod dimension;
mod error;
pub mod gauge;
mod number;
pub mod scale;
pub mod span;
pub mod spread;

pub use amount::Amount;
pub use decimal::Decimal;
pub use dimension::{Dimension, Unit};
pub use error::AmountError;
pub use gauge::{Gauge, GaugeError, GaugeFault, GaugeRows, GaugeTable, Passes};
pub use scale::Scale;
pub use span::Span;
pub use spread::{AmountWithSpread, Spread};
