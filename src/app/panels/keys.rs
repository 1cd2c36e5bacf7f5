//! What the keys ask for.

use bevy_egui::egui::{Context, Key, Modifiers};

use super::Hearing;
use crate::app::canvas::telling_cut;
use crate::app::desk::actions::Looking;
use crate::app::stream::{StreamAsk, StreamLook};
use crate::app::view::{Ask, Pointed, next_band, stretched};
use crate::output::By;

/// The digits choose a listener.
const DIGITS: [Key; 9] =
    [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];

/// What the keys pressed in this frame ask for.
///
/// Left and right step through the bands, with shift they stretch a range; A looks at all of them. Up and down mark a path.
/// Page up and page down change the storey, digits the listener. O lights where sound gets out, I where it comes in. F or Home
/// shows all, plus and minus zoom, L goes round the dark, the light and the high-contrast theme.
#[must_use]
pub fn asked_by_key(context: &Context, hearing: Option<&Hearing>, pointed: &Pointed) -> Vec<Ask> {
    let pressed = |key: Key| context.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let shifted = |key: Key| context.input_mut(|input| input.consume_key(Modifiers::SHIFT, key));
    let mut asks = vec![];
    if pressed(Key::F) || pressed(Key::Home) {
        asks.push(Ask::Fit);
    }
    if pressed(Key::Plus) || shifted(Key::Plus) || pressed(Key::Equals) {
        asks.push(Ask::Zoom(1.25));
    }
    if pressed(Key::Minus) {
        asks.push(Ask::Zoom(0.8));
    }
    let Some(Hearing { solved, heard, view, .. }) = hearing else { return asks };
    // Those with shift first: a key without is taken to match it too.
    for (key, up) in [(Key::ArrowRight, true), (Key::ArrowLeft, false)] {
        if shifted(key) {
            asks.push(Ask::Bands(stretched(view.bands, up)));
        } else if pressed(key) {
            asks.push(Ask::Bands(next_band(view.bands, up)));
        }
    }
    if pressed(Key::A) {
        asks.push(Ask::Bands(crate::solve::BandChoice::AWeighted));
    }
    if pressed(Key::O) {
        asks.push(Ask::LightBy(By::Entry));
    }
    if pressed(Key::I) {
        asks.push(Ask::LightBy(By::Exit));
    }
    if pressed(Key::L) {
        asks.push(Ask::Theme(view.theme.next()));
    }
    let last = heard.paths.len().checked_sub(1);
    if let Some(last) = last {
        let step = (pressed(Key::ArrowDown), pressed(Key::ArrowUp));
        let next = match (step, pointed.pinned) {
            ((true, _), None) => Some(0),
            ((true, _), Some(at)) => Some((at + 1).min(last)),
            ((_, true), Some(at)) => at.checked_sub(1),
            _ => None,
        };
        asks.extend(next.filter(|next| Some(*next) != pointed.pinned).map(Ask::Pin));
    }
    if let Some(at) = view.storey_at(solved) {
        let higher = pressed(Key::PageUp).then_some(at + 1);
        let lower = pressed(Key::PageDown).then_some(at.wrapping_sub(1));
        let storey = higher.or(lower).and_then(|at| solved.scene.storeys.get(at));
        asks.extend(storey.map(|storey| Ask::Storey(storey.id.clone())));
    }
    for (digit, key) in DIGITS.into_iter().enumerate() {
        if pressed(key) {
            asks.extend(solved.answer.listeners.get(digit).map(|heard| Ask::Listen(heard.listener.clone())));
        }
    }
    asks
}

/// What the keys ask of the motes: space lets them run or stand, unless it presses the button that has the focus.
#[must_use]
pub fn stream_by_key(context: &Context, look: &StreamLook) -> Option<StreamAsk> {
    let free = context.memory(|memory| memory.focused().is_none());
    let pressed = free && context.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Space));
    pressed.then(|| look.run_or_stand())
}

/// What a way to look asks of the plan and the window.
#[must_use]
pub fn asked_by_look(look: Looking, hearing: &Hearing) -> Option<Ask> {
    let view = hearing.view;
    Some(match look {
        Looking::Section => Ask::Section(if view.cut.is_some() { None } else { telling_cut(hearing.solved, view) }),
        Looking::Levels => Ask::Levels(!view.levels),
        Looking::Keep => Ask::Keep(true),
        Looking::Forget => Ask::Keep(false),
        Looking::Present => Ask::Present,
        Looking::KeepView => Ask::KeepView,
        Looking::Lessons => Ask::Lessons,
        Looking::Export => Ask::Export,
        Looking::Motes | Looking::Hide => return None,
    })
}
