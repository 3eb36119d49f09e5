//! The phases of a job.

/// A phase of a job, in the order in which they come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// The machine comes in.
    Intake,
    /// The fork is taken apart.
    Strip,
    /// Parts are measured.
    Inspect,
    /// It is put together again.
    Rebuild,
    /// Oil and air go in.
    Fill,
    /// Adjusters are set.
    Set,
    /// The work is looked over.
    Check,
    /// The machine goes out.
    HandBack,
}

impl Phase {
    /// Every phase in order.
    pub const ALL: [Phase; 8] = [
        Phase::Intake,
        Phase::Strip,
        Phase::Inspect,
        Phase::Rebuild,
        Phase::Fill,
        Phase::Set,
        Phase::Check,
        Phase::HandBack,
    ];

    /// As a procedure writes it.
    pub const fn id(self) -> &'static str {
        match self {
            Phase::Intake => "intake",
            Phase::Strip => "strip",
            Phase::Inspect => "inspect",
            Phase::Rebuild => "rebuild",
            Phase::Fill => "fill",
            Phase::Set => "set",
            Phase::Check => "check",
            Phase::HandBack => "hand-back",
        }
    }

    /// What a page calls it.
    pub const fn title(self) -> &'static str {
        match self {
            Phase::Intake => "Intake",
            Phase::Strip => "Strip",
            Phase::Inspect => "Inspect",
            Phase::Rebuild => "Rebuild",
            Phase::Fill => "Fill",
            Phase::Set => "Set",
            Phase::Check => "Check",
            Phase::HandBack => "Hand over",
        }
    }

    /// The phase of a word.
    pub(crate) fn of(word: &str) -> Option<Phase> {
        Phase::ALL.into_iter().find(|phase| phase.id() == word)
    }

    /// Whether a reading is the fork as it came in, before anything is done to it.
    pub(crate) fn is_before_work(self) -> bool {
        matches!(self, Phase::Intake | Phase::Strip)
    }

    /// Whether a reading is written as found: before anything is set, and of parts that are measured before the
    /// rebuild.
    pub(crate) fn is_as_found(self) -> bool {
        self < Phase::Rebuild
    }
}
