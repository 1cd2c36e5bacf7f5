//! Finds out, without opening anything, whether a window can be had.
//!
//! Bevy and winit panic where there is no display or no graphics adapter; a fresh server or a container is an ordinary place to
//! start this program, so both are asked for here first, and the adapter found is handed on.

use std::panic;
use std::path::PathBuf;
use std::sync::Arc;

use bevy::render::renderer::{
    RenderAdapter, RenderAdapterInfo, RenderDevice, RenderInstance, RenderQueue, WgpuWrapper,
};
use bevy::render::settings::{RenderCreation, WgpuSettings};
use bevy::tasks::block_on;

/// Why there is no window: the middle of a sentence ("No window: no display can be reached (DISPLAY is not set).").
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoWindow {
    /// No display, nothing that can draw on it, or a library missing that it is reached with.
    #[error("{0}")]
    NotOpened(String),
    /// The window was there; the picture of it could not be saved.
    #[error("the picture could not be saved to {}: {why}", path.display())]
    NoShot { path: PathBuf, why: String },
}

fn no_display(why: &str) -> NoWindow {
    NoWindow::NotOpened(format!("no display can be reached ({why})"))
}

fn no_adapter(why: &str) -> NoWindow {
    NoWindow::NotOpened(format!("no graphics adapter can be had ({why})"))
}

/// A device to draw with, for Bevy's renderer.
///
/// # Errors
///
/// [`NoWindow`] when there is no display or no adapter.
pub(super) fn graphics() -> Result<RenderCreation, NoWindow> {
    reach_display()?;
    block_on(adapter_and_device())
}

#[cfg(target_os = "linux")]
fn reach_display() -> Result<(), NoWindow> {
    let named = |variable: &str| std::env::var_os(variable).filter(|value| !value.is_empty());
    // The package is built for X11 only: Wayland desktops offer it too (XWayland) and set DISPLAY.
    if named("DISPLAY").is_none() {
        return Err(no_display("DISPLAY is not set"));
    }
    x11rb::connect(None).map(drop).map_err(|error| no_display(&error.to_string()))
}

#[cfg(not(target_os = "linux"))]
fn reach_display() -> Result<(), NoWindow> {
    Ok(())
}

/// The same requests Bevy's renderer makes, with errors where it panics.
async fn adapter_and_device() -> Result<RenderCreation, NoWindow> {
    let settings = WgpuSettings::default();
    let mut descriptor = wgpu::InstanceDescriptor::new_without_display_handle();
    descriptor.backends = settings.backends.unwrap_or(wgpu::Backends::PRIMARY);
    descriptor.flags = settings.instance_flags;
    let instance = wgpu::Instance::new(descriptor);
    let adapter = instance
        .request_adapter(&wgpu::RequestAdapterOptions {
            // A plan needs no fast GPU, and a laptop's small one draws less power.
            power_preference: wgpu::PowerPreference::LowPower,
            ..Default::default()
        })
        .await
        // The error lists every kind of driver that was not built in; the user's part of it is this.
        .map_err(|_| no_adapter("no driver for Vulkan, Metal or Direct3D 12 answers"))?;
    let (device, queue) = adapter
        .request_device(&wgpu::DeviceDescriptor {
            label: Some("leaklight"),
            required_features: adapter.features(),
            required_limits: adapter.limits(),
            ..Default::default()
        })
        .await
        .map_err(|error| no_adapter(&first_line(&error.to_string())))?;
    let info = adapter.get_info();
    Ok(RenderCreation::manual(
        RenderDevice::from(device),
        RenderQueue(Arc::new(WgpuWrapper::new(queue))),
        RenderAdapterInfo(WgpuWrapper::new(info)),
        RenderAdapter(Arc::new(WgpuWrapper::new(adapter))),
        RenderInstance(Arc::new(WgpuWrapper::new(instance))),
    ))
}

fn first_line(text: &str) -> String {
    text.lines().next().unwrap_or_default().trim().trim_end_matches('.').to_owned()
}

/// Runs what opens the event loop. A machine that has a display but lacks a library winit loads at run time still panics there;
/// that becomes an error too, quietly.
pub(super) fn guarded<T>(open: impl FnOnce() -> T) -> Result<T, NoWindow> {
    let loud = panic::take_hook();
    panic::set_hook(Box::new(|_| {}));
    let opened = panic::catch_unwind(panic::AssertUnwindSafe(open));
    panic::set_hook(loud);
    opened.map_err(|payload| {
        let why = payload.downcast_ref::<String>().cloned();
        let why = why.or_else(|| payload.downcast_ref::<&str>().map(|text| (*text).to_owned()));
        let why = first_line(&why.unwrap_or_else(|| "the window system refused".to_owned()));
        NoWindow::NotOpened(format!("it could not be opened ({why})"))
    })
}
