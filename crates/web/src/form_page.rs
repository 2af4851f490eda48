//! The page that shows any form.

use askama::Template;

use crate::form::{Faults, Field};
use crate::layout::Layout;

/// A form on a sheet of its own.
#[derive(Template)]
#[template(path = "form.html")]
pub(crate) struct FormPage {
    /// The frame; its title is the form's.
    pub layout: Layout,
    /// Quiet words beside the title.
    pub lead: String,
    /// The lines.
    pub fields: Vec<Field>,
    /// What is wrong.
    pub faults: Faults,
    /// The hidden key.
    pub key: String,
    /// Where it is sent.
    pub action: String,
    /// What the button says.
    pub save: &'static str,
    /// Where *Leave it* leads.
    pub back: String,
}

impl FormPage {
    /// A form that nobody has filled in yet.
    pub(crate) fn fresh(
        layout: Layout,
        fields: Vec<Field>,
        action: String,
        save: &'static str,
        back: String,
    ) -> Self {
        let (lead, faults, key) = (String::new(), Faults::default(), records::fresh_key());
        Self {
            layout,
            lead,
            fields,
            faults,
            key,
            action,
            save,
            back,
        }
    }

    /// The same form again, with what is wrong and the key it came with.
    pub(crate) fn again(mut self, faults: Faults, key: &str) -> Self {
        self.faults = faults;
        self.key = key.to_owned();
        self
    }
}
