//! Reading expressions: recursive descent, loosest binding first.

use crate::codes;
use crate::cursor::{Broken, Cursor, Mark, RESERVED};
use crate::form::Two;
use crate::lex::Kind;
use crate::syntax::{Ex, ExKind, Span};

/// How deep expressions may be nested; far beyond anything a person reads, and far below any stack.
pub(crate) const MAX_DEPTH: usize = 64;

type Read = Result<Ex, Broken>;

fn too_deep(cursor: &Cursor, span: Span) -> Broken {
    let message = format!("this expression is nested more than {MAX_DEPTH} deep");
    let fault = cursor.fault(codes::TOO_DEEP, span, message).expected("expected a simpler expression");
    Box::new(fault.hint("keep a part of it in a number of its own"))
}

fn leaf(span: Span, kind: ExKind) -> Ex {
    Ex { span, height: 1, kind }
}

fn one(cursor: &Cursor, from: Span, a: Ex, make: impl FnOnce(Box<Ex>) -> ExKind) -> Read {
    let span = from.to(a.span);
    if a.height >= MAX_DEPTH {
        return Err(too_deep(cursor, span));
    }
    Ok(Ex { span, height: a.height + 1, kind: make(Box::new(a)) })
}

fn two(cursor: &Cursor, f: Two, a: Ex, b: Ex) -> Read {
    let span = a.span.to(b.span);
    let height = a.height.max(b.height) + 1;
    if height > MAX_DEPTH {
        return Err(too_deep(cursor, span));
    }
    Ok(Ex { span, height, kind: ExKind::Two(f, Box::new(a), Box::new(b)) })
}

/// One level deeper, as long as that is allowed.
fn nested(cursor: &mut Cursor, read: impl FnOnce(&mut Cursor) -> Read) -> Read {
    if cursor.depth >= MAX_DEPTH {
        return Err(too_deep(cursor, cursor.here()));
    }
    cursor.depth += 1;
    let result = read(cursor);
    cursor.depth -= 1;
    result
}

/// Any expression.
pub(crate) fn any(cursor: &mut Cursor) -> Read {
    let mut left = both(cursor)?;
    while cursor.word("or") {
        let right = both(cursor)?;
        left = two(cursor, Two::Or, left, right)?;
    }
    Ok(left)
}

fn both(cursor: &mut Cursor) -> Read {
    let mut left = negation(cursor)?;
    while cursor.word("and") {
        let right = negation(cursor)?;
        left = two(cursor, Two::And, left, right)?;
    }
    Ok(left)
}

fn negation(cursor: &mut Cursor) -> Read {
    let from = cursor.here();
    if cursor.word("not") {
        let a = nested(cursor, negation)?;
        return one(cursor, from, a, ExKind::Not);
    }
    comparison(cursor)
}

fn compares(kind: Option<&Kind>) -> Option<Two> {
    let Some(Kind::Sign(sign)) = kind else { return None };
    Some(match *sign {
        "=" => Two::Eq,
        "!=" => Two::Ne,
        "<" => Two::Lt,
        "<=" => Two::Le,
        ">" => Two::Gt,
        ">=" => Two::Ge,
        _ => return None,
    })
}

fn comparison(cursor: &mut Cursor) -> Read {
    let left = sum(cursor)?;
    let Some(f) = compares(cursor.peek()) else { return Ok(left) };
    cursor.advance();
    let right = sum(cursor)?;
    if compares(cursor.peek()).is_some() {
        let fault = cursor.fault(codes::CHAINED, cursor.here(), "comparisons cannot be chained");
        return Err(Box::new(fault.expected("expected `and` and a second comparison")));
    }
    two(cursor, f, left, right)
}

/// A sum; what ranges and starting values are read with, so that `=` and `..` end it.
pub(crate) fn sum(cursor: &mut Cursor) -> Read {
    let mut left = product(cursor)?;
    loop {
        let f = if cursor.sign("+") {
            Two::Add
        } else if cursor.sign("-") {
            Two::Sub
        } else {
            return Ok(left);
        };
        let right = product(cursor)?;
        left = two(cursor, f, left, right)?;
    }
}

fn product(cursor: &mut Cursor) -> Read {
    let mut left = unary(cursor)?;
    loop {
        let f = if cursor.sign("*") {
            Two::Mul
        } else if cursor.sign("/") {
            Two::Div
        } else if cursor.sign("%") {
            Two::Rem
        } else {
            return Ok(left);
        };
        let right = unary(cursor)?;
        left = two(cursor, f, left, right)?;
    }
}

fn unary(cursor: &mut Cursor) -> Read {
    let from = cursor.here();
    if !cursor.is_sign("-") {
        return primary(cursor);
    }
    cursor.mark(Mark::Negative);
    cursor.advance();
    let a = nested(cursor, unary)?;
    if let ExKind::Int(value) = a.kind {
        return Ok(leaf(from.to(a.span), ExKind::Int(value.saturating_neg())));
    }
    one(cursor, from, a, ExKind::Neg)
}

fn primary(cursor: &mut Cursor) -> Read {
    let from = cursor.here();
    match cursor.peek() {
        Some(Kind::Int(value)) => {
            cursor.advance();
            Ok(number(cursor, from, *value))
        }
        Some(Kind::Sign("(")) => {
            cursor.advance();
            let inner = nested(cursor, any)?;
            cursor.need_sign(")")?;
            Ok(Ex { span: from.to(cursor.last()), ..inner })
        }
        Some(Kind::Word(word)) => worded(cursor, from, word),
        _ => Err(cursor.wanted("a number, a name or `(`")),
    }
}

/// A whole number, or a duration when a unit follows.
fn number(cursor: &mut Cursor, from: Span, value: i64) -> Ex {
    let unit = match cursor.peek() {
        Some(Kind::Word(unit)) if unit == "ms" => 1,
        Some(Kind::Word(unit)) if unit == "s" => 1000,
        Some(Kind::Word(unit)) if unit == "min" => 60_000,
        _ => return leaf(from, ExKind::Int(value)),
    };
    cursor.advance();
    leaf(from.to(cursor.last()), ExKind::Duration(value.saturating_mul(unit)))
}

fn worded(cursor: &mut Cursor, from: Span, word: &str) -> Read {
    match word {
        "min" | "max" => {
            cursor.advance();
            let f = if word == "min" { Two::Min } else { Two::Max };
            cursor.need_sign("(")?;
            let a = nested(cursor, any)?;
            cursor.need_sign(",")?;
            let b = nested(cursor, any)?;
            cursor.need_sign(")")?;
            let both = two(cursor, f, a, b)?;
            Ok(Ex { span: from.to(cursor.last()), ..both })
        }
        "held" | "pressed" => {
            cursor.advance();
            let button = cursor.path("a button")?;
            let span = from.to(button.span());
            let kind = if word == "held" { ExKind::Held(button) } else { ExKind::Pressed(button) };
            Ok(leaf(span, kind))
        }
        "pick" => {
            let fault = cursor.fault(codes::PICK_PLACE, from, "a pick cannot be a part of an expression");
            Err(Box::new(
                fault.expected("expected a value").hint("`NAME = pick 1..6` stores it; then use NAME"),
            ))
        }
        "side" | "other" => path(cursor, from),
        reserved if RESERVED.contains(&reserved) => Err(cursor.wanted("a number, a name or `(`")),
        _ => path(cursor, from),
    }
}

/// A value, or a question with `is`, or the time left of a timer.
fn path(cursor: &mut Cursor, from: Span) -> Read {
    let left = matches!(cursor.peek_second(), Some(Kind::Word(word)) if word == "left");
    if left && cursor.word("time") {
        cursor.advance();
        let timer = cursor.path("a timer")?;
        return Ok(leaf(from.to(timer.span()), ExKind::Left(timer)));
    }
    let what = cursor.path("a name")?;
    if !cursor.word("is") {
        return Ok(leaf(from.to(what.span()), ExKind::Value(what)));
    }
    let not = cursor.word("not");
    let word = cursor.name("a state, `running`, `due` or `off`")?;
    Ok(leaf(from.to(word.span), ExKind::Is { what, not, word }))
}

/// What may be stored: an expression, or a pick or a draw that is the whole of it.
pub(crate) fn stored(cursor: &mut Cursor) -> Read {
    let from = cursor.here();
    if matches!(cursor.peek_second(), Some(Kind::Word(word)) if !RESERVED.contains(&word.as_str()))
        && cursor.word("draw")
    {
        let bag = cursor.name("a bag of this machine")?;
        return Ok(leaf(from.to(bag.span), ExKind::Draw(bag)));
    }
    if !cursor.word("pick") {
        return any(cursor);
    }
    let lo = sum(cursor)?;
    cursor.need_sign("..")?;
    let hi = sum(cursor)?;
    Ok(Ex {
        span: from.to(hi.span),
        height: lo.height.max(hi.height) + 1,
        kind: ExKind::Pick(Box::new(lo), Box::new(hi)),
    })
}
