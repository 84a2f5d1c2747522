//! What there is to teach with, made for the room in which patients are examined.

use std::sync::Arc;

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::hall::Hall;
use super::made::{Made, Make};
use super::pages::may;
use crate::cli::arguments;
use crate::exam::Role;
use crate::export::pdf;
use crate::print::{Deck, Lesson, Paper, Surface, WallCard};
use crate::room::Room;
use crate::web::practice::Class;
use crate::web::practice_page;

/// The patients that a class practises on.
const CLASS: Class = Class::of(1);

/// `GET /practice`
pub(super) async fn practice(state: State<Arc<Hall>>, headers: HeaderMap) -> Response {
    let make =
        |room: &Room| practice_page(room, &CLASS).map(String::into_bytes).map_err(|error| error.to_string());
    given(&state.0, &headers, &state.0.practice, "text/html; charset=utf-8", make).await
}

/// `GET /deck.pdf`
pub(super) async fn deck(state: State<Arc<Hall>>, headers: HeaderMap) -> Response {
    let make = |room: &Room| {
        let lesson = lesson(room)?;
        let deck = Deck::new(&lesson, Surface::Projected, || {}).map_err(|error| error.to_string())?;
        pdf::encode(&deck.scenes()).map_err(|error| error.to_string())
    };
    given(&state.0, &headers, &state.0.deck, "application/pdf", make).await
}

/// `GET /card.pdf`
pub(super) async fn card(state: State<Arc<Hall>>, headers: HeaderMap) -> Response {
    let make = |room: &Room| {
        let card = WallCard::new(&lesson(room)?, Paper::A4);
        pdf::encode(&card.pages).map_err(|error| error.to_string())
    };
    given(&state.0, &headers, &state.0.card, "application/pdf", make).await
}

fn lesson(room: &Room) -> Result<Lesson<'_>, String> {
    let lesson = Lesson::new(room, room.name().unwrap_or("a room without a name"));
    lesson.map(|lesson| lesson.on(&arguments::today().to_string())).map_err(|error| error.to_string())
}

/// Something to teach with, or that it is still being made; only for who has a panel's pass.
async fn given(hall: &Hall, headers: &HeaderMap, made: &Made, kind: &'static str, make: Make) -> Response {
    if !may(hall, headers, Role::Panel) {
        return (StatusCode::FORBIDDEN, "Type the code first, at the panel’s address.").into_response();
    }
    // Without a room of one's own there is the one whose numbers are invented.
    let room = hall.work().room().cloned().unwrap_or_else(Room::demo);
    match made.of(room, make).await {
        Some(Ok(bytes)) => ([(header::CONTENT_TYPE, kind)], bytes).into_response(),
        Some(Err(error)) => (StatusCode::INTERNAL_SERVER_ERROR, error).into_response(),
        // The browser asks again by itself.
        None => ([(header::REFRESH, "2")], "It is being made for this room. That takes some seconds.")
            .into_response(),
    }
}
