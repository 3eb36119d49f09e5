//! How far down a telephone the first step stands, and how many bytes a page of each kind has:
//! `cargo run --example page_measures -- SITE`, of a site that was built.
//!
//! A telephone of 390 by 844 points, one that knows nothing of the page. Bytes are of the page alone, without what all
//! pages share.

use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};

use headless_chrome::protocol::cdp::Emulation;
use headless_chrome::{Browser, LaunchOptions, Tab};

/// Which kind of page it is, from its own body.
fn kind(text: &str) -> Option<&str> {
    text.split_once("<body class=\"page-")?.1.split('"').next()
}

fn telephone(tab: &Tab) -> Result<(), Box<dyn Error>> {
    let metrics = Emulation::SetDeviceMetricsOverride {
        width: 390,
        height: 844,
        device_scale_factor: 1.0,
        mobile: false,
        scale: None,
        screen_width: None,
        screen_height: None,
        position_x: None,
        position_y: None,
        dont_set_visible_size: None,
        screen_orientation: None,
        viewport: None,
        display_feature: None,
        device_posture: None,
    };
    tab.call_method(metrics)?;
    Ok(())
}

/// How far down a page its first step stands, in pixels.
fn first_step(tab: &Tab, page: &Path) -> Result<f64, Box<dyn Error>> {
    tab.navigate_to(&format!("file://{}", page.canonicalize()?.display()))?.wait_until_navigated()?;
    let top = "document.querySelector('[data-step]').getBoundingClientRect().top + scrollY";
    let given = tab.evaluate(top, false)?.value;
    given.as_ref().and_then(serde_json::Value::as_f64).ok_or_else(|| "no step on the page".into())
}

fn main() -> Result<(), Box<dyn Error>> {
    let site = PathBuf::from(std::env::args().nth(1).ok_or("the folder of a site")?);
    let mut sizes: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    let mut services = Vec::new();
    for entry in walkdir::WalkDir::new(&site).sort_by_file_name() {
        let path = entry?.into_path();
        if path.extension().is_none_or(|ending| ending != "html") {
            continue;
        }
        let text = std::fs::read_to_string(&path)?;
        let kind = kind(&text).unwrap_or("other").to_owned();
        if kind == "service" {
            services.push(path);
        }
        sizes.entry(kind).or_default().push(text.len());
    }
    println!("{:20} {:>6} {:>10} {:>10} {:>12}", "kind", "pages", "middle", "largest", "all, bytes");
    for (kind, mut of) in sizes {
        of.sort_unstable();
        let (middle, largest) = (of[of.len() / 2], of[of.len() - 1]);
        println!("{kind:20} {:>6} {middle:>10} {largest:>10} {:>12}", of.len(), of.iter().sum::<usize>());
    }
    let browser = Browser::new(LaunchOptions {
        sandbox: false,
        path: ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"]
            .iter()
            .map(PathBuf::from)
            .find(|path| path.exists()),
        ..LaunchOptions::default()
    })?;
    let tab = browser.new_tab()?;
    telephone(&tab)?;
    let mut tops = Vec::new();
    for page in &services {
        tops.push((first_step(&tab, page)?, page));
    }
    tops.sort_by(|x, y| x.0.total_cmp(&y.0));
    println!("\nPixels to the first step, 390 wide, {} pages to work from:", tops.len());
    for (name, at) in [("least", 0), ("middle", tops.len() / 2), ("most", tops.len().saturating_sub(1))] {
        if let Some((top, page)) = tops.get(at) {
            println!("{name:8} {top:>6.0}  {}", page.strip_prefix(&site)?.display());
        }
    }
    Ok(())
}
