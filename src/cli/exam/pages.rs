//! Pages, for those who have a pass.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use serde::{Deserialize, Serialize};

use super::hall::{Hall, random};
use crate::balance::Course;
use crate::balance::record::Kept;
use crate::exam::{Role, read_record};
use crate::export::{pdf, svg};
use crate::hand_over::{self, Writing, fhir, fhir::Whose};
use crate::print::{BalancePage, Paper};
use crate::text;
use crate::web::{self, RecordRow};

/// The pass that a request carries.
pub(super) fn pass<'a>(hall: &Hall, headers: &'a HeaderMap) -> Option<&'a str> {
    let name = cookie(hall);
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    cookies
        .flat_map(|cookies| cookies.split(';'))
        .filter_map(|cookie| cookie.trim().split_once('='))
        .find(|(one, _)| *one == name)
        .map(|(_, value)| value)
}

fn cookie(hall: &Hall) -> String {
    format!("evenfield_{}", hall.addresses.port())
}

/// Whether a request may come in.
pub(super) fn may(hall: &Hall, headers: &HeaderMap, role: Role) -> bool {
    pass(hall, headers).is_some_and(|pass| hall.door().lets_in(pass, role))
}

/// A page for who may see it, else the door.
fn behind_the_door(
    hall: &Hall,
    headers: &HeaderMap,
    role: Role,
    page: impl FnOnce() -> Response,
) -> Response {
    if may(hall, headers, role) { page() } else { Html(web::door_page(role)).into_response() }
}

/// What is typed at the door.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Knock {
    code: String,
    r#as: String,
}

#[derive(Serialize)]
struct Refusal {
    refused: String,
}

fn refuse(status: StatusCode, why: &str) -> Response {
    (status, Json(Refusal { refused: why.into() })).into_response()
}

/// `POST /door`
pub(super) async fn door(
    State(hall): State<Arc<Hall>>,
    headers: HeaderMap,
    Json(knock): Json<Knock>,
) -> Response {
    // A browser says where its page came from; a form of another page says so too, or does not say it.
    if headers.get(header::ORIGIN).is_none() {
        return refuse(StatusCode::FORBIDDEN, "the code is typed on this server’s own page");
    }
    let Some(role) = Role::ALL.into_iter().find(|role| role.name() == knock.r#as) else {
        return refuse(StatusCode::BAD_REQUEST, "a window is a wall or a panel");
    };
    let Ok(token) = random() else {
        return refuse(StatusCode::INTERNAL_SERVER_ERROR, "this machine gives no random numbers");
    };
    let entered = hall.door().enter(&knock.code, role, token, hall.now());
    match entered {
        Err(error) => refuse(StatusCode::FORBIDDEN, &error.to_string()),
        Ok(pass) => {
            drop(hall.print_new_code());
            let secure = if hall.addresses.is_tls() { "; Secure" } else { "" };
            let cookie = format!("{}={}; HttpOnly; SameSite=Strict; Path=/{secure}", cookie(&hall), pass.0);
            ([(header::SET_COOKIE, cookie)], Json(serde_json::json!({}))).into_response()
        }
    }
}

/// `GET /`
pub(super) async fn home(State(hall): State<Arc<Hall>>, headers: HeaderMap) -> Response {
    behind_the_door(&hall, &headers, Role::Panel, || Html(web::home_page()).into_response())
}

/// `GET /panel` and `GET /setup`: the page is the same, and asks for another room where it was reached by the second.
pub(super) async fn panel(State(hall): State<Arc<Hall>>, headers: HeaderMap) -> Response {
    behind_the_door(&hall, &headers, Role::Panel, || Html(web::panel_page()).into_response())
}

/// `GET /wall`
pub(super) async fn wall(State(hall): State<Arc<Hall>>, headers: HeaderMap) -> Response {
    behind_the_door(&hall, &headers, Role::Wall, || Html(hall.work().wall_page().to_owned()).into_response())
}

/// `GET /teach`
pub(super) async fn teach(State(hall): State<Arc<Hall>>, headers: HeaderMap) -> Response {
    behind_the_door(&hall, &headers, Role::Panel, || Html(web::teach_page()).into_response())
}

/// An examination as the list has it.
fn row(kept: &Kept) -> RecordRow {
    let eye = |course: &Course| kept.examination.eye_and_end(course);
    RecordRow {
        id: kept.id.clone(),
        begun: kept.begun(),
        eyes: kept.examination.courses.iter().map(eye).collect(),
    }
}

/// The examinations of the record.
fn kept(hall: &Hall) -> Vec<Kept> {
    hall.record
        .as_deref()
        .and_then(|record| read_record(record).ok())
        .map(|records| records.kept)
        .unwrap_or_default()
}

/// `GET /records`, the newest first.
pub(super) async fn records(State(hall): State<Arc<Hall>>, headers: HeaderMap) -> Response {
    behind_the_door(&hall, &headers, Role::Panel, || {
        let rows: Vec<RecordRow> = kept(&hall).iter().rev().map(row).collect();
        Html(web::records_page(&rows)).into_response()
    })
}

/// `GET /records/NAME`, and the same with an ending of a [`Form`]
pub(super) async fn record(
    State(hall): State<Arc<Hall>>,
    headers: HeaderMap,
    Path(name): Path<String>,
) -> Response {
    behind_the_door(&hall, &headers, Role::Panel, || {
        let missing =
            || (StatusCode::NOT_FOUND, "There is no such record. Go back to the records.").into_response();
        let form = Form::ALL.into_iter().find(|form| name.ends_with(form.ending()));
        let id = form.and_then(|form| name.strip_suffix(form.ending())).unwrap_or(&name);
        let Some(kept) = kept(&hall).into_iter().find(|kept| kept.id == id) else { return missing() };
        let writing = Writing { notation: Some(hall.work().notation()), ..Writing::default() };
        let Some(form) = form else {
            let pages = BalancePage::new(&kept, Paper::A4).scenes;
            let pages: Vec<String> = pages.iter().map(svg::encode).collect();
            let lines = hand_over::lines_to_paste(&kept, writing);
            return Html(web::record_page(id, &pages, &lines)).into_response();
        };
        match form.bytes(&kept, writing) {
            Ok(bytes) => {
                let (show, name) = (form.show(), text::shown(&kept.id).replace(['"', '\\'], "_"));
                let named = format!("{show}; filename=\"{name}{}\"", form.ending());
                (
                    [
                        (header::CONTENT_TYPE, form.media_type().to_owned()),
                        (header::CONTENT_DISPOSITION, named),
                    ],
                    bytes,
                )
                    .into_response()
            }
            Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
        }
    })
}

/// What an examination is handed over as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// Its page, which carries its record.
    Pdf,
    /// A row an eye.
    Csv,
    /// For another program.
    Fhir,
}

impl Form {
    const ALL: [Self; 3] = [Self::Pdf, Self::Csv, Self::Fhir];

    /// How its address ends.
    const fn ending(self) -> &'static str {
        match self {
            Self::Pdf => ".pdf",
            Self::Csv => ".csv",
            Self::Fhir => ".fhir.json",
        }
    }

    const fn media_type(self) -> &'static str {
        match self {
            Self::Pdf => "application/pdf",
            Self::Csv => "text/csv; charset=utf-8",
            Self::Fhir => "application/fhir+json",
        }
    }

    /// Whether a browser shows it, or saves it.
    const fn show(self) -> &'static str {
        match self {
            Self::Pdf => "inline",
            Self::Csv | Self::Fhir => "attachment",
        }
    }

    fn bytes(self, kept: &Kept, writing: Writing) -> Result<Vec<u8>, Box<dyn std::error::Error>> {
        Ok(match self {
            Self::Pdf => {
                let pages = BalancePage::new(kept, Paper::A4).scenes;
                pdf::encode_with(&pages, &[hand_over::record_of(&[kept])])?
            }
            Self::Csv => hand_over::rows(&[kept], writing.notation).into_bytes(),
            Self::Fhir => fhir::bundle(kept, &Whose { patient: None, writing })?.into_bytes(),
        })
    }
}
