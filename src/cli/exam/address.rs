//! Where the server listens, and by which names it may be called.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};

use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use tokio::net::TcpListener;

/// The addresses of wall and panel, and the hosts that a request may name.
#[derive(Debug, Clone)]
pub(super) struct Addresses {
    local: SocketAddr,
    lan: Option<SocketAddr>,
    is_tls: bool,
}

impl Addresses {
    /// Listens on this machine, and at another of its addresses where one is named.
    pub(super) async fn bind(
        port: u16,
        lan: Option<IpAddr>,
        is_tls: bool,
    ) -> Result<(Vec<TcpListener>, Self), String> {
        let first = listener(SocketAddr::from((Ipv4Addr::LOCALHOST, port))).await?;
        let local = first.local_addr().map_err(|error| error.to_string())?;
        let mut listeners = vec![first];
        let lan = lan.map(|lan| SocketAddr::from((lan, local.port())));
        if let Some(lan) = lan {
            listeners.push(listener(lan).await?);
        }
        Ok((listeners, Self { local, lan, is_tls }))
    }

    /// Where wall and panel are reached: on the network, if they are.
    fn origin(&self) -> String {
        format!("{}{}", self.scheme(), self.lan.unwrap_or(self.local))
    }

    /// The wall's address. A wall mostly stands on this machine, whose browser keeps a screen awake.
    pub(super) fn wall(&self) -> String {
        format!("{}{}/wall", self.scheme(), self.local)
    }

    /// The panel's address.
    pub(super) fn panel(&self) -> String {
        format!("{}/panel", self.origin())
    }

    /// Whether a request may name this host: an address at which the server listens, or this machine's own name for it.
    pub(super) fn allow_host(&self, host: &str) -> bool {
        let local = format!("localhost:{}", self.local.port());
        host == self.local.to_string() || host == local || self.lan.is_some_and(|lan| host == lan.to_string())
    }

    /// Whether a page of this origin may call: one that this server itself gave out.
    pub(super) fn allow_origin(&self, origin: &str) -> bool {
        origin.strip_prefix(self.scheme()).is_some_and(|host| self.allow_host(host))
    }

    /// Whether connections come by TLS, and by nothing else.
    pub(super) const fn is_tls(&self) -> bool {
        self.is_tls
    }

    const fn scheme(&self) -> &'static str {
        if self.is_tls { "https://" } else { "http://" }
    }

    /// Tells this server's cookies from those of others on the same machine, since cookies know no port.
    pub(super) const fn port(&self) -> u16 {
        self.local.port()
    }
}

async fn listener(address: SocketAddr) -> Result<TcpListener, String> {
    TcpListener::bind(address).await.map_err(|error| {
        let why = crate::store::plain(&error);
        format!("{address}: cannot be listened at ({why}): name a free port with --port, and with --lan an address of this machine")
    })
}

/// An address as a picture for a tablet's camera, of characters half a line high.
pub(super) fn picture(address: &str) -> String {
    QrCode::new(address).map_or_else(
        |_| String::new(),
        |code| {
            code.render::<Dense1x2>().dark_color(Dense1x2::Light).light_color(Dense1x2::Dark).build() + "\n"
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_its_own_names_are_hosts_and_origins() {
        let addresses = Addresses {
            local: "127.0.0.1:4714".parse().unwrap(),
            lan: Some("192.168.1.20:4714".parse().unwrap()),
            is_tls: false,
        };
        for host in ["127.0.0.1:4714", "localhost:4714", "192.168.1.20:4714"] {
            assert!(
                addresses.allow_host(host) && addresses.allow_origin(&format!("http://{host}")),
                "{host}"
            );
        }
        for host in [
            "",
            "127.0.0.1",
            "localhost:80",
            "evil.example:4714",
            "127.0.0.1:4714.evil.example",
            "192.168.1.20",
        ] {
            assert!(
                !addresses.allow_host(host) && !addresses.allow_origin(&format!("http://{host}")),
                "{host}"
            );
        }
        assert!(!addresses.allow_origin("null") && !addresses.allow_origin("https://127.0.0.1:4714"));
        let secure = Addresses { is_tls: true, ..addresses };
        assert!(
            secure.allow_origin("https://127.0.0.1:4714") && !secure.allow_origin("http://127.0.0.1:4714")
        );
    }
}
