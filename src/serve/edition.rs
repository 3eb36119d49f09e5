//! The pages of one state of the shop, each made when it is asked for.

use std::collections::HashMap;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};

use foldhash::fast::RandomState;
use tokio::sync::oneshot;

use crate::book::Book;
use crate::pipeline::Checked;
use crate::site::{Press, Templates};

/// As much as a template may need that calls itself again and again.
const STACK: usize = 16 << 20;

/// A page as it was made.
#[derive(Debug, Clone)]
pub(super) enum Made {
    /// Its bytes.
    Page(Arc<[u8]>),
    /// What is wrong with its template.
    Fault(String),
    /// There is no such page.
    Nothing,
}

/// A request for a page, by its path from the site's top folder.
struct Request {
    path: String,
    reply: oneshot::Sender<Made>,
}

/// The pages of one state of the shop. They are made by a thread of their own, which ends when nobody asks any more.
pub(super) struct Edition {
    templates: Mutex<Option<Templates>>,
    requests: Mutex<Option<Sender<Request>>>,
}

impl Edition {
    pub(super) fn new(templates: Templates) -> Edition {
        Edition { templates: Mutex::new(Some(templates)), requests: Mutex::new(None) }
    }

    /// Makes ready to answer.
    pub(super) fn begin(&self, checked: Arc<Checked>) {
        let taken = self.templates.lock().unwrap_or_else(PoisonError::into_inner).take();
        let Some(templates) = taken else { return };
        let (sender, requests) = channel();
        let work = move || work(&checked, templates, &requests);
        if std::thread::Builder::new().stack_size(STACK).spawn(work).is_ok() {
            *self.requests.lock().unwrap_or_else(PoisonError::into_inner) = Some(sender);
        }
    }

    /// Asks for a page.
    pub(super) async fn page(&self, path: String) -> Made {
        let (reply, answer) = oneshot::channel();
        let sender = self.requests.lock().unwrap_or_else(PoisonError::into_inner).clone();
        match sender.map(|sender| sender.send(Request { path, reply })) {
            Some(Ok(())) => answer.await.unwrap_or(Made::Nothing),
            _ => Made::Nothing,
        }
    }
}

/// Makes each page once, until nobody asks any more.
fn work(checked: &Checked, templates: Templates, requests: &Receiver<Request>) {
    let book = Book::working_copy(checked);
    let press = Press::for_few(&book, templates);
    let places: HashMap<&str, usize, RandomState> =
        press.list().iter().enumerate().map(|(at, page)| (page.path.as_str(), at)).collect();
    let mut made: HashMap<usize, Made> = HashMap::new();
    while let Ok(Request { path, reply }) = requests.recv() {
        let answer = match places.get(path.as_str()) {
            None => Made::Nothing,
            Some(at) => made
                .entry(*at)
                .or_insert_with(|| match press.render(&press.list()[*at]) {
                    Ok(bytes) => Made::Page(bytes.into()),
                    Err(problem) => Made::Fault(format!(
                        "the template `{}`, line {}: {}",
                        problem.name, problem.line, problem.message
                    )),
                })
                .clone(),
        };
        // Whoever asked may have gone.
        let _ = reply.send(answer);
    }
}
