//! Characters that steer how other text is shown instead of being shown themselves, and what stands in their place.
//!
//! Titles, names and notes may come from anybody, in a class, in the file of a machine or in a problem file; file names and arguments are no better. All letters are theirs
//! to use, of whatever script and direction, with the joiners that some scripts need (U+200C, U+200D). What [`steers`] is not, since it reaches beyond its own text:
//!
//! - Controls (U+0000 to U+001F, U+007F to U+009F) move the cursor, colour, clear and rename a terminal; U+009B alone does what ESC and `[` do. XML allows hardly any of them.
//! - The line and paragraph separators (U+2028, U+2029) begin a new line for some readers and none for others.
//! - Marks, embeddings, overrides and isolates of direction (U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069) show what follows in another order than it has, springs and
//!   clock on the same line among it. Letters bring their own direction and are in no need of them.
//! - Deprecated format characters (U+206A to U+206F) and frames of annotations (U+FFF9 to U+FFFB) do the same to mirroring, shapes and what is seen at all.
//! - Noncharacters (U+FFFE and U+FFFF of each plane, U+FDD0 to U+FDEF) are no text; XML forbids the first two.
//!
//! Each is taken out once, where text becomes a form of output, before it is measured and broken into lines. What is kept inside the program is what was written: ids, searches and
//! the files that are read see no difference.
//!
//! | form | border | what stands there |
//! | --- | --- | --- |
//! | standard output | `report::drawn`: nothing else can be printed; sheets in `report::terminal`, before our own styles | as [`line()`]: a blank for what is one, else U+FFFD, which is seen and as wide as a letter |
//! | standard error | `report::mistakes::draw` for diagnostics, `cli::voice` for sentences, `cli::mod` for usage; what is logged is quoted as Rust quotes | as [`spelt`]: `\u{9b}`, so that the reader finds it in the file; the lines of a file as [`text`], letter for letter, so that the caret stands below its column |
//! | HTML, SVG, PDF, Markdown, CSV, calendar | the function of `page` that draws the form | as [`line()`]: a sheet is read by people, who miss nothing |
//! | DOT | `cli::export` | as [`line()`] |
//! | JSON | `report::drawn`, `session::render` | as [`json`]: the escape that JSON has for it; a program reads the very text |

/// What stands for a character that steers and is no blank.
const REPLACEMENT: char = '\u{fffd}';

/// Whether a character steers what is shown around it instead of being shown.
pub fn steers(c: char) -> bool {
    let noncharacter = |c: char| u32::from(c) & 0xfffe == 0xfffe;
    match c {
        '\u{61c}'
        | '\u{200e}'..='\u{200f}'
        | '\u{2028}'..='\u{202e}'
        | '\u{2066}'..='\u{206f}'
        | '\u{fdd0}'..='\u{fdef}'
        | '\u{fff9}'..='\u{fffb}' => true,
        c => c.is_control() || noncharacter(c),
    }
}

/// A text for one line: a blank for what steers and is blank (tabs, ends of lines), U+FFFD for what else steers. As many characters as before.
pub fn line(text: &str) -> String {
    let shown = |c: char| match c {
        c if !steers(c) => c,
        c if c.is_whitespace() => ' ',
        _ => REPLACEMENT,
    };
    text.chars().map(shown).collect()
}

/// A text of several lines: its tabs and ends of lines (LF, CR LF) stay, U+FFFD for what else steers. As many characters as before.
pub fn text(text: &str) -> String {
    letters(text).map(|(_, c)| c).collect()
}

/// The characters of [`text`], each with the byte at which it stands in what it was made from.
pub fn letters(text: &str) -> impl Iterator<Item = (usize, char)> {
    text.char_indices().map(|(at, c)| {
        let stays = match c {
            '\n' | '\t' => true,
            '\r' => text[at..].starts_with("\r\n"),
            c => !steers(c),
        };
        (at, if stays { c } else { REPLACEMENT })
    })
}

/// A text for one line in which everything that steers is spelt as Rust spells it: `\n`, `\u{9b}`.
pub fn spelt(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '\n' | '\r' | '\t' => out.extend(c.escape_default()),
            c if steers(c) => out.extend(c.escape_unicode()),
            c => out.push(c),
        }
    }
    out
}

/// JSON in which everything that steers is escaped; only the line feeds between values stay. It means what it meant: such a character stands inside of strings alone.
pub fn json(json: &str) -> String {
    let mut out = String::new();
    for c in json.chars() {
        if c == '\n' || !steers(c) {
            out.push(c);
        } else {
            for unit in c.encode_utf16(&mut [0; 2]) {
                out.push_str(&format!("\\u{unit:04x}"));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEERING: &str = "\0\u{1}\t\n\r\u{1b}\u{7f}\u{85}\u{9b}\u{61c}\u{200e}\u{200f}\u{2028}\u{2029}\u{202a}\u{202e}\u{2066}\u{2069}\u{206a}\u{fff9}\u{fffe}\u{fdd0}\u{1ffff}";

    #[test]
    fn letters_of_every_direction_and_joiners_stay() {
        let shown = "Übung, \u{5e9}\u{5dc}\u{5d5}\u{5dd} \u{633}\u{644}\u{627}\u{645} \u{646}\u{645}\u{6cc}\u{200c}\u{62e}\u{648}\u{627}\u{647}\u{645} \u{dc1}\u{dca}\u{200d}\u{dbb}\u{dd3} \u{1f468}\u{200d}\u{1f373} \u{fffd}";
        for clean in [line, text, spelt, json] {
            assert_eq!(clean(shown), shown);
        }
    }

    #[test]
    fn nothing_that_steers_is_left_in_any_form() {
        for c in STEERING.chars() {
            assert!(steers(c), "{c:?}");
        }
        for clean in [line, spelt] {
            assert!(!clean(STEERING).contains(steers));
        }
        for clean in [text, json] {
            let left: String = clean(STEERING).chars().filter(|&c| steers(c)).collect();
            assert!(left.chars().all(|c| c == '\n' || c == '\t'), "{left:?}");
        }
        let as_long = STEERING.chars().count();
        assert_eq!(line(STEERING).chars().count(), as_long);
        assert_eq!(text(STEERING).chars().count(), as_long);
    }

    #[test]
    fn blanks_are_blanks_and_the_rest_is_seen() {
        assert_eq!(line("a\nb\tc\u{85}d\u{2028}e"), "a b c d e");
        assert_eq!(line("a\u{1b}[31mb\u{202e}"), "a\u{fffd}[31mb\u{fffd}");
        assert_eq!(text("a\r\nb\rc\u{85}\td\n"), "a\r\nb\u{fffd}c\u{fffd}\td\n");
        assert_eq!(spelt("a\nb\u{9b}\u{202e}"), "a\\nb\\u{9b}\\u{202e}");
    }

    #[test]
    fn json_reads_as_the_text_that_it_was() {
        let written = serde_json::to_string(STEERING).expect("a text is JSON");
        let clean = json(&written);
        assert!(!clean.contains(steers));
        let read: String = serde_json::from_str(&clean).expect("it is JSON");
        assert_eq!(read, STEERING);
    }
}
