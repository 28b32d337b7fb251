//! Work beside which everything else goes first.

use std::thread;

use tokio::sync::oneshot;

/// How much a thread gives way, from 0 to 19: at 19 it gets a seventieth of a core that somebody else wants
/// (sched(7), "The nice value", from memory).
#[cfg(target_os = "linux")]
const NICE: i32 = 19;

/// Has something worked out by a thread of its own, which gives way to checks and boxes; `None` when it panics, or when
/// there is no thread to be had.
pub(super) async fn aside<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Option<T> {
    let (done, made) = oneshot::channel();
    let all = move || {
        give_way();
        // Whoever asked may have gone.
        drop(done.send(work()));
    };
    thread::Builder::new().name("aside".into()).spawn(all).ok()?;
    made.await.ok()
}

/// Lets everybody else go first, from now on: threads that this one starts do so, too.
fn give_way() {
    // On Linux this is about the thread and not the process. Where it cannot be had, pictures are as quick as checks.
    #[cfg(target_os = "linux")]
    let _ = rustix::process::setpriority_process(None, NICE);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn work_comes_back_and_what_breaks_is_told() {
        assert_eq!(aside(|| 7).await, Some(7));
        assert_eq!(aside(|| -> i32 { panic!("work that breaks, on purpose") }).await, None);
    }

    #[cfg(target_os = "linux")]
    #[tokio::test]
    async fn only_that_thread_gives_way() {
        let nice = || rustix::process::getpriority_process(None).expect("a priority");
        let before = nice();
        assert_eq!(aside(move || (nice(), thread::spawn(nice).join().ok())).await, Some((NICE, Some(NICE))));
        assert_eq!(nice(), before);
    }
}
