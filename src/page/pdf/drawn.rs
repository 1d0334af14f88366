//! The picture of the class, as many rows on a page as it holds.

use super::face::Weight;
use super::setting::{Block, ROOM, Setter};
use super::sheet::heading;
use super::sketch::{BOTTOM, Ink, Kind, MARGIN, Mark, NodeId};
use crate::page::picture::{self, Box, Fill, Picture};
use crate::report::timeline::Timeline;

const HEADING: f64 = 11.5;
/// Points to a unit of the picture: its names come out at nearly 11, its small letters at 9.
const SCALE: f64 = 0.9;
/// From hatch to hatch, in units of the picture.
const HATCHES: f64 = 5.0;

/// Sets the picture on pages of its own.
pub fn set(setter: &mut Setter<'_>, strip: &Timeline, below: NodeId, level: u16) {
    if strip.stretches.is_empty() {
        return;
    }
    setter.turn();
    heading(
        setter,
        below,
        "The class along the clock",
        level,
        HEADING,
        0.0,
    );
    let (_, top) = setter.here();
    let room = (BOTTOM - top) / SCALE;
    for (k, drawn) in picture::parts(strip, ROOM / SCALE, room).iter().enumerate() {
        if k > 0 {
            setter.turn();
        }
        let (page, top) = setter.here();
        let scale = SCALE.min((BOTTOM - top) / drawn.height);
        let corner = [
            MARGIN,
            top,
            MARGIN + drawn.width * scale,
            top + drawn.height * scale,
        ];
        let figure = setter.part(below, Kind::Figure(drawn.shows.clone(), page, corner));
        let block = inked(drawn, scale, figure);
        setter.place(block, 0.0);
    }
}

fn inked(drawn: &Picture, scale: f64, figure: NodeId) -> Block {
    let mut block = Block {
        marks: Vec::new(),
        height: drawn.height * scale,
    };
    let mut mark = |x: f64, y: f64, ink: Ink| {
        block.marks.push(Mark {
            x: x * scale,
            y: y * scale,
            ink,
            part: Some(figure),
        });
    };
    for b in &drawn.boxes {
        let (shade, outline) = match b.fill {
            Fill::Plain | Fill::Hatched => (255, true),
            Fill::Solid => (0, false),
            Fill::Hair => (154, false),
        };
        let ink = Ink::Box {
            w: b.w * scale,
            h: b.h * scale,
            shade,
            outline,
        };
        if b.w > 0.0 && b.h > 0.0 {
            mark(b.x, b.y, ink);
        }
        if b.fill == Fill::Hatched {
            for [x, y, to_x, to_y] in hatches(b) {
                let ink = Ink::Line {
                    dx: (to_x - x) * scale,
                    dy: (to_y - y) * scale,
                };
                mark(x, y, ink);
            }
        }
    }
    for t in &drawn.texts {
        let ink = Ink::Words {
            text: super::face::settable(&t.words),
            size: t.size * scale,
            weight: if t.bold {
                Weight::Bold
            } else {
                Weight::Regular
            },
            soft: false,
            turned: t.turned,
            pitch: None,
        };
        mark(t.x, t.y, ink);
    }
    block
}

/// Lines that fall to the left across a box, cut at its sides.
fn hatches(b: &Box) -> Vec<[f64; 4]> {
    let mut lines = Vec::new();
    let mut along = HATCHES;
    while along < b.w + b.h {
        // Where x - left + y - top = along.
        let (low, high) = ((along - b.h).max(0.0), along.min(b.w));
        lines.push([b.x + high, b.y + along - high, b.x + low, b.y + along - low]);
        along += HATCHES;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatches_stay_inside_their_box() {
        let b = Box {
            x: 10.0,
            y: 20.0,
            w: 17.0,
            h: 60.0,
            fill: Fill::Hatched,
        };
        let lines = hatches(&b);
        assert!(lines.len() > 10);
        for [x, y, to_x, to_y] in lines {
            for (x, y) in [(x, y), (to_x, to_y)] {
                assert!((b.x..=b.x + b.w).contains(&x), "{x}");
                assert!((b.y..=b.y + b.h).contains(&y), "{y}");
            }
            assert!((x - to_x - (to_y - y)).abs() < 1e-9);
        }
    }
}
