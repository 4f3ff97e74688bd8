//! Serving on a listener until Ctrl-C.

use super::state::App;

/// Threads that wait for the book or lay: as many as `state` lets work at once and two to
/// spare. Each thread more keeps some megabytes once it has worked.
const HANDS: usize = 8;

/// Serves the pages until Ctrl-C; requests that are under way are finished.
///
/// # Errors
/// When the machine gives no threads or the listener breaks.
pub fn run(listener: std::net::TcpListener, state: App) -> std::io::Result<()> {
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().max_blocking_threads(HANDS).build()?;
    runtime.block_on(async move {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let closing = state.clone();
        let close = async move {
            told_to_close().await;
            // A page that looks on would else keep its line open, and the program with it.
            closing.close();
        };
        axum::serve(listener, super::app(state)).with_graceful_shutdown(close).await
    })
}

/// Waits for Ctrl-C, or for a polite kill where the system has one.
async fn told_to_close() {
    let ctrl_c = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        match signal(SignalKind::terminate()) {
            Ok(mut terminate) => tokio::select! { _ = ctrl_c => (), _ = terminate.recv() => () },
            Err(_) => drop(ctrl_c.await),
        }
    }
    #[cfg(not(unix))]
    drop(ctrl_c.await);
}
