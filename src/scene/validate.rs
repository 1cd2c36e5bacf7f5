//! stub during writing
/// nearest
pub(super) fn nearest<'a>(_word: &str, _known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    None
}
