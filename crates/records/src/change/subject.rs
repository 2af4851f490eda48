//! What can be changed and withdrawn: a line each.

macro_rules! subjects {
    ($($(#[$doc:meta])* $name:ident = $word:literal, $row:literal, $withdrawal:literal;)*) => {
        /// What can be changed and withdrawn.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Subject {
            $($(#[$doc])* $name,)*
        }

        impl Subject {
            const ALL: &[Self] = &[$(Self::$name,)*];

            /// Its word, as on the page.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$name => $word,)*
                }
            }

            pub(super) const fn row(self) -> &'static str {
                match self {
                    $(Self::$name => $row,)*
                }
            }

            pub(super) const fn withdrawal(self) -> &'static str {
                match self {
                    $(Self::$name => $withdrawal,)*
                }
            }
        }

        #[cfg(any(test, feature = "ten-years"))]
        pub(crate) const STATEMENTS: &[(&str, &str)] = &[$(
            (concat!("change::", stringify!($name), " row"), $row),
            (concat!("change::", stringify!($name), " withdrawal"), $withdrawal),
        )*];
    };
}

#[rustfmt::skip]
subjects! {
    /// A customer.
    Customer = "customer", "select * from customer where id = ?1", "update customer set withdrawn_at = ?2 where id = ?1";
    /// A plant.
    Plant = "plant", "select * from plant where id = ?1", "update plant set withdrawn_at = ?2 where id = ?1";
    /// A component.
    Component = "component", "select * from component where id = ?1", "update component set withdrawn_at = ?2 where id = ?1";
    /// A job.
    Job = "job", "select * from job where id = ?1", "update job set withdrawn_at = ?2 where id = ?1";
    /// A sitting.
    Sitting = "sitting", "select * from sitting where id = ?1", "update sitting set withdrawn_at = ?2 where id = ?1";
    /// A sitting that has begun and is not put down yet.
    BenchSpell = "sitting begun", "select * from bench_spell where id = ?1", "update bench_spell set withdrawn_at = ?2 where id = ?1";
    /// A look.
    Look = "look", "select * from look where id = ?1", "update look set withdrawn_at = ?2 where id = ?1";
    /// A line of a look.
    LookLine = "line of a look", "select x.*, k.job_id from look_line x join look k on k.id = x.look_id where x.id = ?1", "update look_line set withdrawn_at = ?2 where id = ?1";
    /// A part.
    Part = "part", "select * from part where id = ?1", "update part set withdrawn_at = ?2 where id = ?1";
    /// A variation.
    Variation = "variation", "select * from variation where id = ?1", "update variation set withdrawn_at = ?2 where id = ?1";
    /// The estimate of a job.
    Estimate = "estimate", "select * from estimate where id = ?1", "update estimate set withdrawn_at = ?2 where id = ?1";
    /// A payment.
    Payment = "payment", "select * from payment where id = ?1", "update payment set withdrawn_at = ?2 where id = ?1";
    /// Something kept in stock.
    Stock = "stock", "select * from stock where id = ?1", "update stock set withdrawn_at = ?2 where id = ?1";
    /// A move of stock.
    StockMove = "move of stock", "select * from stock_move where id = ?1", "update stock_move set withdrawn_at = ?2 where id = ?1";
    /// A defect.
    Defect = "defect", "select * from defect where id = ?1", "update defect set withdrawn_at = ?2 where id = ?1";
    /// A finding of an examination.
    Examination = "examination", "select * from examination where id = ?1", "update examination set withdrawn_at = ?2 where id = ?1";
    /// A temporary state.
    State = "temporary state", "select * from temporary_state where id = ?1", "update temporary_state set withdrawn_at = ?2 where id = ?1";
    /// A piece off the plant.
    Piece = "piece off the plant", "select * from piece where id = ?1", "update piece set withdrawn_at = ?2 where id = ?1";
    /// A picture.
    Picture = "picture", "select * from picture where id = ?1", "update picture set withdrawn_at = ?2 where id = ?1";
    /// Somebody else's paper.
    Paper = "paper", "select * from paper where id = ?1", "update paper set withdrawn_at = ?2 where id = ?1";
    /// The route of a boiler of unknown history.
    UnknownBoiler = "unknown boiler", "select * from unknown_boiler where id = ?1", "update unknown_boiler set withdrawn_at = ?2 where id = ?1";
    /// An appointment.
    Appointment = "appointment", "select * from appointment where id = ?1", "update appointment set withdrawn_at = ?2, changes = changes + 1 where id = ?1";
    /// An instrument.
    Instrument = "instrument", "select * from instrument where id = ?1", "update instrument set withdrawn_at = ?2 where id = ?1";
    /// Two gauges side by side.
    Comparison = "comparison", "select * from comparison where id = ?1", "update comparison set withdrawn_at = ?2 where id = ?1";
    /// Something fitted.
    Fitted = "thing fitted", "select * from fitted where id = ?1", "update fitted set withdrawn_at = ?2 where id = ?1";
    /// The workshop's own settings; the pass phrase is none of them.
    Workshop = "workshop", "select id, name, owner, currency, hourly_pence, tax_hundredths, news_days, promise_days from workshop where id = ?1", "update workshop set made_at = made_at where id = ?1 and ?2 is not null";
    /// The workshop's rule of re-tests.
    RetestRule = "rule of re-tests", "select * from retest_rule where id = ?1", "update retest_rule set ahead_days = ahead_days where id = ?1 and ?2 is not null";
    /// A line of news.
    News = "line of news", "select * from news where id = ?1", "update news set withdrawn_at = ?2 where id = ?1";
}

impl Subject {
    /// Reads its word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|s| s.word() == word)
    }

    /// Reads whatever can be changed from an address.
    #[must_use]
    pub fn from_any_slug(slug: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|s| s.slug() == slug)
    }

    /// The same without spaces, for an address.
    #[must_use]
    pub fn slug(self) -> String {
        self.word().replace(' ', "-")
    }

    /// Reads what can be withdrawn from an address.
    #[must_use]
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::from_any_slug(slug).filter(|s| !s.is_a_setting())
    }

    /// A setting is changed, and never withdrawn.
    const fn is_a_setting(self) -> bool {
        matches!(self, Self::Workshop | Self::RetestRule)
    }
}
