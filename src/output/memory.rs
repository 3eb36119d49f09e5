//! `memory` in our own folder: what a run worked out of the sources and the next one may need again, as bytes that only
//! who wrote them understands. It only saves time and may be deleted. Behind them stands their digest, with that of the
//! [`Seal`] of the manifest beside it: a file that was cut, changed, or brought from another computer is not believed.

use std::path::Path;

use super::digest::Digest;
use super::own::{MANIFEST, MEMORY, Seal, read_own};
use super::places::OWN_FOLDER;

/// The form described above.
const FORM: &[u8] = b"benchleaf memory 2";

/// The bytes of `memory`.
pub(super) fn sealed(seal: &Seal, mut body: Vec<u8>) -> Vec<u8> {
    let end = end(seal, &body);
    body.extend_from_slice(end.as_ref());
    body
}

fn end(seal: &Seal, body: &[u8]) -> Digest {
    Digest::of_parts([FORM, seal.as_ref(), body])
}

/// What the last run into an output folder kept; `None` where there is nothing that can be believed.
pub fn remembered(out: &Path) -> Option<Vec<u8>> {
    let own = out.join(OWN_FOLDER);
    let seal = Seal::of(&own.join(MANIFEST))?;
    let mut bytes = read_own(&own.join(MEMORY)).ok()??;
    let (body, last) = bytes.split_last_chunk::<32>()?;
    let (whole, length) = (Digest::from(*last) == end(&seal, body), body.len());
    bytes.truncate(length);
    whole.then_some(bytes)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::output::{Planned, Target, publish};

    fn site(memory: &[u8]) -> tempfile::TempDir {
        let room = tempfile::tempdir().expect("a room");
        let page = Planned { path: "index.html".to_owned(), inputs: None };
        let pack = || memory.to_vec();
        let target = Target { memory: Some(&pack), ..Target::new(room.path()) };
        publish(&target, &[page], |_| Ok::<_, String>(b"a page".to_vec())).expect("published");
        room
    }

    #[test]
    fn it_is_believed_only_whole_and_beside_the_manifest_it_was_written_for() {
        let (one, other) = (site(b"all that was read"), site(b"something else"));
        let at = |site: &tempfile::TempDir| site.path().join(OWN_FOLDER).join(MEMORY);
        assert_eq!(remembered(one.path()).as_deref(), Some(&b"all that was read"[..]));
        let whole = fs::read(at(&one)).expect("read");
        for length in 0..whole.len() {
            fs::write(at(&one), &whole[..length]).expect("written");
            assert_eq!(remembered(one.path()), None, "cut to {length}");
        }
        for place in 0..whole.len() {
            let mut bytes = whole.clone();
            bytes[place] ^= 1;
            fs::write(at(&one), bytes).expect("written");
            assert_eq!(remembered(one.path()), None, "byte {place} is another");
        }
        fs::copy(at(&other), at(&one)).expect("copied");
        assert_eq!(remembered(one.path()), None, "another site's");
        fs::write(at(&one), &whole).expect("written");
        assert!(remembered(one.path()).is_some(), "as it was");
        let manifest = one.path().join(OWN_FOLDER).join(MANIFEST);
        let text = fs::read(&manifest).expect("read");
        fs::remove_file(&manifest).expect("removed");
        fs::write(&manifest, text).expect("written");
        assert_eq!(remembered(one.path()), None, "beside a manifest that was brought along");
    }
}
