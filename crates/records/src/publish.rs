//! What the customer sees: chosen line by line, in words meant for them; never anything else.

use crate::change::{self, Subject};
use crate::error::Error;
use crate::ids::{DefectId, JobId, NewsId, PictureId, VariationId};
use crate::pictures::shown::{self, PagePicture};
use crate::store::Store;
use crate::time::{Day, Stamp};
use crate::writer::Write;

const NEWS: &str = "select * from news where job_id = ?1 order by id desc";
const SAY: &str =
    "insert into news (job_id, said, shown, made_at) values (?1, ?2, 1, ?3) returning id";
const CHOICES: &str = "select steam_words, shows_promised, shows_money, changed_at from publication where job_id = ?1";
const CHOOSE: &str = "insert into publication (job_id, steam_words, shows_promised, shows_money, changed_at) values (?1, ?2, ?3, ?4, ?5)
    on conflict (job_id) do update set steam_words = excluded.steam_words, shows_promised = excluded.shows_promised,
    shows_money = excluded.shows_money, changed_at = excluded.changed_at";
const ONE_NEWS: &str = "select * from news where id = ?1";
const SHOW_NEWS: &str = "update news set shown = ?2 where id = ?1";
const CLEAR_DEFECTS: &str =
    "delete from published_defect where defect_id in (select id from defect where job_id = ?1)";
const SHOW_DEFECT: &str = "insert into published_defect (defect_id, words) select id, ?3 from defect where id = ?1 and job_id = ?2";
const CLEAR_VARIATIONS: &str = "delete from published_variation where variation_id in (select id from variation where job_id = ?1)";
const SHOW_VARIATION: &str = "insert into published_variation (variation_id) select id from variation where id = ?1 and job_id = ?2";
const CHOSEN_DEFECTS: &str = "select p.defect_id, p.words from published_defect p join defect d on d.id = p.defect_id where d.job_id = ?1";
const CHOSEN_VARIATIONS: &str = "select p.variation_id from published_variation p join variation v on v.id = p.variation_id where v.job_id = ?1";
// The customer's page reads by these alone: every column named, no note, no price of a part, no address.
const PAGE: &str = "select j.year, j.serial, j.plant, j.stands as put, j.trial_since, j.no_steam, w.name as workshop, w.owner,
    coalesce(u.steam_words, '') as steam_words, u.changed_at,
    iif(coalesce(u.shows_promised, 0), j.promised_on, null) as promised_on,
    iif(coalesce(u.shows_money, 0), j.estimate_pence, null) as estimate_pence,
    iif(coalesce(u.shows_money, 0), j.agreed_pence, null) as agreed_pence,
    iif(coalesce(u.shows_money, 0), j.paid_pence, null) as paid_pence
    from job_line j join workshop w on w.id = 1 left join publication u on u.job_id = j.id
    where j.id = ?1 and j.withdrawn_at is null";
const PAGE_NEWS: &str = "select said, made_at from news where job_id = ?1 and shown = 1 and withdrawn_at is null order by id desc";
const PAGE_DEFECTS: &str =
    "select p.words, d.state from published_defect p join defect d on d.id = p.defect_id
    where d.job_id = ?1 and d.withdrawn_at is null order by d.serial";
const PAGE_VARIATIONS: &str = "select v.serial, v.what, v.reason, v.if_not, v.price_pence, v.asked_at, v.answer, v.answered_at, v.answered_by
    from published_variation p join variation v on v.id = p.variation_id where v.job_id = ?1 and v.withdrawn_at is null order by v.serial";
const PAGE_PLACES: &str = "select place, min(since) as since from job_place where job_id = ?1 group by place order by min(since)";
#[cfg(any(test, feature = "ten-years"))]
pub(crate) const STATEMENTS: &[(&str, &str)] = &[
    ("publish::NEWS", NEWS),
    ("publish::SAY", SAY),
    ("publish::CHOICES", CHOICES),
    ("publish::CHOOSE", CHOOSE),
    ("publish::ONE_NEWS", ONE_NEWS),
    ("publish::SHOW_NEWS", SHOW_NEWS),
    ("publish::CLEAR_DEFECTS", CLEAR_DEFECTS),
    ("publish::SHOW_DEFECT", SHOW_DEFECT),
    ("publish::CLEAR_VARIATIONS", CLEAR_VARIATIONS),
    ("publish::SHOW_VARIATION", SHOW_VARIATION),
    ("publish::CHOSEN_DEFECTS", CHOSEN_DEFECTS),
    ("publish::CHOSEN_VARIATIONS", CHOSEN_VARIATIONS),
    ("publish::PAGE", PAGE),
    ("publish::PAGE_NEWS", PAGE_NEWS),
    ("publish::PAGE_DEFECTS", PAGE_DEFECTS),
    ("publish::PAGE_VARIATIONS", PAGE_VARIATIONS),
    ("publish::PAGE_PLACES", PAGE_PLACES),
];

/// A line of news as stored.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow, serde::Serialize, serde::Deserialize)]
pub struct News {
    /// Its row.
    pub id: NewsId,
    /// The job.
    pub job_id: JobId,
    /// What it says.
    pub said: String,
    /// Whether the customer sees it.
    pub shown: bool,
    /// When it was written.
    pub made_at: Stamp,
    /// When withdrawn.
    pub withdrawn_at: Option<Stamp>,
}

/// What was chosen for a job beside its lines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choices {
    /// Words beside *do not steam it*.
    pub steam_words: String,
    /// Whether the promised day is shown.
    pub shows_promised: bool,
    /// Whether estimate, agreed and paid are shown.
    pub shows_money: bool,
    /// Lines of news that are shown.
    pub news: Vec<NewsId>,
    /// Defects that are shown, each in words meant for the customer.
    pub defects: Vec<(DefectId, String)>,
    /// Variations that are shown.
    pub variations: Vec<VariationId>,
    /// Pictures that are shown, each with words meant for the customer.
    pub pictures: Vec<(PictureId, String)>,
}

/// Everything the customer's page may hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// The first line of it.
    pub job: PageJob,
    /// News, the newest first.
    pub news: Vec<(String, Stamp)>,
    /// Defects in the customer's words, and whether each stands.
    pub defects: Vec<(String, String)>,
    /// Variations.
    pub variations: Vec<PageVariation>,
    /// Pictures, where the customer agreed to them.
    pub pictures: Vec<PagePicture>,
    /// Where it stood, since when.
    pub places: Vec<(String, Stamp)>,
}

/// What of the job itself the customer's page may hold.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct PageJob {
    /// Year of its number.
    pub year: i64,
    /// Serial of its number.
    pub serial: i64,
    /// Name of the plant.
    pub plant: String,
    /// Where it was put.
    pub put: String,
    /// Under trial since.
    pub trial_since: Option<Stamp>,
    /// How many no-steam bars stand.
    pub no_steam: i64,
    /// Name of the workshop.
    pub workshop: String,
    /// Whose workshop.
    pub owner: String,
    /// Words beside *do not steam it*.
    pub steam_words: String,
    /// When what is published was last changed.
    pub changed_at: Option<Stamp>,
    /// Promised day, where chosen.
    pub promised_on: Option<Day>,
    /// Estimate, where chosen.
    pub estimate_pence: Option<i64>,
    /// Agreed variations together, where chosen.
    pub agreed_pence: Option<i64>,
    /// Paid, where chosen.
    pub paid_pence: Option<i64>,
}

/// A variation on the customer's page.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct PageVariation {
    /// Which variation of the job.
    pub serial: i64,
    /// The extra work.
    pub what: String,
    /// Why.
    pub reason: String,
    /// If the customer says no.
    pub if_not: String,
    /// What it costs.
    pub price_pence: i64,
    /// When the customer was asked.
    pub asked_at: Option<Stamp>,
    /// `agreed` or `declined`.
    pub answer: Option<String>,
    /// When.
    pub answered_at: Option<Stamp>,
    /// Who gave the answer.
    pub answered_by: String,
}

/// Every line of news of a job, the newest first, withdrawn ones too.
///
/// # Errors
/// Only the database's.
pub async fn news(store: &Store, job: JobId) -> Result<Vec<News>, Error> {
    Ok(sqlx::query_as(NEWS)
        .bind(job)
        .fetch_all(store.readers())
        .await?)
}

/// Writes a line of news; it is shown.
///
/// # Errors
/// [`Error::Rule`] when it says nothing.
pub async fn say(w: &mut Write, job: JobId, said: &str) -> Result<NewsId, Error> {
    let now = w.now();
    let id: NewsId = sqlx::query_scalar(SAY)
        .bind(job)
        .bind(said)
        .bind(now)
        .fetch_one(w.conn())
        .await?;
    change::made(w, Subject::News, id.get()).await?;
    Ok(id)
}

/// One line of news.
///
/// # Errors
/// [`Error::Missing`].
pub async fn one_news(store: &Store, id: NewsId) -> Result<News, Error> {
    sqlx::query_as(ONE_NEWS)
        .bind(id)
        .fetch_optional(store.readers())
        .await?
        .ok_or(Error::Missing("line of news"))
}

/// Shows a line of news to the customer, or hides it.
///
/// # Errors
/// [`Error::Missing`].
pub async fn show(w: &mut Write, id: NewsId, shown: bool) -> Result<(), Error> {
    let before = change::before(w, Subject::News, id.get()).await?;
    sqlx::query(SHOW_NEWS)
        .bind(id)
        .bind(shown)
        .execute(w.conn())
        .await?;
    before.changed(w).await
}

/// What is chosen for a job.
///
/// # Errors
/// Only the database's.
pub async fn choices(store: &Store, job: JobId) -> Result<Choices, Error> {
    let own: Option<(String, bool, bool, Stamp)> = sqlx::query_as(CHOICES)
        .bind(job)
        .fetch_optional(store.readers())
        .await?;
    let (steam_words, shows_promised, shows_money, _) =
        own.unwrap_or((String::new(), false, false, Stamp::from_millis(0)));
    let shown = news(store, job)
        .await?
        .into_iter()
        .filter(|n| n.shown && n.withdrawn_at.is_none())
        .map(|n| n.id)
        .collect();
    Ok(Choices {
        steam_words,
        shows_promised,
        shows_money,
        news: shown,
        defects: sqlx::query_as(CHOSEN_DEFECTS)
            .bind(job)
            .fetch_all(store.readers())
            .await?,
        variations: sqlx::query_scalar(CHOSEN_VARIATIONS)
            .bind(job)
            .fetch_all(store.readers())
            .await?,
        pictures: shown::chosen(store, job).await?,
    })
}

/// Chooses what the customer sees of a job. What is not chosen is not shown.
///
/// # Errors
/// [`Error::Rule`] when a shown defect has no words.
pub async fn choose(w: &mut Write, job: JobId, choices: &Choices) -> Result<(), Error> {
    let now = w.now();
    sqlx::query(CHOOSE)
        .bind(job)
        .bind(&choices.steam_words)
        .bind(choices.shows_promised)
        .bind(choices.shows_money)
        .bind(now)
        .execute(w.conn())
        .await?;
    let written: Vec<News> = sqlx::query_as(NEWS).bind(job).fetch_all(w.conn()).await?;
    for news in written.iter().filter(|n| n.withdrawn_at.is_none()) {
        let shown = choices.news.contains(&news.id);
        if news.shown != shown {
            show(w, news.id, shown).await?;
        }
    }
    sqlx::query(CLEAR_DEFECTS)
        .bind(job)
        .execute(w.conn())
        .await?;
    for (id, words) in &choices.defects {
        sqlx::query(SHOW_DEFECT)
            .bind(id)
            .bind(job)
            .bind(words)
            .execute(w.conn())
            .await?;
    }
    sqlx::query(CLEAR_VARIATIONS)
        .bind(job)
        .execute(w.conn())
        .await?;
    for id in &choices.variations {
        sqlx::query(SHOW_VARIATION)
            .bind(id)
            .bind(job)
            .execute(w.conn())
            .await?;
    }
    shown::choose(w, job, &choices.pictures).await
}

/// The customer's page of a job: only what is on the allow-list.
///
/// # Errors
/// [`Error::Missing`] when there is no such job, or it is withdrawn.
pub async fn page(store: &Store, job: JobId) -> Result<Page, Error> {
    let readers = store.readers();
    Ok(Page {
        job: sqlx::query_as(PAGE)
            .bind(job)
            .fetch_optional(readers)
            .await?
            .ok_or(Error::Missing("page"))?,
        news: sqlx::query_as(PAGE_NEWS)
            .bind(job)
            .fetch_all(readers)
            .await?,
        defects: sqlx::query_as(PAGE_DEFECTS)
            .bind(job)
            .fetch_all(readers)
            .await?,
        variations: sqlx::query_as(PAGE_VARIATIONS)
            .bind(job)
            .fetch_all(readers)
            .await?,
        pictures: shown::on_page(store, job).await?,
        places: sqlx::query_as(PAGE_PLACES)
            .bind(job)
            .fetch_all(readers)
            .await?,
    })
}
