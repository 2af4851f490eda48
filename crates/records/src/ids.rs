//! Row numbers that cannot be mistaken for one another.

macro_rules! id {
    ($($name:ident: $what:literal),* $(,)?) => {$(
        #[doc = concat!("The number of ", $what, ".")]
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, sqlx::Type, serde::Serialize, serde::Deserialize)]
        #[sqlx(transparent)]
        #[serde(transparent)]
        pub struct $name(i64);

        impl $name {
            /// Takes a number as it came in an address.
            #[must_use]
            pub const fn new(number: i64) -> Self { Self(number) }
            /// The bare number, for an address.
            #[must_use]
            pub const fn get(self) -> i64 { self.0 }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result { self.0.fmt(f) }
        }
    )*};
}

id! {
    CustomerId: "a customer",
    PlantId: "a plant",
    ComponentId: "a component",
    JobId: "a job",
    SittingId: "a sitting",
    LookId: "a look",
    LookLineId: "a line of a look",
    PartId: "a part",
    VariationId: "a variation",
    DefectId: "a defect",
    StateId: "a temporary state",
    PieceId: "a piece off the plant",
    NewsId: "a line of news",
    PictureId: "a picture",
    FittedId: "a thing fitted",
    ExaminationId: "a finding of an examination",
    InstrumentId: "an instrument",
    PaperId: "a paper",
    UnknownBoilerId: "the route of a boiler of unknown history",
    AppointmentId: "an appointment",
    ComparisonId: "a comparison of two gauges",
    ShareId: "a private link",
    TrialId: "a trial",
    SessionId: "a session",
    ReckoningId: "a reckoning",
    EstimateId: "an estimate",
    PaymentId: "a payment",
    StockId: "something in stock",
    BenchSpellId: "a sitting that has begun",
    StockMoveId: "a move of stock",
}
