//! `benchleaf serve`

use std::io::Write;
use std::process::ExitCode;

use fast_qr::QRBuilder;

use super::print;
use super::shop::{Format, ShopFolder, Stop, tell};
use crate::serve::{Asked, Event, serve};

#[derive(clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    folder: ShopFolder,
    /// The port; 0 takes one that is free
    #[arg(long, default_value_t = 4180)]
    port: u16,
    /// Let other computers of the network look as well, such as the tablet at the bench
    #[arg(long)]
    network: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<ExitCode, Stop> {
    let shop = arguments.folder.shop.clone();
    if !shop.is_dir() {
        return Err(Stop::Said(format!("there is no folder `{}`", shop.display())));
    }
    if !shop.join("specs").is_dir() {
        return Err(Stop::Said(format!(
            "`{}` holds no shop: there is no folder `specs`; `benchleaf new shop DIR` begins one",
            shop.display()
        )));
    }
    let asked = Asked { shop: shop.clone(), port: arguments.port, network: arguments.network };
    serve(&asked, |event| {
        // Where the terminal has gone, the pages are still there.
        let _ = say(&event, &shop);
    })
    .map_err(Stop::Said)?;
    Ok(ExitCode::SUCCESS)
}

fn say(event: &Event<'_>, shop: &std::path::Path) -> Result<(), Stop> {
    match event {
        Event::Serving { here, network } => {
            let mut out = print::out();
            writeln!(out, "The working copy is at {here} (Ctrl-C ends it)")?;
            if let Some(network) = network {
                writeln!(out, "For the tablet, to everybody in this network: {network}")?;
                if let Ok(code) = QRBuilder::new(network.as_str()).build() {
                    writeln!(out, "{}", code.to_str())?;
                }
            }
            out.flush()?;
        }
        Event::Checked { findings, files, shown } => {
            tell(findings, files, Format::Text, shop)?;
            let word = if *shown {
                "The pages are up to date."
            } else {
                "OUT OF DATE: the last good pages stay, marked."
            };
            writeln!(print::out(), "{word}")?;
        }
        Event::Gone => {
            writeln!(
                print::out(),
                "The folder {} is not there: the last good pages stay, marked.",
                shop.display()
            )?;
        }
        Event::Unwatched(why) => {
            writeln!(
                print::err(),
                "the system does not tell of changes ({why}): it is looked for them every second"
            )?;
        }
    }
    Ok(())
}
