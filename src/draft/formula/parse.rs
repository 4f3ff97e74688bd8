//! Reading a formula: words to parts, by the usual precedence.

use super::super::fault::{Fault, Span, did_you_mean};
use super::expr::{Binary, Comparison, Expr, Function, Node};
use super::token::{Token, TokenKind, tokens};

/// How deep parentheses, ifs and functions may stand in one another.
const DEEPEST: usize = 60;

/// Words of the language that cannot be names.
pub(crate) const RESERVED: [&str; 28] = [
    "if", "then", "else", "is", "not", "and", "or", "of", "at", "to", "up", "length", "width", "x", "y", "pi", "allow",
    "through", "leaving", "arriving", "heading", "below", "count", "height", "turned", "moved", "toward", "about",
];

/// Reads a whole formula that stands at byte `offset` of the style's text.
pub(crate) fn parse(text: &str, offset: usize) -> Result<Expr, Fault> {
    let tokens = tokens(text, offset)?;
    let end = Span { start: offset + text.len(), end: offset + text.len() };
    let mut parser = Parser::new(&tokens, end);
    let expr = parser.expr()?;
    parser.finished()?;
    Ok(expr)
}

/// Words with formulas in them: each text and the formula that follows it.
pub(crate) type Told = Vec<(String, Option<Expr>)>;

/// Reads words with formulas in braces: `The hip is {hip_girth} round.`
pub(crate) fn parse_text(text: &str, offset: usize) -> Result<Told, Fault> {
    let mut parts = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..) {
        let Some(open) = rest.find('{') else {
            parts.push((rest.to_string(), None));
            break;
        };
        let Some(length) = rest.get(open..).and_then(|r| r.find('}')) else {
            let start = offset + at + open;
            return Err(Fault::new(
                Span { start, end: start + 1 },
                "“{” has no “}”. Close the braces around the formula.",
            ));
        };
        let inside = rest.get(open + 1..open + length).unwrap_or("");
        let expr = parse(inside, offset + at + open + 1)?;
        parts.push((rest.get(..open).unwrap_or("").to_string(), Some(expr)));
        at += open + length + 1;
    }
    Ok(parts)
}

/// A reader of words, used for formulas alone and inside outlines.
pub(crate) struct Parser<'t> {
    tokens: &'t [Token],
    at: usize,
    depth: usize,
    end: Span,
}

impl<'t> Parser<'t> {
    pub fn new(tokens: &'t [Token], end: Span) -> Parser<'t> {
        Parser { tokens, at: 0, depth: 0, end }
    }

    pub fn peek(&self) -> Option<&'t TokenKind> {
        self.tokens.get(self.at).map(|t| &t.kind)
    }

    /// Where the next word stands.
    pub fn here(&self) -> Span {
        self.tokens.get(self.at).map_or(self.end, |t| t.at)
    }

    pub fn finished(&self) -> Result<(), Fault> {
        match self.tokens.get(self.at) {
            None => Ok(()),
            Some(token) => Err(Fault::new(token.at, format!("{} is not expected here.", words(Some(&token.kind))))),
        }
    }

    /// Passes the word `word` if it stands next.
    pub fn word(&mut self, word: &str) -> bool {
        let found = matches!(self.peek(), Some(TokenKind::Name(name)) if name == word);
        self.at += usize::from(found);
        found
    }

    /// Passes the sign if it stands next.
    pub fn sign(&mut self, sign: &str) -> bool {
        let found = matches!(self.peek(), Some(TokenKind::Sign(s)) if *s == sign);
        self.at += usize::from(found);
        found
    }

    pub fn expect_sign(&mut self, sign: &str) -> Result<(), Fault> {
        if self.sign(sign) {
            return Ok(());
        }
        Err(Fault::new(self.here(), format!("Expected “{sign}” here, found {}.", words(self.peek()))))
    }

    pub fn expect_word(&mut self, word: &str) -> Result<(), Fault> {
        if self.word(word) {
            return Ok(());
        }
        Err(Fault::new(self.here(), format!("Expected “{word}” here, found {}.", words(self.peek()))))
    }

    /// Passes a name that is no word of the language.
    pub fn name(&mut self, what: &str) -> Result<(String, Span), Fault> {
        let at = self.here();
        match self.peek() {
            Some(TokenKind::Name(name)) if !RESERVED.contains(&name.as_str()) => {
                self.at += 1;
                Ok((name.clone(), at))
            }
            other => Err(Fault::new(at, format!("Expected {what} here, found {}.", words(other)))),
        }
    }

    pub(super) fn dotted(&mut self, what: &str) -> Result<(String, String), Fault> {
        match self.peek() {
            Some(TokenKind::Dotted(a, b)) => {
                self.at += 1;
                Ok((a.clone(), b.clone()))
            }
            other => Err(Fault::new(self.here(), format!("Expected {what} here, found {}.", words(other)))),
        }
    }

    /// A whole formula; stops before a word that cannot go on with it.
    pub fn expr(&mut self) -> Result<Expr, Fault> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(Fault::new(
                self.here(),
                format!("This formula is nested more than {DEEPEST} deep. Split it into dimensions."),
            ));
        }
        let expr = self.either();
        self.depth -= 1;
        expr
    }

    fn spanned(&self, start: Span, node: Node) -> Expr {
        let end = self.at.checked_sub(1).and_then(|i| self.tokens.get(i)).map_or(start.end, |t| t.at.end);
        Expr { node, at: Span { start: start.start, end } }
    }

    fn either(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let mut left = self.both()?;
        while self.word("or") {
            let right = self.both()?;
            left = self.spanned(start, Node::Either(Box::new(left), Box::new(right)));
        }
        Ok(left)
    }

    fn both(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let mut left = self.negated()?;
        while self.word("and") {
            let right = self.negated()?;
            left = self.spanned(start, Node::Both(Box::new(left), Box::new(right)));
        }
        Ok(left)
    }

    fn negated(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let mut count = 0_usize;
        while self.word("not") {
            count += 1;
        }
        let inner = self.comparison()?;
        Ok(if count % 2 == 1 { self.spanned(start, Node::Not(Box::new(inner))) } else { inner })
    }

    fn comparison(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let left = self.sum()?;
        if self.word("is") {
            let not = self.word("not");
            let (word, _) = self.name("the word of a choice")?;
            return Ok(self.spanned(start, Node::Is { what: Box::new(left), word, not }));
        }
        let how = match self.peek() {
            Some(TokenKind::Sign("<")) => Comparison::Less,
            Some(TokenKind::Sign(">")) => Comparison::Greater,
            Some(TokenKind::Sign("<=")) => Comparison::AtMost,
            Some(TokenKind::Sign(">=")) => Comparison::AtLeast,
            Some(TokenKind::Sign("=")) => Comparison::Equal,
            _ => return Ok(left),
        };
        self.at += 1;
        let right = self.sum()?;
        Ok(self.spanned(start, Node::Compare(how, Box::new(left), Box::new(right))))
    }

    pub(super) fn sum(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let mut left = self.product()?;
        loop {
            let op = match self.peek() {
                Some(TokenKind::Sign("+")) => Binary::Add,
                Some(TokenKind::Sign("-")) => Binary::Subtract,
                _ => return Ok(left),
            };
            self.at += 1;
            let right = self.product()?;
            left = self.spanned(start, Node::Binary(op, Box::new(left), Box::new(right)));
        }
    }

    fn product(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let mut left = self.signed()?;
        loop {
            let op = match self.peek() {
                Some(TokenKind::Sign("*")) => Binary::Multiply,
                Some(TokenKind::Sign("/")) => Binary::Divide,
                _ => return Ok(left),
            };
            self.at += 1;
            let right = self.signed()?;
            left = self.spanned(start, Node::Binary(op, Box::new(left), Box::new(right)));
        }
    }

    fn signed(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let mut count = 0_usize;
        while self.sign("-") {
            count += 1;
        }
        let inner = self.primary()?;
        Ok(if count % 2 == 1 { self.spanned(start, Node::Negative(Box::new(inner))) } else { inner })
    }

    fn primary(&mut self) -> Result<Expr, Fault> {
        let start = self.here();
        let Some(kind) = self.peek() else {
            return Err(Fault::new(start, "The formula ends where a value is expected."));
        };
        let node = match kind {
            TokenKind::Number(n) => Node::Number(*n),
            TokenKind::Length(mm) => Node::Length(*mm),
            TokenKind::Angle(a) => Node::Angle(*a),
            TokenKind::Dotted(piece, edge) => Node::EdgeLength(piece.clone(), edge.clone()),
            TokenKind::Sign("(") => {
                self.at += 1;
                let inner = self.expr()?;
                self.expect_sign(")")?;
                return Ok(Expr { node: inner.node, at: Span { start: start.start, end: self.last_end(start) } });
            }
            TokenKind::Name(name) => return self.named(&name.clone(), start),
            TokenKind::Sign(_) => {
                return Err(Fault::new(start, format!("Expected a value here, found {}.", words(Some(kind)))));
            }
        };
        self.at += 1;
        Ok(Expr { node, at: start })
    }

    fn last_end(&self, start: Span) -> usize {
        self.at.checked_sub(1).and_then(|i| self.tokens.get(i)).map_or(start.end, |t| t.at.end)
    }

    /// A part that starts with a word.
    fn named(&mut self, name: &str, start: Span) -> Result<Expr, Fault> {
        self.at += 1;
        let node = match name {
            "pi" => Node::Number(std::f64::consts::PI),
            "if" => {
                let condition = self.expr()?;
                self.expect_word("then")?;
                let yes = self.expr()?;
                self.expect_word("else")?;
                let no = self.expr()?;
                Node::If(Box::new(condition), Box::new(yes), Box::new(no))
            }
            "length" => {
                self.expect_word("of")?;
                match self.peek() {
                    Some(TokenKind::Dotted(..)) => {
                        let (piece, edge) = self.dotted("an edge")?;
                        match self.peek() {
                            Some(TokenKind::Length(_) | TokenKind::Sign("(")) => self.below(piece, edge)?,
                            Some(TokenKind::Name(name)) if !RESERVED.contains(&name.as_str()) => {
                                self.below(piece, edge)?
                            }
                            _ => Node::EdgeLength(piece, edge),
                        }
                    }
                    _ => Node::StripLength(self.name("an edge such as back.waist, or a strip")?.0),
                }
            }
            "width" | "height" => {
                self.expect_word("of")?;
                let (piece, _) = self.name("a piece or a strip")?;
                if name == "width" && !self.word("at") {
                    Node::StripWidth(piece)
                } else {
                    if name == "height" {
                        self.expect_word("at")?;
                    }
                    let level = Box::new(self.sum()?);
                    if name == "width" { Node::Width(piece, level) } else { Node::Height(piece, level) }
                }
            }
            "count" => {
                self.expect_word("of")?;
                Node::Count(self.name("a piece or a strip")?.0)
            }
            "x" | "y" => {
                self.expect_word("of")?;
                Node::Coordinate { y: name == "y", of: Box::new(self.bare_place()?) }
            }
            "round" => self.round()?,
            "distance" | "direction" if self.word("from") => {
                let from = Box::new(self.bare_place()?);
                self.expect_word("to")?;
                let to = Box::new(self.bare_place()?);
                if name == "distance" { Node::Distance(from, to) } else { Node::Direction(from, to) }
            }
            _ => match Function::ALL.iter().find(|(word, _)| *word == name) {
                Some((_, function)) if self.sign("(") => self.call(*function, start)?,
                _ if matches!(self.peek(), Some(TokenKind::Sign("("))) => {
                    let known = Function::ALL.iter().map(|(word, _)| *word).chain(["round"]);
                    let hint = did_you_mean(name, known);
                    return Err(Fault::new(start, format!("There is no “{name}( )”.{hint}")));
                }
                _ if RESERVED.contains(&name) => {
                    return Err(Fault::new(start, format!("Expected a value here, found the word “{name}”.")));
                }
                _ => Node::Name(name.to_string()),
            },
        };
        Ok(self.spanned(start, node))
    }

    /// `8 in below` after an edge.
    fn below(&mut self, piece: String, edge: String) -> Result<Node, Fault> {
        let depth = Box::new(self.signed()?);
        self.expect_word("below")?;
        Ok(Node::Below { piece, edge, depth })
    }

    fn round(&mut self) -> Result<Node, Fault> {
        self.expect_sign("(")?;
        let what = Box::new(self.expr()?);
        let up = self.word("up");
        self.expect_word("to")?;
        let to = Box::new(self.expr()?);
        self.expect_sign(")")?;
        Ok(Node::Round { what, to, up })
    }

    fn call(&mut self, function: Function, start: Span) -> Result<Node, Fault> {
        let mut given = vec![self.expr()?];
        while self.sign(",") {
            given.push(self.expr()?);
        }
        self.expect_sign(")")?;
        let (wants, fits) = match function {
            Function::Min | Function::Max => ("two values or more", given.len() > 1),
            Function::BiasSquare => ("a length and a width", given.len() == 2),
            _ => ("one value", given.len() == 1),
        };
        if !fits {
            return Err(Fault::new(start, format!("“{}( )” takes {wants}.", function.word())));
        }
        Ok(Node::Call(function, given))
    }
}

/// A word as it is named in messages.
fn words(kind: Option<&TokenKind>) -> String {
    match kind {
        None => "the end".into(),
        Some(TokenKind::Number(_)) => "a number".into(),
        Some(TokenKind::Length(_)) => "a length".into(),
        Some(TokenKind::Angle(_)) => "an angle".into(),
        Some(TokenKind::Name(name)) => format!("“{name}”"),
        Some(TokenKind::Dotted(a, b)) => format!("“{a}.{b}”"),
        Some(TokenKind::Sign(sign)) => format!("“{sign}”"),
    }
}
