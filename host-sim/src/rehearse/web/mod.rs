//! The page's server: HTTP for what is looked at, one WebSocket a browser for what is asked and told.

mod assets;
mod gate;
mod live;

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;

use axum::Router;
use axum::middleware;
use axum::routing::get;
use tokio::net::TcpListener;

use super::door::{Door, Hosts};
use super::house::House;
use super::people::Right;
use super::{boxes, pictures, plan};

/// Where the page is served.
#[derive(Clone, Debug, Default)]
pub struct Settings {
    /// The port; 0 for any that is free.
    pub port: u16,
    /// An address of this machine at which others may come in, too.
    pub share: Option<IpAddr>,
}

/// Where it can be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listening {
    /// For this machine, to drive.
    pub here: String,
    /// For others, to drive and to look: only with [`Settings::share`].
    pub others: Option<(String, String)>,
}

/// Serves the page until the process ends or `until` is done; `ready` is told where, once it can be opened.
///
/// # Errors
/// Words about the port or the address.
pub fn serve(
    settings: &Settings,
    open: impl FnOnce(Door) -> Result<Arc<House>, String>,
    ready: impl FnOnce(&Listening),
    until: impl Future<Output = ()> + Send + 'static,
) -> Result<(), String> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let runtime = runtime.map_err(|e| format!("the page cannot start: {e}"))?;
    runtime.block_on(async {
        let (own, other) = listen(settings).await?;
        let port = own.local_addr().map_err(|e| e.to_string())?.port();
        let shared: Vec<IpAddr> = settings.share.into_iter().collect();
        let house = open(Door::new(Hosts::new(port, &shared))?)?;
        ready(&addresses(&house.door, port, settings.share));
        let router = router(&house);
        let (stop, stopped) = tokio::sync::watch::channel(false);
        let others = other.map(|listener| tokio::spawn(run(listener, router.clone(), stopped.clone())));
        let own = tokio::spawn(run(own, router, stopped));
        until.await;
        let _ = stop.send(true);
        // Open sockets do not hold the process up.
        drop((own, others));
        Ok(())
    })
}

async fn run(listener: TcpListener, router: Router, mut stopped: tokio::sync::watch::Receiver<bool>) {
    let end = async move {
        let _ = stopped.wait_for(|stopped| *stopped).await;
    };
    let _ = axum::serve(listener, router).with_graceful_shutdown(end).await;
}

async fn listen(settings: &Settings) -> Result<(TcpListener, Option<TcpListener>), String> {
    let at = |address: SocketAddr| async move {
        TcpListener::bind(address).await.map_err(|e| {
            format!("the page cannot be opened at {address}: {e}; another one may run: choose another with --port")
        })
    };
    let own = at((Ipv4Addr::LOCALHOST, settings.port).into()).await?;
    let Some(share) = settings.share.filter(|share| !share.is_loopback()) else { return Ok((own, None)) };
    let port = own.local_addr().map_err(|e| e.to_string())?.port();
    Ok((own, Some(at((share, port).into()).await?)))
}

fn addresses(door: &Door, port: u16, share: Option<IpAddr>) -> Listening {
    let url = |host: &str, right: Right| format!("http://{host}:{port}/?key={}", door.key_of(right));
    let host = |share: IpAddr| if share.is_ipv6() { format!("[{share}]") } else { share.to_string() };
    let others = share.map(|share| (url(&host(share), Right::Drive), url(&host(share), Right::View)));
    Listening { here: url("127.0.0.1", Right::Drive), others }
}

fn router(house: &Arc<House>) -> Router {
    let pages = assets::PAGES.iter().fold(Router::new(), |router, page| router.route(page.path, get(assets::page)));
    pages
        .route("/page/{name}", get(assets::asset))
        .route("/live", get(live::live))
        .merge(plan::routes())
        .merge(pictures::routes())
        .merge(boxes::routes())
        .fallback(assets::nothing)
        .layer(middleware::from_fn_with_state(Arc::clone(house), gate::gate))
        .with_state(Arc::clone(house))
}
