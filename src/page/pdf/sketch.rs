//! A document as marks on pages and the tree of what they mean, before it is written: pure figures, so that a test can measure it.

use super::face::Weight;

/// Width of a page of A4 in points (ISO 216: 210 mm).
pub const WIDTH: f64 = 595.28;
/// Height of a page of A4 in points (297 mm).
pub const HEIGHT: f64 = 841.89;
/// White at every side; printers for home use need some 6 mm.
pub const MARGIN: f64 = 40.0;
/// Where the foot of the page begins.
pub const BOTTOM: f64 = HEIGHT - MARGIN - 14.0;

/// A place in the tree of meanings.
pub type NodeId = usize;

/// What a part of the document is.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// All of it.
    Document,
    /// A class.
    Article,
    /// A heading and its level.
    Heading(u16, String),
    /// A paragraph.
    Paragraph,
    /// A list without numbers.
    List,
    /// One item of it.
    Item,
    /// What the item says.
    ItemBody,
    /// The dot before it.
    ItemLabel,
    /// A table.
    Table,
    /// Its head.
    TableHead,
    /// Its rows.
    TableBody,
    /// One row.
    Row,
    /// Names a column.
    ColumnHeading,
    /// Names a row.
    RowHeading,
    /// A cell that spans this many columns.
    Cell(u32),
    /// A table of contents.
    Contents,
    /// A line of it.
    ContentsItem,
    /// A link.
    Link,
    /// A picture and what it shows, on a page and in a box (left, top, right, bottom).
    Figure(String, usize, [f64; 4]),
}

/// One part of the document.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// What it is.
    pub kind: Kind,
    /// Its parts in reading order.
    pub parts: Vec<NodeId>,
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Ink {
    /// Words from where their line begins.
    Words {
        /// The letters.
        text: String,
        /// Their size.
        size: f64,
        /// Their weight.
        weight: Weight,
        /// Grey instead of black.
        soft: bool,
        /// Whether they run upwards.
        turned: bool,
        /// How far every letter takes the pen, in parts of the size; otherwise each as it is.
        pitch: Option<f64>,
    },
    /// A box of this width and height, from its upper left corner.
    Box {
        /// Width.
        w: f64,
        /// Height.
        h: f64,
        /// How dark it is filled, from 0 (black) to 255 (white).
        shade: u8,
        /// Whether it has an outline.
        outline: bool,
    },
    /// A thin line that goes so far.
    Line {
        /// Across.
        dx: f64,
        /// Down.
        dy: f64,
    },
    /// A box that leads to the place where a part begins.
    Leads {
        /// Width.
        w: f64,
        /// Height.
        h: f64,
        /// Where it leads.
        to: NodeId,
        /// What it says.
        says: String,
    },
}

/// Ink at a place; without a part of the document it is decoration.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// What is drawn.
    pub ink: Ink,
    /// What it belongs to.
    pub part: Option<NodeId>,
}

/// A document before it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Sketch {
    /// What it is called.
    pub title: String,
    /// Marks, page by page, in the order in which they are drawn.
    pub pages: Vec<Vec<Mark>>,
    /// The tree; the first is the document itself.
    pub nodes: Vec<Node>,
    /// Where headings stand: the part, its page, from the top.
    pub places: Vec<(NodeId, usize, f64)>,
}

impl Sketch {
    /// One without pages.
    pub fn new(title: &str) -> Self {
        Self {
            title: title.into(),
            pages: Vec::new(),
            nodes: vec![Node {
                kind: Kind::Document,
                parts: Vec::new(),
            }],
            places: Vec::new(),
        }
    }

    /// Adds a part below another.
    pub fn part(&mut self, below: NodeId, kind: Kind) -> NodeId {
        let id = self.nodes.len();
        self.nodes.push(Node {
            kind,
            parts: Vec::new(),
        });
        self.nodes[below].parts.push(id);
        id
    }
}
