//! A number as written, with its unit and tolerance: exact factors, reading, writing.
