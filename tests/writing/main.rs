//! What is written, seen from outside the process: links, named pipes, strangers' files, forged records of the
//! last run. The attacker is whoever can put files in a repository that somebody else builds.
#![cfg(unix)]

mod calls;
mod faults;
mod killed;
mod kills;
mod links;
mod names;
mod support;
mod templates;
mod twice;
