//! Pages, cards, charts, drawings, the search index and the atomic writer.
