//! How much room a text takes on the card, so that what would not fit is found before it is printed.
//!
//! The card is set in a face with the widths of Helvetica, which Arial and Liberation Sans share: the widths
//! below are those of its metrics files, regular and bold, in thousandths of the size.

use std::sync::LazyLock;

/// One point in millimetres.
pub const POINT: f64 = 25.4 / 72.0;

/// Room for what a browser rounds differently.
const MARGIN: f64 = 1.01;

/// The widths of the ASCII letters, which most texts are made of.
static ASCII: LazyLock<[[u32; 128]; 2]> = LazyLock::new(|| {
    let letter = |n| u8::try_from(n).map_or(' ', char::from);
    [std::array::from_fn(|n| looked_up(letter(n))), std::array::from_fn(|n| bold(letter(n)))]
});

/// In thousandths of the size, as it stands in bold.
fn bold(letter: char) -> u32 {
    match letter {
        '\'' | '’' | '‘' | '|' => 280,
        'J' | 'a' | 'c' | 'e' | 'k' | 's' | 'v' | 'x' | 'y' => 556,
        'f' | 'i' | 'j' | 'l' | 'I' => {
            if letter == 'f' {
                333
            } else {
                278
            }
        }
        't' | '!' | ':' | ';' | '-' | '(' | ')' | '[' | ']' => 333,
        'r' | '{' | '}' => 389,
        'z' | '“' | '”' => 500,
        'b' | 'd' | 'g' | 'h' | 'n' | 'o' | 'p' | 'q' | 'u' | '?' => 611,
        'A' | 'B' | 'K' => 722,
        'w' => 778,
        'm' => 889,
        '"' => 474,
        '&' => 722,
        '@' => 975,
        other => looked_up(other),
    }
}

/// In thousandths of the size.
fn looked_up(letter: char) -> u32 {
    match letter {
        'i' | 'j' | 'l' => 222,
        ' ' | '\u{a0}' | '!' | ',' | '.' | '/' | ':' | ';' | 'f' | 't' | 'I' | '[' | ']' | '\\' => 278,
        '\'' | '’' | '‘' => 222,
        '|' => 260,
        '(' | ')' | '-' | 'r' | '`' | '“' | '”' => 333,
        '{' | '}' => 334,
        '"' => 355,
        '*' => 389,
        '°' => 400,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
        '#' | '$' | '_' | '–' | '?' | 'L' | 'a' | 'b' | 'd' | 'e' | 'g' | 'h' | 'n' | 'o' | 'p' | 'q'
        | 'u' => 556,
        '0'..='9' => 556,
        '·' => 278,
        '≤' | '≥' => 549,
        '+' | '<' | '=' | '>' | '~' | '±' | '×' | '−' => 584,
        'F' | 'T' | 'Z' => 611,
        '&' | 'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
        'w' | 'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
        'G' | 'O' | 'Q' => 778,
        'm' | 'M' => 833,
        '%' => 889,
        'W' => 944,
        '@' => 1015,
        '—' | '…' => 1000,
        other if (other as u32) < 0x250 => 611,
        other if (other as u32) < 0x2000 => 722,
        _ => 1000,
    }
}

/// The width of a text in millimetres at a size in points.
pub fn width(text: &str, points: f64, bold: bool) -> f64 {
    let face = Face::new(points, bold);
    face.width(text.chars().map(|letter| face.letter(letter)).sum())
}

/// A size and weight of type.
#[derive(Clone, Copy)]
struct Face {
    /// Millimetres for a thousandth of the size.
    each: f64,
    letters: &'static [u32; 128],
}

impl Face {
    fn new(points: f64, bold: bool) -> Face {
        Face { each: points * POINT * MARGIN / 1000.0, letters: &ASCII[usize::from(bold)] }
    }

    fn letter(&self, letter: char) -> u32 {
        self.letters.get(letter as usize).copied().unwrap_or_else(|| looked_up(letter))
    }

    fn width(&self, thousandths: u32) -> f64 {
        f64::from(thousandths) * self.each
    }
}

/// A column that is being filled with words.
struct Filling {
    face: Face,
    space: f64,
    room: f64,
    lines: usize,
    /// How far the last line is filled, in mm.
    at: f64,
}

impl Filling {
    fn new(face: Face, room: f64, indent: f64) -> Filling {
        let space = face.width(face.letter(' '));
        Filling { face, space, room, lines: 1, at: indent }
    }

    fn add(&mut self, thousandths: u32) {
        let wide = self.face.width(thousandths);
        if self.at > 0.0 && self.at + self.space + wide > self.room {
            self.lines += 1;
            self.at = 0.0;
        }
        if wide > self.room {
            let mut rest = wide;
            while rest > self.room {
                self.lines += 1;
                rest -= self.room;
            }
            self.at = rest;
        } else {
            self.at += if self.at > 0.0 { self.space + wide } else { wide };
        }
    }
}

/// Gives the width of each word, in thousandths of the size.
fn each_word(text: &str, letters: &'static [u32; 128], mut give: impl FnMut(u32)) {
    let wide = |letter: char| letters.get(letter as usize).copied().unwrap_or_else(|| looked_up(letter));
    let mut word = None;
    for letter in text.chars() {
        match letter {
            ' ' | '\n' | '\t' => word.take().into_iter().for_each(&mut give),
            letter => word = Some(word.unwrap_or(0) + wide(letter)),
        }
    }
    word.into_iter().for_each(give);
}

/// A text as the widths of its words: read once, however many columns it is tried in.
pub struct Words {
    face: Face,
    /// In thousandths of the size.
    words: Vec<u32>,
}

impl Words {
    /// Of a text at a size in points.
    pub fn new(text: &str, points: f64, bold: bool) -> Words {
        let face = Face::new(points, bold);
        let mut words = Vec::new();
        each_word(text, face.letters, |word| words.push(word));
        Words { face, words }
    }

    /// As [`lines_after`].
    pub fn lines_after(&self, room: f64, indent: f64) -> (usize, f64) {
        let mut filling = Filling::new(self.face, room, indent);
        self.words.iter().for_each(|word| filling.add(*word));
        (filling.lines, filling.at)
    }
}

/// How many lines a text takes in a column of `room` millimetres, broken between words, and inside a word only
/// where the word alone is too wide; and how far it fills the last. The first line begins `indent` millimetres in.
pub fn lines_after(text: &str, points: f64, bold: bool, room: f64, indent: f64) -> (usize, f64) {
    let face = Face::new(points, bold);
    let letters = face.letters;
    let mut filling = Filling::new(face, room, indent);
    each_word(text, letters, |word| filling.add(word));
    (filling.lines, filling.at)
}

/// How many lines a text takes; none for an empty one.
pub fn lines(text: &str, points: f64, bold: bool, room: f64) -> usize {
    if text.trim().is_empty() { 0 } else { lines_after(text, points, bold, room, 0.0).0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_metrics_file() {
        // Helvetica, Adobe Font Metrics: "Air gap" is A 667, i 222, r 333, space 278, g 556, a 556, p 556.
        let expected = 3.168 * 10.0 * POINT * MARGIN;
        assert!((width("Air gap", 10.0, false) - expected).abs() < 1e-9);
        // Helvetica-Bold: A 722, i 278, r 389, space 278, g 611, a 556, p 611; digits are as wide as in regular.
        let expected = 3.445 * 10.0 * POINT * MARGIN;
        assert!((width("Air gap", 10.0, true) - expected).abs() < 1e-9);
        assert!((width("104.5", 10.0, true) - width("104.5", 10.0, false)).abs() < 1e-9);
    }

    #[test]
    fn lines_break_between_words_and_inside_a_word_that_is_too_wide() {
        assert_eq!(lines("", 11.0, false, 50.0), 0);
        assert_eq!(lines("one two", 11.0, false, 50.0), 1);
        let single = width("millimetre", 11.0, false);
        assert_eq!(lines("millimetre millimetre", 11.0, false, single * 1.5), 2);
        assert!(lines(&"x".repeat(100), 11.0, false, 20.0) > 9);
    }

    #[test]
    fn a_narrower_column_never_takes_fewer_lines() {
        let text = "Stroke the outer tube slowly three times so that the space between the tubes fills.";
        let mut last = usize::MAX;
        for room in [20.0, 30.0, 45.0, 80.0, 190.0] {
            let now = lines(text, 11.0, false, room);
            assert!(now <= last, "{room} mm: {now} lines after {last}");
            last = now;
        }
    }
}
