//! How wide text comes out, where nobody can ask the reader's fonts: a little more than in the widest common sans-serif (DejaVu Sans, widths of its
//! letters in parts of the size, from its tables), so that what fits by this fits.

/// How wide a letter is, in parts of the size.
fn letter(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' => 0.31,
        ' ' | '.' | ',' | 'I' | 'J' => 0.34,
        'f' | 'r' | 't' | '(' | ')' | '-' | '/' | '!' | ':' | ';' | '|' => 0.46,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | 'O' | 'Q' | 'N' | 'H' | 'D' | 'G' | 'U' => 1.0,
        '+' | '=' | '<' | '>' | '~' | '#' | '^' => 0.86,
        'A'..='Z' | '&' => 0.80,
        c if c.is_ascii() => 0.66,
        c if c.is_alphabetic() && u32::from(c) < 0x250 => 0.84,
        // Wide letters of other scripts, and pictures.
        _ => 1.3,
    }
}

/// Bold letters are wider by this.
const BOLD: f64 = 1.13;

/// How wide a text is at most.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let sum: f64 = text.chars().map(letter).sum();
    sum * size * if bold { BOLD } else { 1.0 }
}

/// A text in lines that are no wider than asked: broken between words, and inside a word that is too wide alone.
pub fn lines(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width(&longer, size, bold) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            let longer = format!("{line}{c}");
            if width(&longer, size, bold) > room && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_too_wide_and_nothing_is_lost() {
        let text =
            "Footwork on the balls of the feet, Donaudampfschifffahrtsgesellschaftskapitän x 10";
        for room in [30.0, 60.0, 200.0] {
            let lines = lines(text, 10.0, true, room);
            assert!(
                lines.iter().all(|l| width(l, 10.0, true) <= room),
                "{lines:?}"
            );
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
        }
        assert_eq!(lines(" ", 10.0, false, 50.0), Vec::<String>::new());
    }
}
