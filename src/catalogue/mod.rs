//! Every value a fork record can hold, one entry each.
