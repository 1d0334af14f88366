//! A sketch as a file in PDF 1.7, tagged after PDF/UA-1 (ISO 14289-1); the writer refuses what its checks of that standard do not pass.

use std::num::{NonZeroU16, NonZeroU32};

use krilla::Document;
use krilla::SerializeSettings;
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::luma;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::{Page, PageSettings};
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, ListNumbering, SpanTag, TableHeaderScope,
    Tag, TagGroup, TagKind, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::face::{Faces, Weight};
use super::sketch::{HEIGHT, Ink, Kind, Mark, NodeId, Sketch, WIDTH};

/// How dark words are that stand back; 5.9 to 1 on white.
const SOFT: u8 = 96;

/// The sketch as a file.
///
/// # Errors
/// What the standard asks for and the sketch lacks, or a face that cannot be embedded.
pub fn write(sketch: &Sketch, faces: &Faces) -> Result<Vec<u8>, String> {
    let settings = SerializeSettings {
        configuration: (ConfigurationBuilder::new())
            .with_accessibility_validator(Accessibility::UA1)
            .finish()
            .map_err(|e| format!("{e:?}"))?,
        ..SerializeSettings::default()
    };
    let mut document = Document::new_with(settings);
    let pen = Pen {
        faces,
        regular: font(Weight::Regular)?,
        bold: font(Weight::Bold)?,
    };
    let mut leaves: Vec<Vec<Identifier>> = vec![Vec::new(); sketch.nodes.len()];
    for marks in &sketch.pages {
        let settings = PageSettings::from_wh(WIDTH as f32, HEIGHT as f32);
        let mut page = document.start_page_with(settings.ok_or("a page has a size")?);
        pen.page(&mut page, sketch, marks, &mut leaves)?;
        page.finish();
    }
    let mut tree = TagTree::new();
    for &part in &sketch.nodes[0].parts {
        tree.push(group(sketch, &mut leaves, part));
    }
    document.set_tag_tree(tree);
    document.set_outline(outline(sketch));
    document.set_metadata(
        Metadata::new()
            .title(sketch.title.clone())
            .language("en".into())
            .creator("segue".into()),
    );
    document.finish().map_err(|e| format!("{e:?}"))
}

fn font(weight: Weight) -> Result<Font, String> {
    Font::new(weight.file().to_vec().into(), 0).ok_or_else(|| "the face cannot be embedded".into())
}

struct Pen<'a> {
    faces: &'a Faces,
    regular: Font,
    bold: Font,
}

impl Pen<'_> {
    fn page(
        &self,
        page: &mut Page<'_>,
        sketch: &Sketch,
        marks: &[Mark],
        leaves: &mut [Vec<Identifier>],
    ) -> Result<(), String> {
        let mut surface = page.surface();
        // What follows one another and belongs together is one sequence.
        for run in marks.chunk_by(|a, b| a.part == b.part) {
            if run.iter().all(|m| matches!(m.ink, Ink::Leads { .. })) {
                continue;
            }
            let tag = match run[0].part {
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
                Some(part) if matches!(sketch.nodes[part].kind, Kind::Figure(..)) => {
                    ContentTag::Other
                }
                Some(_) => ContentTag::Span(SpanTag::empty()),
            };
            let leaf = surface.start_tagged(tag);
            for mark in run {
                self.mark(&mut surface, mark)?;
            }
            surface.end_tagged();
            if let Some(part) = run[0].part {
                leaves[part].push(leaf);
            }
        }
        surface.finish();
        for mark in marks {
            let (Ink::Leads { w, h, to, says }, Some(part)) = (&mark.ink, mark.part) else {
                continue;
            };
            let target = place(sketch, *to).ok_or("a link leads nowhere")?;
            let link = LinkAnnotation::new(
                rect(mark.x, mark.y, *w, *h)?,
                Target::Destination(target.into()),
            );
            let annotation = Annotation::new_link(link, Some(says.clone()));
            leaves[part].push(page.add_tagged_annotation(annotation));
        }
        Ok(())
    }

    fn mark(&self, surface: &mut Surface<'_>, mark: &Mark) -> Result<(), String> {
        match &mark.ink {
            Ink::Words { .. } => self.words(surface, mark),
            Ink::Box {
                w,
                h,
                shade,
                outline,
            } => {
                let mut path = PathBuilder::new();
                path.push_rect(rect(mark.x, mark.y, *w, *h)?);
                surface.set_fill(Some(grey(*shade)));
                surface.set_stroke(outline.then(|| Stroke {
                    paint: luma::Color::black().into(),
                    width: 0.5,
                    ..Stroke::default()
                }));
                surface.draw_path(&path.finish().ok_or("a box has a size")?);
                surface.set_stroke(None);
            }
            Ink::Line { dx, dy } => {
                let mut path = PathBuilder::new();
                path.move_to(mark.x as f32, mark.y as f32);
                path.line_to((mark.x + dx) as f32, (mark.y + dy) as f32);
                if let Some(path) = path.finish() {
                    surface.set_fill(None);
                    surface.set_stroke(Some(Stroke {
                        paint: luma::Color::black().into(),
                        width: 0.4,
                        ..Stroke::default()
                    }));
                    surface.draw_path(&path);
                    surface.set_stroke(None);
                }
            }
            Ink::Leads { .. } => {}
        }
        Ok(())
    }

    fn words(&self, surface: &mut Surface<'_>, mark: &Mark) {
        let Ink::Words {
            text,
            size,
            weight,
            soft,
            turned,
            pitch,
        } = &mark.ink
        else {
            return;
        };
        let face = self.faces.of(*weight);
        let glyphs: Vec<KrillaGlyph> = (text.char_indices())
            .map(|(at, c)| {
                let letter = face.letter(c);
                let advance = pitch.unwrap_or(letter.advance);
                KrillaGlyph {
                    glyph_id: GlyphId::new(letter.shape),
                    text_range: at..at + c.len_utf8(),
                    x_advance: advance as f32,
                    x_offset: ((advance - letter.advance) / 2.0) as f32,
                    y_offset: 0.0,
                    y_advance: 0.0,
                    location: None,
                }
            })
            .collect();
        let font = match weight {
            Weight::Regular => &self.regular,
            Weight::Bold => &self.bold,
        };
        surface.set_fill(Some(grey(if *soft { SOFT } else { 0 })));
        let mut at = Point::from_xy(mark.x as f32, mark.y as f32);
        if *turned {
            surface.push_transform(&Transform::from_row(0.0, -1.0, 1.0, 0.0, at.x, at.y));
            at = Point::from_xy(0.0, 0.0);
        }
        surface.draw_glyphs(at, &glyphs, font.clone(), text, *size as f32, false);
        if *turned {
            surface.pop();
        }
    }
}

fn grey(shade: u8) -> Fill {
    Fill {
        paint: luma::Color::new(shade).into(),
        opacity: NormalizedF32::ONE,
        ..Fill::default()
    }
}

fn rect(x: f64, y: f64, w: f64, h: f64) -> Result<Rect, String> {
    Rect::from_xywh(x as f32, y as f32, w as f32, h as f32)
        .ok_or_else(|| format!("no box of {w} by {h}"))
}

fn place(sketch: &Sketch, part: NodeId) -> Option<XyzDestination> {
    let (_, page, y) = sketch.places.iter().find(|(p, ..)| *p == part)?;
    Some(XyzDestination::new(*page, Point::from_xy(0.0, *y as f32)))
}

/// A part with all that is below it; what was drawn for it comes before its parts.
fn group(sketch: &Sketch, leaves: &mut [Vec<Identifier>], part: NodeId) -> TagGroup {
    let node = &sketch.nodes[part];
    let mut group = TagGroup::new(tag(&node.kind));
    for leaf in std::mem::take(&mut leaves[part]) {
        group.push(leaf);
    }
    for &below in &node.parts {
        group.push(self::group(sketch, leaves, below));
    }
    group
}

fn tag(kind: &Kind) -> TagKind {
    match kind {
        Kind::Document => Tag::Part.into(),
        Kind::Article => Tag::Article.into(),
        Kind::Heading(level, title) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(title.clone())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List => Tag::L(ListNumbering::Disc).into(),
        Kind::Item => Tag::LI.into(),
        Kind::ItemLabel => Tag::Lbl.into(),
        Kind::ItemBody => Tag::LBody.into(),
        Kind::Table => Tag::Table.into(),
        Kind::TableHead => Tag::THead.into(),
        Kind::TableBody => Tag::TBody.into(),
        Kind::Row => Tag::TR.into(),
        Kind::ColumnHeading => Tag::TH(TableHeaderScope::Column).into(),
        Kind::RowHeading => Tag::TH(TableHeaderScope::Row).into(),
        Kind::Cell(columns) => {
            let wide = NonZeroU32::new(*columns).filter(|c| c.get() > 1);
            Tag::TD.with_col_span(wide).into()
        }
        Kind::Contents => Tag::TOC.into(),
        Kind::ContentsItem => Tag::TOCI.into(),
        Kind::Link => Tag::Link.into(),
        Kind::Figure(shows, page, [left, top, right, bottom]) => {
            let room = Rect::from_ltrb(*left as f32, *top as f32, *right as f32, *bottom as f32);
            let room = room.map(|r| BBox::new(*page, r));
            Tag::Figure(Some(shows.clone())).with_bbox(room).into()
        }
    }
}

/// Headings as the list that readers show beside the document, those of lower level below the others.
fn outline(sketch: &Sketch) -> Outline {
    let mut outline = Outline::new();
    let headings: Vec<(u16, OutlineNode)> = (sketch.places.iter())
        .filter_map(|&(part, page, y)| {
            let Kind::Heading(level, title) = &sketch.nodes[part].kind else {
                return None;
            };
            let place = XyzDestination::new(page, Point::from_xy(0.0, y as f32));
            Some((*level, OutlineNode::new(title.clone(), place)))
        })
        .collect();
    let mut rest = headings.into_iter().peekable();
    while let Some((level, node)) = rest.next() {
        outline.push_child(filled(node, level, &mut rest));
    }
    outline
}

fn filled(
    mut node: OutlineNode,
    level: u16,
    rest: &mut std::iter::Peekable<std::vec::IntoIter<(u16, OutlineNode)>>,
) -> OutlineNode {
    while let Some((below, child)) = rest.next_if(|(l, _)| *l > level) {
        node.push_child(filled(child, below, rest));
    }
    node
}
