//! The grammar of the page `docs/GRAMMAR.md`, read by a reader of its own: sentences from it, and what it derives.
//!
//! Nothing here is shared with the parser: words are taken apart as the page says, and derivations are found with
//! J. Earley, An efficient context-free parsing algorithm, Communications of the ACM 13 (1970), with the answer of
//! J. Aycock and R. N. Horspool, Practical Earley parsing, The Computer Journal 45 (2002), for what may be empty.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

/// The right side of a production, or a part of it.
#[derive(Clone, Debug)]
pub enum Part {
    /// A word or sign as it stands there.
    Literal(String),
    /// Another production, or one of `NAME` and `INTEGER`.
    Named(String),
    Row(Vec<Part>),
    OneOf(Vec<Part>),
    Maybe(Box<Part>),
    Repeated(Box<Part>),
}

/// The productions of the page.
pub struct Grammar {
    pub productions: BTreeMap<String, Part>,
}

/// The page.
#[allow(clippy::disallowed_methods, reason = "tests read the page")]
pub fn page() -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/GRAMMAR.md");
    std::fs::read_to_string(path).unwrap()
}

impl Grammar {
    /// Reads the block of the page. `NAME` is said there in words; [`tokens`] is what they mean.
    pub fn of(page: &str) -> Self {
        let block = page.split("```ebnf\n").nth(1).unwrap().split("```").next().unwrap();
        let words = block_words(block);
        let mut productions = BTreeMap::new();
        for production in words.split(|word| word == ";").filter(|words| !words.is_empty()) {
            if production[0] == "NAME" {
                continue;
            }
            assert_eq!(production[1], "=", "{production:?}");
            let mut at = 2;
            let part = one_of(production, &mut at);
            assert_eq!(at, production.len(), "{production:?}");
            assert!(productions.insert(production[0].clone(), part).is_none(), "{}", production[0]);
        }
        Self { productions }
    }

    /// Every literal of it.
    pub fn literals(&self) -> BTreeSet<String> {
        fn gather(part: &Part, all: &mut BTreeSet<String>) {
            match part {
                Part::Literal(word) => drop(all.insert(word.clone())),
                Part::Named(_) => {}
                Part::Row(parts) | Part::OneOf(parts) => parts.iter().for_each(|part| gather(part, all)),
                Part::Maybe(part) | Part::Repeated(part) => gather(part, all),
            }
        }
        let mut all = BTreeSet::new();
        self.productions.values().for_each(|part| gather(part, &mut all));
        all
    }
}

/// The block's own words, without its comments; a literal keeps its quotes.
fn block_words(block: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut rest = block;
    while let Some(first) = rest.chars().next() {
        let length = if let Some(comment) = rest.strip_prefix("(*") {
            comment.find("*)").unwrap() + 4
        } else if first == '"' {
            rest[1..].find('"').unwrap() + 2
        } else if first.is_alphanumeric() {
            rest.find(|c: char| !c.is_alphanumeric()).unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        if !first.is_whitespace() && !rest.starts_with("(*") {
            words.push(rest[..length].to_owned());
        }
        rest = &rest[length..];
    }
    words
}

fn one_of(words: &[String], at: &mut usize) -> Part {
    let mut all = vec![row(words, at)];
    while words.get(*at).is_some_and(|word| word == "|") {
        *at += 1;
        all.push(row(words, at));
    }
    if all.len() == 1 { all.remove(0) } else { Part::OneOf(all) }
}

fn row(words: &[String], at: &mut usize) -> Part {
    let mut parts = Vec::new();
    while let Some(word) = words.get(*at) {
        let closed = |at: &mut usize, by: &str| {
            *at += 1;
            let inner = one_of(words, at);
            assert_eq!(words[*at], by);
            inner
        };
        parts.push(match word.as_str() {
            "|" | ")" | "]" | "}" => break,
            "(" => closed(at, ")"),
            "[" => Part::Maybe(Box::new(closed(at, "]"))),
            "{" => Part::Repeated(Box::new(closed(at, "}"))),
            literal if literal.starts_with('"') => Part::Literal(literal.trim_matches('"').to_owned()),
            name => {
                assert!(name.chars().all(char::is_alphanumeric), "{name}");
                Part::Named(name.to_owned())
            }
        });
        *at += 1;
    }
    if parts.len() == 1 { parts.remove(0) } else { Part::Row(parts) }
}

/// A word of a rules text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Token {
    Word(String),
    Int(String),
    Sign(String),
}

impl Token {
    pub fn text(&self) -> &str {
        match self {
            Self::Word(text) | Self::Int(text) | Self::Sign(text) => text,
        }
    }
}

/// The tokens of a line, as the page says what names are; signs are those of its literals, the longest first.
pub fn tokens(line: &str, literals: &BTreeSet<String>) -> Vec<Token> {
    let line: Vec<char> = line.split('#').next().unwrap().chars().collect();
    let in_name = |at: usize| line.get(at).is_some_and(|c| c.is_alphanumeric() || *c == '_');
    let text = |from: usize, to: usize| line[from..to].iter().collect::<String>();
    let (mut all, mut at) = (Vec::new(), 0);
    while let Some(first) = line.get(at) {
        let from = at;
        if first.is_whitespace() {
            at += 1;
        } else if first.is_ascii_digit() {
            while line.get(at).is_some_and(char::is_ascii_digit) {
                at += 1;
            }
            all.push(Token::Int(text(from, at)));
        } else if first.is_alphabetic() || *first == '_' {
            while in_name(at) || (line.get(at) == Some(&'-') && in_name(at + 1)) {
                at += 1;
            }
            all.push(Token::Word(text(from, at)));
        } else {
            let two = from + 2 <= line.len() && literals.contains(&text(from, from + 2));
            at += if two { 2 } else { 1 };
            all.push(Token::Sign(text(from, at)));
        }
    }
    all
}

/// What stands at one place of a production.
#[derive(Clone, Debug)]
enum Symbol {
    Literal(String),
    Name,
    Integer,
    Rule(usize),
}

/// The productions without brackets: each rule has rows of symbols.
pub struct Recogniser {
    rules: Vec<Vec<Vec<Symbol>>>,
    empty: Vec<bool>,
    start: usize,
    /// Words that are no names.
    taken: BTreeSet<String>,
}

impl Recogniser {
    /// For what `start` derives, where these words are no names.
    pub fn new(grammar: &Grammar, start: &str, taken: BTreeSet<String>) -> Self {
        let names: Vec<&String> = grammar.productions.keys().collect();
        let position = |name: &str| names.iter().position(|known| *known == name);
        let mut rules: Vec<Vec<Vec<Symbol>>> = vec![Vec::new(); names.len()];
        for (at, part) in grammar.productions.values().enumerate() {
            let row = flat(part, &position, &mut rules);
            rules[at].push(row);
        }
        let mut empty = vec![false; rules.len()];
        let blank = |row: &[Symbol], empty: &[bool]| {
            row.iter().all(|symbol| matches!(symbol, Symbol::Rule(rule) if empty[*rule]))
        };
        for _ in 0..rules.len() {
            let next = rules.iter().map(|rows| rows.iter().any(|row| blank(row, &empty))).collect();
            empty = next;
        }
        Self { start: position(start).unwrap(), rules, empty, taken }
    }

    /// Whether the grammar derives these tokens.
    pub fn derives(&self, tokens: &[Token]) -> bool {
        // Rule, row, how far, from where.
        type Item = (usize, usize, usize, usize);
        let mut sets: Vec<Vec<Item>> = vec![Vec::new(); tokens.len() + 1];
        let add = |set: &mut Vec<Item>, item: Item| {
            if !set.contains(&item) {
                set.push(item);
            }
        };
        for row in 0..self.rules[self.start].len() {
            sets[0].push((self.start, row, 0, 0));
        }
        for at in 0..sets.len() {
            let mut next = 0;
            while let Some(&(rule, row, dot, from)) = sets[at].get(next) {
                next += 1;
                match self.rules[rule][row].get(dot) {
                    None => {
                        for (r, w, d, f) in sets[from].clone() {
                            if matches!(self.rules[r][w].get(d), Some(Symbol::Rule(waiting)) if *waiting == rule)
                            {
                                add(&mut sets[at], (r, w, d + 1, f));
                            }
                        }
                    }
                    Some(Symbol::Rule(inner)) => {
                        for w in 0..self.rules[*inner].len() {
                            add(&mut sets[at], (*inner, w, 0, at));
                        }
                        if self.empty[*inner] {
                            add(&mut sets[at], (rule, row, dot + 1, from));
                        }
                    }
                    Some(terminal) => {
                        if tokens.get(at).is_some_and(|token| self.fits(terminal, token)) {
                            add(&mut sets[at + 1], (rule, row, dot + 1, from));
                        }
                    }
                }
            }
        }
        sets[tokens.len()].iter().any(|&(rule, row, dot, from)| {
            rule == self.start && from == 0 && dot == self.rules[rule][row].len()
        })
    }

    fn fits(&self, terminal: &Symbol, token: &Token) -> bool {
        match (terminal, token) {
            (Symbol::Name, Token::Word(word)) => !self.taken.contains(word),
            (Symbol::Integer, Token::Int(_)) => true,
            (Symbol::Literal(literal), Token::Word(word) | Token::Sign(word)) => literal == word,
            _ => false,
        }
    }
}

/// A part as a row of symbols; brackets become rules of their own.
fn flat(
    part: &Part,
    position: &dyn Fn(&str) -> Option<usize>,
    rules: &mut Vec<Vec<Vec<Symbol>>>,
) -> Vec<Symbol> {
    let mut own = |rows: Vec<Vec<Symbol>>| {
        rules.push(rows);
        Symbol::Rule(rules.len() - 1)
    };
    match part {
        Part::Literal(word) => vec![Symbol::Literal(word.clone())],
        Part::Named(name) => vec![match name.as_str() {
            "NAME" => Symbol::Name,
            "INTEGER" => Symbol::Integer,
            "newline" => Symbol::Literal("\n".to_owned()),
            other => Symbol::Rule(position(other).unwrap_or_else(|| panic!("nothing says what {other} is"))),
        }],
        Part::Row(parts) => parts.iter().flat_map(|part| flat(part, position, rules)).collect(),
        Part::OneOf(parts) => {
            let rows = parts.iter().map(|part| flat(part, position, rules)).collect();
            rules.push(rows);
            vec![Symbol::Rule(rules.len() - 1)]
        }
        Part::Maybe(part) => {
            let inner = flat(part, position, rules);
            rules.push(vec![Vec::new(), inner]);
            vec![Symbol::Rule(rules.len() - 1)]
        }
        Part::Repeated(part) => {
            let Symbol::Rule(again) = own(Vec::new()) else { unreachable!("it was made so") };
            let mut inner = flat(part, position, rules);
            inner.push(Symbol::Rule(again));
            rules[again] = vec![Vec::new(), inner];
            vec![Symbol::Rule(again)]
        }
    }
}

/// Pseudo-random numbers: xorshift with 13, 7, 17 (G. Marsaglia, Xorshift RNGs, Journal of Statistical Software 8, 2003).
pub struct Dice(pub u64);

impl Dice {
    /// From 0 to `below` - 1.
    pub fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from((self.0 >> 20) % below as u64).unwrap()
    }

    /// One of these.
    pub fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.roll(of.len())]
    }
}

/// Sentences at random.
pub struct Sentences<'a> {
    pub grammar: &'a Grammar,
    /// What stands for `NAME`, and what besides in a path.
    pub names: &'a [&'a str],
    pub in_paths: &'a [&'a str],
    pub dice: Dice,
}

/// Deeper than this the way that ends soonest is taken.
const DEEP: usize = 12;

impl Sentences<'_> {
    /// One sentence of a production.
    pub fn sentence(&mut self, of: &str) -> Vec<Token> {
        let mut out = Vec::new();
        self.write(&Part::Named(of.to_owned()), 0, &mut out);
        out
    }

    fn write(&mut self, part: &Part, depth: usize, out: &mut Vec<Token>) {
        match part {
            Part::Literal(word) if word.starts_with(char::is_alphabetic) => {
                out.push(Token::Word(word.clone()));
            }
            Part::Literal(sign) => out.push(Token::Sign(sign.clone())),
            Part::Named(name) => match name.as_str() {
                "NAME" => out.push(Token::Word((*self.dice.one(self.names)).to_owned())),
                "INTEGER" => {
                    out.push(Token::Int((*self.dice.one(&["0", "1", "2", "3", "007", "250"])).to_owned()));
                }
                "path" if self.dice.roll(4) == 0 && !self.in_paths.is_empty() => {
                    out.push(Token::Word((*self.dice.one(self.in_paths)).to_owned()));
                }
                other => {
                    let production = self.grammar.productions[other].clone();
                    self.write(&production, depth + 1, out);
                }
            },
            Part::Row(parts) => parts.iter().for_each(|part| self.write(part, depth, out)),
            Part::OneOf(parts) if depth > DEEP => {
                let soonest = parts.iter().min_by_key(|part| self.height(part, 0)).unwrap();
                self.write(soonest, depth, out);
            }
            Part::OneOf(parts) => {
                let part = self.dice.one(parts).clone();
                self.write(&part, depth, out);
            }
            Part::Maybe(part) => {
                if depth <= DEEP && self.dice.roll(2) == 0 {
                    self.write(part, depth, out);
                }
            }
            Part::Repeated(part) => {
                while depth <= DEEP && self.dice.roll(3) == 0 {
                    self.write(part, depth, out);
                }
            }
        }
    }

    /// How many productions lie below at the least.
    fn height(&self, part: &Part, so_far: usize) -> usize {
        if so_far > 12 {
            return so_far;
        }
        match part {
            Part::Literal(_) | Part::Maybe(_) | Part::Repeated(_) => so_far,
            Part::Named(name) => match self.grammar.productions.get(name) {
                Some(production) => self.height(production, so_far + 1),
                None => so_far,
            },
            Part::Row(parts) => parts.iter().map(|part| self.height(part, so_far)).max().unwrap_or(so_far),
            Part::OneOf(parts) => parts.iter().map(|part| self.height(part, so_far)).min().unwrap_or(so_far),
        }
    }
}
