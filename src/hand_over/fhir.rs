//! An examination as FHIR R4: observations of acuity and refraction, and a prescription that is a draft until somebody signs it.
//!
//! FHIR is an open standard ([HL7, release 4](crate::bibliography::FHIR_R4)). Codes stand only where their meaning was seen in a published list: LOINC's page of
//! panel 62706-7, and SNOMED CT as HL7's own eye-care guides use it. All else is text, the add among it, for which published lists
//! disagree. The patient is whoever the reference says, which the practice fills in.

use serde_json::{Map, Value, json};
use uuid::Uuid;

use super::Writing;
use super::eye::HandedEye;
use crate::acuity::Score;
use crate::balance::record::{Kept, moment};
use crate::balance::words::{CAUTION, NOT_APPROVED};
use crate::balance::{Laterality, Lens, RefinedFor, Stage};
use crate::quantity::Dioptres;

/// What stands for a patient whom nobody named.
const UNNAMED: &str = "to be filled in by the practice";

/// What tells this project's names from all others': chosen at random once.
const NAMES: Uuid = Uuid::from_u128(0x7d2c_9a51_63f0_4e8b_b0a7_1c5e_94d8_26f3);

const LOINC: &str = "http://loinc.org";
const SNOMED: &str = "http://snomed.info/sct";
const UCUM: &str = "http://unitsofmeasure.org";

/// A code: its system, itself, its name there.
type Code = (&'static str, &'static str, &'static str);

const ACUITY_RIGHT: Code = (LOINC, "65893-0", "Visual acuity best corrected Right eye");
const ACUITY_LEFT: Code = (LOINC, "65897-1", "Visual acuity best corrected Left eye");
const ACUITY_BOTH: Code = (SNOMED, "251742009", "Distance visual acuity - binocular");
const ACUITY_NEAR: Code = (SNOMED, "251743004", "Near visual acuity");
const REFRACTION: Code = (SNOMED, "251794006", "Refraction");
const SUBJECTIVE: Code = (SNOMED, "397277005", "Subjective refraction");
const SPHERE: Code = (SNOMED, "251795007", "Power of sphere");
const CYLINDER: Code = (SNOMED, "251797004", "Power of cylinder");
const AXIS: Code = (SNOMED, "251799001", "Axis of cylinder");
const RIGHT_EYE: Code = (SNOMED, "362502000", "Entire right eye");
const LEFT_EYE: Code = (SNOMED, "362503005", "Entire left eye");
const BOTH_EYES: Code = (SNOMED, "362508001", "Both eyes, entire");
const EXAM: Code = ("http://terminology.hl7.org/CodeSystem/observation-category", "exam", "Exam");
const LENS: Code = ("http://terminology.hl7.org/CodeSystem/ex-visionprescriptionproduct", "lens", "Lens");

/// Why an examination is not handed over as FHIR.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FhirError {
    /// No reference of FHIR reads so.
    #[error(
        "{0:?} is no reference to a patient: write it as Patient/ and the number that your records give, such as Patient/example-1"
    )]
    Patient(String),
    /// It may not be relied on.
    #[error("{0} So it is not handed over to another program")]
    Spoilt(String),
    /// Nobody knows when it was.
    #[error("the record’s time {0:?} is no moment: hand the page over instead")]
    Time(String),
    /// There is nothing in it.
    #[error("no eye was examined, so there is nothing to hand over")]
    Empty,
}

/// Whom an examination is of, and how cylinders are written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Whose {
    /// Such as `Patient/example-1`; none where the practice fills it in.
    pub patient: Option<String>,
    /// How lenses and acuities are written.
    pub writing: Writing,
}

/// A bundle of all that was found, as JSON in lines. The same examination gives the same bytes.
///
/// # Errors
/// Where the patient is no reference, or no eye was examined.
pub fn bundle(kept: &Kept, whose: &Whose) -> Result<String, FhirError> {
    let eyes = HandedEye::all_of(kept);
    if eyes.is_empty() {
        return Err(FhirError::Empty);
    }
    if let Some(warning) = kept.warning() {
        return Err(FhirError::Spoilt(warning));
    }
    if let Some(at) = kept.at.first().filter(|at| moment(at).is_none()) {
        return Err(FhirError::Time(at.clone()));
    }
    let subject = match &whose.patient {
        None => json!({ "display": UNNAMED }),
        Some(patient) if is_reference(patient) => json!({ "reference": patient }),
        Some(patient) => return Err(FhirError::Patient(patient.clone())),
    };
    let made = Made { kept, subject, writing: whose.writing };
    let mut all: Vec<(String, Value)> = eyes.iter().flat_map(|eye| made.of_eye(eye)).collect();
    all.extend(made.of_both());
    all.extend(made.prescription(&eyes));
    let entry: Vec<Value> = all
        .into_iter()
        .map(|(name, resource)| {
            let id = Uuid::new_v5(&NAMES, format!("{}/{name}", kept.id).as_bytes());
            json!({ "fullUrl": format!("urn:uuid:{id}"), "resource": resource })
        })
        .collect();
    let bundle = json!({ "resourceType": "Bundle", "type": "collection", "entry": entry });
    Ok(format!("{bundle:#}\n"))
}

/// Whether FHIR can refer to a patient so: relative, absolute or a urn, of the characters that it allows.
fn is_reference(text: &str) -> bool {
    let allowed = |letter: char| letter.is_ascii_alphanumeric() || "-.:/_%~".contains(letter);
    let kind = text.starts_with("urn:") || text.split('/').rev().nth(1) == Some("Patient");
    kind && text.len() <= 256 && text.chars().all(allowed) && !text.ends_with('/')
}

struct Made<'a> {
    kept: &'a Kept,
    subject: Value,
    writing: Writing,
}

impl Made<'_> {
    fn of_eye(&self, eye: &HandedEye<'_>) -> Vec<(String, Value)> {
        let start = eye.first_start();
        let name = |what: &str| format!("{}/{what}", eye.eye().name());
        let (site, acuity) = site_and_acuity(eye.eye());
        let manifest = self.refraction(site, start.manifest.lens(), &start.refined_for);
        let mut all = vec![
            (name("manifest"), noted(manifest, "The manifest refraction, refined before the balance.")),
            (
                name("acuity-before"),
                self.acuity(acuity, site, start.acuity, "Through the manifest refraction."),
            ),
        ];
        all.extend(self.balance(eye, site).map(|balance| (name("balance"), balance)));
        if let Some(score) = eye.acuity_after() {
            let through = "Through the lens that the balance left in.";
            all.push((name("acuity-after"), self.acuity(acuity, site, score, through)));
        }
        if let (Some(lens), Some(is_for)) = (eye.ends_with(), eye.is_for()) {
            let refraction = self.refraction(site, lens, &is_for);
            all.push((name("refraction"), noted(refraction, &self.chosen(eye))));
        }
        all
    }

    /// What was chosen, and what both eyes open made of it.
    fn chosen(&self, eye: &HandedEye<'_>) -> String {
        let both = self.kept.examination.ends_with_in_words();
        let both = both.map(|both| format!(" {both}")).unwrap_or_default();
        format!("{}.{both}", eye.course.choice_in_words())
    }

    /// Where balance lies, with its interval; none where that is not known.
    fn balance(&self, eye: &HandedEye<'_>, site: Code) -> Option<Value> {
        let found = eye.whereabouts()?;
        let part = |text: &str, power: Dioptres| json!({ "code": { "text": text }, "valueQuantity": dioptres(power) });
        let components = [
            part("balance", found.balance),
            part("lower end of the 95 % interval", found.low),
            part("upper end of the 95 % interval", found.high),
        ];
        let said = eye.course.estimate_in_words()?;
        let cautions =
            eye.course.cautions().into_iter().map(|caution| format!("{} [{}]", caution.what, caution.basis));
        let notes: Vec<Value> = [said.basis].into_iter().chain(cautions).map(note).collect();
        let code = format!(
            "Red-green balance, sphere at {}, {}",
            eye.start().distance(),
            eye.start().procedure.name()
        );
        let mut made = self.observation(json!({ "text": code }), site);
        made.insert("component".into(), json!(components));
        made.insert("note".into(), json!(notes));
        Some(Value::Object(made))
    }

    fn of_both(&self) -> Vec<(String, Value)> {
        let examination = &self.kept.examination;
        let both = examination.both.acuity.map(|score| {
            let acuity = self.acuity(ACUITY_BOTH, BOTH_EYES, score, "Both eyes open.");
            ("both/acuity".into(), acuity)
        });
        let near = examination.near.last().map(|near| {
            let said = format!("{}. {}", near.words(), examination.near_advice(near).join(" "));
            let mut made = self.observation(coded(ACUITY_NEAR), BOTH_EYES);
            if let Some(score) = near.acuity {
                made.insert("valueQuantity".into(), log_mar(score));
            }
            let add = json!({ "code": { "text": "add" }, "valueQuantity": dioptres(near.add) });
            let far = json!({ "code": { "text": "working distance" }, "valueQuantity": quantity(near.distance.to_mm(), "mm", "mm") });
            made.insert("component".into(), json!([add, far]));
            ("both/near".into(), noted(Value::Object(made), &said))
        });
        [both, near].into_iter().flatten().collect()
    }

    /// A draft of a prescription of what was chosen for far away; none where nothing was.
    fn prescription(&self, eyes: &[HandedEye<'_>]) -> Option<(String, Value)> {
        let add = self.kept.examination.near.last().map(|near| near.add.to_d());
        let lens = |eye: &HandedEye<'_>| {
            let lens = eye.ends_with().filter(|_| eye.is_for() == Some(RefinedFor::FarAway))?;
            let lens = lens.written(self.writing.cylinders);
            let mut made = Map::new();
            made.insert("product".into(), coded(LENS));
            made.insert("eye".into(), json!(eye.eye().name()));
            made.insert("sphere".into(), json!(lens.sphere.to_d()));
            if let Some(cylinder) = lens.cylinder {
                made.insert("cylinder".into(), json!(cylinder.power.to_d()));
                made.insert("axis".into(), json!(cylinder.axis_degrees));
            }
            if let Some(add) = add.filter(|add| *add > 0.0) {
                made.insert("add".into(), json!(add));
            }
            let vertex = eye
                .start()
                .vertex
                .map(|vertex| format!(" Refined with the lens {} mm before the eye.", vertex.to_mm()));
            let glasses = eye.in_glasses().zip(eye.start().glasses_vertex).map(|(lens, vertex)| {
                let lens = lens.written(self.writing.cylinders);
                format!(" In glasses {} mm before the eye it is {lens}.", vertex.to_mm())
            });
            let note_text = format!(
                "{}{}{} A draft, not signed. {CAUTION} {NOT_APPROVED}",
                self.chosen(eye),
                vertex.unwrap_or_default(),
                glasses.unwrap_or_default()
            );
            made.insert("note".into(), json!([note(note_text)]));
            Some(Value::Object(made))
        };
        let lenses: Vec<Value> = eyes.iter().filter_map(lens).collect();
        if lenses.is_empty() {
            return None;
        }
        let at = self.at();
        let initials = eyes.iter().find_map(|eye| eye.start().examiner.clone());
        let prescriber = initials.unwrap_or_else(|| UNNAMED.into());
        Some((
            "prescription".into(),
            json!({
                "resourceType": "VisionPrescription",
                "status": "draft",
                "created": at,
                "patient": self.subject,
                "dateWritten": at,
                "prescriber": { "display": prescriber },
                "lensSpecification": lenses,
            }),
        ))
    }

    fn refraction(&self, site: Code, lens: Lens, is_for: &RefinedFor) -> Value {
        let lens = lens.written(self.writing.cylinders);
        let distance = match is_for {
            RefinedFor::FarAway => "far away".to_owned(),
            RefinedFor::Room => {
                let start = self.kept.examination.courses.first().map(|course| course.start.distance());
                start.map(|distance| distance.to_string()).unwrap_or_default()
            }
        };
        let power = |code, power| json!({ "code": coded(code), "valueQuantity": dioptres(power) });
        let mut components = vec![power(SPHERE, lens.sphere)];
        if let Some(cylinder) = lens.cylinder {
            let axis = quantity(f64::from(cylinder.axis_degrees), "degrees", "deg");
            components.push(power(CYLINDER, cylinder.power));
            components.push(json!({ "code": coded(AXIS), "valueQuantity": axis }));
        }
        components.push(json!({ "code": { "text": "for the distance of" }, "valueString": distance }));
        let mut made = self.observation(coded(REFRACTION), site);
        made.insert("method".into(), coded(SUBJECTIVE));
        made.insert("component".into(), json!(components));
        Value::Object(made)
    }

    fn acuity(&self, code: Code, site: Code, score: Score, through: &str) -> Value {
        let mut made = self.observation(coded(code), site);
        made.insert("valueQuantity".into(), log_mar(score));
        noted(
            Value::Object(made),
            &format!("{} on white. {through}", score.in_notation_or_own(self.writing.notation)),
        )
    }

    fn observation(&self, code: Value, site: Code) -> Map<String, Value> {
        let status = if self.kept.examination.stage() == Stage::Closed { "final" } else { "preliminary" };
        let made = json!({
            "resourceType": "Observation",
            "status": status,
            "category": [coded(EXAM)],
            "code": code,
            "subject": self.subject,
            "effectiveDateTime": self.at(),
            "bodySite": coded(site),
        });
        if let Value::Object(made) = made { made } else { Map::new() }
    }

    /// When the examination began.
    fn at(&self) -> &str {
        self.kept.at.first().map_or("", String::as_str)
    }
}

const fn site_and_acuity(eye: Laterality) -> (Code, Code) {
    match eye {
        Laterality::Right => (RIGHT_EYE, ACUITY_RIGHT),
        Laterality::Left => (LEFT_EYE, ACUITY_LEFT),
    }
}

fn coded((system, code, display): Code) -> Value {
    json!({ "coding": [{ "system": system, "code": code, "display": display }], "text": display })
}

fn quantity(value: f64, unit: &str, code: &str) -> Value {
    json!({ "value": rounded(value), "unit": unit, "system": UCUM, "code": code })
}

fn dioptres(power: Dioptres) -> Value {
    quantity(power.to_d(), "D", "[diop]")
}

/// UCUM has no unit for it, so it has none of UCUM's codes.
fn log_mar(score: Score) -> Value {
    json!({ "value": rounded(score.to_log_mar()), "unit": "logMAR" })
}

/// Without what binary fractions leave behind the fourth digit.
fn rounded(value: f64) -> f64 {
    const DIGITS: f64 = 1e4;
    let rounded = (value * DIGITS).round() / DIGITS;
    if rounded == 0.0 { 0.0 } else { rounded }
}

fn note(text: String) -> Value {
    json!({ "text": text })
}

fn noted(mut resource: Value, text: &str) -> Value {
    resource["note"] = json!([note(text.into())]);
    resource
}
