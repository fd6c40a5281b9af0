//! A scheme made ready for reading: templates as steps, words as trees.

use std::collections::HashMap;
use std::sync::Arc;

use super::spellings::{Tree, values};
use super::typed::{HARD_BLANK, Typed, folded};
use crate::scheme::{Field, Scheme, Signs, Token};

/// One step of a template; a number is the step that follows.
#[derive(Clone, Copy, Debug)]
pub(super) enum Step {
    /// A glyph as it stands.
    Literal(char, usize),
    /// What changes.
    Field(Field, usize),
    /// A group, or what follows it.
    Either(usize, usize),
    /// The stamp ends.
    End,
}

/// One template of one stamp.
#[derive(Debug)]
pub(super) struct Program {
    /// Place of the stamp.
    pub stamp: usize,
    /// 0 for the spelling that is written.
    pub spelling: usize,
    /// The steps; those that follow stand before.
    pub steps: Vec<Step>,
    /// With what it can begin.
    heads: Heads,
}

/// The glyphs with which something can begin, as they are compared: each a bit of its number in
/// ASCII; all bits where there are others, or stand-ins.
pub(super) type Heads = u128;

impl Program {
    /// Where it begins.
    pub fn start(&self) -> usize {
        self.steps.len() - 1
    }

    fn new(stamp: usize, spelling: usize, tokens: &[Token]) -> Self {
        let mut program = Self {
            stamp,
            spelling,
            steps: vec![Step::End],
            heads: Heads::MAX,
        };
        let start = program.lay(tokens, 0);
        if start != program.start() {
            program.steps.push(program.steps[start]);
        }
        program
    }

    /// Lays tokens before the step `next`, the last first; answers where they begin.
    fn lay(&mut self, tokens: &[Token], next: usize) -> usize {
        tokens.iter().rev().fold(next, |next, token| {
            let step = match token {
                Token::Literal(glyph) => return self.lay_literal(*glyph, next),
                Token::Field(field) => Step::Field(*field, next),
                Token::Group(inner) => Step::Either(self.lay(inner, next), next),
            };
            self.steps.push(step);
            self.start()
        })
    }

    /// A literal may be several glyphs in one form, and blanks that meet are one.
    fn lay_literal(&mut self, literal: char, next: usize) -> usize {
        if literal.is_whitespace() {
            if !matches!(self.steps[next], Step::Literal(' ', _)) {
                self.steps.push(Step::Literal(' ', next));
                return self.start();
            }
            return next;
        }
        Typed::of(&literal.to_string())
            .glyphs
            .iter()
            .rev()
            .fold(next, |next, &glyph| {
                self.steps.push(Step::Literal(glyph, next));
                self.start()
            })
    }
}

/// A scheme made ready for reading.
#[derive(Debug)]
pub(super) struct Grammar {
    /// The scheme.
    pub scheme: Arc<Scheme>,
    /// Every template of every stamp, in order.
    pub programs: Vec<Program>,
    /// Few, as the separators are: looking through them is the fastest.
    trees: Vec<(Field, Tree)>,
    separators: Vec<(char, Vec<Vec<char>>)>,
}

impl Grammar {
    /// Makes a scheme ready.
    pub fn new(scheme: Arc<Scheme>) -> Self {
        let programs = programs(&scheme);
        let separators = separators(&scheme);
        let mut trees: Vec<(Field, Tree)> = Vec::new();
        for step in programs.iter().flat_map(|program| &program.steps) {
            if let Step::Field(field, _) = *step
                && !is_grid(&scheme, field)
                && trees.iter().all(|(known, _)| *known != field)
            {
                let has_stand_ins = |glyph| separators.contains_key(&glyph);
                let values = values(&scheme, field);
                let tree = Tree::new(values, scheme.case_matters, has_stand_ins);
                trees.push((field, tree));
            }
        }
        let mut grammar = Self {
            scheme,
            programs: Vec::new(),
            trees,
            separators: separators.into_iter().collect(),
        };
        for mut program in programs {
            program.heads = grammar.heads(&program, program.start());
            grammar.programs.push(program);
        }
        grammar
    }

    /// With what a step and those that follow can begin.
    fn heads(&self, program: &Program, step: usize) -> Heads {
        /// The digits, and the decimal signs.
        const NUMBER: Heads = 0x3ff << b'0' | 1 << b'.' | 1 << b',';
        match program.steps[step] {
            Step::End => 0,
            Step::Literal(glyph, _) => {
                let key = self.key(glyph);
                let plain = key.is_ascii() && self.stand_ins(glyph).is_empty();
                if plain {
                    1 << u32::from(key)
                } else {
                    Heads::MAX
                }
            }
            Step::Either(with, without) => self.heads(program, with) | self.heads(program, without),
            Step::Field(field, _) => self.tree(field).map_or(NUMBER, Tree::heads),
        }
    }

    /// A glyph as it is compared.
    fn key(&self, glyph: char) -> char {
        match self.scheme.case_matters {
            true => glyph,
            false => folded(glyph),
        }
    }

    /// Whether a program can read what begins with this glyph, or nothing.
    pub fn may_begin_with(&self, program: &Program, typed: Option<char>) -> bool {
        match typed.map(|typed| self.key(typed)).filter(char::is_ascii) {
            Some(key) => program.heads >> u32::from(key) & 1 == 1,
            None => true,
        }
    }

    /// The words of a field; none for a grid, which is computed.
    pub fn tree(&self, field: Field) -> Option<&Tree> {
        let found = self.trees.iter().find(|(known, _)| *known == field);
        found.map(|(_, tree)| tree)
    }

    /// Whether a typed glyph is the one meant, and whether its case differs.
    #[inline]
    pub fn same(&self, meant: char, typed: char) -> Option<bool> {
        if meant == typed || (meant == HARD_BLANK && typed == ' ') {
            return Some(false);
        }
        (!self.scheme.case_matters && folded(meant) == folded(typed)).then_some(true)
    }

    /// What stands for a glyph on real metal beside itself.
    #[inline]
    pub fn stand_ins(&self, meant: char) -> &[Vec<char>] {
        let known = self.separators.iter().find(|(glyph, _)| *glyph == meant);
        known.map_or(&[], |(_, others)| others.as_slice())
    }
}

/// All templates of a scheme as steps, stamps in order, the written spelling first.
pub(super) fn programs(scheme: &Scheme) -> Vec<Program> {
    let mut programs = Vec::new();
    for (place, stamp) in scheme.stamps.iter().enumerate() {
        let templates = std::iter::once(&stamp.template).chain(&stamp.also);
        programs.extend(
            templates
                .enumerate()
                .map(|(spelling, one)| Program::new(place, spelling, &one.tokens)),
        );
    }
    programs
}

/// What stands for each glyph, itself left out. A blank may be a hyphen or nothing always.
pub(super) fn separators(scheme: &Scheme) -> HashMap<char, Vec<Vec<char>>> {
    let mut separators = HashMap::from([
        (' ', vec![vec!['-'], Vec::new()]),
        (HARD_BLANK, vec![vec!['-']]),
    ]);
    for (meant, others) in &scheme.separators {
        let Some(&meant) = Typed::of(&meant.to_string()).glyphs.first().or(Some(&' ')) else {
            continue;
        };
        let known: &mut Vec<Vec<char>> = separators.entry(meant).or_default();
        for other in others {
            let glyphs = if other.trim().is_empty() && !other.is_empty() {
                vec![' ']
            } else {
                Typed::of(other).glyphs
            };
            if glyphs != [meant] && !known.contains(&glyphs) {
                known.push(glyphs);
            }
        }
    }
    separators
}

pub(super) fn is_grid(scheme: &Scheme, field: Field) -> bool {
    matches!(field, Field::Figure(figure) if matches!(scheme.figures[figure].signs, Signs::Grid(_)))
}
