//! From parser events to the index.
//!
//! One pass without recursion. What makes the rest unreadable (a limit, broken
//! syntax, a key that is no scalar, a second document) ends it; every other
//! fault is noted and the pass goes on.

use std::borrow::Cow;
use std::collections::HashMap;

use saphyr_parser::{Event, Parser, ScalarStyle, ScanError, Span, Tag};

use crate::diagnostic::{Diagnostic, Place};
use crate::profile::MOST_POINTS;

use super::cursor::{Cursor, u32_of};
use super::document::{Document, Key, Kind, Node, ROOT, fingerprint};
use super::gate::{Limits, MOST_FAULTS};
use super::source::Source;
use super::{characters, refusals};

/// The key of a list of measured points.
const POINTS: &str = "points";

/// Ends the pass; the reason is among the faults.
struct Over;

type Step = Result<(), Over>;

pub(super) fn scan(source: Source, limits: Limits) -> Result<Document, Vec<Diagnostic>> {
    let mut scan = Scan::new(&source, limits);
    // When the pass was cut short, the faults say why.
    let _ = scan.run();
    let Scan {
        nodes,
        names,
        faults,
        ..
    } = scan;
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut by_number: Vec<_> = names.into_iter().collect();
    by_number.sort_unstable_by_key(|(_, number)| *number);
    let names = by_number.into_iter().map(|(name, _)| name).collect();
    Ok(Document {
        source,
        nodes,
        names,
    })
}

/// So many bytes a value usually takes, its key and all between counted in.
const USUAL_BYTES: usize = 8;

struct Scan<'a> {
    source: &'a Source,
    limits: Limits,
    cursor: Cursor<'a>,
    nodes: Vec<Node>,
    names: HashMap<Box<str>, u32>,
    /// The lists and mappings that are not closed yet.
    open: Vec<Open>,
    /// Lists, mappings, keys and scalars so far.
    count: usize,
    /// The byte after the last thing that was written out.
    written_to: u32,
    faults: Vec<Diagnostic>,
}

/// A list or mapping that is being read.
struct Open {
    node: usize,
    is_mapping: bool,
    /// In a mapping: the key whose value comes next.
    key: Option<Key>,
    /// How many more items there may be.
    items_left: usize,
}

/// A scalar event.
struct Scalar<'a> {
    text: Cow<'a, str>,
    style: ScalarStyle,
    bytes: (u32, u32),
}

impl<'a> Scan<'a> {
    fn new(source: &'a Source, limits: Limits) -> Self {
        Self {
            source,
            limits,
            cursor: Cursor::new(&source.text),
            nodes: Vec::with_capacity(source.text.len() / USUAL_BYTES),
            names: HashMap::new(),
            open: Vec::new(),
            count: 0,
            written_to: 0,
            faults: Vec::new(),
        }
    }

    fn run(&mut self) -> Step {
        let source = self.source;
        let mut documents = 0;
        for event in Parser::new_from_str(&source.text) {
            match event {
                Ok((Event::DocumentStart(_), span)) => {
                    documents += 1;
                    self.document(documents, span)?;
                }
                Ok((event, span)) => self.event(event, span)?,
                Err(error) => return self.syntax(&error),
            }
        }
        if self.nodes.is_empty() {
            return self.empty();
        }
        Ok(())
    }

    fn event(&mut self, event: Event<'a>, span: Span) -> Step {
        match event {
            Event::Alias(_) => self.alias(span),
            Event::Scalar(text, style, anchor, tag) => {
                self.properties(span, anchor, tag.as_deref())?;
                let bytes = self.cursor.bytes(span);
                self.scalar(&Scalar { text, style, bytes })
            }
            Event::SequenceStart(anchor, tag) => {
                self.properties(span, anchor, tag.as_deref())?;
                self.enter(Kind::List, span)
            }
            Event::MappingStart(anchor, tag) => {
                self.properties(span, anchor, tag.as_deref())?;
                self.enter(Kind::Mapping, span)
            }
            Event::SequenceEnd | Event::MappingEnd => self.leave(span),
            // A document's start is taken in `run`; the rest is the frame.
            _ => Ok(()),
        }
    }

    fn document(&mut self, number: usize, span: Span) -> Step {
        let bytes = self.cursor.bytes(span);
        if number > 1 {
            return self.stop(refusals::second_document(self.place(bytes)));
        }
        self.directives(bytes.0 as usize)
    }

    /// They stand before the document.
    fn directives(&mut self, document: usize) -> Step {
        let mut start = 0;
        for line in self.source.text[..document].split_inclusive('\n') {
            if line.starts_with('%') {
                let place = self.source.place(start..start + line.len());
                self.note(refusals::directive(place))?;
            }
            start += line.len();
        }
        Ok(())
    }

    fn empty(&mut self) -> Step {
        self.stop(refusals::empty(Place::whole(self.source.file.clone())))
    }

    fn syntax(&mut self, error: &ScanError) -> Step {
        let span = Span::empty(*error.marker());
        let bytes = self.cursor.bytes(span);
        match error.info() {
            // The parser's own bound for brackets, should it come before ours.
            "recursion limit exceeded" => self.too_deep(bytes),
            "while parsing node, found unknown anchor" => self.alias(span),
            info => self.stop(refusals::syntax(self.place(bytes), info)),
        }
    }

    fn scalar(&mut self, scalar: &Scalar<'_>) -> Step {
        self.count(scalar.bytes)?;
        self.written_to = self.written_to.max(scalar.bytes.1);
        if self.open.is_empty() && scalar.text.is_empty() && scalar.style == ScalarStyle::Plain {
            return self.empty();
        }
        self.unseen(scalar)?;
        self.null(scalar)?;
        if self.wants_key() {
            return self.key(scalar);
        }
        let kind = match scalar.style {
            ScalarStyle::Plain => Kind::Plain,
            _ => Kind::Quoted,
        };
        self.item(scalar.bytes)?;
        let node = self.push(kind, scalar.bytes);
        self.nodes[node].fingerprint = fingerprint(&scalar.text);
        Ok(())
    }

    fn key(&mut self, scalar: &Scalar<'_>) -> Step {
        if scalar.text == "<<" {
            self.note(refusals::merge_key(self.place(scalar.bytes)))?;
        }
        let key = Key {
            name: self.name_number(&scalar.text),
            bytes: scalar.bytes,
        };
        if let Some(open) = self.open.last_mut() {
            open.key = Some(key);
        }
        Ok(())
    }

    fn enter(&mut self, kind: Kind, span: Span) -> Step {
        let bytes = self.cursor.bytes(span);
        self.count(bytes)?;
        if self.open.len() >= self.limits.depth {
            return self.too_deep(bytes);
        }
        if self.wants_key() {
            return self.stop(refusals::no_scalar_key(self.place(bytes)));
        }
        self.item(bytes)?;
        let items_left = self.most_items(kind);
        let node = self.push(kind, bytes);
        self.open.push(Open {
            node,
            is_mapping: kind == Kind::Mapping,
            key: None,
            items_left,
        });
        Ok(())
    }

    /// How many items a list may have that comes next: one of measured points is refused before
    /// the rest of it costs seconds.
    fn most_items(&self, kind: Kind) -> usize {
        let key = self.open.last().and_then(|open| open.key);
        let of_points = key.is_some_and(|key| self.names.get(POINTS) == Some(&key.name));
        if kind == Kind::List && of_points {
            MOST_POINTS
        } else {
            usize::MAX
        }
    }

    /// Counts an item of the list that is open.
    fn item(&mut self, bytes: (u32, u32)) -> Step {
        let Some(open) = self.open.last_mut().filter(|open| !open.is_mapping) else {
            return Ok(());
        };
        match open.items_left.checked_sub(1) {
            Some(left) => {
                open.items_left = left;
                Ok(())
            }
            None => self.stop(refusals::too_many_points(self.place(bytes), MOST_POINTS)),
        }
    }

    fn leave(&mut self, span: Span) -> Step {
        let end = self.cursor.bytes(span);
        if end.1 > end.0 && self.source.text[..end.1 as usize].ends_with(['}', ']']) {
            self.written_to = self.written_to.max(end.1);
        }
        let Some(open) = self.open.pop() else {
            return Ok(());
        };
        let next = u32_of(self.nodes.len());
        let node = &mut self.nodes[open.node];
        node.next = next;
        node.value.1 = node.value.1.max(self.written_to);
        if open.is_mapping {
            return self.duplicates(open.node);
        }
        Ok(())
    }

    fn push(&mut self, kind: Kind, value: (u32, u32)) -> usize {
        let node = self.nodes.len();
        let (parent, key) = match self.open.last_mut() {
            Some(open) => (open.node, open.key.take()),
            None => (ROOT, None),
        };
        self.nodes.push(Node {
            kind,
            parent: u32_of(parent),
            next: u32_of(node + 1),
            value,
            fingerprint: 0,
            key,
        });
        node
    }

    fn wants_key(&self) -> bool {
        self.open
            .last()
            .is_some_and(|open| open.is_mapping && open.key.is_none())
    }

    fn name_number(&mut self, name: &str) -> u32 {
        if let Some(number) = self.names.get(name) {
            return *number;
        }
        let number = u32_of(self.names.len());
        self.names.insert(name.into(), number);
        number
    }

    fn properties(&mut self, span: Span, anchor: usize, tag: Option<&Tag>) -> Step {
        if anchor == 0 && tag.is_none() {
            return Ok(());
        }
        let bytes = self.cursor.bytes(span);
        if anchor != 0 {
            self.note(refusals::anchor(self.place(bytes)))?;
        }
        if tag.is_some() {
            self.note(refusals::tag(self.place(bytes)))?;
        }
        Ok(())
    }

    fn alias(&mut self, span: Span) -> Step {
        let bytes = self.cursor.bytes(span);
        self.stop(refusals::alias(self.place(bytes)))
    }

    fn null(&mut self, scalar: &Scalar<'_>) -> Step {
        if scalar.style != ScalarStyle::Plain || !is_null(&scalar.text) {
            return Ok(());
        }
        let place = self.place(scalar.bytes);
        // What is missing is shown where its key is.
        let key = self.open.last().and_then(|open| open.key);
        self.note(match &*scalar.text {
            "" if self.wants_key() => refusals::no_key(place),
            "" => refusals::no_value(key.map_or(place, |key| self.place(key.bytes))),
            word => refusals::null_word(place, word),
        })
    }

    /// Characters that came in by an escape such as `"\u202E"`.
    fn unseen(&mut self, scalar: &Scalar<'_>) -> Step {
        let escaped = matches!(scalar.text, Cow::Owned(_));
        if !escaped || scalar.style != ScalarStyle::DoubleQuoted {
            return Ok(());
        }
        let refused =
            |found: &char| characters::is_refused(*found) && !matches!(found, '\n' | '\t');
        match scalar.text.chars().find(refused) {
            Some(found) => self.note(characters::refusal(self.place(scalar.bytes), found)),
            None => Ok(()),
        }
    }

    fn duplicates(&mut self, mapping: usize) -> Step {
        let mut keys = Vec::new();
        let mut child = mapping + 1;
        while child < self.nodes.len() {
            keys.extend(self.nodes[child].key.map(|key| (key.name, key.bytes)));
            child = self.nodes[child].next as usize;
        }
        keys.sort_unstable();
        for pair in keys.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
            let [(_, first), (_, second)] = [pair[0], pair[1]];
            let key = self.source.text[second.0 as usize..second.1 as usize].trim_end();
            let [first, second] = [first, second].map(|bytes| self.place(bytes));
            self.note(refusals::duplicate_key(second, first, key))?;
        }
        Ok(())
    }

    fn too_deep(&mut self, bytes: (u32, u32)) -> Step {
        let fault = refusals::too_deep(self.place(bytes), self.limits.depth);
        self.stop(fault)
    }

    fn count(&mut self, bytes: (u32, u32)) -> Step {
        self.count += 1;
        if self.count <= self.limits.nodes {
            return Ok(());
        }
        let fault = refusals::too_many(self.place(bytes), self.limits.nodes);
        self.stop(fault)
    }

    fn note(&mut self, fault: Diagnostic) -> Step {
        self.faults.push(fault);
        if self.faults.len() < MOST_FAULTS {
            Ok(())
        } else {
            Err(Over)
        }
    }

    fn stop(&mut self, fault: Diagnostic) -> Step {
        self.faults.push(fault);
        Err(Over)
    }

    fn place(&self, (start, end): (u32, u32)) -> Place {
        self.source.place(start as usize..end as usize)
    }
}

/// What serde_yaml takes for "nothing".
fn is_null(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}
