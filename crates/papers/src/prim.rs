//! The display list: lines, outlines, words and signs, each saying what it stands for.

/// A place on the drawing, in its own units, from the top left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

/// Makes a [`Point`].
pub(crate) fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// What a stroke, a fill or a word stands for; the writer gives it its colour and weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Role {
    Paper,
    Hole,
    GridFine,
    GridHeavy,
    PressurePen,
    PressureDot,
    WaterPen,
    WaterCross,
    CoPen,
    PressureUnder(Under),
    WaterUnder(Under),
    CoUnder(Under),
    StopLimit,
    CautionLimit,
    EventLine,
    NowLine,
    Wedge,
    WedgeEdge,
    Dimension,
    Arrow,
    Tube,
    StripeBroad,
    StripeThin,
    StripeLow,
    Graduation,
    HatchHigh,
    HatchLow,
    WordsInk,
    WordsWater,
    WordsCo,
    WordsStop,
    OffPaperInk,
    OffPaperWater,
    OffPaperCo,
    OffPaperStop,
    CodeDark,
    CodeLight,
}

/// Which of the pens that were laid under the newest one: the one before it, the one before that, the
/// oldest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Under {
    First,
    Second,
    Third,
}

/// Where words stand about their point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// Words on a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// What they stand for.
    pub role: Role,
    /// Where.
    pub at: Point,
    /// The words.
    pub text: String,
    /// Their size.
    pub size: f64,
    /// Bold?
    pub bold: bool,
    /// Which end is at the point.
    pub anchor: Anchor,
    /// Turned a quarter to read upward?
    pub upward: bool,
}

impl Words {
    /// Plain words of the usual size, starting at the point.
    pub(crate) fn new(role: Role, at: Point, text: impl Into<String>) -> Self {
        Self {
            role,
            at,
            text: text.into(),
            size: 12.0,
            bold: false,
            anchor: Anchor::Start,
            upward: false,
        }
    }

    pub(crate) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(crate) fn size(self, size: f64) -> Self {
        Self { size, ..self }
    }

    pub(crate) fn anchor(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    pub(crate) fn upward(self) -> Self {
        Self {
            upward: true,
            ..self
        }
    }
}

/// The sign of a flag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Sign {
    Stop,
    Caution,
    Note,
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Prim {
    /// A straight stroke.
    Line {
        /// What it stands for.
        role: Role,
        /// From here.
        from: Point,
        /// To here.
        to: Point,
    },
    /// Strokes joined end to end; never a smooth curve, the line between readings is only a join.
    Polyline {
        /// What it stands for.
        role: Role,
        /// Through these.
        points: Vec<Point>,
    },
    /// A filled outline.
    Polygon {
        /// What it stands for.
        role: Role,
        /// Round these.
        points: Vec<Point>,
    },
    /// A rectangle.
    Rect {
        /// What it stands for.
        role: Role,
        /// Top left.
        from: Point,
        /// Wide.
        width: f64,
        /// High.
        height: f64,
    },
    /// A dot: a reading, or a sprocket hole.
    Dot {
        /// What it stands for.
        role: Role,
        /// Middle.
        at: Point,
        /// Radius.
        radius: f64,
    },
    /// Words.
    Text(Words),
    /// The sign of a flag, about 14 units high, its middle at the point.
    Flag {
        /// Which.
        sign: Sign,
        /// Middle.
        at: Point,
    },
}

/// A whole drawing, with the words for those who cannot see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Wide.
    pub width: f64,
    /// High.
    pub height: f64,
    /// What it is.
    pub title: String,
    /// What it shows.
    pub says: String,
    /// What is drawn, first things under.
    pub list: Vec<Prim>,
}

impl Drawing {
    pub(crate) fn line(&mut self, role: Role, from: Point, to: Point) {
        self.list.push(Prim::Line { role, from, to });
    }

    pub(crate) fn rect(&mut self, role: Role, from: Point, width: f64, height: f64) {
        self.list.push(Prim::Rect {
            role,
            from,
            width,
            height,
        });
    }

    pub(crate) fn words(&mut self, words: Words) {
        self.list.push(Prim::Text(words));
    }

    /// Every word on the drawing, for tests and for readers aloud.
    pub fn all_words(&self) -> Vec<&str> {
        self.list
            .iter()
            .filter_map(|p| match p {
                Prim::Text(words) => Some(words.text.as_str()),
                _ => None,
            })
            .collect()
    }
}
