//! A row of small pictures with a way to add one, for the page of whatever they are of.

use records::pictures::{self, Of, Picture};

use crate::desk::Desk;
use crate::problem::Problem;

/// A row of small pictures.
#[derive(Clone, Debug)]
pub(crate) struct Strip {
    /// Where one is added.
    pub add: String,
    /// The pictures.
    pub pictures: Vec<Picture>,
    /// Whether each says what it is of, because they are of different things.
    pub mixed: bool,
}

impl Strip {
    /// The pictures of one thing.
    pub(crate) async fn of(desk: &Desk, of: Of, id: i64) -> Result<Self, Problem> {
        Ok(Self {
            add: add_address(of, id),
            pictures: pictures::of(desk.store(), of, id).await?,
            mixed: false,
        })
    }

    /// The pictures of a job and of all that belongs to it.
    pub(crate) async fn of_job(desk: &Desk, job: records::JobId) -> Result<Self, Problem> {
        Ok(Self {
            add: add_address(Of::Job, job.get()),
            pictures: pictures::of_job(desk.store(), job).await?,
            mixed: true,
        })
    }

    /// Those that are withdrawn.
    pub(crate) fn withdrawn(&self) -> Vec<&Picture> {
        let all = self.pictures.iter();
        all.filter(|p| p.withdrawn_at.is_some()).collect()
    }

    /// The address of a small picture.
    pub(crate) fn small(&self, picture: &Picture) -> String {
        super::address(&picture.small_sha256)
    }
}

fn add_address(of: Of, id: i64) -> String {
    format!("/pictures/new?of={}-{id}", of.word())
}
