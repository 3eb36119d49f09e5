//! Digests as short codes that can be printed, read out and typed.

/// Digits and letters that are not taken for one another: no I, L, O or U.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// A digest as two groups of four: `7H2K-9QWD`. Forty bits: two cards of a shop will not meet by chance.
pub fn short(bytes: &[u8]) -> String {
    let hash = blake3::hash(bytes);
    let mut number = hash.as_bytes().iter().take(5).fold(0u64, |number, byte| number << 8 | u64::from(*byte));
    let mut letters = [0u8; 8];
    for letter in letters.iter_mut().rev() {
        *letter = ALPHABET[(number & 31) as usize];
        number >>= 5;
    }
    let text: String = letters.iter().map(|letter| char::from(*letter)).collect();
    format!("{}-{}", &text[..4], &text[4..])
}

/// A code as it is printed, from one as a person types it: in any capitals, with or without hyphens and blanks,
/// with O for 0, I or L for 1. `None` where it cannot be a code.
pub fn typed(text: &str) -> Option<String> {
    let mut letters = String::with_capacity(8);
    for letter in text.chars() {
        let letter = match letter.to_ascii_uppercase() {
            '-' | '‐' | '‑' | '–' | '−' | '_' | '.' => continue,
            letter if letter.is_whitespace() => continue,
            'O' => '0',
            'I' | 'L' => '1',
            letter => letter,
        };
        if !letter.is_ascii() || !ALPHABET.contains(&(letter as u8)) || letters.len() == 8 {
            return None;
        }
        letters.push(letter);
    }
    (letters.len() == 8).then(|| format!("{}-{}", &letters[..4], &letters[4..]))
}

/// Whether a text is a code exactly as it is printed.
pub fn is_code(text: &str) -> bool {
    typed(text).is_some_and(|code| code == text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_two_groups_of_letters_that_cannot_be_confused() {
        let code = short(b"oil.air_gap 96 mm");
        assert_eq!(code.len(), 9);
        assert!(code.chars().all(|letter| letter == '-' || ALPHABET.contains(&(letter as u8))), "{code}");
        assert_ne!(code, short(b"oil.air_gap 97 mm"));
        assert!(is_code(&code));
    }

    #[test]
    fn a_code_is_understood_however_it_is_typed() {
        for text in ["7H1K-90WD", "7h1k-90wd", "7H1K90WD", " 7hik 9owd ", "7HLK–9OWD", "7.h.l.k.9.0.w.d"] {
            assert_eq!(typed(text).as_deref(), Some("7H1K-90WD"), "{text}");
        }
        for text in ["", "7H1K", "7H1K-90W", "7H1K-90WDD", "7H1K-90WU", "7H1K-90W!", "７H1K-90WD"] {
            assert_eq!(typed(text), None, "{text}");
        }
        assert!(!is_code("7h1k-90wd") && !is_code("7H1K90WD"));
    }
}
