//! The files of the page.

/// A file of the page.
pub(super) struct Asset {
    /// The path under which the page asks for it; empty for the page itself.
    pub(super) path: &'static str,
    pub(super) kind: &'static str,
    pub(super) text: &'static str,
}

pub(super) const HTML: &str = "text/html; charset=utf-8";
pub(super) const CSS: &str = "text/css; charset=utf-8";
pub(super) const JS: &str = "text/javascript; charset=utf-8";
pub(super) const SVG: &str = "image/svg+xml";
pub(super) const JSON: &str = "application/json";
pub(super) const BYTES: &str = "application/octet-stream";

macro_rules! assets {
    ($($path:literal $kind:ident $file:literal)*) => {
        &[$(Asset { path: $path, kind: $kind, text: include_str!(concat!("assets/", $file)) }),*]
    };
}

/// All of them.
pub(super) const ASSETS: &[Asset] = assets! {
    "" HTML "page.html"
    "page.css" CSS "page.css"
    "page.js" JS "page.js"
    "forms.js" JS "forms.js"
    "answers.js" JS "answers.js"
    "questions.js" JS "questions.js"
    "picture.js" JS "picture.js"
    "rings.js" JS "rings.js"
    "photo.js" JS "photo.js"
    "leaves.js" JS "leaves.js"
    "measured.js" JS "measured.js"
    "pick.js" JS "pick.js"
    "keep.js" JS "keep.js"
    "talk.js" JS "talk.js"
    "carrier.js" JS "carrier.js"
    "words.js" JS "words.js"
    "drawings.svg" SVG "drawings.svg"
    "favicon.ico" SVG "icon.svg"
};

/// The file at a path.
pub(super) fn find(path: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|asset| asset.path == path)
}
