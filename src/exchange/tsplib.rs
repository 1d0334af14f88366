//! A sequential ordering problem as text: TSPLIB `.sop` files, and the bare matrices that SOPLIB comes as.
//!
//! The format is that of G. Reinelt, *TSPLIB 95*, sections 1.1 (the specification part) and 1.2 (the data part): lines `KEYWORD : value`, then
//! `EDGE_WEIGHT_SECTION` with the number of nodes and the full matrix, row by row, then `EOF`. `C[i][j] = -1` says that j comes before i. A
//! bare matrix is the same without keywords, with the number of nodes before it or not. An order begins with the first node and ends with the
//! last.
//!
//! The problem has no facets, two postures a node and the matrix between the end of one and the start of another. Where the matrix has -1 (and
//! between all other postures) it takes the largest cost of the file, so that no detour is shorter. Scores are therefore costs of the file,
//! without a unit: what other programs call the hundredth of a second is one unit of cost here.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic};
use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::problem::posture::Postures;
use crate::problem::step::{Side, Step};
use crate::sizes::{MISTAKES, PROBLEM_STEPS};
use crate::source::{Source, Span};

/// Costs above this are refused: sums of them would leave 64 bits.
const LARGEST: i64 = 1 << 40;
/// No more entries are looked at: the number of nodes, the largest matrix, and one more to know that there are too many.
const MOST_ENTRIES: usize = PROBLEM_STEPS.most * PROBLEM_STEPS.most + 2;
/// The keyword before the matrix.
const SECTION: &str = "EDGE_WEIGHT_SECTION";
/// Keywords that change nothing for a sequential ordering problem.
const IDLE: [&str; 6] = [
    "NAME",
    "COMMENT",
    "CAPACITY",
    "EDGE_DATA_FORMAT",
    "NODE_COORD_TYPE",
    "DISPLAY_DATA_TYPE",
];
/// Keywords of which only one value makes a sequential ordering problem, with that value.
const FIXED: [(&str, &str); 3] = [
    ("TYPE", "SOP"),
    ("EDGE_WEIGHT_TYPE", "EXPLICIT"),
    ("EDGE_WEIGHT_FORMAT", "FULL_MATRIX"),
];

/// Whether a text looks like this format rather than like JSON: its first word is a number or one of the keywords.
pub fn recognises(text: &str) -> bool {
    let first = text
        .split(|c: char| c.is_whitespace() || c == ':')
        .find(|word| !word.is_empty());
    first.is_some_and(|word| {
        word.parse::<i64>().is_ok()
            || word == SECTION
            || word == "DIMENSION"
            || IDLE.contains(&word)
            || FIXED.iter().any(|&(key, _)| key == word)
    })
}

/// Reads a sequential ordering problem.
///
/// # Errors
/// All mistakes, sorted by place: keywords that are unknown, missing, given twice or ask for another kind of problem; entries that are no
/// whole numbers, negative (but for -1) or too large; too few or too many of them; precedences that run in a circle.
pub fn read(source: &Arc<Source>) -> Result<Problem, Vec<Diagnostic>> {
    let mut reading = Reading {
        source,
        mistakes: Vec::new(),
    };
    let header = reading.header();
    let matrix = header
        .section
        .clone()
        .and_then(|section| reading.matrix(section, header.dimension.as_ref()));
    let mut mistakes = reading.mistakes;
    mistakes.sort_by_key(|m| m.labels.first().map(|l| l.span.bytes.start));
    match matrix {
        Some(matrix) if mistakes.is_empty() => Ok(problem_of(&header.name, &matrix)),
        _ => Err(mistakes),
    }
}

/// What stands before the matrix.
#[derive(Default)]
struct Header {
    name: String,
    dimension: Option<(usize, Range<usize>)>,
    /// The bytes of the matrix.
    section: Option<Range<usize>>,
}

/// `cost[i][j]`, square; -1: j comes before i.
struct Matrix {
    cost: Vec<Vec<i64>>,
}

struct Reading<'a> {
    source: &'a Arc<Source>,
    mistakes: Vec<Diagnostic>,
}

impl Reading<'_> {
    fn mistake(&mut self, code: Code, bytes: Range<usize>, text: [String; 3]) {
        let [message, label, mend] = text;
        let span = Span::new(self.source, bytes);
        self.mistakes
            .push(Diagnostic::mistake(code, span, message, label, mend));
    }

    /// Whether there are as many mistakes as are told of one text.
    fn has_enough(&self) -> bool {
        self.mistakes.len() >= MISTAKES
    }

    fn header(&mut self) -> Header {
        let text = self.source.text.as_str();
        let mut header = Header::default();
        let mut seen: BTreeMap<&str, Range<usize>> = BTreeMap::new();
        let mut at = 0;
        for line in text.split_inclusive('\n') {
            let start = at + (line.len() - line.trim_start().len());
            let bytes = start..start + line.trim().len();
            at += line.len();
            let line = line.trim();
            if self.has_enough() {
                return header;
            }
            let (key, value) = line.split_once(':').unwrap_or((line, ""));
            let (key, value) = (key.trim(), value.trim());
            if line.is_empty() {
                continue;
            }
            if key == "EOF" {
                break;
            }
            if key == SECTION {
                header.section = Some(at..end_of_section(text, at));
                break;
            }
            if seen.is_empty() && line.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
                header.section = Some(bytes.start..end_of_section(text, bytes.start));
                return header;
            }
            if !line.contains(':') {
                self.mistake(
                    Code::Syntax,
                    bytes,
                    [
                        "a line before the matrix is not of the form KEYWORD : value".into(),
                        "no colon here".into(),
                        format!("write KEYWORD : value, or {SECTION} before the matrix"),
                    ],
                );
                continue;
            }
            if let Some(first) = seen.insert(key, bytes.clone()) {
                let again = Diagnostic::mistake(
                    Code::Duplicate,
                    Span::new(self.source, bytes.clone()),
                    format!("{key} is given twice"),
                    "again here",
                    "keep one of the two lines",
                );
                self.mistakes
                    .push(again.and(Span::new(self.source, first), "first here"));
            }
            self.keyword(&mut header, (key, value), bytes);
        }
        self.missing(&header, &seen);
        header
    }

    fn keyword(&mut self, header: &mut Header, (key, value): (&str, &str), bytes: Range<usize>) {
        if key == "NAME" {
            header.name = value.to_owned();
        } else if key == "DIMENSION" {
            match value.parse() {
                Ok(n) if n > 0 => header.dimension = Some((n, bytes)),
                _ => self.mistake(
                    Code::OutOfRange,
                    bytes,
                    [
                        format!("DIMENSION is `{value}`, which is not a number of nodes"),
                        "a whole number above 0 belongs here".into(),
                        "write the number of nodes, such as DIMENSION : 9".into(),
                    ],
                ),
            }
        } else if let Some(&(_, wanted)) = FIXED.iter().find(|&&(fixed, _)| fixed == key) {
            if value != wanted {
                self.mistake(
                    Code::OutOfRange,
                    bytes,
                    [
                        format!("{key} is `{value}`; a sequential ordering problem has {wanted}"),
                        "another kind of problem".into(),
                        format!("give a file with {key} : {wanted}"),
                    ],
                );
            }
        } else if !IDLE.contains(&key) {
            self.mistake(
                Code::UnknownKey,
                bytes,
                [
                    format!("`{key}` is not a keyword of a sequential ordering problem"),
                    "not known".into(),
                    "check its spelling (keywords are in capitals) or leave the line out".into(),
                ],
            );
        }
    }

    fn missing(&mut self, header: &Header, seen: &BTreeMap<&str, Range<usize>>) {
        let needed = FIXED.iter().map(|&(key, _)| key).chain(["DIMENSION"]);
        let absent: Vec<&str> = needed.filter(|key| !seen.contains_key(key)).collect();
        for key in absent {
            let value = FIXED.iter().find(|&&(fixed, _)| fixed == key);
            let value = value.map_or("9, if there are 9 nodes", |&(_, value)| value);
            self.mistake(
                Code::MissingKey,
                0..0,
                [
                    format!("the line with {key} is missing"),
                    String::new(),
                    format!("add a line {key} : {value}"),
                ],
            );
        }
        if header.section.is_none() {
            let end = self.source.text.len();
            self.mistake(
                Code::MissingKey,
                end..end,
                [
                    format!("there is no {SECTION}"),
                    "the file ends without a matrix".into(),
                    format!("add {SECTION}, the number of nodes and the matrix"),
                ],
            );
        }
    }

    fn matrix(
        &mut self,
        section: Range<usize>,
        dimension: Option<&(usize, Range<usize>)>,
    ) -> Option<Matrix> {
        let before = self.mistakes.len();
        let entries = self.entries(section.clone());
        if self.has_enough() {
            return None;
        }
        let bare = dimension.is_none();
        let n = match dimension {
            Some(&(n, _)) => n,
            // A bare matrix: with or without the number of nodes before it.
            None => size_of_bare(&self.source.text[section.clone()], &entries),
        };
        if PROBLEM_STEPS.is_less_than(n) {
            let said = dimension.map(|(_, bytes)| bytes);
            let place = said.or(entries.first().map(|(_, bytes)| bytes));
            let span = Span::new(self.source, place.cloned().unwrap_or(section));
            self.mistakes.push(if entries.len() < MOST_ENTRIES {
                PROBLEM_STEPS.refused("the problem", n, span)
            } else {
                PROBLEM_STEPS.refused_uncounted("the problem", span)
            });
            return None;
        }
        let square = n.checked_mul(n);
        let leading = square.is_some_and(|square| entries.len() != square);
        let numbers = if leading {
            entries.get(1..).unwrap_or(&[])
        } else {
            &entries[..]
        };
        if leading
            && let Some((found, bytes)) = entries.first()
            && usize::try_from(*found) != Ok(n)
            && !bare
        {
            let mut wrong = Diagnostic::mistake(
                Code::OutOfRange,
                Span::new(self.source, bytes.clone()),
                format!("the matrix begins with {found}, but there are {n} nodes"),
                "the number of nodes belongs here",
                "make the two numbers equal",
            );
            if let Some((_, said)) = dimension {
                wrong = wrong.and(Span::new(self.source, said.clone()), "said here");
            }
            self.mistakes.push(wrong);
        }
        if Some(numbers.len()) != square || n == 0 {
            let end = section.end;
            let [few, many] = ["too few", "too many"];
            let word = if square.is_none_or(|square| numbers.len() < square) {
                few
            } else {
                many
            };
            self.mistake(
                Code::OutOfRange,
                end..end,
                [
                    format!(
                        "the matrix has {} entries, {word} for {n} rows of {n}",
                        numbers.len()
                    ),
                    "the matrix ends here".into(),
                    "give the number of nodes once and then a full row for each node".into(),
                ],
            );
        }
        if self.mistakes.len() > before {
            return None;
        }
        let rows = numbers.chunks(n);
        let cost: Vec<Vec<i64>> = rows
            .map(|row| row.iter().map(|&(cost, _)| cost).collect())
            .collect();
        if let Some(circle) = circle(&cost) {
            let names: Vec<String> = circle.iter().map(ToString::to_string).collect();
            // The entry that says that the second node of the circle comes after the first.
            let (a, b) = (circle[0], circle[1 % circle.len()]);
            let bytes = numbers[b * n + a].1.clone();
            self.mistake(
                Code::Circle,
                bytes,
                [
                    format!(
                        "each of these nodes would have to come before the next, in a circle: {} (from 0)",
                        names.join(", ")
                    ),
                    format!("{a} before {b}"),
                    "remove one of these -1; the first node comes before all, the last after all".into(),
                ],
            );
            return None;
        }
        Some(Matrix { cost })
    }

    /// The numbers of a stretch of the text; those that are none are reported and read as 0.
    fn entries(&mut self, section: Range<usize>) -> Vec<(i64, Range<usize>)> {
        let text = &self.source.text[section.clone()];
        let mut entries = Vec::new();
        let origin = self.source.text.as_ptr() as usize;
        for word in text.split_whitespace().take(MOST_ENTRIES) {
            if self.has_enough() {
                break;
            }
            let from = word.as_ptr() as usize - origin;
            let bytes = from..from + word.len();
            let number = word.parse::<i64>();
            let why = match number {
                Err(_) => Some("is not a whole number"),
                Ok(cost) if cost < -1 => Some("is negative"),
                Ok(cost) if cost > LARGEST => Some("is too large"),
                Ok(_) => None,
            };
            if let Some(why) = why {
                let code = if number.is_ok() {
                    Code::OutOfRange
                } else {
                    Code::WrongType
                };
                self.mistake(
                    code,
                    bytes.clone(),
                    [
                        format!("`{word}` {why}"),
                        why.into(),
                        format!("write a cost from 0 to {LARGEST}, or -1 where the column comes before the row"),
                    ],
                );
            }
            entries.push((number.unwrap_or(0), bytes));
        }
        entries
    }
}

/// Where the matrix that begins at `from` ends: before `EOF` or with the text.
fn end_of_section(text: &str, from: usize) -> usize {
    text[from..].find("EOF").map_or(text.len(), |at| from + at)
}

/// The number of nodes of a bare matrix: a number that stands alone on the first line; else the root of the number of entries, or of one
/// less where the first entry is that root.
fn size_of_bare(text: &str, entries: &[(i64, Range<usize>)]) -> usize {
    let stated = entries.first().and_then(|&(n, _)| usize::try_from(n).ok());
    let mut lines = text.lines().filter(|line| !line.trim().is_empty());
    let first = lines.next().unwrap_or("");
    let alone = first.split_whitespace().nth(1).is_none() && lines.next().is_some();
    match stated {
        Some(n) if alone => n,
        _ if entries.len() == MOST_ENTRIES => PROBLEM_STEPS.most + 1,
        Some(n) if n.checked_mul(n) == Some(entries.len() - 1) && n > 0 => n,
        _ => entries.len().isqrt(),
    }
}

/// The precedences of a matrix, the first node before all and the last after all included: `after[a]` lists what a comes before.
fn precedences(cost: &[Vec<i64>]) -> Vec<Vec<usize>> {
    let n = cost.len();
    let says = |a: usize, b: usize| {
        a != b && (cost[b][a] == -1 || a == 0 || b == n - 1) || a == b && cost[a][a] == -1
    };
    (0..n)
        .map(|a| (0..n).filter(|&b| says(a, b)).collect())
        .collect()
}

/// Nodes each of which would have to come before the next, the last before the first; `None` if there is no such circle.
fn circle(cost: &[Vec<i64>]) -> Option<Vec<usize>> {
    let after = precedences(cost);
    let n = after.len();
    // 0: not met, 1: on the way, 2: done.
    let mut mark = vec![0u8; n];
    for root in 0..n {
        let mut way: Vec<(usize, usize)> = Vec::new();
        if mark[root] == 0 {
            mark[root] = 1;
            way.push((root, 0));
        }
        while let Some(&(node, at)) = way.last() {
            let Some(&next) = after[node].get(at) else {
                mark[node] = 2;
                way.pop();
                continue;
            };
            way.last_mut().expect("it was there a moment ago").1 += 1;
            if mark[next] == 1 {
                let from = way.iter().position(|&(w, _)| w == next);
                return Some(way[from.unwrap_or(0)..].iter().map(|&(w, _)| w).collect());
            }
            if mark[next] == 0 {
                mark[next] = 1;
                way.push((next, 0));
            }
        }
    }
    None
}

fn problem_of(name: &str, matrix: &Matrix) -> Problem {
    let cost = &matrix.cost;
    let n = cost.len();
    let largest = cost.iter().flatten().copied().max().unwrap_or(0).max(0);
    let mut path = vec![vec![largest; 2 * n]; 2 * n];
    for (p, row) in path.iter_mut().enumerate() {
        let i = p / 2;
        row[p] = 0;
        if p % 2 == 1 {
            for j in (0..n).filter(|&j| j != i && cost[i][j] >= 0) {
                row[2 * j] = cost[i][j];
            }
        }
    }
    let demands = precedences(cost)
        .into_iter()
        .enumerate()
        .flat_map(|(a, later)| {
            later.into_iter().map(move |b| Demand {
                kind: Kind::Precede(Precede { a, b }),
                weight: None,
            })
        })
        .collect();
    let step = |i: usize| Step {
        id: i.to_string(),
        side: Side::Both,
        duration: 0,
        setup: Vec::new(),
        start: 2 * i,
        end: 2 * i + 1,
        stage: None,
        group: None,
        optional: None,
    };
    Problem {
        title: name.to_owned(),
        facets: Vec::new(),
        postures: Postures {
            names: (0..n)
                .flat_map(|i| [format!("start of {i}"), format!("end of {i}")])
                .collect(),
            path,
        },
        start_setup: Vec::new(),
        start_posture: None,
        end: None,
        time_weight: 1,
        stop_weight: 0,
        steps: (0..n).map(step).collect(),
        demands,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::check::check;
    use crate::score::evaluate;

    const HEAD: &str = "NAME: tiny\nTYPE: SOP\nCOMMENT: made up\nDIMENSION: 3\nEDGE_WEIGHT_TYPE: EXPLICIT\nEDGE_WEIGHT_FORMAT: FULL_MATRIX\n";

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source {
            name: "a.sop".into(),
            text: text.into(),
        })
    }

    fn told(text: &str) -> Vec<(Code, usize, String)> {
        let mistakes = read(&source(text)).expect_err("the file has mistakes");
        mistakes
            .into_iter()
            .map(|m| (m.code, m.labels[0].span.line(), m.message))
            .collect()
    }

    #[test]
    fn a_file_becomes_a_well_formed_problem_whose_scores_are_costs_of_the_file() {
        let text = format!(
            "{HEAD}EDGE_WEIGHT_SECTION\n4\n0 3 4 99\n-1 0 5 6\n-1 7 0 8\n-1 -1 -1 0\nEOF\n"
        )
        .replace("DIMENSION: 3", "DIMENSION : 4");
        let problem = read(&source(&text)).expect("it is well formed");
        assert_eq!(problem.title, "tiny");
        assert_eq!(check(&problem), []);
        let judged = evaluate(&problem, &[0, 2, 1, 3], &vec![Vec::new(); 4]);
        assert!(judged.feasible(), "{judged:?}");
        assert_eq!(judged.score, 4 + 7 + 6);
        assert!(!evaluate(&problem, &[1, 0, 2, 3], &vec![Vec::new(); 4]).feasible());
    }

    #[test]
    fn a_bare_matrix_is_the_same_problem_with_and_without_its_size() {
        let rows = "0 3 99\n-1 0 5\n-1 -1 0\n";
        let with_head = format!("{HEAD}EDGE_WEIGHT_SECTION\n3\n{rows}EOF");
        let mut whole = read(&source(&with_head)).expect("it is well formed");
        whole.title.clear();
        for text in [rows.to_owned(), format!("3\n{rows}")] {
            assert!(recognises(&text));
            assert_eq!(read(&source(&text)), Ok(whole.clone()), "{text}");
        }
        assert!(recognises(&with_head));
        assert!(!recognises("{ \"segue_problem\": 1 }"));
    }

    #[test]
    fn all_mistakes_are_told_at_once_with_their_lines() {
        let text = "NAME: x\nTYPE: TSP\nTYPE: SOP\nDIMENSION: none\nWEIGHTS: 3\nEDGE_WEIGHT_TYPE: EXPLICIT\nnonsense\nEDGE_WEIGHT_SECTION\n3\n0 1.5 2\n-1 0 -2\n-1 -1 0\n";
        let found: Vec<(Code, usize)> = told(text).into_iter().map(|(c, l, _)| (c, l)).collect();
        assert_eq!(
            found,
            [
                (Code::MissingKey, 1),
                (Code::OutOfRange, 2),
                (Code::Duplicate, 3),
                (Code::OutOfRange, 4),
                (Code::UnknownKey, 5),
                (Code::Syntax, 7),
                (Code::WrongType, 10),
                (Code::OutOfRange, 11),
            ]
        );
    }

    #[test]
    fn a_matrix_of_the_wrong_size_is_refused() {
        let text = format!("{HEAD}EDGE_WEIGHT_SECTION\n3\n0 1 2\n-1 0\n");
        let found = told(&text);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].2.contains("too few"), "{found:?}");
        let text = format!("{HEAD}EDGE_WEIGHT_SECTION\n4\n0 1 2\n-1 0 1\n-1 -1 0\n");
        assert!(told(&text)[0].2.contains("begins with 4"));
        assert_eq!(told(HEAD)[0].0, Code::MissingKey);
    }

    #[test]
    fn a_number_that_stands_alone_before_a_matrix_is_its_size_and_another_size_is_refused() {
        for (text, part) in [
            ("4294967296\n0 1 2", "4,294,967,296 steps; at most 1,000"),
            ("5\n0 1 2\n", "too few for 5 rows of 5"),
            ("1\n0 3\n-1 0\n", "too many for 1 rows of 1"),
        ] {
            let found = told(text);
            assert_eq!(found.len(), 1, "{text}: {found:?}");
            assert!(found[0].2.contains(part), "{text}: {found:?}");
        }
    }

    #[test]
    fn more_nodes_than_are_searched_are_refused_before_there_is_a_problem_of_them() {
        let n = PROBLEM_STEPS.most + 1;
        let square = "0 ".repeat(n * n);
        for text in [
            format!("{HEAD}{SECTION}\n{n}\n").replace("DIMENSION: 3", &format!("DIMENSION: {n}")),
            format!("{n}\n{square}"),
            square,
        ] {
            let found = told(&text);
            assert_eq!(found.len(), 1, "{found:?}");
            assert_eq!(found[0].0, Code::TooLarge);
            assert!(found[0].2.contains("at most 1,000"), "{found:?}");
        }
    }

    #[test]
    fn of_very_many_mistakes_so_many_are_told() {
        for text in [
            format!("0 {}", "x ".repeat(10_000)),
            "x: 1\n".repeat(10_000),
        ] {
            let many = told(&text).len();
            assert!((MISTAKES..MISTAKES + 2).contains(&many), "{many}");
        }
    }

    #[test]
    fn precedences_in_a_circle_are_told_with_their_nodes() {
        let text = "0 1 2 9\n-1 0 -1 1\n-1 -1 0 1\n-1 -1 -1 0\n";
        let found = told(text);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].0, Code::Circle);
        assert!(found[0].2.contains("1, 2") || found[0].2.contains("2, 1"));
    }
}
