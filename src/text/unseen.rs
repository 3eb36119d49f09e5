//! Characters that nobody sees and that still make one word another, or act on a terminal; and how they are written
//! out so that they are seen.

use std::borrow::Cow;
use std::fmt::Write;

/// Whether a character is one that nobody sees: a control character, one without a width, one that turns the
/// direction of writing, or no character at all. Line feed, carriage return and tab belong to a text; so do the
/// joiners that some scripts and pictures are written with.
pub fn is_unseen(c: char) -> bool {
    match c {
        '\n' | '\r' | '\t' | '\u{200c}' | '\u{200d}' => false,
        c if c.is_control() => true,
        // A soft hyphen; a combining joiner; fillers; a Mongolian separator.
        '\u{ad}' | '\u{34f}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180e}' => true,
        '\u{3164}' | '\u{ffa0}' => true,
        // Marks and turns of direction.
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        // Spaces without width, signs of mathematics without width, a line and a paragraph separator.
        '\u{200b}' | '\u{2028}' | '\u{2029}' | '\u{2060}'..='\u{206f}' | '\u{feff}' => true,
        // Marks between lines of a gloss; tags and all that may follow them; a blank that is a letter.
        '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}' | '\u{2800}' => true,
        // Choosers of a letter's form, but for those that pictures are written with; marks of shorthand and of music.
        '\u{fe00}'..='\u{fe0d}' | '\u{180b}'..='\u{180d}' | '\u{180f}' => true,
        '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}' => true,
        // What is no character.
        '\u{fdd0}'..='\u{fdef}' => true,
        c => u32::from(c) & 0xfffe == 0xfffe,
    }
}

/// Text that cannot steer a terminal or hide something in a page: what nobody sees is written as its number,
/// `<U+202E>`. Line feeds and tabs stay.
pub fn visible(text: &str) -> Cow<'_, str> {
    written_out(text, |c, out| {
        let _ = write!(out, "<U+{:04X}>", u32::from(c));
    })
}

/// The same for a text that must stay on its line: line feeds and tabs are written out too.
pub fn visible_line(text: &str) -> Cow<'_, str> {
    if text.contains(['\n', '\t']) {
        visible(text).replace('\n', "<U+000A>").replace('\t', "<U+0009>").into()
    } else {
        visible(text)
    }
}

/// A finished JSON text in which what nobody sees is written as an escape. The values stay the same.
pub fn in_json(text: &str) -> Cow<'_, str> {
    written_out(text, |c, out| {
        for unit in c.encode_utf16(&mut [0; 2]) {
            let _ = write!(out, "\\u{unit:04x}");
        }
    })
}

fn written_out(text: &str, write: impl Fn(char, &mut String)) -> Cow<'_, str> {
    let steers = |c: char| c == '\r' || is_unseen(c);
    if !text.contains(steers) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if steers(c) { write(c, &mut out) } else { out.push(c) }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The characters that Unicode calls default ignorable or control, as far as they are met in attacks on readers
    /// of text (Unicode Technical Standard 39, and "Trojan Source"; from memory).
    #[test]
    fn what_nobody_sees_is_written_out() {
        for c in
            "\u{1b}\u{7f}\u{85}\u{9b}\u{ad}\u{61c}\u{200b}\u{200e}\u{202e}\u{2028}\u{2066}\u{feff}\u{e0041}\u{e0101}\u{fe00}\u{180b}\u{2800}\u{1d173}"
                .chars()
        {
            assert!(is_unseen(c), "{c:?}");
            assert_eq!(visible(&format!("a{c}b")), format!("a<U+{:04X}>b", u32::from(c)));
        }
        assert_eq!(visible("a\rb"), "a<U+000D>b");
    }

    #[test]
    fn what_is_seen_stays() {
        for text in ["", "20 °C ± 2\n\tµ 山田", "نام\u{200c}ها 👩\u{200d}🔧 ✔\u{fe0f}"] {
            assert!(matches!(visible(text), Cow::Borrowed(same) if same == text));
        }
    }

    #[test]
    fn json_keeps_its_values() {
        let value = serde_json::json!({"a": "\u{202e}\u{9b}31m\u{e0041}\u{1b}", "b\u{2028}": "plain"});
        let plain = format!("{value:#}\n");
        let text = in_json(&plain);
        assert!(!text.contains(is_unseen), "{text}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap(), value);
    }
}
