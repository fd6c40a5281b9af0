//! Addresses of the counter and its cards.

use crate::web::parameters::query;

/// What was asked of the counter.
#[derive(Clone, Debug)]
pub(in crate::web) struct Asked {
    /// What is on the metal.
    pub text: String,
    /// Which reading, from 1.
    pub reading: usize,
    /// Gauge values as typed.
    pub gauges: Vec<String>,
    /// What is wished of other pieces, as written.
    pub wishes: Vec<String>,
    /// `both`, `mm` or `inch`.
    pub units: &'static str,
}

impl Asked {
    /// The address at which its gauge values are entered.
    pub fn gauges_link(&self) -> String {
        let mut pairs = Vec::new();
        if !self.text.is_empty() {
            pairs.push(("q", self.text.as_str()));
        }
        pairs.extend(self.gauges.iter().map(|gauge| ("gauge", gauge.as_str())));
        if self.units != "both" {
            pairs.push(("units", self.units));
        }
        format!("/gauge?{}", query(pairs))
            .trim_end_matches('?')
            .to_owned()
    }

    /// The address that asks this.
    pub fn link(&self) -> String {
        let reading = self.reading.to_string();
        let mut pairs = Vec::new();
        if !self.text.is_empty() {
            pairs.push(("q", self.text.as_str()));
        }
        if self.reading > 1 {
            pairs.push(("reading", &reading));
        }
        pairs.extend(self.gauges.iter().map(|gauge| ("gauge", gauge.as_str())));
        pairs.extend(self.wishes.iter().map(|wish| ("wish", wish.as_str())));
        if self.units != "both" {
            pairs.push(("units", self.units));
        }
        format!("/?{}", query(pairs))
    }

    /// The same question in other units.
    pub fn in_units(&self, units: &'static str) -> Self {
        Self {
            units,
            ..self.clone()
        }
    }

    /// The same text in another reading.
    pub fn reading(&self, reading: usize) -> Self {
        Self {
            reading,
            ..self.clone()
        }
    }

    /// Another stamp in the same units, without gauges and wishes: they were about this piece.
    pub fn other(&self, text: &str) -> Self {
        Self {
            text: text.to_owned(),
            reading: 1,
            gauges: Vec::new(),
            wishes: Vec::new(),
            units: self.units,
        }
    }

    /// A stamp that this piece may bear: the gauges still hold.
    pub fn as_stamped(&self, text: &str) -> Self {
        Self {
            text: text.to_owned(),
            reading: 1,
            wishes: Vec::new(),
            ..self.clone()
        }
    }
}

/// The address of a legible stamp.
pub(in crate::web) fn stamp_link(stamp: &str) -> String {
    format!("/?{}", query([("q", stamp)]))
}
