//! `evenfield exam`

mod address;
mod hall;
mod made;
mod message;
mod pages;
mod server;
mod socket;
mod teach;
mod tls;
mod work;

use std::error::Error;
use std::net::IpAddr;
use std::path::PathBuf;
use std::sync::Arc;

use clap::Args;
use tokio_rustls::TlsAcceptor;

use self::address::Addresses;
use self::hall::Hall;
pub(super) use self::message::{FromPanel, ToPanel};
use self::tls::TlsArgument;
use self::work::Work;
use super::arguments;
use super::clock;
use super::{Outcome, help, print, working};
use crate::SUPERVISION;
use crate::balance::StandIn;
use crate::optotype::LetterSet;

/// The port that is taken unless another is named. This project’s own decision.
const PORT: u16 = 4714;

/// An examination in which something happened at most this long ago stands again when the program begins again; an older one
/// that is open is offered. This project’s own decision: after half an hour another patient may sit there.
const GOES_ON_WITHIN: time::Duration = time::Duration::minutes(30);

/// Holds examinations in two browser windows: the wall, which the patient sees, and the examiner’s panel.
///
/// The chart on the wall follows the procedure. The panel can be a phone, a tablet or a second window of this machine.
#[derive(Args)]
#[command(after_help = help::after(help::EXAM, "exam --room room.toml --record balances.jsonl"))]
pub(super) struct Arguments {
    /// A room file; without it the panel offers those of this folder, and sets up others
    #[arg(long, value_name = "FILE")]
    room: Option<PathBuf>,
    /// Keep every examination in this file, line by line as it happens; others in it stay. FILE.bookmark beside it has what is no
    /// answer, such as the options
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Practise: simulated patients answer, whom this number draws, so a class that takes the same one meets the same; nothing is
    /// kept
    #[arg(long, value_name = "NUMBER", conflicts_with = "record")]
    practise: Option<u64>,
    /// The letters
    #[arg(long, default_value = "sloan", value_parser = arguments::letter_set())]
    letters: LetterSet,
    /// The port; 0 takes a free one
    #[arg(long, default_value_t = PORT)]
    port: u16,
    /// Also listen at this address of this machine, for a tablet; without TLS others on that network can read along
    #[arg(long, value_name = "ADDRESS")]
    lan: Option<IpAddr>,
    #[command(flatten)]
    tls: TlsArgument,
    /// Open the panel in the default browser
    #[arg(long)]
    open: bool,
    /// Print the addresses and each new code as lines of JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Box<dyn Error>> {
    let room = arguments.room.as_deref().map(arguments::room).transpose()?;
    let tls = arguments.tls.load()?;
    let since = clock::ago(GOES_ON_WITHIN)?;
    let bar = working("drawing the wall’s letters");
    let practised = arguments.practise.map(StandIn::first);
    let work = Work::new(room, arguments.letters, arguments.record.clone(), since, practised)?;
    drop(bar);
    if let Some(why) = work.not_read() {
        super::complain(&format!("evenfield: {why}"));
    }
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(serve(arguments, work, tls))
}

async fn serve(
    arguments: &Arguments,
    work: Work,
    tls: Option<TlsAcceptor>,
) -> Result<Outcome, Box<dyn Error>> {
    let (listeners, addresses) = Addresses::bind(arguments.port, arguments.lan, tls.is_some()).await?;
    let hall = Arc::new(Hall::new(work, addresses, arguments.record.clone(), arguments.json));
    let code = hall.new_code()?;
    say(arguments, &hall, &code);
    if arguments.open {
        let panel = hall.addresses.panel();
        if open::that_detached(format!("{panel}#{code}")).is_err() {
            super::complain("evenfield: no browser could be opened: open the panel’s address yourself");
        }
    }
    for listener in listeners {
        tokio::spawn(server::listen(listener, tls.clone(), Arc::clone(&hall)));
    }
    tokio::spawn(hall::renew_codes(Arc::clone(&hall)));
    tokio::spawn(hall::estimate(Arc::clone(&hall)));
    tokio::signal::ctrl_c().await?;
    Ok(Outcome::Fine)
}

/// Tells where wall and panel are.
fn say(arguments: &Arguments, hall: &Hall, code: &str) {
    let (wall, panel) = (hall.addresses.wall(), hall.addresses.panel());
    if arguments.json {
        return print(&serde_json::json!({ "wall": wall, "panel": panel, "code": code }).to_string());
    }
    let grouped = crate::exam::in_groups(code);
    let picture = arguments.lan.map(|_| address::picture(&format!("{panel}#{code}"))).unwrap_or_default();
    let is_plain = arguments.lan.is_some() && !hall.addresses.is_tls();
    let plain = if is_plain { PLAIN_NETWORK } else { "" };
    print(&format!(
        "panel (examiner): {panel}\nwall (patient):   {wall}\ncode: {grouped}\n{picture}{plain}{SUPERVISION}\nEnd with Ctrl and C; {}.",
        match (arguments.practise, &arguments.record) {
            (Some(_), _) => "nothing is kept, since simulated patients answer",
            (None, Some(_)) => "what was answered is kept",
            (None, None) => "what was answered is kept only with --record FILE",
        }
    ));
}

const PLAIN_NETWORK: &str = "\
Whoever shares this network can read along: names and records do not belong on one that others use.\n";
