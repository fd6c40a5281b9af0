//! The template of a stamp: what is struck, with places for what changes.
//!
//! `{name}` is a field, `[…]` may be absent and may hold another `[…]`, all else is
//! struck as it stands. There is no sign for a brace or a bracket that is struck:
//! none was ever seen on a mouthpiece (common practice, no source).

use crate::language::Sentence;

/// What a field of a template stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Field {
    /// The word of a series.
    Series,
    /// The name of an entry.
    Entry,
    /// A sign of the figure at this place.
    Figure(usize),
    /// A code of the mark at this place.
    Mark(usize),
}

/// One token of a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Token {
    /// Struck as it stands; one character.
    Literal(char),
    /// Stands for something that changes.
    Field(Field),
    /// May be absent.
    Group(Vec<Token>),
}

/// A template, and the text it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Template {
    /// As written.
    pub text: String,
    /// As meant.
    pub tokens: Vec<Token>,
}

/// What is wrong with a template, and at which character (from 0).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateFault {
    /// Place in the text, in characters.
    pub at: usize,
    /// What is wrong; stands alone.
    pub message: Sentence,
    /// The name that no field has, where that is the fault.
    pub unknown: Option<String>,
}

/// Groups within groups beyond which a template is a mistake.
const DEEPEST: usize = 8;

/// Groups of one template, those within others too: each doubles what a stamp can be.
const MOST_GROUPS: usize = 12;

/// Characters of a template; nothing longer was ever struck, nor is it read (`stamp::LONGEST`).
const LONGEST: usize = 200;

impl Template {
    /// Reads a template; `field` knows the names that may stand in braces.
    ///
    /// # Errors
    /// A brace or bracket without its partner, an unknown name, an empty group, or too much of it.
    pub fn parse(text: &str, field: impl Fn(&str) -> Option<Field>) -> Result<Self, TemplateFault> {
        if text.chars().nth(LONGEST).is_some() {
            let message = sentence!(
                "more than {longest} characters in one template",
                longest = LONGEST
            );
            return Err(fault(LONGEST, message));
        }
        let mut reader = Reader {
            characters: text.chars().collect(),
            at: 0,
            groups: 0,
            field,
        };
        let tokens = reader.tokens(0)?;
        if tokens.is_empty() {
            return Err(fault(0, sentence!("a template that says nothing")));
        }
        Ok(Self {
            text: text.to_owned(),
            tokens,
        })
    }

    /// All fields, in order.
    pub fn fields(&self) -> Vec<Field> {
        let mut found = Vec::new();
        collect(&self.tokens, &mut found);
        found
    }

    /// Whether a field stands outside all brackets, so that every stamp shows it.
    pub fn must_show(&self, field: Field) -> bool {
        self.tokens.contains(&Token::Field(field))
    }
}

fn collect(tokens: &[Token], found: &mut Vec<Field>) {
    for token in tokens {
        match token {
            Token::Field(field) => found.push(*field),
            Token::Group(inner) => collect(inner, found),
            Token::Literal(_) => {}
        }
    }
}

fn fault(at: usize, message: Sentence) -> TemplateFault {
    TemplateFault {
        at,
        message,
        unknown: None,
    }
}

struct Reader<F> {
    characters: Vec<char>,
    at: usize,
    groups: usize,
    field: F,
}

impl<F: Fn(&str) -> Option<Field>> Reader<F> {
    fn tokens(&mut self, depth: usize) -> Result<Vec<Token>, TemplateFault> {
        let opened = self.at;
        let mut tokens = Vec::new();
        while let Some(&character) = self.characters.get(self.at) {
            self.at += 1;
            match character {
                '{' => tokens.push(self.named()?),
                '}' => return Err(fault(self.at - 1, sentence!("a `}` without its `{`"))),
                '[' if depth >= DEEPEST => {
                    return Err(fault(
                        self.at - 1,
                        sentence!("too many brackets within brackets"),
                    ));
                }
                '[' if self.groups >= MOST_GROUPS => {
                    let message = sentence!(
                        "more than {most_groups} groups `[…]` in one template",
                        most_groups = MOST_GROUPS
                    );
                    return Err(fault(self.at - 1, message));
                }
                '[' => {
                    self.groups += 1;
                    tokens.push(Token::Group(self.tokens(depth + 1)?));
                }
                ']' if depth > 0 && tokens.is_empty() => {
                    return Err(fault(self.at - 1, sentence!("an empty `[]`")));
                }
                ']' if depth > 0 => return Ok(tokens),
                ']' => return Err(fault(self.at - 1, sentence!("a `]` without its `[`"))),
                other => tokens.push(Token::Literal(other)),
            }
        }
        if depth > 0 {
            Err(fault(opened - 1, sentence!("a `[` without its `]`")))
        } else {
            Ok(tokens)
        }
    }

    fn named(&mut self) -> Result<Token, TemplateFault> {
        let start = self.at;
        let length = self.characters[start..].iter().position(|&c| c == '}');
        let length = length.ok_or_else(|| fault(start - 1, sentence!("a `{` without its `}`")))?;
        let name: String = self.characters[start..start + length].iter().collect();
        self.at += length + 1;
        (self.field)(&name)
            .map(Token::Field)
            .ok_or_else(|| TemplateFault {
                at: start,
                message: sentence!(
                    "no figure, mark, `series` or `entry` is called `{name}`",
                    name
                ),
                unknown: Some(name),
            })
    }
}
