//! Commands are done here, and nowhere else.

use bevy::ecs::system::SystemParam;
use bevy::prelude::*;
use bevy::winit::EventLoopProxyWrapper;
use bevy_egui::egui::Context;

use crate::app::advising::Advising;
use crate::app::background::waker;
use crate::app::command::Command;
use crate::app::deciding::{Answers, Deciding, Foot};
use crate::app::document::Document;
use crate::app::editor::hit::{all_of, extent, middle_of, pick_of, storey_of};
use crate::app::editor::state::{Editor, Gesture, Mode, Status, Tool, exists};
use crate::app::files::pictures::Pictures;
use crate::app::files::state::{Dialog, Files, Next};
use crate::app::files::worker::{Job, Overwrite, Stamp};
use crate::app::panels::export::Export;
use crate::app::panels::lessons::LessonState;
use crate::app::solving::CurrentAnswer;
use crate::app::view::{Baseline, Compare, Highlight, View, next_band, stretched};
use crate::app::viewer::drawing::CurrentDrawing;
use crate::app::viewer::frame::Frame;
use crate::app::viewer::particles::Particles;
use crate::app::viewer::present::{Present, apply_saved_view, saved_view};
use crate::app::viewer::side_drawings::{SectionFrame, SideDrawings};
use crate::catalogue::Catalogue;
use crate::edit::{self, Edit, Item, Pick};
use crate::output::length::Units;
use crate::output::words;
use crate::scene::{Scene, Storey, StoreyId, Thing};

/// How far everything can be enlarged and made smaller.
const SCALES: (f32, f32) = (0.7, 2.5);

/// All that the window shows and changes.
#[derive(SystemParam)]
pub struct Window<'w> {
    pub(super) document: ResMut<'w, Document>,
    pub(super) editor: ResMut<'w, Editor>,
    pub(super) current: Res<'w, CurrentAnswer>,
    pub(super) drawn: Res<'w, CurrentDrawing>,
    pub(super) side_drawings: Res<'w, SideDrawings>,
    pub(super) frame: ResMut<'w, Frame>,
    pub(super) section: ResMut<'w, SectionFrame>,
    pub(super) view: ResMut<'w, View>,
    pub(super) baseline: ResMut<'w, Baseline>,
    pub(super) deciding: ResMut<'w, Deciding>,
    pub(super) answers: Res<'w, Answers>,
    pub(super) advising: ResMut<'w, Advising>,
    pub(super) highlight: ResMut<'w, Highlight>,
    pub(super) particles: ResMut<'w, Particles>,
    pub(super) present: ResMut<'w, Present>,
    pub(super) teaching: ResMut<'w, LessonState>,
    pub(super) export: ResMut<'w, Export>,
    pub(super) files: ResMut<'w, Files>,
    pub(super) pictures: Res<'w, Pictures>,
    pub(super) wake: Option<Res<'w, EventLoopProxyWrapper>>,
}

impl Window<'_> {
    /// Does what was asked in a frame. What is drawn in the next frame then differs from what was drawn in this one.
    pub(super) fn perform_all(&mut self, context: &Context, mut commands: Vec<Command>) {
        // What is given up is given up after all that the same frame still shows of it.
        commands.sort_by_key(|command| *command == Command::Escape);
        if commands.is_empty() {
            return;
        }
        for command in commands {
            self.perform(command);
        }
        // While one draws, what is looked at may be newer than the answer; and another scene waits for its own.
        if let Some(solved) = self.current.solved.clone()
            && self.editor.mode == Mode::Listen
            && self.current.revision >= self.document.opened
        {
            let mut view = self.view.clone();
            view.follow(&solved);
            self.view.set_if_neq(view);
        }
        context.request_repaint();
    }

    fn perform(&mut self, command: Command) {
        // There is no answer yet to be kept, written or shown.
        if self.teaching.asks()
            && matches!(
                command,
                Command::KeepBaseline
                    | Command::CompareWith(_)
                    | Command::Foot(Foot::Advice)
                    | Command::AskAdvice
                    | Command::Export
                    | Command::WritePicture
                    | Command::Present(_)
            )
        {
            self.editor.refuse("First answer the question of the lesson.");
            return;
        }
        let solved = self.current.solved.clone();
        match command {
            Command::Tool(tool) => self.editor.take(tool),
            Command::Mode(mode) => self.set_mode(mode),
            Command::OtherMode => self.set_mode(match self.editor.mode {
                Mode::Draw => Mode::Listen,
                Mode::Listen => Mode::Draw,
            }),
            Command::Edit(edits) => drop(self.edit(&edits)),
            Command::Preview(edits) => {
                if let Err(refused) = self.document.preview(&edits) {
                    self.editor.refuse(refused.to_string());
                }
            }
            Command::CancelPreview => self.document.cancel_preview(),
            Command::Undo => {
                let undone = self.document.undo();
                self.stepped(undone.map(|name| format!("Undone: {name}")));
            }
            Command::Redo => {
                let redone = self.document.redo();
                self.stepped(redone.map(|name| format!("Redone: {name}")));
            }
            Command::Delete if self.editor.picks.is_empty() => {}
            Command::Delete => drop(self.edit(&[Edit::Delete(self.editor.picks.clone())])),
            Command::Duplicate => self.duplicate(),
            Command::Mirror(sideways) => {
                self.edit(&[Edit::Mirror { picks: self.editor.picks.clone(), sideways }]);
            }
            Command::PickAll => {
                if let Some(scene) = &self.document.scene {
                    self.editor.picks = all_of(scene, self.view.storey_in(scene));
                }
            }
            Command::Escape => self.escape(),
            Command::CopyUp => self.on_storey(|storey| Some(Edit::CopyUp(storey.id.clone()))),
            Command::AddStorey => self.on_storey(|_| Some(Edit::AddStorey)),
            Command::RemoveStorey => self.on_storey(|storey| Some(Edit::RemoveStorey(storey.id.clone()))),
            Command::RemovePicture => self.on_storey(|storey| {
                let bare = Storey { underlay: None, ..storey.clone() };
                storey.underlay.as_ref().map(|_| Edit::Put(Item::Storey(bare)))
            }),
            Command::PlacePicture => {
                if !self.pictures.ask(self.document.folder(), waker(self.wake.as_deref())) {
                    self.editor.refuse("Drop a PNG or JPEG picture of the floor plan onto the window.");
                }
            }

            Command::OtherTheme => self.view.theme = self.view.theme.next(),
            Command::OtherUnits => {
                self.view.units = if self.view.units == Units::Metric { Units::Feet } else { Units::Metric };
            }
            Command::Scale(up) => {
                let factor = if up { 1.1 } else { 1.0 / 1.1 };
                self.view.scale = (self.view.scale * factor).clamp(SCALES.0, SCALES.1);
            }
            Command::Search => self.editor.search = Some(String::new()),

            Command::Fit => self.frame.fitted = true,
            Command::Zoom(factor) => {
                let middle = self.frame.rect.center();
                self.frame.zoom(middle, factor);
            }
            Command::ShowPlace(storey, thing) => self.show_place(storey, &thing),
            // With other ears, or at the other end, another storey may tell more: it is chosen anew.
            Command::Listen(listener) => {
                (self.view.listener, self.view.storey) = (Some(listener), None);
                self.highlight.pinned = None;
            }
            Command::ListenAt(at) => {
                if let Some(heard) = solved.as_deref().and_then(|solved| solved.answer.listeners.get(at)) {
                    self.perform(Command::Listen(heard.listener.clone()));
                }
            }
            Command::LightBy(by) => (self.view.by, self.view.storey) = (by, None),
            Command::Storey(storey) => {
                self.view.storey = Some(storey);
                if self.editor.mode == Mode::Draw {
                    self.editor.picks.clear();
                    self.editor.stop();
                }
            }
            Command::StepStorey(up) => {
                if let Some(solved) = &solved
                    && let Some(at) = self.view.storey_at(solved)
                    && let Some(storey) = solved.scene.storeys.get(if up { at + 1 } else { at.wrapping_sub(1) })
                {
                    self.view.storey = Some(storey.id.clone());
                }
            }
            Command::Bands(bands) => self.view.bands = bands,
            Command::StepBand(up) => self.view.bands = next_band(self.view.bands, up),
            Command::StretchBands(up) => self.view.bands = stretched(self.view.bands, up),
            Command::Pin(path) => {
                self.highlight.pinned = Some(path).filter(|path| self.highlight.pinned != Some(*path));
            }
            Command::StepPath(down) => {
                let last = solved.as_deref().and_then(|it| self.view.heard(it)?.paths.len().checked_sub(1));
                self.highlight.pinned = match (self.highlight.pinned, last) {
                    (pinned, Some(last)) if down => Some(pinned.map_or(0, |at| (at + 1).min(last))),
                    (Some(at), Some(_)) => Some(at.saturating_sub(1)),
                    (pinned, _) => pinned,
                };
            }
            Command::Levels => self.view.levels = !self.view.levels,
            Command::Section => {
                // What shares the canvas changes: the plan is laid out anew.
                self.view.cut = match self.view.cut {
                    Some(_) => None,
                    None => solved.as_deref().and_then(|solved| self.view.telling_cut(solved)),
                };
                self.view.whole_section = false;
                self.frame.fitted = true;
            }
            Command::Cut(cut) => self.view.cut = Some(cut),
            Command::WholeSection => {
                if self.view.cut.is_none() {
                    self.perform(Command::Section);
                }
                self.view.whole_section = self.view.cut.is_some() && !self.view.whole_section;
            }
            Command::Compare(compare) => {
                let beside = |compare: Compare| matches!(compare, Compare::Beside);
                self.frame.fitted |= beside(compare) != beside(self.view.compare);
                self.view.compare = compare;
            }
            Command::KeepBaseline => *self.baseline = Baseline { solved, version: None },
            Command::ForgetBaseline => {
                (*self.baseline, self.view.compare) = (Baseline::default(), Compare::Off);
            }

            Command::ShowVersion(_)
            | Command::StepVersion(_)
            | Command::NewVariant
            | Command::NameVariant(_)
            | Command::DeleteVariant
            | Command::DropMisfits
            | Command::AboutVariant
            | Command::CompareWith(_)
            | Command::Foot(_)
            | Command::BuildList
            | Command::WriteList(_) => self.vary(command),

            Command::AskAdvice | Command::StopAdvice | Command::LookAtPlan(_) | Command::KeepPlan => {
                self.advise(command);
            }

            Command::RunParticles => {
                let look = &mut self.particles.look;
                if look.shown { look.playing = !look.playing } else { look.shown = true }
            }
            Command::ShowParticles => self.particles.look.shown = !self.particles.look.shown,
            Command::ParticleSpeed(speed) => self.particles.look.speed = speed.clamp(0.1, 5.0),
            Command::LeastShare(share) => self.particles.look.least_share = share.clamp(0.0, 0.5),
            Command::MarkedAlone => self.particles.look.alone = !self.particles.look.alone,

            Command::ListViews => self.present.list = !self.present.list,
            Command::KeepView => {
                let now = solved.as_deref().and_then(|solved| saved_view(&self.view, solved));
                if let Some((now, scene)) = now.zip(self.document.scene.clone()) {
                    let views = scene.views.iter().cloned().chain([now]).collect();
                    self.edit(&[Edit::Put(Item::Views(views))]);
                    self.present.list = true;
                }
            }
            Command::Present(to) => self.present(to),
            Command::StepView(on) => {
                let views = self.document.scene.as_ref().map_or(0, |scene| scene.views.len());
                let to = self.present.at.and_then(|at| if on { Some(at + 1) } else { at.checked_sub(1) });
                if let Some(to) = to.filter(|to| *to < views) {
                    self.present(Some(to));
                }
            }

            Command::Lessons => self.teaching.open = !self.teaching.open,
            Command::TakeLesson(at) => {
                *self.baseline = Baseline::default();
                let scene = self.teaching.take(at);
                self.show_lesson(scene);
            }
            Command::Predict(choice) => self.teaching.predict(choice),
            Command::SeeChoice(choice) => {
                // The building before the change stays to compare with.
                if self.baseline.solved.is_none() {
                    *self.baseline = Baseline { solved, version: None };
                }
                let scene = self.teaching.see(choice);
                self.show_lesson(scene);
            }
            Command::ListLessons => self.teaching.list(),
            Command::Export => {
                self.set_mode(Mode::Listen);
                self.export.open_or_close(self.document.path.as_deref());
            }
            Command::WritePicture => {
                if let Some(solved) = solved {
                    self.export.start(solved, self.view.clone(), waker(self.wake.as_deref()));
                }
            }

            Command::New => self.files.go_on_or_ask(&self.document, Next::New),
            Command::Open => self.files.go_on_or_ask(&self.document, Next::Browse),
            Command::Recent => self.files.go_on_or_ask(&self.document, Next::Recent),
            Command::Browse => self.files.browse(&self.document),
            Command::Create(answers) => self.begin(answers.scene()),
            Command::CreateEmpty => {
                self.begin(edit::nothing_drawn(Catalogue::built_in_ref()));
                self.editor.mode = Mode::Draw;
                self.editor.take(Tool::Room);
            }
            Command::OpenFile(path) => self.files.worker.ask(Job::Read(path)),
            Command::ListFolder(folder) => self.files.list_folder(folder),
            Command::Save => self.files.save(&self.document),
            Command::SaveAs => self.files.save_as(&self.document),
            Command::SaveTo(path) => self.files.save_to(&self.document, path),
            Command::SaveOver(path) => self.files.write(&self.document, path, Overwrite::Yes),
            Command::Discard => {
                self.files.worker.ask(Job::Forget);
                self.files.go_on(&self.document);
            }
            Command::CloseQuestion => self.files.close(),
            Command::TakeOverFile => {
                if let Some(Dialog::Changed(_, scene)) = self.files.dialog.take() {
                    self.document.take_from_file(*scene);
                    self.files.known = self.files.stamp;
                    self.editor.stop();
                }
            }
            Command::KeepMine => {
                self.document.differs_from_file();
                (self.files.dialog, self.files.autosaved) = (None, None);
            }
            Command::Recover(at) => {
                if let Some((document, copy)) = self.files.recover(at) {
                    self.show(document);
                    // The session's own copy is asked for first, so that there is no moment without one.
                    let scene = self.document.committed().cloned();
                    if let Some(scene) = scene {
                        self.files.worker.ask(Job::AutosaveNow(scene, self.document.path.clone()));
                    }
                    self.files.worker.ask(Job::GiveUp(vec![copy]));
                }
            }
            Command::DiscardRecovered(at) => self.files.discard_recovered(at),
            Command::DiscardAllRecovered => {
                if let Some(Dialog::Recovered(left)) = self.files.dialog.take() {
                    self.files.worker.ask(Job::GiveUp(left));
                }
            }
            Command::AutosaveIn(folder) => self.files.worker.ask(Job::AutosaveIn(folder)),

            Command::Back if self.files.hint.is_some() => self.files.hints_are_seen(),
            Command::Back => {
                if self.view.whole_section {
                    self.view.whole_section = false;
                }
            }
            Command::Hints => {
                self.files.hint = Some(0);
                self.editor.mode = Mode::Listen;
            }
            Command::NextHint => self.files.hint = self.files.hint.map(|at| at + 1),
            Command::CloseHints => self.files.hints_are_seen(),
        }
    }

    fn set_mode(&mut self, mode: Mode) {
        if self.editor.mode != mode {
            self.editor.mode = mode;
            self.editor.stop();
            self.document.cancel_preview();
            self.frame.fitted = true;
        }
    }

    /// Changes the scene, as one step; false when that is refused, which is then told.
    pub(super) fn edit(&mut self, edits: &[Edit]) -> bool {
        self.editor.clear_status();
        let done = self.document.edit(edits);
        if let Err(refused) = &done {
            self.editor.refuse(refused.to_string());
        }
        done.is_ok()
    }

    /// An edit of the storey in sight. A storey that came on top by it is shown.
    fn on_storey(&mut self, edit: impl FnOnce(&Storey) -> Option<Edit>) {
        let Some(before) = self.document.scene.clone() else { return };
        let Some(edit) = before.storeys.get(self.view.storey_in(&before)).and_then(edit) else { return };
        if self.edit(&[edit]) {
            self.show_new_storey(&before);
        }
    }

    /// Shows the storey that came on top, and says so.
    fn show_new_storey(&mut self, before: &Scene) {
        let Some(after) = self.document.scene.clone() else { return };
        let is_new = |storey: &&Storey| before.storeys.iter().all(|known| known.id != storey.id);
        let Some(new) = after.storeys.iter().find(is_new) else { return };
        self.view.storey = Some(new.id.clone());
        self.editor.picks.clear();
        self.editor.stop();
        let name = words::heading(&new.name);
        self.editor.tell(if new.walls.is_empty() {
            format!("A new storey on top, now shown: {name}. Nothing is drawn on it yet.")
        } else {
            format!("The plan was copied upwards, and the new storey is now shown: {name}.")
        });
    }

    /// A step back or forth was taken.
    fn stepped(&mut self, done: Option<String>) {
        self.editor.stop();
        self.editor.status = done.map(Status::Done);
    }

    fn duplicate(&mut self) {
        let (Some(before), picks) = (self.document.scene.clone(), self.editor.picks.clone()) else { return };
        if picks.is_empty()
            || !self.edit(&[Edit::Duplicate { by: edit::beside(&before, &picks), picks: picks.clone() }])
        {
            return;
        }
        let copies = self.document.scene.as_ref().map_or(vec![], |after| edit::copies(&before, after, &picks));
        if !copies.is_empty() {
            // A copy with walls stands beside the house, perhaps out of sight.
            self.frame.fitted |= copies.iter().any(|pick| matches!(pick, Pick::Wall(..)));
            self.editor.picks = copies;
            self.editor.tell("The copy is picked: drag it to where it belongs.");
        }
    }

    /// Closes the menu, or else gives up the gesture, or else lets go of what is picked, or else takes the hand again.
    fn escape(&mut self) {
        if self.editor.menu.take().is_some() {
            return;
        }
        if self.editor.gesture != Gesture::None {
            self.editor.stop();
            self.document.cancel_preview();
        } else if !self.editor.picks.is_empty() {
            self.editor.picks.clear();
        } else {
            self.editor.tool = Tool::Hand;
        }
    }

    /// Shows a view to others (without kept views what is looked at), or ends.
    fn present(&mut self, to: Option<usize>) {
        let views = self.document.scene.as_ref().map_or(0, |scene| scene.views.len());
        if to.is_some() && self.present.at.is_none() {
            self.present.before = Some(Box::new(self.view.clone()));
            self.present.list = false;
        }
        self.present.at = to.map(|at| at.min(views.saturating_sub(1)));
        match to {
            Some(at) => {
                let view = self.document.scene.as_ref().and_then(|scene| scene.views.get(at));
                view.into_iter().for_each(|view| apply_saved_view(&mut self.view, view));
            }
            None => self.present.before.take().into_iter().for_each(|before| *self.view = *before),
        }
        self.frame.fitted = true;
    }

    /// Draws the storey a problem is on, with the thing it is about picked, and in the middle of the plan.
    fn show_place(&mut self, storey: Option<StoreyId>, thing: &Thing) {
        if let Thing::Variant(at) = thing {
            return self.show_variant(*at);
        }
        let Some(scene) = self.document.scene.clone() else { return };
        let pick = pick_of(thing, storey.as_ref());
        let on = pick.as_ref().and_then(|pick| storey_of(&scene, pick)).or(storey);
        let Some(drawn) = scene.storeys.iter().find(|drawn| Some(&drawn.id) == on.as_ref()) else { return };
        self.set_mode(Mode::Draw);
        self.perform(Command::Storey(drawn.id.clone()));
        let Some(pick) = pick.filter(|pick| exists(&scene, pick)) else {
            self.frame.fitted = true;
            return;
        };
        if let Some(middle) = middle_of(&scene, drawn, &pick) {
            if self.frame.fitted
                && let Some((low, high)) = extent(drawn)
            {
                self.frame.fit(low, high, [0.0; 4]);
            }
            self.frame.centre = middle;
            (self.frame.fitted, self.frame.fitted_in) = (false, None);
        }
        self.editor.picks = vec![pick];
    }

    fn show_lesson(&mut self, scene: Option<Scene>) {
        if let Some(scene) = scene {
            self.document.take_over(Document::of(scene));
            self.frame.fitted = true;
        }
    }

    /// Begins a scene that is in no file.
    fn begin(&mut self, scene: Scene) {
        let files = &mut *self.files;
        (files.dialog, files.stamp, files.known, files.hint) = (None, None, None, None);
        let begun = Document::unsaved(None, scene);
        self.show(begun);
    }

    /// Shows another document, which its file holds as it stands.
    pub(super) fn open(&mut self, document: Document, stamp: Option<Stamp>) {
        self.show(document);
        (self.files.stamp, self.files.known) = (stamp, stamp);
        self.files.autosaved = self.document.committed().cloned();
    }

    fn show(&mut self, document: Document) {
        // Its question is not about this building.
        *self.teaching = LessonState::default();
        self.document.take_over(document);
        self.editor.begin();
        (self.view.storey, self.view.listener) = (None, None);
        // What was kept, and where it was cut open, belongs to the other building.
        (*self.baseline, self.view.compare) = (Baseline::default(), Compare::Off);
        (self.view.cut, self.view.whole_section) = (None, false);
        (self.deciding.about, self.deciding.list, self.frame.fitted) = (false, None, true);
    }
}
