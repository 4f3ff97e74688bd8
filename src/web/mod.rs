//! Routes, forms, pages.
