//! Connections: how many, how long they may idle, what every answer carries.

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use hyper::server::conn::http1;
use hyper_util::rt::TokioIo;
use hyper_util::service::TowerToHyperService;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::timeout;
use tokio_rustls::TlsAcceptor;

use super::hall::Hall;
use super::{pages, socket, teach};

/// Maximum number of connections at a time, beside the windows' lines; one more waits. A practice has some ten, and each costs
/// some 20 kB, or by TLS up to 75 kB while it greets. This project's own decision.
const MOST_CONNECTIONS: usize = 1000;

/// For how long a connection may take to greet by TLS, to ask and to be answered; it serves one request. A window's line lasts longer.
const WAITS_FOR: Duration = Duration::from_secs(10);

/// Maximum number of bytes of what is posted: a code.
const MOST_POSTED: usize = 1 << 12;

/// Takes connections for as long as the program runs.
pub(super) async fn listen(listener: TcpListener, tls: Option<TlsAcceptor>, hall: Arc<Hall>) {
    let routes = routes(hall);
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    loop {
        let Ok(place) = Arc::clone(&places).acquire_owned().await else { return };
        let Ok((stream, _)) = listener.accept().await else {
            // Such as too many open files: others close meanwhile.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        // Small messages go at once.
        drop(stream.set_nodelay(true));
        let greeted = greet(stream, tls.clone(), routes.clone());
        tokio::spawn(async move {
            let _place = place;
            // A connection that takes too long is the other side's affair.
            drop(timeout(WAITS_FOR, greeted).await);
        });
    }
}

/// Serves a connection, by TLS where that is wanted. One that breaks is the other side's affair.
async fn greet(stream: TcpStream, tls: Option<TlsAcceptor>, routes: Router) {
    match tls {
        None => serve(stream, routes).await,
        Some(tls) => {
            if let Ok(stream) = tls.accept(stream).await {
                serve(stream, routes).await;
            }
        }
    }
}

async fn serve(stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static, routes: Router) {
    let connection = http1::Builder::new()
        .max_buf_size(1 << 14)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(routes))
        .with_upgrades();
    drop(connection.await);
}

fn routes(hall: Arc<Hall>) -> Router {
    Router::new()
        .route("/", get(pages::home))
        .route("/panel", get(pages::panel))
        .route("/wall", get(pages::wall))
        .route("/door", post(pages::door))
        .route("/socket", get(socket::open))
        .route("/records", get(pages::records))
        .route("/records/{name}", get(pages::record))
        .route("/teach", get(pages::teach))
        .route("/setup", get(pages::panel))
        .route("/practice", get(teach::practice))
        .route("/deck.pdf", get(teach::deck))
        .route("/card.pdf", get(teach::card))
        .fallback(|| async { (StatusCode::NOT_FOUND, "There is no such page. Go back to the panel.") })
        .layer(DefaultBodyLimit::max(MOST_POSTED))
        .layer(middleware::from_fn_with_state(Arc::clone(&hall), guarded))
        .with_state(hall)
}

/// Where a browser may get anything from: pages are whole, and say more strictly what they need themselves.
const POLICY: &str = "default-src 'self' 'unsafe-inline' data: blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Whether a request calls the server by its own name, and from no other's page.
fn is_own(hall: &Hall, headers: &HeaderMap) -> bool {
    let named = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or(""));
    named(header::HOST).is_some_and(|host| hall.addresses.allow_host(host))
        && named(header::ORIGIN).is_none_or(|origin| hall.addresses.allow_origin(origin))
}

/// Refuses what calls the server by a name that is not its own, or comes from another's page; and tells browsers to keep
/// and to embed nothing.
async fn guarded(State(hall): State<Arc<Hall>>, request: Request, next: Next) -> Response {
    let mut response = if is_own(&hall, request.headers()) {
        next.run(request).await
    } else {
        (StatusCode::FORBIDDEN, "This server is not called so: use the address that its terminal shows.")
            .into_response()
    };
    for (name, value) in [
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::X_FRAME_OPTIONS, "DENY"),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ] {
        response.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    if response.status() != StatusCode::SWITCHING_PROTOCOLS {
        // One request a connection, so that the time it may take is that of one.
        response.headers_mut().insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    response
}
