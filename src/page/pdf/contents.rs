//! What a document of several classes begins with, and the foot of each page.

use super::setting::{ROOM, Setter, bold, plain, soft};
use super::sheet::heading;
use super::sketch::{HEIGHT, Ink, Kind, MARGIN, Mark, NodeId, WIDTH};

const TITLE: f64 = 22.0;
const TEXT: f64 = 11.0;
const FOOT: f64 = 8.0;

/// A line of the contents, before it is known where it leads.
pub struct Listed {
    link: NodeId,
    says: String,
    page: usize,
    top: f64,
    height: f64,
}

/// Sets the title of the document and the list of its classes.
pub fn begin(setter: &mut Setter<'_>, title: &str, classes: &[String]) -> Vec<Listed> {
    heading(setter, 0, title, 1, TITLE, 40.0);
    setter.gap(12.0);
    let contents = setter.part(0, Kind::Contents);
    let mut listed = Vec::new();
    for (n, class) in classes.iter().enumerate() {
        let item = setter.part(contents, Kind::ContentsItem);
        let link = setter.part(item, Kind::Link);
        let says = format!("{}. {class}", n + 1);
        let mut block = setter.set(&[plain(&*says)], TEXT, ROOM - 40.0, Some(link));
        block.height += 4.0;
        let height = block.height;
        setter.place(block, 0.0);
        let (page, y) = setter.here();
        listed.push(Listed {
            link,
            says,
            page,
            top: y - height,
            height,
        });
    }
    listed
}

/// Says of each line on which page its class begins, and leads there.
pub fn end(setter: &mut Setter<'_>, listed: &[Listed], begun: &[NodeId]) {
    for (line, &to) in listed.iter().zip(begun) {
        let places = &setter.sketch.places;
        let page = places.iter().find(|(part, ..)| *part == to);
        let number = bold(format!("{}", page.map_or(0, |(_, page, _)| page + 1)));
        let block = setter.set(std::slice::from_ref(&number), TEXT, 40.0, Some(line.link));
        let x = MARGIN + ROOM - setter.width(&number, TEXT);
        let marks = block.marks.into_iter().map(|m| Mark {
            x: m.x + x,
            y: m.y + line.top,
            ..m
        });
        let leads = Mark {
            x: MARGIN,
            y: line.top,
            ink: Ink::Leads {
                w: ROOM,
                h: line.height,
                to,
                says: line.says.clone(),
            },
            part: Some(line.link),
        };
        setter.sketch.pages[line.page].extend(marks.chain([leads]));
    }
}

/// The title and the number at the foot of every page, where there is more than one.
pub fn feet(setter: &mut Setter<'_>, title: &str) {
    let all = setter.sketch.pages.len();
    if all < 2 {
        return;
    }
    for page in 0..all {
        let run = soft(format!("{title}, page {} of {all}", page + 1));
        let block = setter.set(std::slice::from_ref(&run), FOOT, ROOM, None);
        let x = ((WIDTH - setter.width(&run, FOOT)) / 2.0).max(MARGIN);
        // Of a title that needs more than one line the first is enough.
        let first = block.marks.into_iter().take(1);
        setter.sketch.pages[page].extend(first.map(|m| Mark {
            x,
            y: HEIGHT - MARGIN,
            ..m
        }));
    }
}
