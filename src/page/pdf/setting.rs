//! Setting words into lines, lines into blocks, and blocks onto pages.

use super::face::{Faces, Weight, settable};
use super::sketch::{BOTTOM, Ink, Kind, MARGIN, Mark, NodeId, Sketch, WIDTH};

/// From line to line, in parts of the size.
const LEADING: f64 = 1.32;
/// Where letters stand in their line, in parts of the size from its top.
const FOOT: f64 = 1.02;
/// How far each letter of a table made with spaces takes the pen.
const PITCH: f64 = 0.6;
/// Width that can be written on.
pub const ROOM: f64 = WIDTH - 2.0 * MARGIN;

/// Words in one look. Between two runs there is a space.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    text: String,
    weight: Weight,
    soft: bool,
}

/// Words as they are.
pub fn plain(text: impl Into<String>) -> Run {
    Run {
        text: text.into(),
        weight: Weight::Regular,
        soft: false,
    }
}

/// Words to be found.
pub fn bold(text: impl Into<String>) -> Run {
    Run {
        weight: Weight::Bold,
        ..plain(text)
    }
}

/// Words that stand back.
pub fn soft(text: impl Into<String>) -> Run {
    Run {
        soft: true,
        ..plain(text)
    }
}

/// Marks with their own upper left corner, and how tall they are together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Block {
    /// Marks, placed from the corner of the block.
    pub marks: Vec<Mark>,
    /// Height.
    pub height: f64,
}

impl Block {
    /// Puts another one into it.
    pub fn put(&mut self, other: Block, x: f64, y: f64) {
        self.height = self.height.max(y + other.height);
        self.marks.extend(other.marks.into_iter().map(|m| Mark {
            x: m.x + x,
            y: m.y + y,
            ..m
        }));
    }

    /// Puts another one below it.
    pub fn below(&mut self, other: Block, x: f64, gap: f64) {
        self.put(other, x, self.height + gap);
    }
}

/// Puts blocks onto pages.
pub struct Setter<'a> {
    faces: &'a Faces,
    /// What has been set.
    pub sketch: Sketch,
    y: f64,
    /// Stands at the top of each new page, as decoration.
    pub head: Option<Block>,
}

impl<'a> Setter<'a> {
    /// An empty document.
    pub fn new(faces: &'a Faces, title: &str) -> Self {
        Self {
            faces,
            sketch: Sketch::new(title),
            y: BOTTOM,
            head: None,
        }
    }

    /// An empty one with the same letters.
    pub fn blank(&self) -> Self {
        Self::new(self.faces, "")
    }

    /// Begins a page.
    pub fn turn(&mut self) {
        self.sketch.pages.push(Vec::new());
        self.y = MARGIN;
        if let Some(mut head) = self.head.clone() {
            for mark in &mut head.marks {
                mark.part = None;
            }
            self.ink(head);
        }
    }

    /// The page that is written on, and how far down.
    pub fn here(&self) -> (usize, f64) {
        (self.sketch.pages.len().saturating_sub(1), self.y)
    }

    /// Leaves white.
    pub fn gap(&mut self, gap: f64) {
        self.y += gap;
    }

    /// Puts a block where it is as a whole on one page, with this much more room below it. One that is taller than a page is cut between its lines.
    pub fn place(&mut self, block: Block, more: f64) {
        let needed = block.height + more;
        let fresh = self.sketch.pages.is_empty();
        if fresh || (self.y + needed > BOTTOM && self.y > self.top()) {
            self.turn();
        }
        if self.y + block.height <= BOTTOM {
            self.ink(block);
        } else {
            self.cut(block);
        }
    }

    /// Where the first block of a page comes to stand.
    fn top(&self) -> f64 {
        MARGIN + self.head.as_ref().map_or(0.0, |h| h.height)
    }

    fn ink(&mut self, block: Block) {
        let y = self.y;
        let page = self.sketch.pages.last_mut().expect("a page was begun");
        page.extend(block.marks.into_iter().map(|m| Mark {
            x: m.x + MARGIN,
            y: m.y + y,
            ..m
        }));
        self.y += block.height;
    }

    /// Line by line; a box that reaches across the cut is left out, for boxes of blocks only set words off.
    fn cut(&mut self, block: Block) {
        let height = |mark: &Mark| match &mark.ink {
            Ink::Words { size, .. } => size * LEADING,
            Ink::Box { h, .. } | Ink::Leads { h, .. } => *h,
            Ink::Line { .. } => 0.0,
        };
        let top = |mark: &Mark| match &mark.ink {
            Ink::Words { size, .. } => mark.y - size * FOOT,
            Ink::Box { .. } | Ink::Leads { .. } | Ink::Line { .. } => mark.y,
        };
        let mut marks = block.marks;
        marks.sort_by(|a, b| top(a).total_cmp(&top(b)));
        let mut above = 0.0;
        let mut last = 0.0;
        for mark in marks {
            let (begin, tall) = (top(&mark), height(&mark));
            if self.y + begin + tall - above > BOTTOM {
                if !matches!(mark.ink, Ink::Words { .. }) {
                    continue;
                }
                self.turn();
                above = begin;
            }
            last = begin + tall - above;
            let one = Block {
                marks: vec![Mark {
                    y: mark.y - above,
                    ..mark
                }],
                height: 0.0,
            };
            self.ink(one);
        }
        self.y += last;
    }

    /// Adds a part.
    pub fn part(&mut self, below: NodeId, kind: Kind) -> NodeId {
        self.sketch.part(below, kind)
    }

    /// Runs as lines that are no wider than the room; they belong to the part.
    pub fn set(&self, runs: &[Run], size: f64, room: f64, part: Option<NodeId>) -> Block {
        let mut block = Block::default();
        for line in self.lines(runs, size, room) {
            for (x, run) in line {
                let ink = Ink::Words {
                    text: run.text,
                    size,
                    weight: run.weight,
                    soft: run.soft,
                    turned: false,
                    pitch: None,
                };
                let y = block.height + size * FOOT;
                block.marks.push(Mark { x, y, ink, part });
            }
            block.height += size * LEADING;
        }
        block
    }

    /// A row of a table made with spaces: every letter equally wide, and as small as it must be.
    pub fn set_fixed(&self, text: &str, size: f64, room: f64, part: Option<NodeId>) -> Block {
        let text = settable(text);
        let letters = text.chars().count().max(1) as f64;
        let size = size.min(room / letters / PITCH);
        let ink = Ink::Words {
            text,
            size,
            weight: Weight::Regular,
            soft: false,
            turned: false,
            pitch: Some(PITCH),
        };
        Block {
            marks: vec![Mark {
                x: 0.0,
                y: size * FOOT,
                ink,
                part,
            }],
            height: size * LEADING,
        }
    }

    /// How wide words come out.
    pub fn width(&self, run: &Run, size: f64) -> f64 {
        let text = settable(&run.text);
        self.faces.of(run.weight).width(&text, size)
    }

    /// Lines of pieces, each with where it begins. Where a space follows, the piece ends with it, so that what is read aloud or copied has it.
    fn lines(&self, runs: &[Run], size: f64, room: f64) -> Vec<Vec<(f64, Run)>> {
        let mut lines: Vec<Vec<(f64, Run)>> = Vec::new();
        let mut line: Vec<(f64, Run)> = Vec::new();
        let mut x = 0.0;
        for run in runs {
            let face = self.faces.of(run.weight);
            let space = face.width(" ", size);
            for word in settable(&run.text).split_whitespace() {
                let mut word = word.to_owned();
                let mut wide = face.width(&word, size);
                if x + wide > room && !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                    x = 0.0;
                }
                while wide > room {
                    let fits = self.fits(&word, run.weight, size, room);
                    let rest = word.split_off(fits);
                    let text = std::mem::replace(&mut word, rest);
                    lines.push(vec![(
                        0.0,
                        Run {
                            text,
                            ..run.clone()
                        },
                    )]);
                    wide = face.width(&word, size);
                }
                match line.last_mut() {
                    Some((_, last)) if last.weight == run.weight && last.soft == run.soft => {
                        last.text.push_str(&word);
                        last.text.push(' ');
                    }
                    Some(_) | None => {
                        let text = format!("{word} ");
                        line.push((
                            x,
                            Run {
                                text,
                                ..run.clone()
                            },
                        ));
                    }
                }
                x += wide + space;
            }
        }
        lines.extend((!line.is_empty()).then_some(line));
        lines
    }

    /// How many bytes of a word fit into the room; at least one letter.
    fn fits(&self, word: &str, weight: Weight, size: f64, room: f64) -> usize {
        let face = self.faces.of(weight);
        let mut x = 0.0;
        for (at, c) in word.char_indices() {
            x += face.letter(c).advance * size;
            if x > room && at > 0 {
                return at;
            }
        }
        word.len()
    }
}
