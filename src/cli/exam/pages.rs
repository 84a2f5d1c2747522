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
        return refuse(StatusCode::FORBIDDEN, "the code is typed on this server's own page");
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
    let eye = |course: &Course| format!("{}: {}", course.start.eye.eye(), course.choice_in_words());
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

/// `GET /records/NAME` and `GET /records/NAME.pdf`
pub(super) async fn record(
    State(hall): State<Arc<Hall>>,
    headers: HeaderMap,
    Path(name): Path<String>,
) -> Response {
    behind_the_door(&hall, &headers, Role::Panel, || {
        let missing =
            || (StatusCode::NOT_FOUND, "There is no such record. Go back to the records.").into_response();
        let id = name.strip_suffix(".pdf").unwrap_or(&name);
        let Some(kept) = kept(&hall).into_iter().find(|kept| kept.id == id) else { return missing() };
        let pages = BalancePage::new(&kept, Paper::A4).scenes;
        if id == name {
            let pages: Vec<String> = pages.iter().map(svg::encode).collect();
            return Html(web::record_page(id, &pages)).into_response();
        }
        match pdf::encode(&pages) {
            Ok(bytes) => {
                let inline =
                    format!("inline; filename=\"{}.pdf\"", text::shown(&kept.id).replace(['"', '\\'], "_"));
                (
                    [
                        (header::CONTENT_TYPE, "application/pdf".to_owned()),
                        (header::CONTENT_DISPOSITION, inline),
                    ],
                    bytes,
                )
                    .into_response()
            }
            Err(error) => (StatusCode::INTERNAL_SERVER_ERROR, error.to_string()).into_response(),
        }
    })
}
