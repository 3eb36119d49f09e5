//! The shop's own pictures: each is there, can be shown, says what it shows, and tells nothing else.

use std::collections::BTreeSet;

use crate::check::CheckedFork;
use crate::diagnostic::{Finding, did_you_mean, rules};
use crate::picture::{PictureFault, PictureFile, PictureKind};
use crate::record::RecordKind;
use crate::resolve::{ON_CARD, Shop, Shown};
use crate::text::Span;

/// Words that name no picture's content.
const EMPTY_WORDS: [&str; 6] = ["picture", "image", "photo", "photograph", "drawing", "figure"];

/// picture-missing, picture-without-words, picture-unfit: what is shown is there, and says what it shows.
pub(crate) fn shown(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    for place in shop.shown() {
        without_words(&place, findings);
        elsewhere(&place, findings);
        match shop.picture_file(place.name) {
            Some(file) if file.folder() == place.folder => {
                if let Err(fault) = &file.read {
                    findings.push(unfit(&place, fault));
                }
            }
            found => findings.push(missing(shop, &place, found)),
        }
    }
}

/// picture-not-used, picture-tells-place, picture-unfit: what is kept is shown, and tells no place.
pub(crate) fn files(shop: &Shop, _: &[CheckedFork], findings: &mut Vec<Finding>) {
    // Whatever could not be read may be what shows them.
    let texts = [
        RecordKind::Procedure,
        RecordKind::Caution,
        RecordKind::Complaint,
        RecordKind::Fork,
        RecordKind::Family,
    ];
    let all_read = !texts.into_iter().any(|kind| shop.unread(kind));
    let used: BTreeSet<&str> = shop.shown().map(|place| place.name).collect();
    let mut names = BTreeSet::new();
    for file in &shop.pictures {
        let place = Span::new(file.file, 0, 0);
        if !names.insert(file.name()) {
            findings.push(
                rules::PICTURE_UNFIT
                    .at(place, format!("another picture of this shop is called `{}` as well", file.name()))
                    .bench("a step could show the other picture")
                    .instead("rename one of them"),
            );
        } else if all_read && !used.contains(file.name()) {
            findings.push(
                rules::PICTURE_NOT_USED
                    .at(place, "no text and no record shows this picture")
                    .bench("whoever needs it never sees it")
                    .instead("show it where it helps, or remove the file"),
            );
        }
        if file.read.as_ref().is_ok_and(|picture| picture.tells_place) {
            findings.push(
                rules::PICTURE_TELLS_PLACE
                    .at(place, "this picture says where it was taken")
                    .bench("pages leave it out, but whoever gets the shop’s files learns a customer’s or the shop’s place")
                    .instead("switch location off in the camera, or save the picture without its data, before it is committed"),
            );
        }
    }
}

fn missing(shop: &Shop, place: &Shown<'_>, found: Option<&PictureFile>) -> Finding {
    let (name, folder) = (place.name, place.folder);
    let finding = rules::PICTURE_MISSING
        .at(place.span, format!("there is no picture `{name}` in `{folder}`"))
        .bench("whoever needs the picture to do the work has its words alone");
    if name.contains(['/', '\\']) {
        return finding.instead(format!("name the file alone; it stands in `{folder}`, beside the text"));
    }
    match found {
        Some(file) => finding.instead(format!("move it there from `{}`", file.folder())),
        None => {
            let here = shop.pictures.iter().filter(|file| file.folder() == folder).map(PictureFile::name);
            finding.instead(did_you_mean(name, here, || {
                format!("put the file into `{folder}`, beside the text")
            }))
        }
    }
}

fn without_words(place: &Shown<'_>, findings: &mut Vec<Finding>) {
    let words = place.words.trim();
    let stem = place.name.rsplit_once('.').map_or(place.name, |(stem, _)| stem);
    let lower = words.to_lowercase();
    let says =
        !words.is_empty() && words != place.name && words != stem && !EMPTY_WORDS.contains(&lower.as_str());
    if !says {
        findings.push(
            rules::PICTURE_WITHOUT_WORDS
                .at(place.span, format!("nothing says what the picture `{}` shows", place.name))
                .bench("whoever cannot see it, or has a card without it, does not know what to do")
                .instead("say in a few words what is to be seen, as to somebody on the telephone"),
        );
    }
}

fn elsewhere(place: &Shown<'_>, findings: &mut Vec<Finding>) {
    if !place.also.is_empty() && !place.on_card() {
        findings.push(
            rules::PICTURE_UNFIT
                .at(place.span, format!("`{}` is no place where a picture can stand", place.also))
                .bench("the picture would not stand where it is meant to")
                .instead(format!(
                    "write `\"{ON_CARD}\"` for the bench card as well, or nothing for the page alone"
                )),
        );
    }
}

fn unfit(place: &Shown<'_>, fault: &PictureFault) -> Finding {
    let instead = match fault {
        PictureFault::Unreadable(_) => "mend the file or its permissions",
        PictureFault::NotShown => "save a drawing as PNG, a photograph as JPEG",
        PictureFault::Is(PictureKind::Png) => "let its name end in `.png`",
        PictureFault::Is(PictureKind::Jpeg) => "let its name end in `.jpg`",
        PictureFault::NoPicture | PictureFault::NotWhole => "save the picture anew from where it came",
        PictureFault::TooLong(_) => "make it smaller: 1,600 pixels across are plenty",
        PictureFault::TooWide(..) => "scale it down: 1,600 pixels across are plenty",
    };
    rules::PICTURE_UNFIT
        .at(place.span, format!("`{}` {fault}", place.name))
        .bench("the step would stand there without its picture")
        .instead(instead)
}
