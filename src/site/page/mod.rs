//! What each page shows.

pub mod codes;
pub mod fork;
pub mod home;
pub mod lists;
pub mod review;
pub mod rules;
pub mod service;
