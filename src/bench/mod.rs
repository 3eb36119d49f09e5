//! The trade's arithmetic: pure functions on typed quantities, one file a subject.
