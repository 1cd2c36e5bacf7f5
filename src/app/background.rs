//! Work beside the main thread, and the way back from it: what is done arrives in an [`Inbox`], and the window wakes to take it in.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Mutex, PoisonError};

use bevy::tasks::AsyncComputeTaskPool;
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};

/// What wakes the window; nothing where there is none.
pub fn waker(proxy: Option<&EventLoopProxyWrapper>) -> impl Fn() + Send + Sync + 'static {
    // A mutex only because a proxy cannot be shared on every system.
    let proxy = proxy.map(|proxy| Mutex::new((**proxy).clone()));
    move || {
        if let Some(proxy) = &proxy {
            let _closed = proxy.lock().unwrap_or_else(PoisonError::into_inner).send_event(WinitUserEvent::WakeUp);
        }
    }
}

/// Where results of work beside the main thread arrive.
#[derive(Debug)]
pub struct Inbox<T> {
    sender: Sender<T>,
    // A mutex only because a resource must be shareable and a receiver is not; one system reads it.
    receiver: Mutex<Receiver<T>>,
}

impl<T> Default for Inbox<T> {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver: Mutex::new(receiver) }
    }
}

impl<T: Send + 'static> Inbox<T> {
    /// Has work done beside the main thread. What comes of it, if anything, arrives here and wakes the window.
    pub fn spawn(&self, wake: impl Fn() + Send + 'static, work: impl FnOnce() -> Option<T> + Send + 'static) {
        let sender = self.sender.clone();
        let task = async move {
            // Whoever closed the window meanwhile need not be told.
            if work().is_some_and(|done| sender.send(done).is_ok()) {
                wake();
            }
        };
        AsyncComputeTaskPool::get().spawn(task).detach();
    }

    /// The same for what takes long, on a thread of its own: those of the pool are for answers, which come soon.
    pub fn spawn_apart(&self, wake: impl Fn() + Send + 'static, work: impl FnOnce() -> Option<T> + Send + 'static) {
        let sender = self.sender.clone();
        std::thread::spawn(move || {
            // Whoever closed the window meanwhile need not be told.
            if work().is_some_and(|done| sender.send(done).is_ok()) {
                wake();
            }
        });
    }

    /// What has arrived since.
    pub fn arrived(&mut self) -> Vec<T> {
        self.receiver.get_mut().unwrap_or_else(PoisonError::into_inner).try_iter().collect()
    }
}
