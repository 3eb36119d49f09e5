//! `specs/jobs/2026/0412.yaml`: what one job found on a machine, and what it left.

use schemars::JsonSchema;
use serde::Deserialize;

use super::front::quantity;
use super::job_line::{JobLine, lines, readings_schema};
use super::text::{Text, loose_schema, read_apart, value_schema};
use crate::catalogue::Catalogue;
use crate::date::Date;
use crate::diagnostic::{Finding, rules};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::{from_tree, yaml::Node};
use crate::text::{FileId, Files, Span};

/// A job: the machine, what was found, what was left.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// Its number: the year's folder and the file's name, `2026/0412`. The span is that of the file's beginning.
    #[serde(skip)]
    pub number: Text,
    /// The fork, by id.
    pub fork: Text,
    /// The service, by id.
    pub service: Text,
    /// The code of the card that was worked from, such as PEAA-J80G.
    pub card: Option<Text>,
    /// The machine.
    pub machine: JobMachine,
    /// The day, in quotes: "2026-04-12".
    #[schemars(schema_with = "loose_schema")]
    pub date: Text,
    /// The machine's distance, such as 18200 km.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub distance: Option<Quantity>,
    /// The engine's hours, where the machine counts them.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub hours: Option<Quantity>,
    /// What the rider complains of.
    pub complaint: Option<Text>,
    /// The rider's mass and use. No name.
    #[serde(default)]
    pub rider: JobRider,
    /// The oil that went in.
    #[serde(default)]
    pub oil: JobOil,
    /// What was read before anything was set, by the key of the value.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "readings_schema")]
    pub found: Vec<JobLine>,
    /// What was set, by the key of the value, with the target as it was printed.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "readings_schema")]
    pub left: Vec<JobLine>,
    /// The parts that were fitted.
    #[serde(default)]
    pub parts: Vec<JobPart>,
    /// What was skipped, and why.
    #[serde(default)]
    pub skipped: Vec<JobSkip>,
    /// Who did it: a sign, such as bench 2.
    pub done_by: Option<Text>,
    /// Who read every number back: a sign.
    pub read_back_by: Option<Text>,
    /// Anything else worth knowing.
    pub notes: Option<Text>,
    /// What the page to work from needs to go on with this job: which steps are ticked. Only the page reads it.
    pub page: Option<Text>,
}

/// The machine of a job.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JobMachine {
    /// Who made it.
    #[serde(default)]
    pub maker: Text,
    /// The model.
    #[serde(default)]
    pub model: Text,
    /// As much of its frame number as the shop wants to keep: the last letters and digits.
    #[serde(default)]
    #[schemars(schema_with = "loose_schema")]
    pub frame: Text,
}

impl JobMachine {
    /// What tells one machine from another: maker, model and frame, without regard to capitals and spaces.
    pub fn key(&self) -> (String, String, String) {
        let fold = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let plain =
            |text: &str| text.chars().filter(|c| c.is_alphanumeric()).collect::<String>().to_uppercase();
        (fold(&self.maker.text), fold(&self.model.text), plain(&self.frame.text))
    }

    /// Why a job without its machine is not taken; what is not there stands behind it.
    pub const UNNAMED: &'static str = "the job does not say which machine it is; not there";

    /// What a shop must know of a machine, by key and as it is said: two of one model never mix.
    pub const SAID: [(&'static str, &'static str); 3] =
        [("maker", "its maker"), ("model", "its model"), ("frame", "the end of its frame number")];

    /// What is not said of the machine, as one sentence; `None` where all is.
    pub fn unnamed(&self) -> Option<String> {
        let texts = [&self.maker, &self.model, &self.frame];
        let lacks = texts.iter().zip(Self::SAID).filter(|(text, _)| text.text.trim().is_empty());
        let lacks: Vec<&str> = lacks.map(|(_, (_, said))| said).collect();
        (!lacks.is_empty()).then(|| format!("{}: {}", Self::UNNAMED, lacks.join(", ")))
    }

    /// Maker, model and frame in one line.
    pub fn title(&self) -> String {
        format!("{} {}, frame …{}", self.maker.text, self.model.text, self.frame.text)
    }
}

/// The rider, as far as the fork feels him.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct JobRider {
    /// With gear, such as 84 kg.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub mass: Option<Quantity>,
    /// What the machine is ridden for: road, touring, cross.
    #[serde(rename = "use")]
    pub use_for: Option<Text>,
}

/// The oil of a job.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct JobOil {
    /// The oil, by id.
    pub oil: Text,
    /// The batch on its bottle.
    #[serde(default)]
    #[schemars(schema_with = "loose_schema")]
    pub batch: Option<Text>,
    /// Its temperature when the height was read, such as 20 °C.
    #[serde(default, deserialize_with = "read_apart")]
    #[schemars(schema_with = "value_schema")]
    pub temperature: Option<Quantity>,
}

/// A part that was fitted.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct JobPart {
    /// What it is: a consumable's id, or its name.
    pub part: Text,
    /// Its size.
    pub size: Option<Text>,
    /// Its part number.
    #[serde(default)]
    #[schemars(schema_with = "loose_schema")]
    pub number: Option<Text>,
}

/// What was skipped.
#[derive(Debug, Clone, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub struct JobSkip {
    /// A procedure's id, or the key of a value that was not read.
    pub what: Text,
    /// The one step of the procedure that was skipped, in its words; left out: all of it.
    pub step: Option<Text>,
    /// Why.
    pub why: Text,
}

impl JobSkip {
    /// What was skipped beside its name, and why: `the spring is measured: the gauge was away`.
    pub fn said(&self) -> String {
        let step = self.step.as_ref().map(|step| format!("“{}”: ", step.text)).unwrap_or_default();
        format!("{step}{}", self.why.text)
    }
}

impl Job {
    /// The day, where there is such a day.
    pub fn day(&self) -> Option<Date> {
        Date::read(&self.date.text)
    }

    /// The lines as found and as left, each with whether it is as left.
    pub fn lines(&self) -> impl Iterator<Item = (bool, &JobLine)> {
        self.found.iter().map(|line| (false, line)).chain(self.left.iter().map(|line| (true, line)))
    }

    /// The oil that went in, by id, where it says so.
    pub fn oil_id(&self) -> Option<&Text> {
        (!self.oil.oil.text.is_empty()).then_some(&self.oil.oil)
    }

    /// Whether it says that this was skipped.
    pub fn skips(&self, what: &str) -> bool {
        self.skipped.iter().any(|skip| skip.what.text == what && skip.step.is_none())
    }
}

/// Reads a job.
pub(crate) fn read_job(
    root: &Node,
    file: FileId,
    files: &Files,
    catalogue: &Catalogue,
    findings: &mut Vec<Finding>,
) -> Job {
    let source = files.get(file);
    let text = &source.text;
    let mut job: Job = from_tree(root);
    job.number = Text {
        text: super::kind::RecordKind::Job.id_at(&source.path).to_owned(),
        span: Span { file, start: root.span.start, end: root.span.start },
    };
    let unnamed = root.get("machine").and_then(|node| Some((node.span, job.machine.unnamed()?)));
    findings.extend(unnamed.map(|(span, why)| {
        rules::JOB_UNNAMED
            .at(span, why)
            .bench("two machines of one model would be taken for one")
            .instead("say the maker, the model, and the last letters and digits of the frame number")
    }));
    job.distance = quantity(root, "distance", (Dimension::Distance, "Distance", "18200 km"), text, findings);
    job.hours = quantity(root, "hours", (Dimension::Time, "Hours", "62 h"), text, findings);
    if let Some(node) = root.get("rider") {
        job.rider.mass = quantity(node, "mass", (Dimension::Mass, "Rider’s mass", "84 kg"), text, findings);
    }
    if let Some(node) = root.get("oil") {
        let asked = (Dimension::Temperature, "Temperature of the oil", "20 °C");
        job.oil.temperature = quantity(node, "temperature", asked, text, findings);
    }
    job.found = lines(root.get("found"), text, catalogue, findings);
    job.left = lines(root.get("left"), text, catalogue, findings);
    job.parts.retain(|part| !part.part.text.is_empty());
    job.skipped.retain(|skip| !skip.what.text.is_empty());
    job
}
