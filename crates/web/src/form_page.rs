//! The page that shows any form, with a second form beside it where there is one.

use askama::Template;

use records::change::Subject;

use crate::changes::Changes;
use crate::desk::Desk;
use crate::fitted::FittedList;
use crate::form::{Faults, Field};
use crate::layout::Layout;
use crate::pictures::Strip;
use crate::problem::Problem;

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
    /// A second form.
    pub beside: Option<BesideForm>,
    /// What is fitted with what the form is about, or a component's history.
    pub fitted: Option<FittedList>,
    /// Pictures of what the form is about.
    pub pictures: Option<Strip>,
    /// Withdrawing what the form is about.
    pub withdrawal: Option<Withdrawal>,
    /// What was changed of what the form is about, the newest first.
    pub changes: Changes,
}

/// A second form on the same sheet, with a hidden key of its own.
pub(crate) struct BesideForm {
    /// Its heading.
    pub heading: &'static str,
    /// Where it is sent.
    pub action: String,
    /// The lines.
    pub fields: Vec<Field>,
    /// What the button says.
    pub save: &'static str,
    /// The hidden key.
    pub key: String,
    /// One more hidden value.
    pub hidden: Option<(&'static str, &'static str)>,
}

impl BesideForm {
    pub(crate) fn new(
        heading: &'static str,
        action: String,
        fields: Vec<Field>,
        save: &'static str,
    ) -> Self {
        Self {
            heading,
            action,
            fields,
            save,
            key: records::fresh_key(),
            hidden: None,
        }
    }

    pub(crate) fn hidden(mut self, name: &'static str, value: &'static str) -> Self {
        self.hidden = Some((name, value));
        self
    }

    /// The same form again, with the key it came with.
    pub(crate) fn again(mut self, key: &str) -> Self {
        self.key = key.to_owned();
        self
    }
}

/// Withdrawing, or putting back.
pub(crate) struct Withdrawal {
    /// What it is, where that is known.
    pub subject: Option<Subject>,
    /// Which one.
    pub id: i64,
    /// Where it is sent.
    pub action: String,
    /// Whether it is withdrawn now.
    pub withdrawn: bool,
    /// The hidden key.
    pub key: String,
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
            beside: None,
            fitted: None,
            pictures: None,
            withdrawal: None,
            changes: Changes::default(),
        }
    }

    /// The same form again, with what is wrong and the key it came with.
    pub(crate) fn again(mut self, faults: Faults, key: &str) -> Self {
        self.faults = faults;
        self.key = key.to_owned();
        self
    }

    /// With a second form.
    pub(crate) fn beside(mut self, form: BesideForm) -> Self {
        self.beside = Some(form);
        self
    }

    /// With the pictures of what it is about.
    pub(crate) fn pictured(mut self, strip: Strip) -> Self {
        self.pictures = Some(strip);
        self
    }

    /// With what is fitted.
    pub(crate) fn fitted(mut self, list: FittedList) -> Self {
        self.fitted = Some(list);
        self
    }

    /// With what was changed of a record.
    pub(crate) async fn changed(
        mut self,
        desk: &Desk,
        subject: Subject,
        id: i64,
    ) -> Result<Self, Problem> {
        // A form is read where it is sent, or beside the sheet that is read there.
        let at = match subject {
            Subject::Customer | Subject::Plant | Subject::Stock => {
                format!("{}/change", self.action)
            }
            _ => self.action.clone(),
        };
        self.changes = crate::changes::of(desk, subject, id, at).await?;
        Ok(self)
    }

    /// With what was changed of the record that can be withdrawn here.
    pub(crate) async fn with_changes(self, desk: &Desk) -> Result<Self, Problem> {
        let about = self.withdrawal.as_ref().map(|w| (w.subject, w.id));
        match about {
            Some((Some(subject), id)) => self.changed(desk, subject, id).await,
            _ => Ok(self),
        }
    }

    /// With a way to withdraw what it is about, or to put it back.
    pub(crate) fn withdrawable(mut self, subject: &str, id: i64, withdrawn: bool) -> Self {
        self.withdrawal = Some(Withdrawal {
            subject: Subject::from_slug(subject),
            id,
            action: format!("/withdraw/{subject}/{id}"),
            withdrawn,
            key: records::fresh_key(),
        });
        self
    }
}
