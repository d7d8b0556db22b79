//! The page as one file, which asks nothing of any other place.

use crate::page::assets::{self, ASSETS, JS};
use crate::page::photo::base64;
use crate::page::program::Reply;
use crate::report;
use serde_json::{Map, Value, json};

/// What the file may load: what is inside it, and on a web site the script that keeps it for a device without a network. The browser
/// itself keeps it from anything else.
const POLICY: &str = "default-src 'none'; script-src 'unsafe-inline' data: blob: 'wasm-unsafe-eval'; worker-src blob: 'self'; manifest-src blob:; \
     style-src 'unsafe-inline'; img-src data: blob:; base-uri 'none'; form-action 'none'";

/// The script that, beside the page on a web site, keeps it on a device: its name and its text.
pub const OFFLINE_SCRIPT: (&str, &str) = ("heartside-offline.js", include_str!("offline.js"));

/// The whole page as one HTML file: its styles, scripts and drawings, and the program as a wasm module packed by gzip.
///
/// # Errors
/// The name of what is not where it is expected in the page.
pub fn one_file(packed_module: &[u8]) -> Result<String, &'static str> {
    let text = |path| assets::find(path).map_or("", |asset| asset.text);
    let icon = format!(
        "<link rel=\"icon\" href=\"data:image/svg+xml;base64,{}\">",
        base64(text("favicon.ico").as_bytes())
    );
    let style = |css: &str| format!("<style>{css}</style>");
    let scripts = format!(
        "<script type=\"importmap\">{}</script>\n<script type=\"module\">import \"page.js\";</script>",
        import_map()
    );
    let drawings = text("drawings.svg")
        .replace("id=\"", "id=\"drawing-")
        .replacen(
            "<svg ",
            "<svg width=\"0\" height=\"0\" aria-hidden=\"true\" style=\"position:absolute\" ",
            1,
        );
    let refusals =
        json!({ "broken": said(&Reply::broken()), "too_long": said(&Reply::too_long()) });
    let program = format!(
        "{drawings}\n<script type=\"application/json\" id=\"refusals\">{refusals}</script>\n\
         <script type=\"text/plain\" id=\"worker\">{}</script>\n\
         <script type=\"text/plain\" id=\"module\">{}</script>\n</body>",
        include_str!("worker.js"),
        base64(packed_module)
    );
    let policy = format!(
        "<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">"
    );
    let mut page = text("").to_owned();
    for (name, made) in [
        ("<meta charset=\"utf-8\">", policy),
        (
            "<link rel=\"icon\" href=\"favicon.ico\" type=\"image/svg+xml\">",
            icon,
        ),
        (
            "<link rel=\"stylesheet\" href=\"figures.css\">",
            style(&report::page_style()),
        ),
        (
            "<link rel=\"stylesheet\" href=\"page.css\">",
            style(text("page.css")),
        ),
        ("<script type=\"module\" src=\"page.js\"></script>", scripts),
        ("</body>", program),
    ] {
        if page.matches(name).count() != 1 {
            return Err(name);
        }
        page = page.replace(name, &made);
    }
    Ok(page)
}

/// The scripts by their names, each as an address that holds it.
fn import_map() -> Value {
    let mut imports = Map::new();
    for script in ASSETS.iter().filter(|asset| asset.kind == JS) {
        let text = match script.path {
            "carrier.js" => include_str!("carrier.js"),
            _ => script.text,
        };
        // A script that is not at an address has no neighbors; they are found by name.
        let text = text.replace("from \"./", "from \"");
        let address = format!("data:text/javascript;base64,{}", base64(text.as_bytes()));
        imports.insert(script.path.to_owned(), Value::from(address));
    }
    json!({ "imports": imports })
}

fn said(reply: &Reply) -> Value {
    serde_json::from_slice(&reply.body).unwrap_or_default()
}
