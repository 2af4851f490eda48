//! What the frame of every workshop page needs.

/// The frame of a page: its title, where it stands in the zone strip, and what it loads.
#[derive(Clone, Debug)]
pub(crate) struct Layout {
    /// The page's title.
    pub title: String,
    /// The workshop's name; empty until it has one.
    pub workshop: String,
    /// The zone the page is in: `bench`, `jobs`, `plants`, `trials`, `reckoner`, `look-back` or `none`.
    pub here: &'static str,
    /// What stands at the right end of the strip, such as `26-014 / 3`.
    pub sheet_no: String,
    /// Why nothing is being saved, while that lasts.
    pub not_saving: Option<String>,
    /// The hashed address of the stylesheet.
    pub css: String,
    /// The hashed address of the page's script; a page without one of its own sends what still lies on this phone.
    pub script: String,
}

/// Gives out hidden keys to a page with several forms: each form has its own.
pub(crate) struct Keys;

impl Keys {
    pub(crate) fn next(&self) -> String {
        records::fresh_key()
    }
}
