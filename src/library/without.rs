//! A record's text without some of its keys.

/// A record without some of its top keys, what stands under them, and the comments above them.
pub(crate) fn without(text: &str, keys: &[&str]) -> String {
    let (mut out, mut comments, mut dropping) = (String::new(), String::new(), false);
    for line in text.split_inclusive('\n') {
        if line.starts_with('#') {
            comments.push_str(line);
            continue;
        }
        if line.starts_with(|first: char| first.is_ascii_alphabetic()) {
            let key = line.split(':').next().unwrap_or(line);
            dropping = keys.contains(&key);
            if dropping && !comments.contains("yaml-language-server") {
                comments.clear();
            }
        }
        out.push_str(&std::mem::take(&mut comments));
        if !dropping {
            out.push_str(line);
        }
    }
    out + &comments
}
