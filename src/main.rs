//! The command line: serve (default), calculate, substance, schema.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, bail};
use clap::{Args, Parser, Subcommand};

use brattice::model::ProjectFile;
use brattice::store::Store;
use brattice::web;
use brattice::workflow::{Inquiry, Workflow, calculate, inquire};

/// From a floor plan to a fixed gas detection design.
///
/// The app advises; local codes, the hazardous-area classification and a competent person decide.
#[derive(Parser)]
#[command(version, args_conflicts_with_subcommands = true)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    serve: Serve,
}

#[derive(Subcommand)]
enum Command {
    /// Serve the app to a browser on this computer (the default).
    Serve(Serve),
    /// Calculate a project file without a browser and write its results and documents.
    Calculate(Calculate),
    /// Print what is known of a substance at a temperature and a pressure.
    Substance(Asked),
    /// Print the JSON Schema of a project file.
    Schema,
}

#[derive(Args, Clone)]
struct Serve {
    /// Port on 127.0.0.1; 0 takes a free one.
    #[arg(long, default_value_t = 7420)]
    port: u16,
    /// Folder of the database; made where it is missing. Default: brattice in the folder for the
    /// user's application data.
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
    /// Who the log and the documents name.
    #[arg(long, default_value = "designer")]
    author: String,
}

#[derive(Args)]
struct Calculate {
    /// The project file (JSON), as the app exports it.
    #[arg(value_name = "PROJECT.json")]
    project: PathBuf,
    /// Folder the files are written into; made where it is missing.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Suggest detectors and wiring first and accept both; writes project.json, too.
    #[arg(long)]
    suggest: bool,
    /// Who the documents name.
    #[arg(long, default_value = "designer")]
    author: String,
}

#[derive(Args)]
struct Asked {
    /// Name, synonym, formula, CAS number or refrigerant number.
    #[arg(value_name = "NAME|CAS", required = true)]
    name: Vec<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
    /// Temperature in degrees Celsius. Default: 20.
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    temperature_c: Option<String>,
    /// Absolute pressure in kilopascals. Default: 101.325.
    #[arg(long, value_name = "P", allow_hyphen_values = true)]
    pressure_kpa: Option<String>,
    /// Whose tables are asked first: eu, uk or us. Default: eu.
    #[arg(long, value_name = "WHOSE")]
    jurisdiction: Option<String>,
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let filter = tracing_subscriber::EnvFilter::try_from_default_env()
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("warn"));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .init();
    let done = match arguments.command {
        None => serve(arguments.serve),
        Some(Command::Serve(options)) => serve(options),
        Some(Command::Calculate(options)) => calculate_file(&options),
        Some(Command::Substance(asked)) => substance(&asked),
        Some(Command::Schema) => schema(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error:#}");
            ExitCode::FAILURE
        }
    }
}

fn serve(options: Serve) -> anyhow::Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .context("The program could not start its threads")?;
    let done = runtime.block_on(serve_until_stopped(options));
    runtime.shutdown_timeout(std::time::Duration::from_secs(2));
    done
}

async fn serve_until_stopped(options: Serve) -> anyhow::Result<()> {
    let folder = options.data.clone().unwrap_or_else(data_folder);
    let store = open_store(&folder).await?;
    let workflow = Workflow::new(store, options.author);
    workflow
        .ensure_demo()
        .await
        .context("The example could not be made")?;
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, options.port));
    let listener = match tokio::net::TcpListener::bind(address).await {
        Ok(listener) => listener,
        Err(error) if error.kind() == std::io::ErrorKind::AddrInUse => bail!(
            "Port {port} is in use, perhaps by this program in another window. Close that one, or \
             start with --port {next}.",
            port = options.port,
            next = options.port.wrapping_add(1).max(1024),
        ),
        Err(error) => bail!(
            "Port {} cannot be used ({error}). Try --port 0.",
            options.port
        ),
    };
    let address = listener.local_addr().context("The port has no address")?;
    println!("Brattice runs at http://{address}");
    println!(
        "Its data lies in {}. Stop it with Ctrl-C.",
        folder.display()
    );
    axum::serve(listener, web::app(workflow.clone()))
        .with_graceful_shutdown(stopped())
        .await
        .context("The server broke off")?;
    workflow.close().await;
    println!("Stopped.");
    Ok(())
}

async fn open_store(folder: &Path) -> anyhow::Result<Store> {
    let remedy = "choose a folder you may write to with --data";
    std::fs::create_dir_all(folder)
        .with_context(|| format!("The folder {} cannot be made; {remedy}", folder.display()))?;
    let file = folder.join("brattice.sqlite");
    Store::open(&file)
        .await
        .with_context(|| format!("The database {} cannot be opened; {remedy}", file.display()))
}

/// Ctrl-C, or the signal a service manager sends.
async fn stopped() {
    let interrupt = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        match signal(SignalKind::terminate()) {
            Ok(mut terminate) => tokio::select! {
                () = interrupt => {}
                _ = terminate.recv() => {}
            },
            Err(_) => interrupt.await,
        }
    }
    #[cfg(not(unix))]
    interrupt.await;
}

/// The folder for the user's application data, as each system has it.
fn data_folder() -> PathBuf {
    let from = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    let base = if cfg!(windows) {
        from("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        from("HOME").map(|home| home.join("Library/Application Support"))
    } else {
        from("XDG_DATA_HOME").or_else(|| from("HOME").map(|home| home.join(".local/share")))
    };
    base.map_or_else(
        || PathBuf::from("brattice-data"),
        |base| base.join("brattice"),
    )
}

fn calculate_file(options: &Calculate) -> anyhow::Result<()> {
    let path = &options.project;
    let bytes = std::fs::read(path)
        .with_context(|| format!("The project file {} cannot be read", path.display()))?;
    let calculated = calculate(&bytes, options.suggest, &options.author)
        .map_err(|error| anyhow::anyhow!("{}: {error}", path.display()))?;
    let out = &options.out;
    std::fs::create_dir_all(out).with_context(|| {
        format!(
            "The folder {} cannot be made; choose another with --out",
            out.display()
        )
    })?;
    for (name, bytes) in &calculated.files {
        write_whole(&out.join(name), bytes)?;
    }
    for remark in &calculated.remarks {
        eprintln!("{remark}");
    }
    Ok(())
}

/// Writes a file so that nobody ever sees half of it: beside its place, then into it.
fn write_whole(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(".tmp");
    let written = std::fs::write(&beside, bytes).and_then(|()| std::fs::rename(&beside, path));
    written.with_context(|| {
        format!(
            "{} cannot be written; choose another folder with --out",
            path.display()
        )
    })
}

fn substance(asked: &Asked) -> anyhow::Result<()> {
    let sheet = inquire(&Inquiry {
        name: &asked.name.join(" "),
        temperature_c: asked.temperature_c.as_deref(),
        pressure_kpa: asked.pressure_kpa.as_deref(),
        jurisdiction: asked.jurisdiction.as_deref(),
    })
    .map_err(|error| anyhow::anyhow!("{error}"))?;
    print(&match asked.json {
        true => serde_json::to_string_pretty(&sheet)?,
        false => sheet.text(),
    })
}

/// Prints; a reader who stops early, such as `head`, is no fault.
fn print(text: &str) -> anyhow::Result<()> {
    use std::io::Write as _;
    match writeln!(std::io::stdout().lock(), "{text}") {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(error).context("The answer cannot be printed")
        }
        _ => Ok(()),
    }
}

fn schema() -> anyhow::Result<()> {
    let schema = schemars::schema_for!(ProjectFile);
    print(&serde_json::to_string_pretty(&schema)?)
}
